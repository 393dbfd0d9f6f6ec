"""The folder of results of ``writeups mark``: sheets, summary, tables, the account of the run; whole or not at all."""

from __future__ import annotations

import argparse
import json
import os
from collections.abc import Callable, Mapping, Sequence
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct

from marking.checking import as_marked
from marking.class_notes import ClassNote
from marking.cohort import leads_in, notes_for
from marking.collector import leave_alone
from marking.commands.told_of_marks import Told, account_of
from marking.compared import Change, first_versions
from marking.file_names import file_names
from marking.findings import MarkedSet, Script
from marking.hands import Begun, Shared, hands
from marking.intake import Reading
from marking.outputs import KEPT, OURS, changed_by_hand, replaced_folder, written_files
from marking.progress import progress
from marking.write_up import ClassSet, WriteUp
from reports.next_step import Tasks
from reports.tables import write_changes_csv, write_class_notes_csv, write_findings_csv, write_marks_workbook
from rubrics.load import Catalogue
from rubrics.model import Rubric

if TYPE_CHECKING:  # what sets paper is loaded where paper is wanted
    from reports.student import SheetsSet

MARKS_FILE = "marks.xlsx"
PAYS_FROM, MOST_UNASKED = 200, 4
"""Write-ups from which several processes share the work, and how many do where nobody says: to start one costs as much
as forty sheets."""
LONGEST = 2_000
"""Bytes of a write-up in a tidy table; hardly any has more."""


class MarkedInputs(Struct, frozen=True, kw_only=True):
    """What was read and what it came to, before anything is written."""

    rubrics: Catalogue
    reading: Reading
    marked: Sequence[MarkedSet]
    compared: tuple[Change, ...] | None
    """None where no other edition was asked for."""
    end: tuple[int, str] | None
    """Where the record ended; None where there is none."""
    hands: Shared
    """Who does what is left to do."""
    leads: Begun[tuple[ClassNote, ...]] | None
    """Leads that were begun before anything was marked; None where they are found in what was marked."""


def write_results(out: Path, found: MarkedInputs, arguments: argparse.Namespace) -> Told:
    """Write the folder of results, whole; return what is to be told of it."""
    marked, compared = found.marked, found.compared
    kept = tuple(name for name in changed_by_hand(out) if not name.startswith(f"{KEPT}/")) if out.exists() else ()
    with replaced_folder(out) as folder:
        notes = _write(folder, found, arguments)
        if compared is not None:
            write_changes_csv(folder / "changes.csv", compared)
        _write_account(folder, marked, arguments, found.end)
    return Told(
        out=out,
        marked=marked,
        notes=notes,
        compared=compared,
        reading=found.reading,
        kept=kept,
        has_paper=not arguments.no_paper,
    )


def options_of(arguments: argparse.Namespace, end: tuple[int, str] | None) -> dict[str, object]:
    """Return what was asked for, as the account of the run keeps it, and where the record ended."""
    # Names of files, not their folders: the same input gives the same bytes wherever it lies.
    return {
        "practical": arguments.practical,
        "columns": Path(arguments.columns).name if arguments.columns else None,
        "roster": Path(arguments.roster).name if arguments.roster else None,
        "rubric": [Path(file).name for file in arguments.rubric],
        "compare": Path(arguments.compare).name if arguments.compare else None,
        "marks": arguments.marks,
        **({"graph": arguments.graph} if arguments.graph != "paper" else {}),
        "print": arguments.print,
        **({"sides": arguments.sides} if arguments.sides != "two" else {}),
        "preview": arguments.preview,
        **({"no_paper": True} if arguments.no_paper else {}),
        **({"parquet": True} if arguments.parquet else {}),
        **({"again": [Path(file).name for file in arguments.again]} if arguments.again else {}),
        **({"trials": Path(arguments.trials).name} if arguments.trials else {}),
        # Where the record ended that these marks come from.
        **({"record": f"{end[0]}:{end[1]}"} if end is not None else {}),
    }


def _write(folder: Path, found: MarkedInputs, arguments: argparse.Namespace) -> Sequence[ClassNote]:
    """Write sheets and tables; return the notes on the class.

    Others set sheets while this process compares the class and writes tables; then it sets what sheets are left.
    """
    marked = found.marked
    by_student: dict[str, list[Script]] = {}
    for one in marked:
        for script in one.scripts:
            by_student.setdefault(script.write_up.student.code, []).append(script)
    students = arguments.preview or len(by_student)
    sheets = None if arguments.no_paper else _begun_sheets(folder / "feedback", by_student, found, arguments)
    if arguments.preview:
        _tasks(sheets, students)
        _await(sheets)
        return ()
    trials = {one.practical: one.trials for one in found.reading.sets if one.trials}
    notes = notes_for(marked, trials, found.leads.all() if found.leads is not None else None)
    if arguments.print:
        _write_print(folder, marked, by_student, found.rubrics, notes, arguments)
    _write_tables(folder, marked, notes, arguments, lambda: _tasks(sheets, students))
    _await(sheets)
    return notes


def _await(sheets: Begun[SheetsSet] | None) -> None:
    """Wait for the last sheets, which others set while tables were ended here."""
    for _ in sheets.all() if sheets is not None else ():
        pass


