"""From one cell to one Entry: the text as typed, the number it stands for, and the unit it was written in."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from marking.cells import NOWHERE
from marking.intake.entries.dashes import DASHES
from marking.intake.entries.doubts import TIME, Written, depends_on_figures, doubt, is_power_of_ten
from marking.intake.entries.entry_units import UnitOutcome, WrittenUnit, settle_unit, unit_beside
from marking.intake.entries.missing_units import in_limits, limits_in
from marking.intake.entries.typed_ticks import WHY
from marking.intake.grids import (
    Field,
    SheetValue,
    Stored,
    Vocabulary,
    fold,
    is_count,
    is_empty,
    text_of,
    without_counted,
)
from marking.intake.numbers import (
    Asked,
    NumberReading,
    in_figures,
    is_bare_unit,
    plain_number,
    read_blank,
    read_compound,
    read_duration,
    read_number,
    read_statement,
    says_none_found,
)
from marking.intake.remarks import quote
from marking.write_up import Entry, Place, State
from rubrics.model import Item
from rubrics.patterns import late_pattern
from rubrics.units import Dimension, Unit, UnitReading, Verdict, define_unit, read_unit

_UNUSABLE = {
    Stored.DATE: "the spreadsheet changed what was typed into a date or a time",
    Stored.TRUTH: "true or false, not a number",
    Stored.ERROR: "an error of the spreadsheet, not an entry",
    Stored.STRUCK: "struck out",
    Stored.UNCALCULATED: "a formula without a result: open the file, save it and hand it in again",
}


_read_again = lru_cache(maxsize=8192)(read_number)
"""A class writes the same temperatures and p.d.s over and over."""


_NONE_FOUND = DASHES | {"none", "nil", "zero", "none found", "no plants"}
"""What a count of nothing looks like."""
_NOUGHTS = late_pattern("(?=.*[0-9])(?=.*O.*O)[+-]?[0-9O]+(?:[.,][0-9O]+)?")
"""1OO, O.5O: where a unit stands beside it, no O of it is an ohm or a ring. A single one at the end is asked about."""
_ONE_FIRST = late_pattern("(?<![^+-])l(?=[0-9]+[.,][0-9])")
"""l2.5: a letter for the figure one, unless something of the practical is called l."""
_OHM = define_unit("Ω")
_PRINTED_OHMS = late_pattern(r"[0-9]{1,4}(?:[.,][0-9]+)? ?R")
_LENGTH: Dimension = (1, 0, 0, 0, 0, 0, 0)
_SHORT = 60
"""Signs of a text that may be a number in words, or say that there is none."""
_MAY_BE_NONE = frozenset({"x", "absent", "abs", "ab", "✗", "×"})
"""Beside a count: none found, or nobody looked."""
_PLUS_MINUS = late_pattern(r"^\s*(±|\+\s*/?\s*[-−–])\s*")


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
        decimal_comma: True where the column, or the whole file, is known to write 20,5 for 20.5.
    """
    if not isinstance(value, str) or len(value) > _SHORT:
        return read_anew(value, unit, item, place, vocabulary, decimal_comma)
    key = (item.name, value, unit.field, unit.heading, unit.cell, unit.has_box, decimal_comma)
    return vocabulary.read_once(key, place, lambda: read_anew(value, unit, item, place, vocabulary, decimal_comma))


def read_anew(
    value: Field, unit: WrittenUnit, item: Item, place: Place, vocabulary: Vocabulary, decimal_comma: bool | None
) -> Entry:
    """Return what ``read_entry`` does, whether the same was read before or not."""
    if not isinstance(value, str) and value.stored not in (Stored.NUMBER, Stored.TEXT):
        return _unusable(value, unit, item, place)
    if item.is_words or item.name.startswith(WHY):
        return _words(text_of(value), item, place)
    plain = _plain_entry(value, unit, item, place, vocabulary) if isinstance(value, str) and not decimal_comma else None
    if plain is not None:
        return plain
    return read_number_entry(value, unit, item, place, vocabulary, decimal_comma)


