"""Write-up: all of one student as written, the marks with who decided them, and a comment of the teacher's own."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from marking.decided import CommentWritten
from marking.desk.pages.decide_page import Past, about_mark, past
from marking.desk.pages.waiting import whose
from marking.desk.shelf import HeldSet
from marking.findings import Script
from marking.write_up import Entry, State
from reports.wording import message, total_note


class WrittenCell(Struct, frozen=True, kw_only=True):
    """One cell as written."""

    label: str
    text: str
    is_unread: bool


class WrittenTable(Struct, frozen=True, kw_only=True):
    """A table of readings as written."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    """Row number first."""


class Written(Struct, frozen=True, kw_only=True):
    """All of one student as written."""

    singles: tuple[WrittenCell, ...]
    tables: tuple[WrittenTable, ...]


class MarkRow(Struct, frozen=True, kw_only=True):
    """One criterion."""

    criterion: str
    point: str
    marks: int | None
    out_of: int
    said: tuple[str, ...]
    """What was found, in sentences."""
    who: str
    """Who decided; empty where nobody did."""
    is_overruled: bool
    history: tuple[Past, ...]


class ScriptPage(Struct, frozen=True, kw_only=True):
    """One student's write-up."""

    at: int
    student: str
    name: str
    bench: str
    codes: tuple[str, ...]
    awarded: int
    pending: int
    out_of: int
    ruled: str
    """What a department ruled on the total; empty where nothing was."""
    written: Written
    marks: tuple[MarkRow, ...]
    comment: str
    comment_number: int
    whose: str
    """What the form sends back, so that the comment goes to nobody else."""
    before: int | None
    """Position of the script before; None at the first."""
    after: int | None
    button: str


def script_page(held: HeldSet, at: int, button: str) -> ScriptPage | None:
    """Return the page; None where the set has no such script."""
    if not 0 <= at < len(held.marked.scripts):
        return None
    script = held.marked.scripts[at]
    student = script.write_up.student
    comments = held.about(CommentWritten.about, student=student.code)
    last = comments[-1] if comments else None
    return ScriptPage(
        at=at,
        student=student.code,
        name=student.name,
        bench=student.bench,
        codes=student.codes,
        awarded=script.total,
        pending=script.pending,
        out_of=script.out_of,
        ruled=total_note(script),
        written=written(held, script),
        marks=tuple(_mark_rows(held, script)),
        comment=last.text if isinstance(last, CommentWritten) else "",
        comment_number=len(comments) + 1,
        whose=whose(script),
        before=at - 1 if at > 0 else None,
        after=at + 1 if at + 1 < len(held.marked.scripts) else None,
        button=button,
    )


def written(held: HeldSet, script: Script) -> Written:
    """Return all of a write-up as it was written."""
    return Written(singles=_singles(held, script), tables=_tables(held, script))


def _singles(held: HeldSet, script: Script) -> tuple[WrittenCell, ...]:
    return tuple(
        WrittenCell(
            label=held.rubric.items[name].quantity,
            text=_text(entry.raw, entry.unit_raw),
            is_unread=entry.state is State.UNREADABLE,
        )
        for name, entry in script.write_up.singles.items()
        if name in held.rubric.items
    )


def _in_row(column: Mapping[int, Entry], number: int) -> str:
    return _text(column[number].raw, column[number].unit_raw) if number in column else ""


def _text(raw: str, unit: str) -> str:
    return raw if not unit or raw.rstrip().endswith(unit.strip()) else f"{raw} {unit}"


def _tables(held: HeldSet, script: Script) -> tuple[WrittenTable, ...]:
    tables = []
    columns = {name: column for name, column in script.write_up.columns.items() if name in held.rubric.items}
    for table in dict.fromkeys(held.rubric.items[name].table for name in columns):
        mine = {name: column for name, column in columns.items() if held.rubric.items[name].table == table}
        numbers = sorted({row for column in mine.values() for row in column})
        rows = tuple((str(number), *(_in_row(column, number) for column in mine.values())) for number in numbers)
        tables.append(WrittenTable(heads=tuple(held.rubric.items[name].quantity for name in mine), rows=rows))
    return tuple(tables)


def _mark_rows(held: HeldSet, script: Script) -> list[MarkRow]:
    rows = []
    for mark in script.criteria:
        lines = [one for one in script.as_found if one.criterion == mark.criterion.code]
        ruling = mark.ruling
        rows.append(
            MarkRow(
                criterion=mark.criterion.code,
                point=mark.criterion.point,
                marks=mark.marks,
                out_of=mark.criterion.marks,
                said=tuple(dict.fromkeys(message(line) for line in lines)),
                who=(ruling.who or ruling.source) if ruling is not None else "",
                is_overruled=ruling is not None and ruling.proposed not in (None, ruling.marks),
                history=tuple(past(one) for one in about_mark(held, script, mark.criterion.code)),
            )
        )
    return rows