def _tasks(sheets: Begun[SheetsSet] | None, students: int) -> Tasks:
    """Return what the sheets ask for that are set when no more are left to begin; a terminal shows how far they are."""
    tasks: Tasks = {}
    with progress(students, "feedback") as bar:
        for some in sheets.most() if sheets is not None else ():
            tasks.update(some.tasks)
            bar.update(some.files)
    return tasks


def _write_tables(
    folder: Path,
    marked: Sequence[MarkedSet],
    notes: Sequence[ClassNote],
    arguments: argparse.Namespace,
    tasks: Callable[[], Tasks],
) -> None:
    if not arguments.no_paper:
        _write_summary(folder / "class-summary.pdf", marked, notes)
    write_marks_workbook(folder / MARKS_FILE, marked, tasks=tasks, findings_csv=folder / "findings.csv")
    write_class_notes_csv(folder / "class-notes.csv", notes)
    if before := first_versions(marked):
        write_findings_csv(folder / "first-versions.csv", before)


def _write_summary(path: Path, marked: Sequence[MarkedSet], notes: Sequence[ClassNote]) -> None:
    # What sets paper is loaded where paper is wanted.
    from reports.teacher import write_class_summary

    write_class_summary(path, marked, notes)


def _write_account(
    folder: Path, marked: Sequence[MarkedSet], arguments: argparse.Namespace, end: tuple[int, str] | None
) -> None:
    """Write what was read and what was written, by which a later run knows what a person has changed since."""
    ticks = (tick for one in marked for script in one.scripts for tick in script.write_up.ticks.values())
    kept = {"ticks_kept": sum(tick.is_kept for tick in ticks), "wrote": written_files(folder)}
    account = {**account_of(marked, options_of(arguments, end)), **kept}
    text = json.dumps(account, indent=2, ensure_ascii=False)
    (folder / OURS).write_text(text + "\n", encoding="utf-8", newline="\n")


def _begun_sheets(
    folder: Path, by_student: Mapping[str, list[Script]], found: MarkedInputs, arguments: argparse.Namespace
) -> Begun[SheetsSet]:
    """Begin to set the feedback sheets."""
    # What sets paper is loaded where paper is wanted.
    from reports.student import MarksShown, Printing, set_sheets, sheet_jobs

    folder.mkdir()
    names = file_names(list(by_student))
    chosen = list(by_student.items())[: arguments.preview or None]
    met = {script.write_up.practical: found.rubrics[script.write_up.practical] for _, own in chosen for script in own}
    printing = Printing(folder=folder, rubrics=met, marks=MarksShown(arguments.marks))
    return found.hands.begun(set_sheets, sheet_jobs(printing, [(names[code], scripts) for code, scripts in chosen]))


def begun_leads(
    rubrics: Mapping[str, Rubric], sets: Sequence[ClassSet], arguments: argparse.Namespace, hands: Shared
) -> Begun[tuple[ClassNote, ...]] | None:
    """Begin to look for leads in the write-ups as they were read; None where it is not known yet what will count.

    Where most was measured comes first: whoever begins it last is waited for.
    """
    if arguments.preview or arguments.record or arguments.again:
        return None
    known = [(as_marked(rubrics[one.practical], one.write_ups), one.write_ups) for one in sets]
    return hands.begun(leads_in, sorted(known, key=lambda one: -sum(map(_cells, one[1]))))


def _cells(write_up: WriteUp) -> int:
    return len(write_up.singles) + sum(map(len, write_up.columns.values()))


def hands_for(arguments: argparse.Namespace, until: ExitStack | None, write_ups: int) -> Shared | None:
    """Return processes that share the work, as many as asked for, else several; None where to start them does not pay.

    They end with *until*; where it is None, none are started.
    """
    workers = arguments.workers or min(os.cpu_count() or 1, MOST_UNASKED)
    if until is None or arguments.no_paper or write_ups < PAYS_FROM or workers == 1:
        return None
    return until.enter_context(hands(None, workers, _load))


def fewest_in(paths: Sequence[Path]) -> int:
    """Return how many write-ups there are at least in the tidy tables among *paths*, by their size."""
    return sum(path.stat().st_size for path in paths if path.suffix.lower() == ".csv" and path.is_file()) // LONGEST


def _load(_: object, number: int) -> int:
    """Load what sheets are made of where one helps, so that nobody waits for it later."""
    import reports.student  # noqa: F401

    leave_alone()  # before the collector looks through what was loaded
    return number


def _write_print(
    folder: Path,
    marked: Sequence[MarkedSet],
    by_student: Mapping[str, list[Script]],
    rubrics: Mapping[str, Rubric],
    notes: Sequence[ClassNote],
    arguments: argparse.Namespace,
) -> None:
    """Write what goes to the printer and the projector in one go."""
    from reports.student import MarksShown, write_feedback_print
    from reports.teacher import benches_off, write_projector_pages, write_task_answers, write_technician_note

    both = arguments.sides == "two"
    marks = MarksShown(arguments.marks)
    write_feedback_print(folder / "feedback-print.pdf", by_student.values(), rubrics, marks=marks, double_sided=both)
    write_task_answers(folder / "task-answers.pdf", marked)
    write_projector_pages(folder / "projector.pdf", marked)
    if benches_off(notes):
        write_technician_note(folder / "technician-note.pdf", notes, rubrics)
