"""Entries as they come in, sorted by student, before anything is decided about doubles."""

from __future__ import annotations

from msgspec import Struct, field

from marking.write_up import Entry, MarkCode, Place, State

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
    entries: dict[Slot, Entry] = field(default_factory=dict)
    doubles: dict[Slot, list[Entry]] = field(default_factory=dict)
    """Further entries for a slot that was filled already, in order."""

    def add(self, item: str, row: int, entry: Entry) -> None:
        """Put an entry in its slot; a blank never counts against what was written elsewhere."""
        slot = (item, row)
        first = self.entries.get(slot)
        if first is None or (first.state is State.BLANK and entry.state is not State.BLANK):
            self.entries[slot] = entry
        elif first.state is not State.BLANK and entry.state is not State.BLANK:
            self.doubles.setdefault(slot, []).append(entry)

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


class Pile(Struct):
    """All sheaves of one practical, in order of first appearance."""

    sheaves: dict[str, Sheaf] = field(default_factory=dict)

    def sheaf(self, code: str, place: Place) -> Sheaf:
        """Return the sheaf of *code*, a new one where it is seen for the first time."""
        found = self.sheaves.get(code)
        if found is None:
            found = self.sheaves[code] = Sheaf(code=code, place=place)
        return found
