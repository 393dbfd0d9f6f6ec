"""Tidy input: one line a cell, under the headings student, bench, practical, item, row, entry, unit."""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from difflib import get_close_matches
from itertools import chain
from operator import itemgetter

from msgspec import Struct, field

from marking.cells import NOWHERE, Column, Entry, Place, ReadCell, State
from marking.intake.entries import SINGLE, Batch, Gathered, Sheaf, WrittenUnit, as_cell
from marking.intake.forms.row_numbers import read_row_number
from marking.intake.forms.same_student import PARTED_BY, Names, SameStudent
from marking.intake.grids import (
    MAX_COLUMNS,
    MAX_HEADING,
    NO_HABIT,
    DecimalHabit,
    DecimalMarks,
    Field,
    Named,
    cell_name,
    column_letters,
    fold,
    is_empty,
    text_of,
)
from marking.intake.people import ABSENT_WORDS, code_of, codes_told, is_of_the_class, says_absent
from marking.intake.remarks import NOBODYS, Notebook, quote
from marking.write_up import Weight

HEADINGS = ("student", "bench", "practical", "item", "row", "entry", "unit")
_NEEDED = {"student", "item", "entry"}
_CALLED_TOO = {
    "student": ("pupil", "candidate", "student code", "student id", "candidate number"),
    "item": ("quantity", "measurement"),
    "entry": ("value", "reading", "answer"),
}
"""Other headings of the columns that are needed, where one of them stands alone."""
_PERSON = ("student", "practical", "bench", "name", "absent", "mark code")
_CELL = ("item", "row", "entry", "unit")

_MOST_UNKNOWN = 8
"""Names that are told one by one; more are told together."""
_LISTED = 5

Line = tuple[int, Sequence[Field]]
"""Number of the row and its fields."""


def tidy_columns(fields: Sequence[Field], mapped: Mapping[str, str] | None = None) -> dict[str, int] | None:
    """Return heading to position of a tidy heading line; None where the line is not one.

    Args:
        fields: The line.
        mapped: Headings that have been given a meaning, folded, to a word such as 'student'.
    """
    words = [fold(text_of(text)[:MAX_HEADING]) for text in fields[:MAX_COLUMNS]]
    words = [fold(mapped.get(word, word)) for word in words] if mapped else words
    known = (*HEADINGS, "name", "absent", "mark code")
    columns = {word: words.index(word) for word in known if words.count(word) == 1}
    for heading, others in _CALLED_TOO.items():
        found = [word for word in others if words.count(word) == 1] if heading not in words else []
        columns |= {heading: words.index(found[0])} if len(found) == 1 else {}
    return columns if columns.keys() >= _NEEDED else None


class UnknownName(Struct, frozen=True, kw_only=True):
    """A name of a practical or of an item that is not known, and what was lost to it."""

    kind: str
    """'practical', or the id of the practical that has no such item."""
    written: str
    place: Place
    """Where it first stood."""
    lines: int


