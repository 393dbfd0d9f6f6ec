"""Tidy input: one line a cell, under the headings student, bench, practical, item, row, entry, unit."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches

from marking.intake.batch import Batch, Gathered
from marking.intake.entries import WrittenUnit, read_entry
from marking.intake.grid import Field, cell_name, is_empty, text_of
from marking.intake.people import code_of, says_absent
from marking.intake.piles import SINGLE
from marking.intake.remarks import Notebook, quote
from marking.intake.row_numbers import read_row_number
from marking.intake.vocabulary import fold
from marking.write_up import Entry, Place, State, Weight
from rubrics.model import Item

HEADINGS = ("student", "bench", "practical", "item", "row", "entry", "unit")
_NEEDED = {"student", "item", "entry"}

Line = tuple[int, Sequence[Field]]
"""Number of the row and its fields."""


def tidy_columns(fields: Sequence[Field]) -> dict[str, int] | None:
    """Return heading to position of a tidy heading line; None where the line is not one."""
    words = [fold(text_of(text)) for text in fields]
    columns = {word: words.index(word) for word in (*HEADINGS, "name", "absent") if words.count(word) == 1}
    return columns if columns.keys() >= _NEEDED else None


@dataclass(slots=True, kw_only=True)
class TidySheet:
    """One tidy file while it is read."""

    file: str
    sheet: str
    columns: Mapping[str, int]
    batch: Batch
    notebook: Notebook
    """For what belongs to no practical."""
    decimal_comma: bool | None = None
    met: set[str] = field(default_factory=set)
    """Practicals that the file has lines for."""
    students: int = 0
    unknown: Counter[tuple[str, str]] = field(default_factory=Counter)
    """('practical' or the id of one, what was written there) to the number of lines lost to it."""
    unknown_at: dict[tuple[str, str], Place] = field(default_factory=dict)
    _fields: Sequence[Field] = ()
    _row: int = 0

    def read(self, lines: Iterable[Line]) -> None:
        """Read all lines into the piles of their practicals."""
        width = max(self.columns.values()) + 1
        for self._row, self._fields in lines:
            if not any(not is_empty(value) for value in self._fields):
                continue
            self._read_line(is_long=any(not is_empty(value) for value in self._fields[width:]))
        self._tell_unknown()

    def _at(self, heading: str) -> Field:
        position = self.columns.get(heading)
        return self._fields[position] if position is not None and position < len(self._fields) else ""

    def _place(self, heading: str) -> Place:
        return Place(file=self.file, sheet=self.sheet, cell=cell_name(self._row, self.columns.get(heading, 0) + 1))

    def _read_line(self, *, is_long: bool) -> None:
        practical = text_of(self._at("practical")).strip() or self.batch.practical or ""
        if practical not in self.batch.rubrics:
            self._count_unknown("practical", practical, "practical")
            return
        gathered = self.batch.gathered(practical)
        self.met.add(practical)
        code = code_of(self._at("student"))
        name = text_of(self._at("item")).strip()
        if not code:
            said = f"row {self._row} has an entry but no student's code, so it is not known whose it is"
            gathered.notebook.tell(Weight.QUERY, said, "Write the code, and run again", place=self._place("student"))
            return
        sheaf = gathered.pile.sheaf(code, self._place("student"))
        sheaf.add_person(
            name=text_of(self._at("name")).strip(),
            bench=text_of(self._at("bench")).strip(),
            absent=says_absent(self._at("absent")),
        )
        self.students += 1
        if not name:
            if fold(text_of(self._at("entry"))) == "ab":
                sheaf.absent = True
            return
        named = gathered.vocabulary.item_called(name)
        if named is None:
            self._count_unknown(practical, name, "item")
            return
        gathered.covered.add(named.item.name)
        row: int | None = SINGLE
        if named.item.table is not None:
            row = read_row_number(text_of(self._at("row")), self._place("row"), code, gathered.notebook)
        if row is None:
            return
        sheaf.add(named.item.name, row, self._entry(named.item, named.unit, gathered, code, is_long=is_long))

    def _entry(self, item: Item, unit: str, gathered: Gathered, code: str, *, is_long: bool) -> Entry:
        place = self._place("entry")
        if not is_long:
            beside = WrittenUnit(field=self._at("unit"), heading=unit)
            return read_entry(
                self._at("entry"), beside, item, place, gathered.vocabulary, decimal_comma=self.decimal_comma
            )
        said = f"{len(self._fields)} fields under {len(self.columns)} headings (a decimal comma without quotes?)"
        raw = ",".join(text_of(value) for value in self._fields[self.columns["entry"] :])
        return Entry(raw=raw, unit_raw="", state=State.UNREADABLE, place=place, notes=(said,))

    def _count_unknown(self, kind: str, written: str, heading: str) -> None:
        self.unknown[kind, written] += 1
        self.unknown_at.setdefault((kind, written), self._place(heading))

    def _tell_unknown(self) -> None:
        for (kind, written), count in self.unknown.items():
            place = self.unknown_at[kind, written]
            lines = "one line" if count == 1 else f"{count} lines"
            if kind == "practical":
                known = self.batch.rubrics
                notebook = self.notebook
                said = f"{quote(written)} is no practical known here" if written else "no practical is named"
            else:
                known = self.batch.rubrics[kind].items
                notebook = self.batch.gathered(kind).notebook
                said = f"{quote(written)} is no item of {kind} (items: {', '.join(known)})"
            near = get_close_matches(written, list(known), n=1)
            hint = f"; nearest: {near[0]}" if near else ""
            notebook.tell(Weight.QUERY, f"{said}{hint}; {lines} not used", "Correct the name", place=place)
