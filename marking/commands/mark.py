"""``writeups mark``: read, check, mark, report."""

from __future__ import annotations

import argparse
import dataclasses
import json
import os
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path

# Set before numpy is first imported: threads for arrays this small only cost time.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from marking.class_notes import ClassNote, NoteKind
from marking.cohort import notes_for
from marking.commands.counting import counted
from marking.commands.output_folder import OURS, file_names, mend_swap, replaced_folder
from marking.commands.program import program_version
from marking.commands.record_use import Keeper, keeping
from marking.compared import Change, changes, first_versions
from marking.findings import MarkedSet, Script
from marking.intake import read_inputs
from marking.record import mark_versions
from marking.write_up import ClassSet, Weight
from reports.student import MarksShown, write_feedback, write_feedback_print
from reports.tables import write_changes_csv, write_class_notes_csv, write_findings_csv, write_marks_workbook
from reports.teacher import (
    benches_off,
    write_class_summary,
    write_projector_pages,
    write_task_answers,
    write_technician_note,
)
from rubrics.faults import InputError
from rubrics.load import load_catalogue, read_rubric
from rubrics.model import Rubric

MOST_SHOWN = 20
"""Remarks listed on the terminal; all of them stand in the class summary and the marks workbook."""


def run(arguments: argparse.Namespace) -> int:
    """Mark the inputs and write the folder; return the exit status."""
    out = Path(arguments.out)
    mend_swap(out)  # first of all, for what follows may be refused
    rubrics = known_rubrics(arguments.rubric)
    class_sets = read_inputs(
        [Path(path) for path in arguments.inputs],
        rubrics,
        practical=arguments.practical,
        columns=Path(arguments.columns) if arguments.columns else None,
        roster=Path(arguments.roster) if arguments.roster else None,
        trials=Path(arguments.trials) if arguments.trials else None,
    )
    again = _read_again(rubrics, arguments)
    with keeping(arguments, arguments.inputs) as keeper:
        marked = keeper.marked(rubrics, class_sets, again)
        end = keeper.end()
        compared = _compared(marked, rubrics, arguments, keeper) if arguments.compare else None
    trials = {one.practical: one.trials for one in class_sets if one.trials}
    notes = () if arguments.preview else notes_for(marked, trials)
    with replaced_folder(out) as folder:
        _write(folder, marked, notes, rubrics, arguments, end)
        if compared is not None:
            write_changes_csv(folder / "changes.csv", compared)
    if arguments.preview:
        print(f"Preview: {out / 'feedback'}")
        return 0
    if compared is not None and not arguments.json:
        students = len({change.student for change in compared})
        told = f"changes marks of {counted(students, 'student')}: see changes.csv" if students else "changes no mark"
        print(f"Against {Path(arguments.compare).name}, this edition {told}.")
    return _tell(out, marked, notes, compared, as_json=arguments.json)


def _read_again(rubrics: Mapping[str, Rubric], arguments: argparse.Namespace) -> tuple[ClassSet, ...]:
    """Return what was handed in a second time."""
    if not arguments.again:
        return ()
    return read_inputs(
        [Path(path) for path in arguments.again],
        rubrics,
        practical=arguments.practical,
        columns=Path(arguments.columns) if arguments.columns else None,
        roster=Path(arguments.roster) if arguments.roster else None,
    )


def _compared(
    marked: Sequence[MarkedSet], rubrics: Mapping[str, Rubric], arguments: argparse.Namespace, keeper: Keeper
) -> tuple[Change, ...]:
    """Return what the marks of today change against those of the other edition."""
    other = read_rubric(Path(arguments.compare))
    if all(one.rubric.id != other.id for one in marked):
        raise InputError(
            Path(arguments.compare).name, f"nothing here is {other.id}", "name an edition of this practical"
        )
    known = {**rubrics, other.id: other}
    before = read_inputs(
        [Path(path) for path in arguments.inputs],
        known,
        practical=arguments.practical,
        columns=Path(arguments.columns) if arguments.columns else None,
        roster=Path(arguments.roster) if arguments.roster else None,
    )
    # What the edition changes, not what the student did: the same versions and decisions on both sides.
    again = {one.practical: one for one in _read_again(known, arguments)}
    old = [
        keeper.decided(mark_versions(other, one, again.get(one.practical)))
        for one in before
        if one.practical == other.id
    ]
    pairs = [(first, one) for first in old for one in marked if one.rubric.id == other.id]
    return tuple(change for first, second in pairs for change in changes(first, second))


def known_rubrics(files: Sequence[str]) -> Mapping[str, Rubric]:
    """Return the catalogue, with the rubrics in *files* added; a file's rubric replaces one of the same id."""
    own = [read_rubric(Path(file)) for file in files]
    return {**load_catalogue(), **{rubric.id: rubric for rubric in own}}


def _options(arguments: argparse.Namespace, end: tuple[int, str] | None) -> dict[str, object]:
    # Names of files, not their folders: the same input gives the same bytes wherever it lies.
    return {
        "practical": arguments.practical,
        "columns": Path(arguments.columns).name if arguments.columns else None,
        "roster": Path(arguments.roster).name if arguments.roster else None,
        "rubric": [Path(file).name for file in arguments.rubric],
        "compare": Path(arguments.compare).name if arguments.compare else None,
        "marks": arguments.marks,
        "print": arguments.print,
        "preview": arguments.preview,
        **({"again": [Path(file).name for file in arguments.again]} if arguments.again else {}),
        **({"trials": Path(arguments.trials).name} if arguments.trials else {}),
        # Where the record ended that these marks come from.
        **({"record": f"{end[0]}:{end[1]}"} if end is not None else {}),
    }


