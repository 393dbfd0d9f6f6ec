"""Sheets with a row a student (or a row for each line of a student's table), their headings naming the items."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct, field

from marking.intake.entries import SINGLE, Gathered, Sheaf, Standing, WrittenUnit, is_shifted_left, read_entry
from marking.intake.forms.row_numbers import read_row_number, within
from marking.intake.forms.stored_numbers import NumberWatch
from marking.intake.forms.unit_rows import is_unit_row, units_below
from marking.intake.grids import (
    Field,
    Grid,
    Heading,
    HeadingRow,
    Meaning,
    SheetValue,
    Stored,
    cell_name,
    fold,
    is_empty,
    names_student,
    text_of,
)
from marking.intake.people import RosterIndex, absent_in, code_key, code_of, codes_told, is_of_the_class, says_absent
from marking.intake.remarks import NOBODYS, fault_of, quote, tell_number_codes, tell_stored_numbers
from marking.write_up import Entry, Place, State, Weight
from rubrics.model import Item

_SPOILT = "this row does not fit the headings"


class WideSheet(Struct, kw_only=True):
    """One sheet while it is read."""

    grid: Grid
    headings: HeadingRow
    gathered: Gathered
    index: RosterIndex | None
    is_ours: bool = False
    """True for a workbook that we handed out, whose cells are text on purpose."""
    owner: str = ""
    """Code of the one student whom the whole sheet belongs to; empty where each row says whose it is."""
    left: Mapping[int, str] = field(default_factory=dict)
    """Columns that are not used and look like answers, each with the item that it may be."""
    _units: dict[int, str] = field(default_factory=dict)
    _rows_of: dict[str, int] = field(default_factory=dict)
    _block_of: dict[str, int] = field(default_factory=dict)
    """Rows of each student that stood together the last time."""
    _watch: NumberWatch = field(default_factory=NumberWatch)
    _number_codes: list[int] = field(default_factory=list)
    _has_text_codes: bool = False
    _last: tuple[int, str] = (0, "")
    """Row and code of the student read last."""

    def read(self) -> None:
        """Read all rows below the headings into the pile."""
        self._units = {heading.column: heading.unit for heading in self.headings.values if heading.unit}
        self.gathered.covered.update(heading.item for heading in self.headings.values)
        texts = tuple(heading.text for heading in self.headings.headings)
        self.gathered.heading_rows.append((self.grid.file, self.grid.sheet, texts))
        rows = [row for row in self.grid.filled_rows() if row > self.headings.row]
        if rows and not self.owner and is_unit_row(self.grid, self.headings, rows[0], self.gathered):
            self._units |= units_below(self.grid, self.headings, rows.pop(0), self.gathered)
        for row in rows:
            self._read_row(row)
        if self._number_codes and self._has_text_codes:
            tell_number_codes(self.grid, self._number_codes, self._code_column, self.gathered.notebook)
        if self.grid.sheet and not self.is_ours:
            watch = self._watch
            tell_stored_numbers(self.grid, watch.as_text, watch.with_lost_zeros, self.gathered.notebook)

    @property
    def _code_column(self) -> int:
        return self.headings.code_column or 1

    def _field(self, row: int, column: int | None) -> Field:
        return self.grid.at(row, column) if column is not None else ""

    def _said(self, row: int, meaning: Meaning) -> str:
        return text_of(self._field(row, self.headings.column_of(meaning))).strip()

    def _has_entries(self, row: int) -> bool:
        return any(not is_empty(self._field(row, heading.column)) for heading in self.headings.values)

    def _read_row(self, row: int) -> None:
        code = self.owner or self._code(row) or self._code_above(row)
        place = self.grid.place(row, self._code_column)
        notebook = self.gathered.notebook
        if not code:
            if self._has_entries(row):
                said = f"row {row} has entries but no student's code, so it is not known whose they are"
                notebook.tell(Weight.QUERY, said, "Write the code, and run again", place=place, kind=NOBODYS)
            return
        if names_student(fold(code)):
            return  # the headings once more, as some programs print them on every page
        if is_of_the_class(code) and (self.index is None or self.index.find(code) is None):
            said = f"row {row} ({quote(code)}) is about the class and is no student; not marked"
            notebook.tell(Weight.NOTE, said, "If it is one, give the student a code", place=place)
            return
        is_known = self.index is not None and self.index.find(code) is not None
        typed = code
        code, is_away = (code, False) if self.owner or is_known else absent_in(code)
        if is_away:
            notebook.tell(Weight.NOTE, f"{quote(typed)} read as absent", place=place, student=code, kind="absent")
        is_new_block = self._last[1] != code
        self._last = (row, code)
        sheaf = self.gathered.pile.sheaf(code, place)
        sheaf.add_person(
            name=self._name(row),
            bench=self._said(row, Meaning.BENCH),
            absent=is_away or says_absent(self._said(row, Meaning.ABSENT)),
        )
        sheaf.add_codes(codes_told(self._said(row, Meaning.MARK_CODE), sheaf.code, place, notebook))
        if is_new_block:
            if self._block_of.get(sheaf.code, 0) > 1:
                self._rows_of[sheaf.code] = 0  # a second block is a second attempt, not more rows of the first
            self._block_of[sheaf.code] = 0
        self._block_of[sheaf.code] += 1
        number = self._row_number(row, sheaf)
        if number is not None:
            self._read_entries(row, number, sheaf, place)

    def _name(self, row: int) -> str:
        whole = self._said(row, Meaning.NAME)
        return whole or f"{self._said(row, Meaning.FIRST_NAME)} {self._said(row, Meaning.SURNAME)}".strip()

    def _code(self, row: int) -> str:
        column = self.headings.column_of(Meaning.STUDENT)
        if column is not None:
            value = self._field(row, column)
            if isinstance(value, SheetValue) and value.stored is Stored.DATE:
                said = f"the spreadsheet made a date of the code, which is shown as {quote(text_of(value))}"
                mend = "Format the column as text, type the code again, and run again"
                place = self.grid.place(row, column)
                self.gathered.notebook.tell(Weight.QUERY, said, mend, place=place, student=code_of(value))
            if isinstance(value, SheetValue) and value.stored is Stored.NUMBER:
                self._number_codes.append(row)
            elif not is_empty(value):
                self._has_text_codes = True
            return code_of(value)
        # Only names: the roster knows whose they are; a name that it does not know stands for itself.
        name = code_of(self._name(row))
        known = self.index.roster.other_codes if self.index is not None else {}
        return known.get(code_key(name), name)

    def _code_above(self, row: int) -> str:
        """Return the code of the block that a row without one goes on with: the code stands once, above its table."""
        last, code = self._last
        if not code or last != row - 1 or not self._goes_on(row):
            return ""
        said = f"rows without a code taken as more rows of {quote(code)}, whose code stands above"
        place = self.grid.place(row, self._code_column)
        self.gathered.notebook.tell(Weight.NOTE, said, place=place, student=code, kind="code above", once="code above")
        return code

    def _goes_on(self, row: int) -> bool:
        # Only columns of a table are filled, and those of the student's own line are left as they are.
        items = self.gathered.vocabulary.rubric.items
        filled = [h for h in self.headings.values if not is_empty(self._field(row, h.column))]
        return bool(filled) and all(items[h.item].table is not None for h in filled)

    def _row_number(self, row: int, sheaf: Sheaf) -> int | None:
        column = self.headings.column_of(Meaning.ROW)
        rubric = self.gathered.vocabulary.rubric
        if column is None:
            # Without a column of row numbers, a student's rows count in the order in which they stand.
            self._rows_of[sheaf.code] = self._rows_of.get(sheaf.code, 0) + 1
            place = self.grid.place(row, self._code_column)
            return within(self._rows_of[sheaf.code], place, sheaf.code, rubric, self.gathered.notebook)
        if not self._has_entries(row):
            return None
        place = self.grid.place(row, column)
        return read_row_number(self._said(row, Meaning.ROW), lambda: place, sheaf.code, rubric, self.gathered.notebook)

    def _read_entries(self, row: int, number: int, sheaf: Sheaf, place: Place) -> None:
        if self.headings.column_of(Meaning.ROW) is None:
            sheaf.row_places.append(place)
        fault = fault_of(self.grid, self.headings, row, self.gathered.vocabulary) or self._left_shift(row)
        if fault:
            mend = "Put each value under its heading, and run again"
            self.gathered.notebook.tell(Weight.QUERY, fault, mend, place=place, student=sheaf.code)
        has_entries = self._has_entries(row)
        for heading in self.headings.values:
            item = self.gathered.vocabulary.rubric.items[heading.item]
            value = self._field(row, heading.column)
            if item.table is not None and is_empty(value) and (heading.row is not None or not has_entries):
                continue  # a line of a table that was not needed
            slot = SINGLE if item.table is None else heading.row or number
            entry = (
                self._not_used(row, heading.column, value, _SPOILT) if fault else self._entry(row, heading, item, value)
            )
            sheaf.add(item.name, slot, entry)
        for column, name in self.left.items():
            item, value = self.gathered.vocabulary.rubric.items[name], self._field(row, column)
            if not is_empty(value):
                entry = self._not_used(row, column, value, "its column is not known for sure")
                sheaf.add(name, SINGLE if item.table is None else number, entry)

    def _left_shift(self, row: int) -> str:
        values = [h for h in self.headings.values if not self.gathered.vocabulary.rubric.items[h.item].is_words]
        if not values or not is_empty(self._field(row, values[-1].column)):
            return ""
        standing = [self._standing(row, heading) for heading in values]
        if not is_shifted_left(standing):
            return ""
        last = cell_name(row, values[-1].column)
        return (
            f"the row looks shifted to the left: {last} is empty, and the values fit the columns to their right; "
            "nothing of it is used"
        )

    def _standing(self, row: int, heading: Heading) -> Standing:
        vocabulary = self.gathered.vocabulary
        item = vocabulary.rubric.items[heading.item]
        column = self.headings.unit_column(heading)
        typed = text_of(self._field(row, column)).strip() or self._units.get(heading.column, "")
        unit = vocabulary.unit_of(typed, item).unit if typed else None
        return Standing(value=self._field(row, heading.column), item=item, unit=unit or item.unit)

    def _entry(self, row: int, heading: Heading, item: Item, value: Field) -> Entry:
        column = self.headings.unit_column(heading)
        unit = WrittenUnit(
            field=self._field(row, column),
            heading=self._units.get(heading.column, ""),
            cell=cell_name(row, column) if column is not None else "",
        )
        place = self.grid.place(row, heading.column)
        comma = self.grid.decimal_habit.at(heading.column, row, text_of(value))
        entry = read_entry(value, unit, item, place, self.gathered.vocabulary, decimal_comma=comma)
        if entry.state is State.NUMBER and not (isinstance(value, str) and entry.notes):
            self._watch.see(value, heading.column, place.cell)
        return entry

    def _not_used(self, row: int, column: int, value: Field, note: str) -> Entry:
        """Return an entry for the teacher; the row or column was told of as a whole."""
        place = self.grid.place(row, column)
        self.gathered.notebook.keep_quiet_about(place)
        return Entry(raw=text_of(value), unit_raw="", state=State.UNREADABLE, place=place, notes=(note,))
