"""What the terminal tells of a set that was marked, and the account of the run that is kept with the results."""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from pathlib import Path

from msgspec import Struct, structs

from marking.class_notes import ClassNote, NoteKind
from marking.commands.counting import counted
from marking.compared import Change
from marking.findings import MarkedSet
from marking.intake import Reading
from marking.outputs import KEPT
from marking.version import VERSION
from marking.write_up import Weight

ALL_SHEETS = "feedback-print.pdf"
MOST_SHOWN = 20
"""Remarks listed on the terminal; all of them stand in the class summary and the marks workbook."""


class Told(Struct, frozen=True, kw_only=True):
    """What came of a run."""

    out: Path
    marked: Sequence[MarkedSet]
    notes: Sequence[ClassNote]
    compared: Sequence[Change] | None
    reading: Reading
    kept: tuple[str, ...]
    has_paper: bool = True


def tell(told: Told, *, as_json: bool) -> int:
    """Say what was done and what needs attention; return the exit status."""
    out, marked = told.out, told.marked
    remarks = list(dict.fromkeys(remark for one in marked for remark in one.remarks))
    heavy = [remark for remark in remarks if remark.weight is not Weight.NOTE]
    attention = [remark.message for remark in heavy]
    # While the lesson is on: what can still be measured again.
    attention += [_where(note) + note.message for note in told.notes if note.kind is NoteKind.LESSON]
    if as_json:
        more = {} if told.compared is None else {"changes": [structs.asdict(change) for change in told.compared]}
        found = {"roster": told.reading.roster, "trials": told.reading.trials, "kept": list(told.kept)}
        print(json.dumps({"out": str(out), "attention": attention, **found, **more, **account_of(marked, None)}))
        return 1 if attention else 0
    for one in marked:
        missing = [s.write_up.student for s in one.scripts if not s.criteria]
        print(f"{one.rubric.title}: {counted(len(one.scripts) - len(missing), 'write-up')} marked.")
        for said, is_away in (("Absent", True), ("Nothing handed in", False)):
            codes = [student.code for student in missing if student.absent is is_away]
            if codes:
                print(f"  {said}: {', '.join(codes)}")
    _list(attention)
    rest = len(remarks) - len(heavy)
    if rest:
        where = "the last page of the class summary" if told.has_paper else "the sheet Input remarks of marks.xlsx"
        print(f"{counted(rest, 'note')} on how cells were read: see {where}.")
    if told.kept:
        print(f"Changed by hand since the last run, and kept in {out / KEPT}: {', '.join(told.kept)}")
    if told.has_paper:
        print(f"Open {out / 'class-summary.pdf'} first. Feedback sheets: {out / 'feedback'}")
        if (out / ALL_SHEETS).exists():
            print(f"All sheets in one file, to print: {out / ALL_SHEETS}")
    else:
        print(f"Marks: {out / 'marks.xlsx'}. Findings: {out / 'findings.csv'}. No paper, as asked.")
    _tell_waiting(out, marked)
    return 1 if attention else 0


def _tell_waiting(out: Path, marked: Sequence[MarkedSet]) -> None:
    waiting = sum(script.pending for one in marked for script in one.scripts)
    if waiting:
        wait = "waits" if waiting == 1 else "wait"
        where = out / "marks.xlsx"
        print(f"{counted(waiting, 'mark')} {wait} for you: tick on the sheet Ticks of {where}, and run this again.")


def compared_words(edition: str, compared: Sequence[Change]) -> str:
    """Return how many marks this edition of a rubric changes against the other one, in a sentence."""
    students = len({change.student for change in compared})
    said = f"changes marks of {counted(students, 'student')}: see changes.csv" if students else "changes no mark"
    return f"Against {edition}, this edition {said}."


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


def beside_words(reading: Reading) -> str:
    """Return which roster and trial values were used, or what is missed without a roster."""
    trials = f" Trial values: {reading.trials}." if reading.trials else ""
    if reading.roster:
        return f"Roster: {reading.roster}.{trials}"
    lost = "names, large print and who is missing are not known"
    return f"No roster, so {lost}: name it after --roster, or put roster.csv beside the input.{trials}"


def account_of(marked: Sequence[MarkedSet], options: object) -> dict[str, object]:
    """Return what was read, by which program and rubrics, and what it came to, ready for JSON."""
    sources = {(source.name, source.sha256) for one in marked for source in one.sources}
    return {
        "program": {"name": "writeups", "version": VERSION},
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
