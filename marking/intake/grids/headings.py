"""Which column is which: a sheet's heading row, found by what it says and never by where it stands."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping

from msgspec import Struct
from msgspec.structs import replace

from marking.intake.grids.bands import under_bands
from marking.intake.grids.grid import Field, Grid, text_of
from marking.intake.grids.item_names import MAX_HEADING, Vocabulary, fold, strip_hidden
from marking.intake.grids.people_words import WEAK, WHO, Meaning, names_student, person_called, rank_of
from rubrics.patterns import late_pattern

MAX_COLUMNS = 300
"""More columns than any results sheet has; what stands beyond is no heading."""
SEARCHED_ROWS = 20
"""A title, a date and some instructions may stand above the headings, but no more than that."""
_ROW_NUMBER = late_pattern(r"^(?P<name>.+?)[\s_,]*\(?row[\s_]*(?P<row>\d{1,3})\)?$", re.IGNORECASE)
_NUMBERED = late_pattern(r"^(?P<name>[^\W\d_]+)[ _]?(?P<row>\d{1,2})(?P<unit>\s*[/(\[].*)?$")
"""L1, V 2 (V): a table written across, one column for each of its rows."""
_TURN = "(?:reading|trial|run|repeat|attempt|measurement|row)"
_NUMBERED_IN_WORDS = (
    late_pattern(rf"{_TURN} ?#?(?P<row>[0-9]{{1,2}}) ?[:,-]? ?(?P<name>.+)", re.IGNORECASE),
    late_pattern(rf"(?P<name>.+?) ?[:,-]? ?(?:{_TURN} ?#?|#)(?P<row>[0-9]{{1,2}})", re.IGNORECASE),
    late_pattern(r"(?P<name>.+?) ?[(\[](?P<row>[0-9]{1,2})[)\]]"),
)
"""V reading 1, Reading 1 V, V #1, V (1), V / V (1)."""
_UNIT_BEHIND = late_pattern(r"(?P<name>[^/(\[]+?)(?P<unit> ?[/(\[].*)")
_UNIT_OF = (
    late_pattern(r"^(?P<name>.+?)[\s_.]*\(?units?\)?$", re.IGNORECASE),
    late_pattern(r"^units?[\s_]+(?:of|for)[\s_]+(?P<name>.+)$", re.IGNORECASE),
)
_BARE_UNIT = frozenset({"unit", "units"})


class Heading(Struct, frozen=True, kw_only=True):
    """One column's heading, understood."""

    column: int
    text: str
    """As typed."""
    meaning: Meaning
    item: str = ""
    """Name of the item of a value or unit column."""
    row: int | None = None
    """Row of a table that the column holds for every student, where its heading says so."""
    unit: str = ""
    """The unit that the heading gives, as typed."""

    @property
    def is_untidy(self) -> bool:
        """Tell whether stray spaces, line ends or hidden signs had to be passed over to read it."""
        return self.text != self.text.strip() or strip_hidden(self.text) != self.text or "\n" in self.text


class HeadingRow(Struct, frozen=True, kw_only=True):
    """The headings of a sheet."""

    row: int
    headings: tuple[Heading, ...]
    """In the order of the columns; doubles among them, and columns that nobody knows."""
    doubled: tuple[Heading, ...]
    """Headings that say the same as another; none of them is used."""
    used: tuple[Heading, ...]
    """Those that are understood and stand once."""

    def column_of(self, meaning: Meaning) -> int | None:
        """Return the column with that meaning; None where there is none."""
        return next((heading.column for heading in self.used if heading.meaning is meaning), None)

    @property
    def code_column(self) -> int | None:
        """Return the column by which a row's student is known: a code, else a name, else a part of one."""
        return next((column for meaning in WHO if (column := self.column_of(meaning)) is not None), None)

    @property
    def values(self) -> tuple[Heading, ...]:
        """Return the columns that hold entries."""
        return tuple(heading for heading in self.used if heading.meaning is Meaning.VALUE)

    def unit_column(self, value: Heading) -> int | None:
        """Return the column of the units of a value column."""
        for heading in self.used:
            if heading.meaning is Meaning.UNIT and (heading.item, heading.row) == (value.item, value.row):
                return heading.column
        return None

    @property
    def last_column(self) -> int:
        """Return the number of the last column with a heading."""
        return self.headings[-1].column


