"""The marks of a set as a workbook: for the mark book, and to look things up."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path

from xlsxwriter.worksheet import Worksheet

from marking.cohort.picture import picture
from marking.compared import shifts
from marking.findings import CriterionMark, Finding, MarkedSet, Script
from marking.reasons import Reason
from reports.next_step import Task, Tasks, task_for
from reports.tables.findings_csv import FINDING_COLUMNS, also_written, finding_rows
from reports.tables.item_figures import statistics_rows
from reports.tables.workbook_written import Book
from reports.wording import fill, ruling_note, wording
from rubrics.model import Rubric

MOST_FINDINGS = 1_000_000
"""Rows of one sheet, a little below what a spreadsheet program opens."""

_NUMBERS = frozenset(("row", "marks", "out_of", "confidence"))
"""Columns of the findings that are numbers in the workbook; 'expected' stays a text, to keep its figures."""
_PROPOSED = frozenset((Reason.PROPOSED_AWARDED, Reason.PROPOSED_WITHHELD, Reason.UNSURE))
"""Reasons of short answers that wait for the teacher."""
_OFFERED = {"validate": "list", "source": ["✓", "x"], "show_error": False}
"""Offered in a cell for a tick; a number of marks may be typed instead."""
_MARK, _ENTRY = 6, 8
"""Columns of the sheet of ticks, from 0."""
_WIDTHS = {"message": 80, "alternatives": 30, "source": 24, "detail": 22, "practical": 20, "cause": 18, "outcome": 12}


def write_marks_workbook(
    path: Path,
    marked_sets: Sequence[MarkedSet],
    *,
    tasks: Callable[[], Tasks] | None = None,
    findings_csv: Path | None = None,
) -> None:
    """Write marks, findings, criteria, remarks of the reader and the answers of the tasks.

    Args:
        path: The workbook to write.
        marked_sets: One for each practical.
        tasks: Asked, when all else is written, for those that are known from the sheets; the others are worked out.
        findings_csv: Where the findings are written to as well, as `write_findings_csv` does it.
    """
    book = Book(path)
    _marks(book, marked_sets)
    rows = finding_rows(marked_sets)
    _findings(book, rows if findings_csv is None else also_written(findings_csv, rows))
    _criteria(book, marked_sets)
    _statistics(book, marked_sets)
    _remarks(book, marked_sets)
    answers = _answers_sheet(book)
    _ticks(book, marked_sets)
    _short_answers(book, marked_sets)
    _resubmitted(book, marked_sets)
    _decisions(book, marked_sets)
    _answers(book, answers, marked_sets, tasks() if tasks is not None else {})
    book.close()


def _resubmitted(book: Book, marked_sets: Sequence[MarkedSet]) -> None:
    """Write what second versions changed, with each student's total; no sheet where nothing came in again."""
    words = wording("workbook")["columns"]
    rows: list[tuple[str | int | None, ...]] = []
    for marked in marked_sets:
        for script in marked.scripts:
            if script.earlier is None:
                continue
            who = (script.write_up.student.code, marked.rubric.id)
            rows += [(*who, one.criterion.code, one.before, one.after, one.criterion.marks) for one in shifts(script)]
            rows.append((*who, words["total"], script.earlier.awarded, script.total, script.out_of))
    if rows:
        names = ("student", "practical", "criterion", "first_version", "second_version", "out_of")
        sheet = book.sheet("resubmitted", [words[name] for name in names], [10, 22, 12, 14, 14, 8], frozen=1)
        end = book.fill(sheet, rows)
        book.put(sheet, end + 1, 0, wording("workbook")["notes"]["resubmitted"])


def _decisions(book: Book, marked_sets: Sequence[MarkedSet]) -> None:
    """Write who decided which mark, beside what was worked out; no sheet where nobody has decided yet."""
    rows = [
        (
            script.write_up.student.code,
            marked.rubric.id,
            mark.criterion.code,
            mark.ruling.proposed,
            mark.ruling.marks,
            mark.criterion.marks,
            mark.ruling.who,
            mark.ruling.when,
            mark.ruling.why,
            mark.ruling.source,
        )
        for marked in marked_sets
        for script in marked.scripts
        for mark in script.criteria
        if mark.ruling is not None
    ]
    if rows:
        head = wording("workbook")["columns"]["decisions"]
        book.fill(book.sheet("decisions", head, [10, 22, 10, 11, 8, 7, 20, 26, 50, 30], frozen=3), rows)


