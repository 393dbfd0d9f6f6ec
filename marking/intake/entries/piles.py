"""Entries as they come in, sorted by student, before anything is decided about doubles."""

from __future__ import annotations

from collections.abc import Mapping
from operator import itemgetter

from msgspec import Struct, field

from marking.cells import AsRead, Column, Entry, Located, Place, ReadCell, State
from marking.write_up import MarkCode

SINGLE = 0
"""Stands for the row of an item that is written once; rows of a table count from 1."""
Slot = tuple[str, int]
"""Name of an item and its row."""


class Sheaf(Struct, kw_only=True):
    """What one code has handed in for one practical."""

    code: str
    """As first typed."""
    place: Place
    """Where the code first stood."""
    name: str = ""
    bench: str = ""
    absent: bool = False
    codes: tuple[str, ...] = ()
    """Mark codes that its rows give."""
    other_benches: dict[str, None] = field(default_factory=dict)
    row_places: list[Place] = field(default_factory=list)
    """Where the code stands in sheets with one row a student; more than one place is a double."""
    doubles: dict[Slot, list[Entry]] = field(default_factory=dict)
    """Further entries for a slot that was filled already, in order."""
    is_noted: bool = False
    """Whether the teacher is told of any cell that has not been placed."""
    _placed: dict[Slot, Entry] = field(default_factory=dict)
    _read: dict[str, dict[int, Located]] = field(default_factory=dict)
    """By item and row, what is not placed yet: all of it or nothing."""
    _column: Column | None = None
    """Where that stands."""
    _is_plain: bool = True
    _lacking: tuple[str, ...] = ()
    """Items of which a cell lacks its unit."""

    @property
    def entries(self) -> dict[Slot, Entry]:
        """Return all entries in the order in which they were met, each with its place."""
        if self._read and self._column is not None:
            cells = [(line, name, row, cell) for name, rows in self._read.items() for row, (cell, line) in rows.items()]
            cells.sort(key=itemgetter(0))
            self._read = {}
            for line, name, row, cell in cells:
                self._placed[name, row] = cell.entry.at(self._column.place(line))
        return self._placed

    def add(self, item: str, row: int, entry: Entry) -> None:
        """Put an entry in its slot; a blank never counts against what was written elsewhere."""
        slot = (item, row)
        entries = self.entries
        first = entries.get(slot)
        if first is None or (first.state is State.BLANK and entry.state is not State.BLANK):
            entries[slot] = entry
        elif first.state is not State.BLANK and entry.state is not State.BLANK:
            self.doubles.setdefault(slot, []).append(entry)

    def put(self, item: str, row: int, cell: ReadCell, line: int, column: Column) -> None:
        """Put a cell in its slot, whose place is asked for later; the lines of one column come from the top down."""
        if column is not self._column:
            self._begin(column)
        if not self._placed:
            rows = self._read.get(item)
            if rows is None:
                self._read[item] = {row: (cell, line)}
            elif row not in rows:
                rows[row] = (cell, line)
            else:
                self.add(item, row, cell.entry.at(column.place(line)))
                return
            if not cell.is_simple:
                self._note(item, cell)
            return
        self.add(item, row, cell.entry.at(column.place(line)))

    def _begin(self, column: Column) -> None:
        if self._read:
            _ = self.entries
        self._column = column

    def _note(self, item: str, cell: ReadCell) -> None:
        self._is_plain = self._is_plain and cell.is_plain
        self.is_noted = self.is_noted or cell.is_noted
        if cell.lacks_unit:
            self._lacking += (item,)

    def plain(self) -> Mapping[str, AsRead[int]] | None:
        """Return what was read by item and row, where nothing of it has to be settled; None where something has."""
        column = self._column
        if column is None or self._placed or self.doubles or not self._is_plain:
            return None
        if any(cell.has_unit for item in self._lacking for cell, _ in self._read[item].values()):
            return None
        return {name: AsRead(_from_the_top(rows), column) for name, rows in self._read.items()}

    def add_person(self, *, name: str = "", bench: str = "", absent: bool = False) -> None:
        """Note what a line says of the student; the first name and the first bench count."""
        self.name = self.name or name
        if bench and self.bench and bench != self.bench:
            self.other_benches.setdefault(bench)
        self.bench = self.bench or bench
        self.absent = self.absent or absent

    def add_codes(self, codes: tuple[str, ...]) -> None:
        """Note the mark codes of a row, each once."""
        self.codes = tuple(dict.fromkeys((*self.codes, *codes)))
        self.absent = self.absent or MarkCode.ABSENT in codes

    def take(self, other: Sheaf) -> None:
        """Add everything of another sheaf that turned out to be the same student's."""
        self.add_person(name=other.name, bench=other.bench, absent=other.absent)
        self.add_codes(other.codes)
        self.row_places += other.row_places
        for (item, row), entry in other.entries.items():
            self.add(item, row, entry)
        for slot, entries in other.doubles.items():
            self.doubles.setdefault(slot, []).extend(entries)

    def shares_slots_with(self, other: Sheaf) -> bool:
        """Tell whether both have written something for one and the same slot."""
        mine = {slot for slot, entry in self.entries.items() if entry.state is not State.BLANK}
        return any(slot in mine and entry.state is not State.BLANK for slot, entry in other.entries.items())


def _from_the_top(rows: dict[int, Located]) -> dict[int, Located]:
    """Return cells by row in the order of the rows, in which most are written down."""
    if len(rows) == 1:
        return rows
    ordered = sorted(rows)
    return rows if ordered == list(rows) else {row: rows[row] for row in ordered}


class Pile(Struct):
    """All sheaves of one practical, in order of first appearance."""

    sheaves: dict[str, Sheaf] = field(default_factory=dict)

    def sheaf(self, code: str, place: Place) -> Sheaf:
        """Return the sheaf of *code*, a new one where it is seen for the first time."""
        found = self.sheaves.get(code)
        if found is None:
            found = self.sheaves[code] = Sheaf(code=code, place=place)
        return found