class TidySheet(Struct, kw_only=True):
    """One tidy file while it is read."""

    file: str
    sheet: str
    columns: Mapping[str, int]
    batch: Batch
    notebook: Notebook
    """For what belongs to no practical."""
    decimal_habit: DecimalHabit = NO_HABIT
    """Of the whole file."""
    item_habits: Mapping[str, bool] | None = None
    """How each item is written in the whole file, where this is a part of one; items that do not tell are left out."""
    met: set[str] = field(default_factory=set)
    """Practicals that the file has lines for."""
    unknown: Counter[tuple[str, str]] = field(default_factory=Counter)
    """('practical' or the id of one, what was written there) to the number of lines lost to it."""
    _unknown_at: dict[tuple[str, str], Place] = field(default_factory=dict)
    _person: Sequence[Field] = ()
    """What the last line said of its student: most lines say the same as the one above."""
    _whose: tuple[Gathered, Sheaf] | None = None
    _marks: tuple[DecimalMarks, DecimalMarks] = field(default_factory=lambda: (DecimalMarks(), DecimalMarks()))
    """Those of each student, and of each item."""
    _row: int = 0
    _passed_over: bool = False
    """The lines are about the class."""
    _names: dict[str, Names] = field(default_factory=dict)
    """Practical and text to the item that it names there."""
    _same: SameStudent | None = None
    _column: Column = Column("", "", "")
    """Of the entries."""
    _positions: Sequence[int] = ()
    """Where each column stands, -1 for those that there are not."""
    _width: int = 0
    """Fields of a line that has all of them."""

    def __post_init__(self) -> None:
        """Work out where columns and entries stand."""
        self._positions = [self.columns.get(heading, -1) for heading in (*_PERSON, *_CELL)]
        self._width = max(self._positions) + 1
        letters = column_letters(self.columns.get("entry", 0) + 1)
        self._column = Column(file=self.file, sheet=self.sheet, letters=letters)

    def read(self, lines: Iterable[Line]) -> None:
        """Read all lines into the piles of their practicals, and tell of names that nobody knows."""
        self.take(lines)
        tell_unknown(self.unknown_names(), self.batch, self.notebook)

    def take(self, lines: Iterable[Line]) -> None:
        """Read all lines into the piles of their practicals."""
        positions, width = self._positions, self._width
        whose = itemgetter(*(at for at in positions[: len(_PERSON)] if at >= 0))
        what = itemgetter(*positions[len(_PERSON) :])
        has_commas, is_whole = self.decimal_habit.has_commas, min(positions[len(_PERSON) :]) >= 0
        person: object = None
        if has_commas:
            lines = list(lines)
            self._see_marks(lines)
        for self._row, fields in lines:
            count = len(fields)
            if count == width and self._same is not None and whose(fields) == person:
                item, row, entry, unit = what(fields if is_whole else [*fields, ""])
                comma = self._decimal_comma(self._person[0], item, entry) if has_commas else None
                if self._same.put((item, entry, unit, comma), row, self._row):
                    continue
            if self._take_fields(fields):
                person = whose(fields) if count == width else None

    def can_take_text(self) -> bool:
        """Tell whether lines may be taken as text: the cell's columns come last, and no comma is a decimal one."""
        last = list(range(self._width - len(_CELL), self._width))
        return self._positions[len(_PERSON) :] == last and not self.decimal_habit.has_commas

    def take_text(self, text: str, above: int) -> None:
        """Do as ``take`` does with lines in which commas part the fields, where ``can_take_text`` allows it.

        Args:
            text: The lines, with their ends.
            above: Rows that stand above.
        """
        width, front = self._width, self._width - len(_CELL)
        person, whose = "", list[str]()
        same: SameStudent | None = None
        lines = io.StringIO(text, newline="")
        for row, line in enumerate(lines, above + 1):
            is_bare = '"' not in line
            if is_bare:
                bare = line.rstrip("\r\n")
                # Most lines begin as the one above.
                if same is not None and bare.startswith(person) and same.put_text(bare[len(person) :], row):
                    continue
                fields = bare.split(PARTED_BY)
            else:
                fields = next(csv.reader(chain((line,), lines), delimiter=PARTED_BY))
            self._row = row
            if fields[:front] == whose and len(fields) == width and self._put(fields[front:]):
                continue
            if self._take_fields(fields):
                whose = fields[:front] if len(fields) == width else []
                person = PARTED_BY.join([*whose, ""])
                same = self._same if is_bare and whose else None

    def _put(self, fields: Sequence[str]) -> bool:
        item, row, entry, unit = fields
        return self._same is not None and self._same.put((item, entry, unit, None), row, self._row)

    def _take_fields(self, fields: Sequence[Field]) -> bool:
        """Read a line that is not known already; return whether anything stands in it."""
        # A column that there is not is picked from behind the last one.
        padded = [*fields, *[""] * (self._width - len(fields)), ""]
        cells = tuple(padded[at] for at in self._positions)
        rest = [text for text in map(text_of, fields[self._width :]) if text.strip()]
        is_written = any(cells) or bool(rest)
        if is_written:
            self._read_line(cells, rest)
        return is_written

    def unknown_names(self) -> tuple[UnknownName, ...]:
        """Return the names that lines were lost to, in the order in which they were met."""
        return tuple(
            UnknownName(kind=kind, written=written, place=self._unknown_at[kind, written], lines=count)
            for (kind, written), count in self.unknown.items()
        )

    def _see_marks(self, lines: Sequence[Line]) -> None:
        # What 1,002 is depends on the hand that wrote it, and on the column that it stands in.
        student, item, entry = (self.columns[heading] for heading in ("student", "item", "entry"))
        last = max(student, item, entry)
        for _, fields in lines:
            if len(fields) > last and isinstance(text := fields[entry], str) and ("," in text or "." in text):
                for marks, key in zip(self._marks, (fields[student], fields[item]), strict=True):
                    marks.see(text_of(key).strip(), text)

    def _decimal_comma(self, student: Field, item: Field, entry: Field) -> bool | None:
        if not self.decimal_habit.has_commas:
            return None
        name = text_of(item).strip()
        of_item = self._marks[1].of(name) if self.item_habits is None else self.item_habits.get(name)
        return self.decimal_habit.agreed(text_of(entry), self._marks[0].of(text_of(student).strip()), of_item)

    def _place(self, heading: str) -> Place:
        return Place(file=self.file, sheet=self.sheet, cell=cell_name(self._row, self.columns.get(heading, 0) + 1))

    def _read_line(self, cells: Sequence[Field], rest: list[str]) -> None:
        person = cells[: len(_PERSON)]
        item_name, row, entry, unit = cells[len(_PERSON) :]
        if person != self._person:
            self._passed_over = False
            self._person, self._whose = person, self._find_person(*map(text_of, person))
            has_units = "unit" in self.columns
            self._same = (
                SameStudent.of(*self._whose, self._names, self._column, has_unit_box=has_units) if self._whose else None
            )
        if self._whose is None or self._same is None:
            if not is_empty(person[0]) and not self._passed_over:
                self._count_unknown("practical", text_of(person[1]).strip(), "practical")
            return
        gathered, sheaf = self._whose
        name = text_of(item_name).strip()
        if not name:
            sheaf.absent = sheaf.absent or fold(text_of(entry)) in ABSENT_WORDS
            return
        named = gathered.item_called(name)
        if named is None:
            self._count_unknown(gathered.vocabulary.rubric.id, name, "item")
            return
        number: int | None = SINGLE
        if named.item.table is not None:
            number = read_row_number(
                text_of(row), lambda: self._place("row"), sheaf.code, gathered.vocabulary.rubric, gathered.notebook
            )
        if number is not None:
            written = item_name, entry, unit, self._decimal_comma(person[0], item_name, entry)
            cell = self._same.cell(written, named) if not rest else _torn(entry, unit, named, rest)
            sheaf.put(named.item.name, number, cell, self._row, self._column)
            self._same.learn(item_name, row, named, number)

    def _find_person(
        self, code_text: str, practical: str, bench: str, name: str, absent: str, codes: str
    ) -> tuple[Gathered, Sheaf] | None:
        practical = practical.strip() or self.batch.practical or ""
        code = code_of(code_text)
        if not code:
            said = f"row {self._row} has an entry but no student's code, so it is not known whose it is"
            self.notebook.tell(
                Weight.QUERY, said, "Write the code, and run again", place=self._place("student"), kind=NOBODYS
            )
            return None
        if practical not in self.batch.rubrics:
            return None
        index = self.batch.index
        if is_of_the_class(code) and (index is None or index.find(code) is None):
            notebook = self.batch.gathered(practical).notebook
            said = f"lines of {quote(code)} are about the class and not of a student; not marked"
            mend, place = "If it is one, give the student a code", self._place("student")
            notebook.tell(Weight.NOTE, said, mend, place=place, kind=code, once=code)
            self.met.add(practical)
            self._passed_over = True
            return None
        gathered = self.batch.gathered(practical)
        self.met.add(practical)
        sheaf = gathered.pile.sheaf(code, self._place("student"))
        sheaf.add_person(name=name.strip(), bench=bench.strip(), absent=says_absent(absent))
        if codes:
            sheaf.add_codes(codes_told(codes, code, self._place("mark code"), self.notebook))
        return gathered, sheaf

    def _count_unknown(self, kind: str, written: str, heading: str) -> None:
        self.unknown[kind, written] += 1
        self._unknown_at.setdefault((kind, written), self._place(heading))


