"""Which column is which: a sheet's heading row, found by what it says and never by where it stands."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

from marking.intake.grids.grid import Field, Grid, text_of
from marking.intake.grids.item_names import MAX_HEADING, Vocabulary, fold, strip_hidden

MAX_COLUMNS = 300
"""More columns than any results sheet has; what stands beyond is no heading."""
SEARCHED_ROWS = 20
"""A title, a date and some instructions may stand above the headings, but no more than that."""
_ROW_NUMBER = re.compile(r"^(?P<name>.+?)[\s_,]*\(?row[\s_]*(?P<row>\d{1,3})\)?$", re.IGNORECASE)
_NUMBERED = re.compile(r"^(?P<name>[^\W\d_]+)[ _]?(?P<row>\d{1,2})(?P<unit>\s*[/(\[].*)?$")
"""L1, V 2 (V): a table written across, one column for each of its rows."""
_UNIT_OF = (
    re.compile(r"^(?P<name>.+?)[\s_.]*\(?units?\)?$", re.IGNORECASE),
    re.compile(r"^units?[\s_]+(?:of|for)[\s_]+(?P<name>.+)$", re.IGNORECASE),
)
_BARE_UNIT = frozenset({"unit", "units"})


class Meaning(StrEnum):
    """What a column holds."""

    STUDENT = "student"
    NAME = "name"
    FIRST_NAME = "first name"
    SURNAME = "surname"
    BENCH = "bench"
    ABSENT = "absent"
    PAPER = "paper"
    MARK_CODE = "mark code"
    MATERIAL = "material"
    PRACTICAL = "practical"
    ROW = "row"
    VALUE = "value"
    UNIT = "unit"
    UNKNOWN = ""


PEOPLE_WORDS = {
    "student": Meaning.STUDENT,
    "student code": Meaning.STUDENT,
    "pupil": Meaning.STUDENT,
    "pupil code": Meaning.STUDENT,
    "pupil number": Meaning.STUDENT,
    "pupil no.": Meaning.STUDENT,
    "pupil id": Meaning.STUDENT,
    "pupil name": Meaning.NAME,
    "learner": Meaning.STUDENT,
    "first name": Meaning.FIRST_NAME,
    "forename": Meaning.FIRST_NAME,
    "given name": Meaning.FIRST_NAME,
    "surname": Meaning.SURNAME,
    "last name": Meaning.SURNAME,
    "family name": Meaning.SURNAME,
    "student id": Meaning.STUDENT,
    "student number": Meaning.STUDENT,
    "code": Meaning.STUDENT,
    "candidate": Meaning.STUDENT,
    "student no.": Meaning.STUDENT,
    "candidate number": Meaning.STUDENT,
    "candidate no.": Meaning.STUDENT,
    "candidate code": Meaning.STUDENT,
    "name": Meaning.NAME,
    "student name": Meaning.NAME,
    "full name": Meaning.NAME,
    "bench": Meaning.BENCH,
    "bench number": Meaning.BENCH,
    "station": Meaning.BENCH,
    "absent": Meaning.ABSENT,
    "paper": Meaning.PAPER,
    "reader": Meaning.PAPER,
    "mark code": Meaning.MARK_CODE,
    "mark codes": Meaning.MARK_CODE,
    "practical": Meaning.PRACTICAL,
    "row": Meaning.ROW,
    "row number": Meaning.ROW,
    "reading number": Meaning.ROW,
}
"""Headings, folded, of the columns that are about no item."""

WHO = (Meaning.STUDENT, Meaning.NAME, Meaning.FIRST_NAME, Meaning.SURNAME)
STUDENT_WORDS = frozenset(word for word, meaning in PEOPLE_WORDS.items() if meaning in WHO)
"""Headings, folded, by which a heading line is told from a title."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
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


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadingRow:
    """The headings of a sheet."""

    row: int
    headings: tuple[Heading, ...]
    """In the order of the columns; doubles among them, and columns that nobody knows."""
    doubled: tuple[Heading, ...]
    """Headings that say the same as another; none of them is used."""

    @property
    def used(self) -> tuple[Heading, ...]:
        """Return the headings that are understood and stand once."""
        return tuple(h for h in self.headings if h.meaning is not Meaning.UNKNOWN and h not in self.doubled)

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
        has_items = any(heading.meaning is Meaning.VALUE for heading in found.headings)
        if has_items and (best is None or len(found.used) > len(best.used)):
            best = found
    return best


def _names_student(fields: Mapping[int, Field], mapped: Mapping[str, str]) -> bool:
    words = [fold(text_of(value)[:MAX_HEADING]) for value in fields.values()]
    return any(fold(mapped.get(word, word)) in STUDENT_WORDS for word in words)


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
    settled = tuple(_settle_bare_units(_settle_people(headings), vocabulary))
    known = [heading for heading in settled if heading.meaning is not Meaning.UNKNOWN]
    counts: Counter[tuple[Meaning, str, int | None]] = Counter((h.meaning, h.item, h.row) for h in known)
    texts = Counter(fold(h.text) for h in settled)
    doubled = tuple(
        h
        for h in settled
        if (counts[h.meaning, h.item, h.row] > 1) or (h.meaning is Meaning.UNKNOWN and texts[fold(h.text)] > 1)
    )
    return HeadingRow(row=row, headings=settled, doubled=doubled)


def _heading(column: int, text: str, said: str, vocabulary: Vocabulary) -> Heading:
    person = PEOPLE_WORDS.get(fold(said))
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
    ranks = {word: rank for rank, word in enumerate(PEOPLE_WORDS)}
    best: dict[Meaning, int] = {}
    for heading in headings:
        if fold(heading.text) in ranks:
            rank = ranks[fold(heading.text)]
            best[heading.meaning] = min(rank, best.get(heading.meaning, rank))
    return [
        replace(h, meaning=Meaning.UNKNOWN)
        if h.meaning in best and ranks.get(fold(h.text), best[h.meaning]) > best[h.meaning]
        else h
        for h in headings
    ]


def _numbered(match: re.Match[str], vocabulary: Vocabulary) -> tuple[str, int | None, str] | None:
    """Return what L1 names: one of the repeats of L, else row 1 of the column L; None where neither is there."""
    unit = match["unit"] or ""
    repeat = vocabulary.item_called(f"{match['name']}_{match['row']}{unit}")
    if repeat is not None:
        return repeat.item.name, None, repeat.unit
    named = vocabulary.item_called(f"{match['name']}{unit}")
    if named is None or named.item.table is None or not int(match["row"]):
        return None
    return named.item.name, int(match["row"]), named.unit


def _item_and_row(text: str, vocabulary: Vocabulary) -> tuple[str, int | None, str] | None:
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
