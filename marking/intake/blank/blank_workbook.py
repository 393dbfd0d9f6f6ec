"""The workbooks that we hand out: blank, ready to fill in, or filled in from given entries.

Every answer cell is text, so that '0.50' keeps its zero; no cell is ever a formula; the same students
and practical give the same bytes.
"""

from __future__ import annotations

import io
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Literal

from xlsxwriter import Workbook
from xlsxwriter.worksheet import Worksheet

from marking.intake.blank.workbook_style import Style, new_workbook, safe_text, save_workbook, set_up_page
from marking.intake.entries import tick_heading, waiting_criteria
from marking.intake.forms import own_layout as layout
from marking.intake.forms import trial_heading, trial_items, trial_lines
from marking.write_up import Student
from rubrics.model import Item, Rubric

Written = tuple[str, str]
"""An entry and its unit, each exactly as a student would write it."""
Entries = Mapping[str, Mapping[str, Written | Mapping[int, Written]]]
"""Student code to item name to what was written; for an item of a table, row number to what was written."""

_LIST_LIMIT = 255
"""Characters of a drop-down's list, its commas counted; a spreadsheet takes no more."""
_SPARE_STUDENTS = 10
"""Rows below the roster that have drop-downs too, for students who join late."""
_NOTHING: Written = ("", "")


def write_class_workbook(
    path: Path,
    rubric: Rubric,
    students: Sequence[Student],
    entries: Entries | None = None,
    benches: Sequence[str] = (),
) -> None:
    """Write a class workbook for *students* to *path*, filled in with *entries* where given.

    For *benches* it gets one more sheet, for the technician's trial values.

    Raises:
        OSError: The folder cannot be written to; an older file of the name is left as it was.
    """
    data = io.BytesIO()
    book = new_workbook(data)
    style = Style(book)
    _add_read_me(book, style, rubric, None)
    _add_results(book, style, rubric, students, entries or {})
    if rubric.columns:
        _add_readings(book, style, rubric, students, entries or {}, layout.TABLE_COLUMNS)
    _add_ticks(book, style, rubric, students)
    if benches:
        _add_trials(book, style, rubric, benches)
    save_workbook(book, data, path)


def write_student_workbook(path: Path, rubric: Rubric, student: Student, entries: Entries | None = None) -> None:
    """Write one student's own workbook to *path*, filled in with the student's *entries* where given.

    Raises:
        OSError: The folder cannot be written to; an older file of the name is left as it was.
    """
    data = io.BytesIO()
    book = new_workbook(data)
    style = Style(book)
    _add_read_me(book, style, rubric, student)
    _add_list(book, style, rubric, (entries or {}).get(student.code, {}))
    if rubric.columns:
        _add_readings(book, style, rubric, [student], entries or {}, layout.STUDENT_TABLE_COLUMNS)
    save_workbook(book, data, path)


def _add_read_me(book: Workbook, style: Style, rubric: Rubric, student: Student | None) -> None:
    sheet = book.add_worksheet(layout.READ_ME)
    _put(sheet, layout.TITLE, rubric.title, style.title)
    labels = layout.LABELS | (layout.STUDENT_LABELS if student else {})
    for cell, label in labels.items():
        _put(sheet, cell, label, style.label)
    _put(sheet, layout.PRACTICAL, rubric.id, style.text)
    _put(sheet, layout.EDITION, str(rubric.edition), style.text)
    if student is not None:
        _put(sheet, layout.STUDENT, student.code, style.text)
        _put(sheet, layout.BENCH, student.bench, style.text)
    elif any(criterion.on_paper for criterion in rubric.criteria):
        _put(sheet, layout.GRAPH_LABEL, layout.GRAPH_WORDS, style.label)
        _put(sheet, layout.GRAPH, layout.GRAPH_CHOICES[0], style.text)
        _put(sheet, layout.GRAPH_HINT, layout.GRAPH_TOLD, style.line)
        at = (layout.GRAPH[0] - 1, layout.GRAPH[1] - 1)
        sheet.data_validation(*at, *at, {"validate": "list", "source": list(layout.GRAPH_CHOICES), "show_error": False})
    row = 7
    for heading, lines in layout.instructions(rubric, is_class=student is None):
        _put(sheet, (row, 1), heading, style.label)
        for line in lines:
            row += 1
            _put(sheet, (row, 1), line, style.line)
        row += 2
    for offset, cells in enumerate(layout.item_lines(rubric)):
        for column, text in enumerate(cells, 1):
            _put(sheet, (row + offset, column), text, style.label if offset == 0 else style.line)
    for column, width in enumerate((24, 46, 34, 26)):
        sheet.set_column(column, column, width, style.line)
    set_up_page(sheet, rubric.title, repeat=None)


