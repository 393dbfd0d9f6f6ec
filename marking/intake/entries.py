"""From one cell to one Entry: the text as typed, the number it stands for, and the unit it was written in."""

from __future__ import annotations

from dataclasses import dataclass

from marking.intake.durations import read_duration
from marking.intake.entry_units import WrittenUnit, agree
from marking.intake.grid import Field, SheetValue, Stored, text_of
from marking.intake.missing_units import limits_in
from marking.intake.number_formats import plain_text
from marking.intake.numbers import NumberReading, read_number
from marking.intake.remarks import Notebook, quote
from marking.intake.vocabulary import Vocabulary
from marking.write_up import Entry, Place, State, Weight
from rubrics.model import Item
from rubrics.units import Dimension, UnitReading, Verdict

TIME: Dimension = (0, 0, 1, 0, 0, 0, 0)
_UNUSABLE = {
    Stored.DATE: "the spreadsheet changed what was typed into a date or a time",
    Stored.TRUTH: "true or false, not a number",
    Stored.ERROR: "an error of the spreadsheet, not an entry",
    Stored.UNCALCULATED: "a formula without a result: open the file, save it and hand it in again",
}


def read_entry(
    value: Field,
    unit: WrittenUnit,
    item: Item,
    place: Place,
    vocabulary: Vocabulary,
    *,
    decimal_comma: bool | None = None,
) -> Entry:
    """Return what a cell holds as an entry for *item*; whatever was written, this never raises.

    Args:
        value: The cell.
        unit: The unit beside it.
        item: The item that the cell is for.
        place: Where the cell stands.
        vocabulary: The names and units of the practical.
        decimal_comma: True where the whole file is known to write 20,5 for 20.5.
    """
    if not isinstance(value, str) and value.stored not in (Stored.NUMBER, Stored.TEXT):
        return _unusable(value, unit, item, place)
    if item.is_words:
        return _words(value, place)
    text = text_of(value)
    beside = vocabulary.unit_of(unit.typed, item)
    # A number cell is shown with a point, whatever the sheet's author is used to.
    comma = decimal_comma if isinstance(value, str) else False
    reading = read_number(text, decimal_comma=comma, limits=limits_in(beside.unit or item.unit, item))
    own = vocabulary.unit_of(reading.unit_text, item) if reading.unit_text else None
    ...


def tell_entry(entry: Entry, student: str, item: Item, notebook: Notebook) -> None:
    """Tell the teacher what the reader did to an entry, or why it cannot be used; nothing where all is plain."""
