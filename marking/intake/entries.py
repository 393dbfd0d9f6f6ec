"""From one cell to one Entry: the text as typed, the number it stands for, and the unit it was written in."""

from __future__ import annotations

from dataclasses import dataclass

from marking.intake.durations import read_duration
from marking.intake.grid import Field, SheetValue, Stored, is_empty, text_of
from marking.intake.missing_units import in_item_unit, limits_in
from marking.intake.numbers import NumberReading, read_number
from marking.intake.remarks import quote
from marking.intake.vocabulary import Vocabulary
from marking.write_up import Entry, Place, State
from rubrics.model import Item
from rubrics.units import Dimension, UnitReading, Verdict

TIME: Dimension = (0, 0, 1, 0, 0, 0, 0)
_UNDERSTOOD = (Verdict.ACCEPT, Verdict.NOTE)
_UNUSABLE = {
    Stored.DATE: "the spreadsheet changed what was typed into a date or a time",
    Stored.TRUTH: "is true or false, not a number",
    Stored.ERROR: "is an error of the spreadsheet, not an entry",
    Stored.UNCALCULATED: "is a formula without a result: open the file, save it and hand it in again",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenUnit:
    """What stands beside or above a number as its unit."""

    field: Field = ""
    """The field of the unit column."""
    heading: str = ""
    """The unit that the heading gives; it counts where the field is empty."""
    cell: str = ""
    """Address of the field, for messages."""

    @property
    def typed(self) -> str:
        """Return the unit as typed, the field's before the heading's."""
        return self.heading if is_empty(self.field) else text_of(self.field)

    @property
    def is_merged(self) -> bool:
        """Tell whether the field shows another cell's text."""
        return isinstance(self.field, SheetValue) and self.field.stored is Stored.MERGED


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
    if item.is_words:
        return _words(value, place)
    if isinstance(value, SheetValue) and value.stored is not Stored.NUMBER:
        if value.stored is not Stored.TEXT:
            note = _UNUSABLE.get(value.stored, value.remark + ", so it is not sure whose it is")
            return Entry(raw=value.text, unit_raw=unit.typed, state=State.UNREADABLE, place=place, notes=(note,))
    text = text_of(value)
    beside = vocabulary.unit_of(unit.typed, item)
    reading = _number(text, item, beside, vocabulary, None if isinstance(value, str) else False, decimal_comma)
    ...
