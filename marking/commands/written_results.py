"""The folder of results of ``writeups mark``: sheets, summary, tables, the account of the run; whole or not at all."""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct

from marking.class_notes import ClassNote
from marking.cohort import notes_for
from marking.commands.told_of_marks import Told, account_of
from marking.compared import Change, first_versions
from marking.file_names import file_names
from marking.findings import MarkedSet, Script
from marking.intake import Reading
from marking.outputs import KEPT, OURS, changed_by_hand, replaced_folder, written_files
from marking.write_up import ClassSet
from reports.next_step import Tasks
from reports.tables import write_changes_csv, write_class_notes_csv, write_findings_csv, write_marks_workbook
from rubrics.load import Catalogue
from rubrics.model import Rubric

if TYPE_CHECKING:  # a class of thirty starts no processes
    from marking.many import Setters

MARKS_FILE = "marks.xlsx"
PAYS_FROM, MOST_UNASKED = 150, 4
"""Students from which several processes set the sheets where nobody says how many, and how many then; starting them
takes about a second."""


class MarkedInputs(Struct, frozen=True, kw_only=True):
    """What was read and what it came to, before anything is written."""

    rubrics: Catalogue
    reading: Reading
    marked: Sequence[MarkedSet]
    compared: tuple[Change, ...] | None
    """None where no other edition was asked for."""
    end: tuple[int, str] | None
    """Where the record ended; None where there is none."""
    setters: Setters | None = None
    """Who sets the sheets; this process itself where it is None."""


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

    Where others set the sheets, the class is compared meanwhile; else before, while there is less in memory.
    """
    marked, rubrics = found.marked, found.rubrics
    alone = found.setters is None
    notes = _notes(found, arguments) if alone else ()
    by_student: dict[str, list[Script]] = {}
    for one in marked:
        for script in one.scripts:
            by_student.setdefault(script.write_up.student.code, []).append(script)
    tasks: Tasks = {}
    with _sheets(folder / "feedback", by_student, found, arguments, tasks):
        if arguments.preview:
            return ()
        notes = notes if alone else _notes(found, arguments)
        _write_tables(folder, marked, notes, arguments, tasks)
        if arguments.print:
            _write_print(folder, marked, by_student, rubrics, notes, arguments)
    return notes


def _notes(found: MarkedInputs, arguments: argparse.Namespace) -> tuple[ClassNote, ...]:
    if arguments.preview:
        return ()
    return notes_for(found.marked, {one.practical: one.trials for one in found.reading.sets if one.trials})


def _write_tables(
    folder: Path, marked: Sequence[MarkedSet], notes: Sequence[ClassNote], arguments: argparse.Namespace, tasks: Tasks
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


@contextmanager
def _sheets(
    folder: Path,
    by_student: Mapping[str, list[Script]],
    found: MarkedInputs,
    arguments: argparse.Namespace,
    tasks: Tasks,
) -> Iterator[None]:
    """Write the feedback sheets, or begin to: they are all there when the block ends.

    What they ask for is put into *tasks* as they are made.
    """
    if arguments.no_paper:
        yield
        return
    from reports.student import MarksShown, write_feedback

    names, marks, rubrics = file_names(list(by_student)), MarksShown(arguments.marks), found.rubrics
    chosen = list(by_student.items())[: arguments.preview or None]
    folder.mkdir()
    if found.setters is not None:
        from marking.many import Printing

        met = {script.write_up.practical: rubrics[script.write_up.practical] for _, own in chosen for script in own}
        printing = Printing(folder=folder, rubrics=met, marks=marks)
        sheets = [(names[code], scripts) for code, scripts in chosen]
        with found.setters.under_way(printing, sheets, tasks):
            yield
        return
    for code, scripts in _told_as_it_goes(chosen):
        write_feedback(folder / f"{names[code]}.pdf", scripts, rubrics, marks=marks, tasks=tasks)
    yield


def setters_for(sets: Sequence[ClassSet], arguments: argparse.Namespace, until: ExitStack) -> Setters | None:
    """Start the processes that set the sheets, as many as asked for, else several where starting them pays.

    They end with *until*. None where this process sets the sheets itself, or nobody does.
    """
    students = len({work.student.code for one in sets for work in one.write_ups})
    chosen = min(students, arguments.preview or students)
    unasked = min(os.cpu_count() or 1, MOST_UNASKED) if chosen >= PAYS_FROM else 1
    workers = unasked if arguments.workers is None else arguments.workers
    if workers == 1 or arguments.no_paper:
        return None
    # Loaded where it pays: one class starts no processes.
    from marking.many import setters

    return until.enter_context(setters(workers))


def _told_as_it_goes(students: list[tuple[str, list[Script]]]) -> Iterable[tuple[str, list[Script]]]:
    """Return *students*, with a bar on a terminal, and only there, when they take longer than a second."""
    if not sys.stderr.isatty():
        return students
    from tqdm import tqdm

    return tqdm(students, desc="feedback", unit=" students", delay=1)


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