def read_number_entry(
    value: Field, unit: WrittenUnit, item: Item, place: Place, vocabulary: Vocabulary, decimal_comma: bool | None
) -> Entry:
    """Return the entry of a cell for a number, by all that a number may be: plain ones are read in a shorter way."""
    near = vocabulary.unit_of(unit.typed, item)
    reading = _read(value, near, item, vocabulary, decimal_comma)
    written = Written(text=text_of(value).strip(), near=near, is_beside=not is_empty(unit.field), item=item)
    reading = doubt(reading, written)
    if reading.label or names_quantity(unit.typed, item):
        near = _without_letter(near, item, reading.label)
    if reading.state is State.BLANK:
        return Entry(
            raw=text_of(value),
            unit_raw=near.typed,
            state=State.BLANK,
            place=place,
            notes=reading.notes,
            is_declined=reading.is_declined,
        )
    if reading.state is State.UNREADABLE or reading.value is None:
        likely = f"; likely {' or '.join(reading.likely)}" if reading.likely else ""
        notes = (f"{reading.problem}{likely}", *unit_beside(unit, near).notes)
        ways = tuple(_of_number(value, way, unit, near, item, vocabulary, NOWHERE) for way in _ways(reading, item))
        return Entry(
            raw=text_of(value), unit_raw=near.typed, state=State.UNREADABLE, place=place, notes=notes, ways=ways
        )
    return _of_number(value, reading, unit, near, item, vocabulary, place)


def _ways(reading: NumberReading, item: Item) -> tuple[NumberReading, ...]:
    """Return the meanings of an answer of two, of which its student's figures may tell one; a reading stays open."""
    if item.formula is None or len(reading.ways) != 2:
        return ()
    return tuple(replace(way, notes=()) for way in reading.ways)


def _of_number(
    value: Field,
    reading: NumberReading,
    unit: WrittenUnit,
    near: UnitReading,
    item: Item,
    vocabulary: Vocabulary,
    place: Place,
) -> Entry:
    """Return the entry of a number that was read, with the unit behind it or the one *near*."""
    if reading.unit_text and reading.value is not None:
        mine = vocabulary.unit_of(reading.unit_text, item)
        # Minutes may well stand beside 2:30; the seconds are ours.
        beside = WrittenUnit(heading=unit.typed) if reading.is_in_parts else unit
        number = reading.value
        outcome = settle_unit(number, mine, beside, near, lambda one: in_limits(number, one, item))
    else:
        outcome = unit_beside(unit, near)
    return _entry(value, reading, outcome, place, has_unit_box=unit.is_asked_for)


def _plain_entry(value: str, unit: WrittenUnit, item: Item, place: Place, vocabulary: Vocabulary) -> Entry | None:
    """Return the entry of a few figures, alone or before a space and a unit; None where they may mean another thing."""
    figures, space, behind = value.partition(" ")
    plain = plain_number(figures)
    outcome = _around_plain(unit, behind, item, vocabulary) if plain is not None and (behind or not space) else None
    if plain is None or outcome is None:
        return None
    return Entry(
        raw=value,
        unit_raw=outcome.typed,
        state=State.NUMBER,
        place=place,
        value=plain[0],
        last_place=plain[1],
        unit=outcome.reading,
        has_unit_box=unit.is_asked_for,
        notes=outcome.notes,
    )


def _around_plain(unit: WrittenUnit, behind: str, item: Item, vocabulary: Vocabulary) -> UnitOutcome | None:
    """Return the unit beside plain figures, or the one *behind* them, that is the same whatever the figures are.

    None where they have to be read together.
    """
    key = (item.name, unit, behind)
    known = vocabulary.around_plain.get(key)
    if known is not None:
        return known[0] if isinstance(known[0], UnitOutcome) else None
    found = _behind_plain(unit, behind, item, vocabulary) if behind else _beside_plain(unit, item, vocabulary)
    vocabulary.around_plain.put(key, (found,))
    return found


def _beside_plain(unit: WrittenUnit, item: Item, vocabulary: Vocabulary) -> UnitOutcome | None:
    """Return the unit beside a plain number: it asks for nothing but to be read, and is doubted by nobody.

    None where it may mean another thing beside this unit: a power of ten, minutes and seconds.
    """
    near = vocabulary.unit_of(unit.typed, item)
    is_own = near.unit is not None and near.unit.factor == item.unit.factor
    if is_power_of_ten(near.unit) or (item.unit.dimension == TIME and not (is_own and near.typed.strip())):
        return None
    if names_quantity(unit.typed, item):
        near = _without_letter(near, item, "")
    return unit_beside(unit, near)


