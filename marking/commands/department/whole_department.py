"""``writeups mark --department``: every class of a department's list, and what they came to beside each other.

Each class gets the folder of results that ``writeups mark`` would make of its set alone. A class that cannot be read
costs that class and nothing else.
"""

from __future__ import annotations

import argparse
import contextlib
import io
import json
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

from msgspec import Struct

from marking.commands.counting import counted
from marking.commands.mark import known_rubrics, marked_inputs, tell_results
from marking.commands.written_results import MOST_UNASKED, write_results
from marking.compared import MarkedAgain, marked_again
from marking.decided import SetName, Work, work_of
from marking.file_names import file_names
from marking.findings import MarkedSet
from marking.hands import hands
from marking.moderation.department import ClassLine, marks_before, read_department
from marking.outputs import OURS, held, replaced_folder, written_files
from marking.over_time import Practical
from marking.version import VERSION
from reports.tables import write_class_marks_csv, write_marked_again_csv
from rubrics.faults import InputError, WriteupsError
from rubrics.load import Catalogue

TOGETHER = "department"
"""The folder, beside those of the classes, of what is told of all of them."""
AGAIN_FILE = "marked-again.csv"
PAYS_FROM = 4
"""Classes from which several processes mark them where nobody says how many."""
_OF_A_CLASS = ("practical", "roster", "trials", "again", "preview", "cluster", "parquet", "class_name")
"""Options that are about one class, or about a set too large for paper."""


class ClassDone(Struct, frozen=True, kw_only=True):
    """What became of one class: all that another process has to send back."""

    line: ClassLine
    status: int
    said: str
    """For the terminal, as ``writeups mark`` says it."""
    complained: str
    """The same, of what needs attention."""
    unread: str
    """Why the class could not be marked; empty where it was."""
    told: tuple[Practical, ...] = ()
    again: tuple[MarkedAgain, ...] = ()


def run(arguments: argparse.Namespace) -> int:
    """Mark the classes and write what they came to; return the exit status."""
    _refuse(arguments)
    lines = read_department(Path(arguments.department), fewest_markers=1)
    out = Path(arguments.out)
    rubrics = known_rubrics(arguments.rubric, arguments.graph)
    if arguments.criterion and not any(
        one.code == arguments.criterion for rubric in rubrics.values() for one in rubric.criteria
    ):
        raise InputError("--criterion", f"no practical has a criterion {arguments.criterion}", "see writeups catalogue")
    with held(out):
        done = _all_classes(lines, arguments, _tell_class if not arguments.json else _keep_silent)
        with replaced_folder(out / _together(arguments)) as folder:
            _write(folder, done, rubrics, arguments)
            account = _account(done, arguments)
            text = json.dumps({**account, "wrote": written_files(folder)}, indent=2, ensure_ascii=False)
            (folder / OURS).write_text(text + "\n", encoding="utf-8", newline="\n")
    if arguments.json:
        print(json.dumps({"out": str(out), **account}, ensure_ascii=False))
    else:
        _tell(out, done, arguments)
    if all(one.unread for one in done):
        return 2
    return max(min(one.status, 1) for one in done)


def _together(arguments: argparse.Namespace) -> str:
    """Return the name of the folder for all classes; one criterion marked again leaves the rest as it is."""
    return f"criterion-{arguments.criterion}" if arguments.criterion else TOGETHER


def _refuse(arguments: argparse.Namespace) -> None:
    if arguments.inputs:
        raise InputError("--department", "the list says what is marked", "leave the other inputs out, or the list")
    wanted = [name for name in _OF_A_CLASS if getattr(arguments, name)]
    if wanted and not (arguments.criterion and wanted == ["practical"]):
        option = "class" if wanted[0] == "class_name" else wanted[0]
        raise InputError(f"--{option}", "is about one class", "leave it out, or mark that class by itself")


def _all_classes(
    lines: Sequence[ClassLine], arguments: argparse.Namespace, tell: Callable[[ClassDone], None]
) -> list[ClassDone]:
    """Mark every class, in the order of the list, several at a time where that pays."""
    folders = file_names([TOGETHER, *(line.class_name for line in lines)])
    jobs = [(line, folders[line.class_name]) for line in lines]
    done = []
    with hands(arguments, _workers(arguments, len(lines))) as those:
        for one in those.each(_one_class, jobs):
            tell(one)
            done.append(one)
    return done


def _workers(arguments: argparse.Namespace, classes: int) -> int:
    if arguments.record:
        return 1  # decisions are taken down one after the other
    if arguments.workers is not None:
        return min(int(arguments.workers), classes)
    return min(os.cpu_count() or 1, MOST_UNASKED, classes) if classes >= PAYS_FROM else 1


