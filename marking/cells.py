"""Cells: where one stands, what it holds, and how cells are kept that nobody has asked for yet.

In a large set the same text stands in thousands of cells: it is understood once, and what one student wrote is a table
of references to what was understood, each with its line. An ``Entry`` of its own, with its place, is made where one is
asked for, which for most cells is never.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from enum import StrEnum
from typing import Generic, TypeVar

from msgspec import Struct
from msgspec.structs import replace

from rubrics.units import UnitReading

Key = TypeVar("Key", bound=Hashable)


class Place(Struct, frozen=True, kw_only=True):
    """Where an entry stood."""

    file: str
    sheet: str
    """Empty for a CSV file."""
    cell: str
    """As a spreadsheet would show it, e.g. D7; for CSV too."""

    def __str__(self) -> str:
        """Return file, sheet and cell, e.g. '7B.xlsx, Results!D7'."""
        return f"{self.file}, {self.sheet}!{self.cell}" if self.sheet else f"{self.file}, {self.cell}"


class State(StrEnum):
    """What a cell turned out to hold."""

    NUMBER = "number"
    WORDS = "words"
    """Text where the item asks for words (a choice, a conclusion)."""
    BLANK = "blank"
    """Nothing, a dash, 'n/a': not given, and not a zero."""
    UNREADABLE = "unreadable"
    """Something was written that cannot be used as it stands: for the teacher."""


class Entry(Struct, frozen=True, kw_only=True):
    """One cell of a write-up."""

    raw: str
    """Exactly as written, trailing zeros and unit included."""
    unit_raw: str
    """The unit exactly as written, whether beside the number or in a column of its own; may be empty."""
    state: State
    place: Place
    value: float | None = None
    """The number, in the unit that was written (or, where none was, in the unit of the item); else None."""
    last_place: tuple[int, int] | None = None
    """Power of ten of the last significant digit: (finest, coarsest) reading of the text.

    '0.50' is (-2, -2); '9.97e2' is (0, 0); '1000' is (0, 3), for its zeros may or may not count.
    None unless the state is NUMBER.
    """
    zeros_unknown: bool = False
    """True where a spreadsheet has thrown trailing zeros away: significant figures cannot be told."""
    is_fraction: bool = False
    """True where it was written as 18½ or 1/5, which has neither decimal places nor significant figures."""
    is_declined: bool = False
    """True for a blank that says so: '?', 'I don't know', a struck-out entry. No later answer proves such a step."""
    uncertainty: float | None = None
    """The plus-or-minus that was written with the number, in the same unit."""
    unit: UnitReading | None = None
    """How the unit was understood; None where the item has no unit to read (words)."""
    has_unit_box: bool = False
    """Whether a box of its own was there for the unit: what is not in it was asked for and not written."""
    notes: tuple[str, ...] = ()
    """What the reader did to the text, e.g. 'read as 20.5 (decimal comma)'; for the teacher's list."""
    ways: tuple[Entry, ...] = ()
    """Of an unreadable answer, 25,960, the same read with each meaning of its marks: what it follows from may tell."""

    def at(self, place: Place) -> Entry:
        """Return what another cell holds in which the very same is written."""
        return replace(self, place=place)


NOWHERE = Place(file="", sheet="", cell="")
"""Where an entry stands that stands for all cells with one and the same text."""


class Column(Struct, frozen=True):
    """The column of a file in which the entries stand."""

    file: str
    sheet: str
    letters: str

    def place(self, line: int) -> Place:
        """Return where the entry of a line stands."""
        return Place(file=self.file, sheet=self.sheet, cell=f"{self.letters}{line}")


class ReadCell(Struct, frozen=True, kw_only=True):
    """What some text was understood as, as a cell of one item, whoever wrote it."""

    entry: Entry
    """Without its place."""
    is_plain: bool
    """Whether settling what the student handed in neither changes it nor changes others by it, units apart."""
    is_noted: bool
    """Whether something was done to the text of which the teacher is told."""
    lacks_unit: bool
    """Whether it would take the unit of its column, if that has one."""
    has_unit: bool
    """Whether it could give its unit to a column."""
    is_simple: bool
    """Whether it is plain, nobody is told of it, and it lacks nothing."""