def _behind_plain(unit: WrittenUnit, behind: str, item: Item, vocabulary: Vocabulary) -> UnitOutcome | None:
    """Return the unit behind a plain number and a space, where none stands beside or above it; None as above."""
    near = vocabulary.unit_of(unit.typed, item)
    stands_alone = not near.typed.strip() and near.unit is None
    is_number = item.unit.is_pure_number or bool(item.counted)
    if not stands_alone or is_number or depends_on_figures(item) or not is_bare_unit(behind):
        return None
    outcome = settle_unit(1.0, vocabulary.unit_of(behind, item), unit, near, lambda _: True)
    return None if outcome.problem else outcome


def _entry(value: Field, reading: NumberReading, outcome: UnitOutcome, place: Place, *, has_unit_box: bool) -> Entry:
    raw = text_of(value)
    if outcome.problem:
        return Entry(raw=raw, unit_raw=outcome.typed, state=State.UNREADABLE, place=place, notes=(outcome.problem,))
    number, notes = reading.value, reading.notes
    if not isinstance(value, str):
        number, notes = _as_stored(value, reading)
    return Entry(
        raw=raw,
        unit_raw=outcome.typed,
        state=State.NUMBER,
        place=place,
        value=number,
        last_place=reading.last_place,
        is_fraction=reading.is_fraction,
        zeros_unknown=reading.is_fraction or (not isinstance(value, str) and value.zeros_unknown),
        uncertainty=reading.uncertainty,
        unit=outcome.reading,
        has_unit_box=has_unit_box,
        notes=(*notes, *outcome.notes) if outcome.notes else notes,
    )


def _read(
    value: Field, near: UnitReading, item: Item, vocabulary: Vocabulary, decimal_comma: bool | None
) -> NumberReading:
    text = text_of(value)
    text = without_counted(in_figures(text) if len(text) <= _SHORT else text, item)
    if item.uncertainty_of is not None:  # 'give ± 0.1 g': the sign belongs to the quantity
        text = _PLUS_MINUS.sub("", text)
    is_number = not isinstance(value, str) and value.stored is Stored.NUMBER
    if is_count(item) and (none := _none_of(text)) is not None:
        return none
    is_unit_beside = near.unit is not None and bool(near.typed.strip())
    if is_unit_beside and near.unit == _OHM and _PRINTED_OHMS.fullmatch(text.strip()):
        text = text.strip().removesuffix("R")  # 330R, as it is printed on a resistor
    typed, text = text, _in_figures(text, item, vocabulary, is_unit_beside=is_unit_beside)
    # A number cell is shown with a point, whatever the sheet's author is used to.
    comma = False if is_number else decimal_comma
    unit = near.unit or item.unit

    def read(part: str) -> NumberReading:
        if item.unit.dimension == TIME and not is_number:
            duration = read_duration(part)
            if duration.state is State.NUMBER:
                return duration
        if not is_number and (compound := read_compound(part, item.unit)) is not None:
            return compound
        return _read_number(part, unit, item, vocabulary, comma)

    reading = read(text)
    if text != typed:
        return replace(reading, notes=(f"read as {text.strip()} (a letter stood for a figure)", *reading.notes))
    if reading.state is State.UNREADABLE and not is_number:
        asked = asked_of(item, vocabulary, is_unit_beside=is_unit_beside)
        return read_statement(text, asked, read) or reading
    return reading


def _in_figures(text: str, item: Item, vocabulary: Vocabulary, *, is_unit_beside: bool) -> str:
    """Return *text* with figures for letters that nothing of the practical, and no unit, is called."""
    if not {"l", "O"} & set(text):
        return text
    asked = asked_of(item, vocabulary)
    if "l" not in asked.names | asked.others and item.unit.dimension != _LENGTH:
        text = _ONE_FIRST.sub("1", text)
    is_noughts = is_unit_beside and len(text) <= _SHORT and bool(_NOUGHTS.fullmatch(text.strip()))
    return text.replace("O", "0") if is_noughts else text