def _write(
    folder: Path,
    marked: Sequence[MarkedSet],
    notes: Sequence[ClassNote],
    rubrics: Mapping[str, Rubric],
    arguments: argparse.Namespace,
    end: tuple[int, str] | None,
) -> None:
    by_student: dict[str, list[Script]] = {}
    for one in marked:
        for script in one.scripts:
            by_student.setdefault(script.write_up.student.code, []).append(script)
    _write_sheets(folder / "feedback", by_student, rubrics, arguments)
    if not arguments.preview:
        write_class_summary(folder / "class-summary.pdf", marked, notes)
        write_marks_workbook(folder / "marks.xlsx", marked)
        write_findings_csv(folder / "findings.csv", marked)
        write_class_notes_csv(folder / "class-notes.csv", notes)
        if before := first_versions(marked):
            write_findings_csv(folder / "first-versions.csv", before)
        if arguments.print:
            _write_print(folder, marked, by_student, rubrics, notes, MarksShown(arguments.marks))
    text = json.dumps(_account(marked, _options(arguments, end)), indent=2, ensure_ascii=False)
    (folder / OURS).write_text(text + "\n", encoding="utf-8", newline="\n")


def _write_sheets(
    folder: Path, by_student: Mapping[str, list[Script]], rubrics: Mapping[str, Rubric], arguments: argparse.Namespace
) -> None:
    from tqdm import tqdm

    names = file_names(list(by_student))
    chosen = list(by_student.items())[: arguments.preview or None]
    folder.mkdir()
    # Shown on a terminal only, and only when it takes longer than a second.
    for code, scripts in tqdm(chosen, desc="feedback", unit=" students", disable=None, delay=1):
        write_feedback(folder / f"{names[code]}.pdf", scripts, rubrics, marks=MarksShown(arguments.marks))


def _write_print(
    folder: Path,
    marked: Sequence[MarkedSet],
    by_student: Mapping[str, list[Script]],
    rubrics: Mapping[str, Rubric],
    notes: Sequence[ClassNote],
    marks: MarksShown,
) -> None:
    """Write what goes to the printer and the projector in one go."""
    write_feedback_print(folder / "feedback-print.pdf", by_student.values(), rubrics, marks=marks, double_sided=True)
    write_task_answers(folder / "task-answers.pdf", marked)
    write_projector_pages(folder / "projector.pdf", marked)
    if benches_off(notes):
        write_technician_note(folder / "technician-note.pdf", notes, rubrics)


def _account(marked: Sequence[MarkedSet], options: object) -> dict[str, object]:
    sources = {(source.name, source.sha256) for one in marked for source in one.sources}
    return {
        "program": {"name": "writeups", "version": program_version()},
        "read": [{"name": name, "sha256": digest} for name, digest in sorted(sources)],
        "rubrics": [
            {"id": one.rubric.id, "edition": one.rubric.edition, "sha256": one.rubric.sha256} for one in marked
        ],
        "options": options,
        "counts": [
            {
                "practical": one.rubric.id,
                "students": len(one.scripts),
                "handed_in": sum(bool(script.criteria) for script in one.scripts),
                "findings": sum(len(script.findings) for script in one.scripts),
                "marks_pending": sum(script.pending for script in one.scripts),
                "queries": sum(remark.weight is not Weight.NOTE for remark in one.remarks),
                "learned": [
                    {"kind": share.kind, "cause": share.cause, "before": share.before, "after": round(share.after, 3)}
                    for share in one.learned
                ],
            }
            for one in marked
        ],
    }


def _tell(
    out: Path,
    marked: Sequence[MarkedSet],
    notes: Sequence[ClassNote],
    compared: Sequence[Change] | None,
    *,
    as_json: bool,
) -> int:
    remarks = list(dict.fromkeys(remark for one in marked for remark in one.remarks))
    told = [remark for remark in remarks if remark.weight is not Weight.NOTE]
    attention = [remark.message for remark in told]
    # While the lesson is on: what can still be measured again.
    attention += [_where(note) + note.message for note in notes if note.kind is NoteKind.LESSON]
    if as_json:
        more = {} if compared is None else {"changes": [dataclasses.asdict(change) for change in compared]}
        print(json.dumps({"out": str(out), "attention": attention, **more, **_account(marked, None)}))
        return 1 if attention else 0
    for one in marked:
        missing = [s.write_up.student.code for s in one.scripts if not s.criteria]
        print(f"{one.rubric.title}: {counted(len(one.scripts) - len(missing), 'write-up')} marked.")
        if missing:
            print(f"  Nothing handed in: {', '.join(missing)}")
    _list(attention)
    rest = len(remarks) - len(told)
    if rest:
        print(f"{counted(rest, 'note')} on how cells were read: see the last page of the class summary.")
    print(f"Open {out / 'class-summary.pdf'} first. Feedback sheets: {out / 'feedback'}")
    return 1 if attention else 0


def _where(note: ClassNote) -> str:
    parts = [f"Bench {note.bench}"] if note.bench else []
    return f"{', '.join([*parts, *note.students])}: "


def _list(attention: Sequence[str]) -> None:
    if not attention:
        return
    print(f"\nNeeds attention ({len(attention)}):", file=sys.stderr)
    for message in attention[:MOST_SHOWN]:
        print(f"  {message}", file=sys.stderr)
    if len(attention) > MOST_SHOWN:
        print(
            f"  ... and {len(attention) - MOST_SHOWN} more, in marks.xlsx and class-notes.csv",
            file=sys.stderr,
        )