Located = tuple[ReadCell, int]
"""A cell and its line."""


class AsRead(Mapping[Key, Entry], Generic[Key]):
    """Entries of one student, made when they are asked for; equal to a dict of the same entries."""

    __slots__ = ("_cells", "_made", "_pairs", "column")

    def __init__(self, cells: Mapping[Key, Located], column: Column) -> None:
        """Make nothing yet."""
        self._cells, self.column = cells, column
        self._made: dict[Key, Entry] = {}
        self._pairs: list[tuple[Key, Entry]] | None = None

    def __getitem__(self, key: Key) -> Entry:
        """Return the entry, always the same one."""
        made = self._made.get(key)
        if made is None:
            cell, line = self._cells[key]
            made = self._made[key] = cell.entry.at(self.column.place(line))
        return made

    def get(self, key: Key, default: Entry | None = None) -> Entry | None:  # type: ignore[override]
        """Return the entry, or *default* where there is none."""
        made = self._made.get(key)
        if made is not None:
            return made
        found = self._cells.get(key)
        if found is None:
            return default
        made = self._made[key] = found[0].entry.at(self.column.place(found[1]))
        return made

    def pairs(self) -> list[tuple[Key, Entry]]:
        """Return all keys and entries, in order; always the same list, which nobody changes."""
        if self._pairs is None:
            self._pairs = [(key, self[key]) for key in self._cells]
        return self._pairs

    def __iter__(self) -> Iterator[Key]:
        """Yield the keys, in their order."""
        return iter(self._cells)

    def __len__(self) -> int:
        """Return how many entries there are."""
        return len(self._cells)

    def __contains__(self, key: object) -> bool:
        """Tell whether there is such an entry, without making it."""
        return key in self._cells

    def __repr__(self) -> str:
        """Return it as the dict that it stands for."""
        return repr(dict(self))

    def unplaced(self) -> Iterator[Entry]:
        """Yield the entries in order without their places, the same object for the same text; none is made."""
        return (cell.entry for cell, _ in self._cells.values())

    def unplaced_pairs(self) -> list[tuple[Key, Entry]]:
        """Return the same with their keys."""
        return [(key, cell.entry) for key, (cell, _) in self._cells.items()]

    def unplaced_at(self, key: Key) -> Entry | None:
        """Return one of them without its place; None where there is none."""
        found = self._cells.get(key)
        return None if found is None else found[0].entry

    def cells(self) -> list[ReadCell]:
        """Return what they are made of, in order, the same object for the same text."""
        return [cell for cell, _ in self._cells.values()]

    def located(self, key: Key) -> Located:
        """Return what an entry is made of."""
        return self._cells[key]


def unplaced(entries: Mapping[str, Entry] | Mapping[int, Entry]) -> Iterable[Entry]:
    """Return entries for whoever does not ask where they stand, the same object for the same text if it can be."""
    return entries.unplaced() if isinstance(entries, AsRead) else entries.values()


def unplaced_at(entries: Mapping[Key, Entry], key: Key) -> Entry | None:
    """Return one of them; None where there is none."""
    return entries.unplaced_at(key) if isinstance(entries, AsRead) else entries.get(key)


def unmade(entries: Mapping[Key, Entry]) -> Sequence[Entry | ReadCell]:
    """Return entries, or what they are made of where they are not made, the same object for the same text if it can be.

    ``entry_of`` tells the entry of either.
    """
    return entries.cells() if isinstance(entries, AsRead) else list(entries.values())


def entry_of(one: Entry | ReadCell) -> Entry:
    """Return the entry, for whoever does not ask where it stands."""
    return one.entry if isinstance(one, ReadCell) else one


def unplaced_in_rows(column: Mapping[int, Entry]) -> list[tuple[int, Entry]]:
    """Return the entries of a column with their rows, from the top, for whoever does not ask where they stand."""
    return column.unplaced_pairs() if isinstance(column, AsRead) else sorted(column.items())


def in_rows(column: Mapping[int, Entry]) -> list[tuple[int, Entry]]:
    """Return the entries of a column with their rows, from the top."""
    return column.pairs() if isinstance(column, AsRead) else sorted(column.items())