def _marks(book: Book, marked_sets: Sequence[MarkedSet]) -> None:
    words = wording("workbook")["columns"]
    codes = list(dict.fromkeys(criterion.code for marked in marked_sets for criterion in marked.rubric.criteria))
    head = [words["student"], words["name"], words["bench"], words["practical"], *codes]
    head += [words["awarded"], words["pending"], words["out_of"], words["mark_code"]]
    widths = [10, 26, 8, 22, *[6 for _ in codes], 11, 11, 8, 12]
    ruled = any(script.moderated for marked in marked_sets for script in marked.scripts)
    if ruled:
        head, widths = [*head, words["moderated"], words["ruling"]], [*widths, 11, 60]
    sheet = book.sheet("marks", head, widths, frozen=2)
    rows = (
        [*_mark_row(script, codes), *(_moderated(script) if ruled else [])]
        for marked in marked_sets
        for script in marked.scripts
    )
    end = book.fill(sheet, rows)
    sheet.autofilter(0, 0, max(end - 1, 1), len(head) - 1)
    book.put(sheet, end + 1, 0, wording("workbook")["notes"]["marks"])


def _moderated(script: Script) -> list[str | int | None]:
    """Return the total that counts after a ruling of the department, and which ruling that is."""
    one = script.moderated
    return [None, None] if one is None else [one.total, ruling_note(one)]


def _mark_row(script: Script, codes: Sequence[str]) -> list[str | int | None]:
    student = script.write_up.student
    marks = {mark.criterion.code: mark.marks for mark in script.criteria}
    handed_in = bool(script.criteria)
    totals = [script.awarded, script.pending, script.out_of] if handed_in else [None, None, None]
    return [
        student.code,
        student.name,
        student.bench,
        script.write_up.practical,
        *[marks.get(code) for code in codes],
        *totals,
        " ".join(student.codes),
    ]


def _findings(book: Book, rows: Iterable[tuple[str, ...]]) -> None:
    sheet = book.sheet("findings", FINDING_COLUMNS, [_WIDTHS.get(name, 10) for name in FINDING_COLUMNS], frozen=1)
    number = 0
    for number, row in enumerate(rows, start=1):
        if number > MOST_FINDINGS:
            continue  # to the last, for they may be written elsewhere too
        for column, (name, cell) in enumerate(zip(FINDING_COLUMNS, row, strict=True)):
            book.put(sheet, number, column, float(cell) if name in _NUMBERS and cell else cell)
    end = min(number, MOST_FINDINGS + 1)
    if number > MOST_FINDINGS:
        book.put(sheet, end, 0, wording("workbook")["notes"]["rest"])
    sheet.autofilter(0, 0, max(end, 1), len(FINDING_COLUMNS) - 1)


def _criteria(book: Book, marked_sets: Sequence[MarkedSet]) -> None:
    head = wording("workbook")["columns"]["criteria"]
    sheet = book.sheet("criteria", head, [22, 10, 60, 8, 10, 8, 8, 15, 8], frozen=2)
    number = 0
    for marked in marked_sets:
        for seen in picture(marked).criteria:
            number += 1
            cells: tuple[str | int, ...] = (
                marked.rubric.id,
                seen.code,
                seen.point,
                seen.marks,
                seen.full,
                seen.part,
                seen.none,
                seen.pending,
            )
            for column, cell in enumerate(cells):
                book.put(sheet, number, column, cell)
            book.put(sheet, number, len(cells), seen.facility, book.share)


def _statistics(book: Book, marked_sets: Sequence[MarkedSet]) -> None:
    """Write how the criteria did over the class, with warnings where numbers are small."""
    words = wording("workbook")
    sheet = book.sheet("statistics", words["columns"]["statistics"], [22, 12, 10, 9, 14, 12, 11, 9, 100], frozen=2)
    end = book.fill(sheet, (row for marked in marked_sets for row in statistics_rows(marked)))
    for number, note in enumerate(words["notes"]["statistics"], start=end + 1):
        book.put(sheet, number, 0, note)


def _remarks(book: Book, marked_sets: Sequence[MarkedSet]) -> None:
    head = wording("workbook")["columns"]["remarks"]
    sheet = book.sheet("remarks", head, [22, 10, 24, 14, 8, 10, 12, 100], frozen=1)
    book.fill(
        sheet,
        (
            (
                marked.rubric.id,
                remark.weight.value,
                remark.file,
                remark.place.sheet if remark.place else "",
                remark.place.cell if remark.place else "",
                remark.student,
                remark.item,
                remark.message,
            )
            for marked in marked_sets
            for remark in marked.remarks
        ),
    )


def _answers_sheet(book: Book) -> Worksheet:
    """Return an empty sheet for the answers, in its place among the others."""
    return book.sheet("answers", wording("workbook")["columns"]["answers"], [10, 22, 20, 10, 80, 50], frozen=1)


def _answers(
    book: Book, sheet: Worksheet, marked_sets: Sequence[MarkedSet], tasks: Mapping[tuple[str, str], Task]
) -> None:
    """Write the teacher's answers to every student's task; they are on no student's sheet."""
    book.fill(
        sheet,
        (
            row
            for marked in marked_sets
            for script in marked.scripts
            for row in _answer_rows(script, marked.rubric, tasks)
        ),
    )