def _add_results(book: Workbook, style: Style, rubric: Rubric, students: Sequence[Student], entries: Entries) -> None:
    sheet = book.add_worksheet(layout.RESULTS)
    # A class that is filled in already has had its round; only a blank workbook asks for codes.
    codes = () if entries else (layout.MARK_CODE,)
    headings = (*layout.PEOPLE_COLUMNS, *layout.value_headings(rubric.singles), *codes)
    words = {item.name: layout.words_for(item) for item in rubric.singles} | {layout.MARK_CODE: layout.MARK_CODE_WORDS}
    _head(
        sheet, style, headings, words, widths={"name": 22, "student": 12, "bench": 8, "absent": 8, layout.MARK_CODE: 18}
    )
    last_row = layout.FIRST_ROW + len(students) + _SPARE_STUDENTS
    for row, student in enumerate(students, layout.FIRST_ROW):
        given = entries.get(student.code, {})
        person = (student.code, student.name, student.bench, "yes" if student.absent else "")
        fields = [*person, *_single_fields(rubric.singles, given)]
        fields += [" ".join(student.codes) for _ in codes]
        for column, text in enumerate(fields, 1):
            _put(sheet, (row, column), text, style.text)
    _offer(sheet, headings, "bench", (layout.FIRST_ROW, last_row), _benches(students))
    _offer(sheet, headings, "absent", (layout.FIRST_ROW, last_row), ("yes",))
    _offer_for_items(sheet, headings, rubric.singles, last_row)
    sheet.freeze_panes(layout.HEADING_ROW, 2)
    set_up_page(sheet, rubric.title, repeat=(layout.WORDS_ROW, layout.HEADING_ROW))


def _add_readings(
    book: Workbook,
    style: Style,
    rubric: Rubric,
    students: Sequence[Student],
    entries: Entries,
    people: tuple[str, ...],
) -> None:
    sheet = book.add_worksheet(layout.READINGS)
    headings = (*people, *layout.value_headings(rubric.columns))
    words = {item.name: layout.words_for(item) for item in rubric.columns}
    _head(sheet, style, headings, words, widths={"student": 12, "bench": 8, "row": 6})
    row = layout.FIRST_ROW
    for student in students:
        given = entries.get(student.code, {})
        for number in range(1, max(layout.table_rows(rubric), _rows_given(rubric, given)) + 1):
            person = {"student": student.code, "bench": student.bench, "row": str(number)}
            fields = [*(person[word] for word in people), *_table_fields(rubric.columns, given, number)]
            for column, text in enumerate(fields, 1):
                _put(sheet, (row, column), text, style.first_text if number == 1 else style.text)
            row += 1
    _offer_for_items(sheet, headings, rubric.columns, row)
    sheet.freeze_panes(layout.HEADING_ROW, len(people))
    set_up_page(sheet, rubric.title, repeat=(layout.WORDS_ROW, layout.HEADING_ROW))


def _add_ticks(book: Workbook, style: Style, rubric: Rubric, students: Sequence[Student]) -> None:
    criteria = waiting_criteria(rubric)
    if not criteria:
        return
    sheet = book.add_worksheet(layout.TICKS)
    headings = (*layout.TICK_COLUMNS, *map(tick_heading, criteria))
    words = {tick_heading(one): f"{one.point} ({layout.marks_words(one.marks)})" for one in criteria}
    _head(sheet, style, headings, words, widths={"name": 22, "student": 12})
    for row, student in enumerate(students, layout.FIRST_ROW):
        _put(sheet, (row, 1), student.code, style.text)
        _put(sheet, (row, 2), student.name, style.text)
    last_row = layout.FIRST_ROW + len(students) + _SPARE_STUDENTS
    for criterion in criteria:
        offered = ("✓", "x") if criterion.marks == 1 else tuple(str(marks) for marks in range(criterion.marks + 1))
        _offer(sheet, headings, tick_heading(criterion), (layout.FIRST_ROW, last_row), offered)
    sheet.freeze_panes(layout.HEADING_ROW, 2)
    set_up_page(sheet, rubric.title, repeat=(layout.WORDS_ROW, layout.HEADING_ROW))


def _add_trials(book: Workbook, style: Style, rubric: Rubric, benches: Sequence[str]) -> None:
    headings, *lines = trial_lines(rubric, benches)
    sheet = book.add_worksheet(layout.TRIALS)
    words = {trial_heading(item): layout.words_for(item) for item in trial_items(rubric)}
    _head(sheet, style, headings[1:], words, widths={"bench": 8, "row": 6})
    for row, (_, *fields) in enumerate(lines, layout.FIRST_ROW):
        for column, text in enumerate(fields, 1):
            _put(sheet, (row, column), text, style.text)
    sheet.freeze_panes(layout.HEADING_ROW, 1)
    set_up_page(sheet, rubric.title, repeat=(layout.WORDS_ROW, layout.HEADING_ROW))