def _one_class(arguments: argparse.Namespace, job: tuple[ClassLine, str]) -> ClassDone:
    """Mark one class as if it had been given alone; what it says is kept for whoever started this."""
    line, folder = job
    own = argparse.Namespace(**vars(arguments))
    own.inputs, own.workers = [str(line.set)], 1
    own.out = str(Path(arguments.out) / folder)
    if arguments.record:
        own.class_name = line.class_name
    said, complained = io.StringIO(), io.StringIO()
    status, unread = 0, ""
    marked: Sequence[MarkedSet] = ()
    again: tuple[MarkedAgain, ...] = ()
    with contextlib.redirect_stdout(said), contextlib.redirect_stderr(complained):
        try:
            status, marked = _marked_alone(own)
            if arguments.criterion:
                marked = [one for one in marked if arguments.practical in (None, one.rubric.id)]
                again = tuple(_again(line, marked, arguments.criterion, Path(own.out)))
        except WriteupsError as error:
            status, unread = 2, str(error)
    return ClassDone(
        line=line,
        status=status,
        said=said.getvalue(),
        complained=complained.getvalue(),
        unread=unread,
        told=tuple(_practical(one, line.class_name) for one in marked),
        again=again,
    )


def _marked_alone(own: argparse.Namespace) -> tuple[int, Sequence[MarkedSet]]:
    out = Path(own.out)
    if own.criterion:
        return 0, marked_inputs(out, own).marked
    with held(out):
        found = marked_inputs(out, own)
        told = write_results(out, found, own)
        return tell_results(told, own), found.marked


def _practical(marked: MarkedSet, class_name: str) -> Practical:
    works: dict[str, Work] = {}
    for script in marked.scripts:
        work = work_of(script)
        if work is not None:
            works[script.write_up.student.code] = work
    return Practical(name=SetName(class_name=class_name, practical=marked.rubric.id), day="", works=works)


def _again(line: ClassLine, marked: Sequence[MarkedSet], criterion: str, usual: Path) -> list[MarkedAgain]:
    """Return what the criterion comes to now, beside the results of the list, or those that lie where they would be."""
    results = line.results or (usual if (usual / OURS).exists() else None)
    found: list[MarkedAgain] = []
    for one in marked:
        before = marks_before(results, one.rubric.id, criterion) if results is not None else {}
        found += marked_again(one, criterion, line.class_name, line.marker, before)
    return found


# ---- what is written and told --------------------------------------------------------------------------------


def _write(folder: Path, done: Sequence[ClassDone], rubrics: Catalogue, arguments: argparse.Namespace) -> None:
    told = [one for each in done for one in each.told]
    markers = {one.line.class_name: one.line.marker for one in done}
    if arguments.criterion:
        write_marked_again_csv(folder / AGAIN_FILE, [a for one in done for a in one.again])
        return
    write_class_marks_csv(folder / "criteria.csv", told, markers)
    if arguments.no_paper:
        return
    # What sets paper is loaded where paper is wanted.
    from reports.teacher import write_department_summary

    unread = {one.line.class_name: one.unread for one in done if one.unread}
    write_department_summary(folder / "department-summary.pdf", told, markers, rubrics, unread)


def _account(done: Sequence[ClassDone], arguments: argparse.Namespace) -> dict[str, object]:
    return {
        "program": {"name": "writeups", "version": VERSION},
        "department": Path(arguments.department).name,
        **({"criterion": arguments.criterion} if arguments.criterion else {}),
        "classes": [
            {
                "class": one.line.class_name,
                "marker": one.line.marker,
                "status": one.status,
                "unread": one.unread,
                "handed_in": {each.name.practical: len(each.works) for each in one.told},
                "marks_pending": sum(work.pending for each in one.told for work in each.works.values()),
            }
            for one in done
        ],
    }


def _keep_silent(_: ClassDone) -> None:
    """Say nothing: a script reads the whole account at the end."""


def _tell_class(one: ClassDone) -> None:
    if one.said or one.unread:
        print(f"\n{one.line.class_name}, {one.line.marker}", flush=True)
    if one.said:
        print("\n".join(f"  {line}" for line in one.said.splitlines()), flush=True)
    if one.unread:
        print(f"  Not marked: {one.unread}", file=sys.stderr)
    elif one.complained.strip():
        print("\n".join(f"  {line}" for line in one.complained.strip().splitlines()), file=sys.stderr)


def _tell(out: Path, done: Sequence[ClassDone], arguments: argparse.Namespace) -> None:
    marked = sum(len(each.works) for one in done for each in one.told)
    print(f"\n{counted(len(done), 'class', 'classes')}, {counted(marked, 'write-up')}.")
    if arguments.criterion:
        again = [line for one in done for line in one.again]
        others = sum(line.is_other for line in again)
        where = out / _together(arguments) / AGAIN_FILE
        known = sum(line.before is not None for line in again)
        said = f"{counted(len(again), 'mark')}, {known} known before, {others} of them now other"
        print(f"{arguments.criterion}: {said}. See {where}")
    elif arguments.no_paper:
        print(f"Criterion by criterion: {out / TOGETHER / 'criteria.csv'}")
    else:
        print(f"Open {out / TOGETHER / 'department-summary.pdf'} first; each class has its folder in {out}.")