def _short_answers(book: Book, marked_sets: Sequence[MarkedSet]) -> None:
    """Write the short answers, those that mean the same together, with an empty column for the teacher's ticks.

    Ticks are read where they are made: the last columns are tidy input. What is ticked moves to the sheet of ticks.
    """
    rows = sorted(
        (
            finding.facts["point"],
            _group_words(finding, marked.rubric),
            finding.facts["proposal"],
            finding.facts["highlight"],
            finding.entry,
            finding.student,
            finding.practical,
            f"tick {finding.criterion}",
            None,
        )
        for marked in marked_sets
        for script in marked.scripts
        for finding in script.findings
        if finding.reason in _PROPOSED
    )
    if rows:
        head = wording("workbook")["columns"]["short_answers"]
        sheet = book.sheet("short_answers", head, [30, 24, 10, 40, 70, 10, 22, 10, 8], frozen=1)
        end = book.fill(sheet, rows)
        sheet.data_validation(1, len(head) - 1, end, len(head) - 1, _OFFERED)


def _group_words(finding: Finding, rubric: Rubric) -> str:
    """Return what the answers of a group have in common, in the words of the rubric's ideas."""
    words = wording("workbook")["groups"]
    questions = (item.question for item in rubric.items.values())
    asked = [one for one in questions if one is not None]
    says = {idea.id: idea.says for one in asked for idea in (*one.ideas, *one.wrong, *one.ignore)}
    says |= {source.id: source.says for one in asked for source in one.sources} | wording("workbook")["group_ends"]
    said: dict[str, list[str]] = {}
    for token in finding.facts["group"].split():
        kind, _, idea = token.rpartition(":")
        if (kind and kind not in words) or idea not in says:
            return finding.facts["group"]  # the answer's own words, where no idea was found in it
        said.setdefault(kind, []).append(says[idea])
    return "; ".join(f"{words[kind or 'says']}: {', '.join(found)}" for kind, found in said.items())


def _ticks(book: Book, marked_sets: Sequence[MarkedSet]) -> None:
    """Write a line for each mark, with room for a tick and its reason; those that wait are coloured.

    A tick that was typed in a workbook of results stands here again; one from another file stays in that file.
    """
    words = wording("workbook")
    # In an order that no tick changes: a tick keeps its cell from run to run.
    rows = [tick_row(script, mark) for marked in marked_sets for script in marked.scripts for mark in script.criteria]
    if not rows:
        return
    rows = rows[:MOST_FINDINGS]
    head = words["columns"]["ticks"]
    sheet = book.sheet("ticks", head, [10, 24, 22, 12, 60, 8, 12, 30, 8, 40], frozen=1)
    end = 1 + len(rows)
    for number, row in enumerate(rows, start=1):
        for column, value in enumerate(row):
            book.put(sheet, number, column, value)
        if row[_MARK] is None and row[_ENTRY] is None:
            sheet.write_blank(number, _ENTRY, None, book.typed)
    sheet.autofilter(0, 0, max(end - 1, 1), len(head) - 1)
    sheet.data_validation(1, len(head) - 2, end, len(head) - 2, _OFFERED)
    for number, note in enumerate(words["notes"]["ticks"], start=end + 1):
        book.put(sheet, number, len(head) + 1, note)


def tick_row(script: Script, mark: CriterionMark) -> tuple[str | int | None, ...]:
    """Return the line of one mark on the sheet of ticks."""
    words = wording("workbook")["ticks"]
    ruling = mark.ruling
    who = words["waits"] if mark.marks is None else words["program"]
    if ruling is not None:
        said = words[
            "agrees" if ruling.proposed == ruling.marks else "overrules" if ruling.proposed is not None else "teacher"
        ]
        slots = {"who": ruling.who or words["anybody"], "proposed": str(ruling.proposed), "source": ruling.source}
        who = fill(said, slots)
    tick = script.write_up.ticks.get(mark.criterion.code)
    kept = tick if tick is not None and tick.is_kept else None
    student = script.write_up.student
    return (
        student.code,
        student.name,
        script.write_up.practical,
        f"tick {mark.criterion.code}",
        mark.criterion.point,
        mark.criterion.marks,
        mark.marks,
        who,
        kept.entry.raw if kept is not None else None,
        kept.why if kept is not None else None,
    )


def _answer_rows(
    script: Script, rubric: Rubric, tasks: Mapping[tuple[str, str], Task]
) -> list[tuple[str, str, str, int, str, str]]:
    task = tasks.get((script.write_up.student.code, rubric.id)) or task_for(script, rubric)
    if task is None:
        return []
    code = script.write_up.student.code
    return [
        (code, rubric.id, task.about, number, question.text, question.answer)
        for number, question in enumerate(task.questions, start=1)
    ]