def _torn(value: Field, unit: Field, named: Named, rest: Sequence[str]) -> ReadCell:
    """Return a cell whose line has *rest* more fields than there are headings."""
    typed = WrittenUnit(field=unit, heading=named.unit).typed
    said = "more fields than headings (a decimal comma without quotes?)"
    raw = ",".join((text_of(value), typed, *rest))
    return as_cell(Entry(raw=raw, unit_raw="", state=State.UNREADABLE, place=NOWHERE, notes=(said,)), named.item)


def tell_unknown(names: Iterable[UnknownName], batch: Batch, general: Notebook) -> None:
    """Tell of names that nobody knows, each with the nearest that is known; of many in one remark."""
    by_kind: dict[str, list[UnknownName]] = {}
    for name in names:
        by_kind.setdefault(name.kind, []).append(name)
    for kind, same in by_kind.items():
        is_practical = kind == "practical"
        known = list(batch.rubrics if is_practical else batch.rubrics[kind].items)
        notebook = general if is_practical else batch.gathered(kind).notebook
        if len(same) > _MOST_UNKNOWN:
            _tell_many(same, known, notebook)
        else:
            for name in same:
                _tell_one(name, known, notebook)


def _tell_many(names: Sequence[UnknownName], known: Sequence[str], notebook: Notebook) -> None:
    kind = names[0].kind
    first = ", ".join(quote(name.written) for name in names[:_LISTED])
    what = "practicals known here" if kind == "practical" else f"items of {kind}"
    said = f"{len(names):,} names are no {what} ({first} and more; known: {', '.join(known)})"
    lines = sum(name.lines for name in names)
    notebook.tell(Weight.QUERY, f"{said}; {lines:,} lines not used", "Correct the names", place=names[0].place)


def _tell_one(name: UnknownName, known: Sequence[str], notebook: Notebook) -> None:
    lines = "one line" if name.lines == 1 else f"{name.lines} lines"
    if name.kind == "practical":
        said = f"{quote(name.written)} is no practical known here" if name.written else "no practical is named"
    else:
        said = f"{quote(name.written)} is no item of {name.kind} (items: {', '.join(known)})"
    near = get_close_matches(name.written, known, n=1)
    hint = f"; nearest: {near[0]}" if near else ""
    notebook.tell(Weight.QUERY, f"{said}{hint}; {lines} not used", "Correct the name", place=name.place)