def find_headings(
    grid: Grid, vocabulary: Vocabulary, mapped: Mapping[str, str], *, needs_student: bool = True
) -> HeadingRow | None:
    """Return the row whose cells name most columns; None where none names an item and, if need be, a student."""
    best: HeadingRow | None = None
    for row in list(grid.filled_rows())[:SEARCHED_ROWS]:
        fields = dict(sorted(grid.rows[row].items())[:MAX_COLUMNS])
        if needs_student and not _names_student(fields, mapped):
            continue
        found = read_headings(fields, row, vocabulary, mapped)
        if found.doubled:
            open_still = [h.column for h in found.headings if h in found.doubled or h.meaning is Meaning.UNKNOWN]
            told_apart = under_bands(grid, row, open_still, vocabulary)
            found = read_headings({**fields, **told_apart}, row, vocabulary, mapped) if told_apart else found
        has_items = any(heading.meaning is Meaning.VALUE for heading in found.headings)
        if has_items and (best is None or len(found.used) > len(best.used)):
            best = found
    return best


def _names_student(fields: Mapping[int, Field], mapped: Mapping[str, str]) -> bool:
    words = [fold(text_of(value)[:MAX_HEADING]) for value in fields.values()]
    return any(names_student(fold(mapped.get(word, word))) for word in words)


def read_headings(
    fields: Mapping[int, Field], row: int, vocabulary: Vocabulary, mapped: Mapping[str, str]
) -> HeadingRow:
    """Return what the fields of one row mean as headings.

    Args:
        fields: Column number to field.
        row: Number of the row.
        vocabulary: The names of the practical's items.
        mapped: Headings that the teacher has given a meaning, folded, to an item name or a word such as 'student'.
    """
    headings = []
    for column in sorted(fields):
        text = text_of(fields[column])
        headings.append(_heading(column, text, mapped.get(fold(text), text), vocabulary))
    headings = _settle_ticks(headings, vocabulary)
    settled = tuple(_settle_bare_units(_settle_people(headings), vocabulary))
    known = [heading for heading in settled if heading.meaning is not Meaning.UNKNOWN]
    counts: Counter[tuple[Meaning, str, int | None]] = Counter((h.meaning, h.item, h.row) for h in known)
    texts = Counter(fold(h.text) for h in settled)
    doubled = tuple(
        h
        for h in settled
        if (counts[h.meaning, h.item, h.row] > 1) or (h.meaning is Meaning.UNKNOWN and texts[fold(h.text)] > 1)
    )
    used = tuple(h for h in settled if h.meaning is not Meaning.UNKNOWN and h not in doubled)
    return HeadingRow(row=row, headings=settled, doubled=doubled, used=used)


def _settle_ticks(headings: list[Heading], vocabulary: Vocabulary) -> list[Heading]:
    """Return the headings, V1 taken as row 1 of V and not as the criterion V1 where it stands beside L1 and V2."""
    rows = {heading.row for heading in headings if heading.row is not None}
    settled = []
    for heading in headings:
        match = _NUMBERED.match(heading.text.strip()) if rows and heading.row is None and heading.item else None
        named = _numbered(match, vocabulary) if match else None
        is_row = named is not None and named[1] in rows and vocabulary.rubric.items[heading.item].is_words
        if named is not None and is_row:
            heading = replace(heading, item=named[0], row=named[1], unit=named[2])
        settled.append(heading)
    return settled


def _heading(column: int, text: str, said: str, vocabulary: Vocabulary) -> Heading:
    person = person_called(fold(said))
    if person is not None and said not in vocabulary.rubric.items:
        return Heading(column=column, text=text, meaning=person)
    if fold(said) in _BARE_UNIT:
        return Heading(column=column, text=text, meaning=Meaning.UNIT)
    direct = vocabulary.item_called(said)
    if direct is not None:
        return Heading(
            column=column,
            text=text,
            meaning=Meaning.VALUE,
            item=direct.item.name,
            unit=direct.unit,
        )
    for pattern in _UNIT_OF:
        match = pattern.match(said.strip())
        named = _item_and_row(match["name"], vocabulary) if match else None
        if named is not None:
            return Heading(column=column, text=text, meaning=Meaning.UNIT, item=named[0], row=named[1])
    numbered = _item_and_row(said.strip(), vocabulary)
    if numbered is not None:
        return Heading(
            column=column, text=text, meaning=Meaning.VALUE, item=numbered[0], row=numbered[1], unit=numbered[2]
        )
    return Heading(column=column, text=text, meaning=Meaning.UNKNOWN)