def _none_of(text: str) -> NumberReading | None:
    """Return the reading of a text that says, beside a count, that there was none, or may say so; None for others."""
    if len(text) > _SHORT:
        return None
    if fold(text) in _NONE_FOUND or says_none_found(text):
        return NumberReading(state=State.NUMBER, value=0.0, last_place=(0, 0), notes=(f"{quote(text)} read as 0",))
    if fold(text) in _MAY_BE_NONE:
        return NumberReading(state=State.UNREADABLE, problem="may be none found, or nothing counted")
    return None


def _read_number(text: str, near: Unit, item: Item, vocabulary: Vocabulary, comma: bool | None) -> NumberReading:
    limits = limits_in(near, item) if comma else None
    reading = _read_again(text, decimal_comma=comma, limits=limits)
    if len(reading.likely) > 1 and limits is None:
        reading = read_number(text, decimal_comma=comma, limits=limits_in(near, item))
    if not reading.unit_text or item.limits is None:
        return reading
    # The limits that settle an unclear comma are those of the unit typed with the number.
    own = vocabulary.unit_of(reading.unit_text, item).unit
    if own is None or own.symbol == near.symbol:
        return reading
    return read_number(text, decimal_comma=comma, limits=limits_in(own, item))


def asked_of(item: Item, vocabulary: Vocabulary, *, is_unit_beside: bool = False) -> Asked:
    """Return what an entry for *item*, one of the vocabulary's, is read for."""
    return Asked(
        unit=item.unit,
        also=item.recorded_in,
        names=frozenset(map(fold, (item.name, item.symbol))),
        others=vocabulary.names_of_others(item),
        is_unit_beside=is_unit_beside,
    )


def _without_letter(near: UnitReading, item: Item, label: str) -> UnitReading:
    """Return the reading of no unit where only the letter of the quantity stands there: R beside a resistance."""
    if fold(near.typed) != fold(label) and not names_quantity(near.typed, item):
        return near
    if not near.typed.strip() or item.unit.is_pure_number:
        return near
    note = f"{quote(near.typed.strip())} is the quantity, not its unit"
    return UnitReading(typed=near.typed, verdict=Verdict.MISSING, unit=None, note=note)


def names_quantity(typed: str, item: Item) -> bool:
    """Tell whether a unit box holds the letter or the name of the quantity, which is no unit of it."""
    word = fold(typed)
    is_letter = typed.strip() == item.symbol and read_unit(typed, item.unit).verdict is not Verdict.ACCEPT
    return bool(word) and (is_letter or word == fold(item.quantity))


def _as_stored(value: SheetValue, reading: NumberReading) -> tuple[float | None, tuple[str, ...]]:
    # A cell shows a rounded value; what is stored is what the sheet's own formulas went on with.
    notes = (value.remark,) if value.remark else ()
    if value.stored is Stored.NUMBER and value.number is not None and reading.unit_text != "%":
        return value.number, notes
    return reading.value, (*reading.notes, *notes)


def _words(text: str, item: Item, place: Place) -> Entry:
    # Elsewhere an x says that nothing was given; in a cell for a tick it is one of the words that are asked for.
    is_offered = fold(text) in {fold(choice.word) for choice in item.choices}
    reading = read_blank(text)
    if reading is not None and not is_offered:
        return Entry(raw=text, unit_raw="", state=State.BLANK, place=place, notes=reading.notes)
    return Entry(raw=text, unit_raw="", state=State.WORDS, place=place)


def _unusable(value: SheetValue, unit: WrittenUnit, item: Item, place: Place) -> Entry:
    if item.is_words and value.stored is Stored.TRUTH:
        return Entry(raw=value.text, unit_raw="", state=State.WORDS, place=place)
    if value.stored is Stored.DATE and item.unit.dimension == TIME:
        problem = read_duration(value.text).problem
        note = f"{_UNUSABLE[Stored.DATE]}; {problem}"
        return Entry(raw=value.text, unit_raw=unit.typed, state=State.UNREADABLE, place=place, notes=(note,))
    note = _UNUSABLE.get(value.stored) or f"{value.remark}, so whose it is, is not sure"
    return Entry(raw=value.text, unit_raw=unit.typed, state=State.UNREADABLE, place=place, notes=(note,))