def _add_list(
    book: Workbook, style: Style, rubric: Rubric, given: Mapping[str, Written | Mapping[int, Written]]
) -> None:
    sheet = book.add_worksheet(layout.RESULTS)
    widths = {"item": 14, "quantity": 46, "instrument": 22, "value": 24, "unit": 14}
    _head(sheet, style, layout.LIST_COLUMNS, {}, widths=widths)
    for row, item in enumerate(rubric.singles, layout.FIRST_ROW):
        value, unit = _written(given.get(item.name))
        for column, text in enumerate((item.name, layout.words_for(item), item.instrument, value, unit), 1):
            _put(sheet, (row, column), text, style.line if column <= 3 else style.text)
        _offer(sheet, layout.LIST_COLUMNS, "value", (row, row), tuple(choice.word for choice in item.choices))
        _offer(sheet, layout.LIST_COLUMNS, "unit", (row, row), _units(item))
    sheet.freeze_panes(layout.HEADING_ROW, 1)
    set_up_page(sheet, rubric.title, repeat=(layout.WORDS_ROW, layout.HEADING_ROW))


def _head(
    sheet: Worksheet, style: Style, headings: Sequence[str], words: Mapping[str, str], widths: Mapping[str, int]
) -> None:
    sheet.set_row(layout.WORDS_ROW - 1, 48)
    for column, heading in enumerate(headings, 1):
        _put(sheet, (layout.WORDS_ROW, column), words.get(heading, ""), style.words)
        _put(sheet, (layout.HEADING_ROW, column), heading, style.heading)
        sheet.set_column(column - 1, column - 1, widths.get(heading, 13), style.text)
    sheet.ignore_errors({"number_stored_as_text": "A1:XFD1048576"})


def _single_fields(items: Sequence[Item], given: Mapping[str, Written | Mapping[int, Written]]) -> list[str]:
    fields: list[str] = []
    for item in items:
        fields += _fields(item, _written(given.get(item.name)))
    return fields


def _table_fields(
    items: Sequence[Item], given: Mapping[str, Written | Mapping[int, Written]], number: int
) -> list[str]:
    fields: list[str] = []
    for item in items:
        column = given.get(item.name, {})
        fields += _fields(item, column.get(number, _NOTHING) if isinstance(column, Mapping) else _NOTHING)
    return fields


def _fields(item: Item, written: Written) -> tuple[str, ...]:
    return written[:1] if item.is_words else written


def _written(value: Written | Mapping[int, Written] | None) -> Written:
    return value if isinstance(value, tuple) else _NOTHING


def _rows_given(rubric: Rubric, given: Mapping[str, Written | Mapping[int, Written]]) -> int:
    columns = [given.get(item.name, {}) for item in rubric.columns]
    return max((row for column in columns if isinstance(column, Mapping) for row in column), default=0)


def _offer_for_items(sheet: Worksheet, headings: Sequence[str], items: Sequence[Item], last_row: int) -> None:
    for item in items:
        rows = (layout.FIRST_ROW, last_row)
        _offer(sheet, headings, item.name, rows, tuple(choice.word for choice in item.choices))
        if not item.is_words:
            _offer(sheet, headings, layout.unit_heading(item), rows, _units(item))


def _offer(
    sheet: Worksheet, headings: Sequence[str], heading: str, rows: tuple[int, int], words: Sequence[str]
) -> None:
    # A drop-down only offers: what is typed instead is read all the same. A list that does not fit is left out.
    if not words or len(",".join(words)) > _LIST_LIMIT or any("," in word for word in words):
        return
    column = headings.index(heading)
    kind: Literal["list"] = "list"
    sheet.data_validation(
        rows[0] - 1, column, rows[1] - 1, column, {"validate": kind, "source": list(words), "show_error": False}
    )


def _units(item: Item) -> tuple[str, ...]:
    return tuple(unit.symbol for unit in item.recorded_in if unit.symbol)


def _benches(students: Sequence[Student]) -> tuple[str, ...]:
    benches = {student.bench for student in students if student.bench}
    return tuple(sorted(benches, key=lambda bench: (len(bench), bench)))  # 2 before 10


def _put(sheet: Worksheet, cell: tuple[int, int], text: str, style: object) -> None:
    # write_string and nothing else: any other way may take '=1+1' for a formula and '0.50' for a number.
    if text:
        sheet.write_string(cell[0] - 1, cell[1] - 1, safe_text(text), style)