def _settle_people(headings: list[Heading]) -> list[Heading]:
    # 'student' beside 'candidate number': the plainer word is the code, the other is a column like any other.
    people = [heading for heading in headings if person_called(fold(heading.text)) is heading.meaning]
    ranks = {heading.column: rank_of(fold(heading.text)) for heading in people}
    best: dict[Meaning, int] = {}
    for heading in people:
        best[heading.meaning] = min(ranks[heading.column], best.get(heading.meaning, ranks[heading.column]))
    # An address or initials say who it is only where nothing better does.
    has_better = any(best.get(meaning, WEAK) < WEAK for meaning in WHO)

    def is_settled(heading: Heading) -> bool:
        rank = ranks.get(heading.column, 0)
        is_best = heading.meaning not in best or rank <= best[heading.meaning]
        return is_best and not (rank >= WEAK and has_better)

    return [heading if is_settled(heading) else replace(heading, meaning=Meaning.UNKNOWN) for heading in headings]


def _numbered(match: re.Match[str], vocabulary: Vocabulary) -> tuple[str, int | None, str] | None:
    return _numbered_as(match["name"], int(match["row"]), match["unit"] or "", vocabulary)


def _numbered_as(name: str, row: int, unit: str, vocabulary: Vocabulary) -> tuple[str, int | None, str] | None:
    """Return what L1 names: an item of that name, else row 1 of the column L; None where neither is there."""
    repeat = vocabulary.item_called(f"{name}_{row}{unit}")
    # The very name of an item, v_1 beside v_2, is never row 1 of another.
    if repeat is not None and (repeat.item.repeat_of or repeat.item.name == f"{name}_{row}"):
        return repeat.item.name, None, repeat.unit
    named = vocabulary.item_called(f"{name}{unit}")
    if named is None or named.item.table is None or not row:
        return (repeat.item.name, None, repeat.unit) if repeat is not None else None
    return named.item.name, row, named.unit


def _item_and_row(text: str, vocabulary: Vocabulary) -> tuple[str, int | None, str] | None:
    for pattern in _NUMBERED_IN_WORDS:
        if (said := pattern.fullmatch(text)) and vocabulary.item_called(said["name"]) is not None:
            parted = _UNIT_BEHIND.fullmatch(said["name"])
            name, unit = (parted["name"], parted["unit"]) if parted else (said["name"], "")
            found = _numbered_as(name, int(said["row"]), unit, vocabulary)
            if found is not None:
                return found
    match = _ROW_NUMBER.match(text)
    if match is None and (numbered := _NUMBERED.match(text)):
        return _numbered(numbered, vocabulary)
    named = vocabulary.item_called(match["name"] if match else text)
    if named is None or (match is not None and named.item.table is None):
        return None
    return named.item.name, int(match["row"]) if match else None, named.unit


def _settle_bare_units(headings: list[Heading], vocabulary: Vocabulary) -> list[Heading]:
    # One column headed 'unit' goes with the final answer; several go each with the column to their left.
    bare = [h for h in headings if h.meaning is Meaning.UNIT and not h.item]
    result = vocabulary.rubric.result
    final = next((h for h in headings if h.meaning is Meaning.VALUE and result and h.item == result.answer), None)
    settled = []
    for position, heading in enumerate(headings):
        if heading not in bare:
            settled.append(heading)
            continue
        left = headings[position - 1] if position else None
        owner = final if len(bare) == 1 and final is not None else left
        if owner is None or owner.meaning is not Meaning.VALUE:
            settled.append(replace(heading, meaning=Meaning.UNKNOWN))
            continue
        settled.append(replace(heading, item=owner.item, row=owner.row))
    return settled
