"""``writeups mark``: read, check, mark, report."""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path

# Set before numpy is first imported: threads for arrays this small only cost time.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from marking.class_notes import ClassNote
from marking.cohort import notes_for
from marking.commands.program import program_version
from marking.commands.record_use import Keeper, keeping
from marking.commands.told_of_marks import Told, account_of, beside_words, compared_words, tell
from marking.compared import Change, changes, first_versions, mark_versions
from marking.file_names import file_names
from marking.findings import MarkedSet, Script
from marking.intake import Reading, read_all, read_inputs
from marking.outputs import KEPT, OURS, changed_by_hand, held, is_ours, replaced_folder, written_files
from marking.write_up import ClassSet
from reports.tables import write_changes_csv, write_class_notes_csv, write_findings_csv, write_marks_workbook
from rubrics.faults import InputError
from rubrics.load import Catalogue, load_catalogue, read_rubric
from rubrics.model import Rubric

MARKS_FILE = "marks.xlsx"
NEEDS_THE_WHOLE = ("again", "compare", "record", "trials")
"""Options that look at a whole set at once."""


def run(arguments: argparse.Namespace) -> int:
    """Mark the inputs and write the folder; return the exit status."""
    _refuse_together(arguments)
    out = _place(Path(arguments.out), is_preview=bool(arguments.preview))
    if out.exists() and not is_ours(out):
        raise InputError(out.resolve().name, "this is not a folder of results", "name a new folder after --out")
    with held(out):  # from the first reading on: what is typed in the old results has to be what is replaced
        status = _large(out, arguments) if arguments.no_paper else None
        return _run(out, arguments) if status is None else status


def _large(out: Path, arguments: argparse.Namespace) -> int | None:
    """Mark a set that is too large to hold; return the exit status, None where the set is a class like others."""
    wanted = [name for name in NEEDS_THE_WHOLE if getattr(arguments, name)]
    if wanted and arguments.cluster:
        raise InputError("--cluster", f"does not go with --{wanted[0]}, which needs the whole set", "leave one out")
    if wanted:
        return None
    # Loaded only here: a class needs none of it.
    from marking.intake.parts import Asked
    from marking.many import Call, mark_large

    asked = Asked(
        paths=[Path(path) for path in arguments.inputs],
        practical=arguments.practical,
        columns=Path(arguments.columns) if arguments.columns else None,
        roster=Path(arguments.roster) if arguments.roster else None,
        results=Path(arguments.out),
    )
    call = Call(
        asked=asked,
        options=_options(arguments, None),
        program=program_version(),
        workers=arguments.workers,
        cluster=arguments.cluster,
        may_lose_ticks=arguments.replace,
        as_json=arguments.json,
    )
    return mark_large(out, known_rubrics(arguments.rubric, arguments.graph), call)


def _refuse_together(arguments: argparse.Namespace) -> None:
    wanted = [name for name in ("print", "preview") if getattr(arguments, name)]
    if arguments.no_paper and wanted:
        raise InputError(f"--no-paper and --{wanted[0]}", "one asks for paper, the other for none", "leave one out")
    if arguments.cluster and not arguments.no_paper:
        raise InputError("--cluster", "other machines cannot write sheets into your folder", "add --no-paper")


def _place(out: Path, *, is_preview: bool) -> Path:
    """Return where to write: a preview goes beside results that are there, and those stay as they are."""
    is_done = (out / MARKS_FILE).exists()
    return out.with_name(f"{out.resolve().name}-preview") if is_preview and is_done else out


def _run(out: Path, arguments: argparse.Namespace) -> int:
    rubrics = known_rubrics(arguments.rubric, arguments.graph)
    reading = read_all(
        [Path(path) for path in arguments.inputs],
        rubrics,
        practical=arguments.practical,
        columns=Path(arguments.columns) if arguments.columns else None,
        roster=Path(arguments.roster) if arguments.roster else None,
        trials=Path(arguments.trials) if arguments.trials else None,
        results=Path(arguments.out),
    )
    if reading.strangers and not arguments.replace and not arguments.preview:
        _refuse_strangers(out, reading)
    class_sets = reading.sets
    again = _read_again(rubrics, arguments)
    with keeping(arguments, arguments.inputs) as keeper:
        marked = keeper.marked(rubrics, class_sets, again)
        end = keeper.end()
        compared = _compared(marked, rubrics, arguments, keeper) if arguments.compare else None
    trials = {one.practical: one.trials for one in class_sets if one.trials}
    notes = () if arguments.preview else notes_for(marked, trials)
    kept = tuple(name for name in changed_by_hand(out) if not name.startswith(f"{KEPT}/")) if out.exists() else ()
    with replaced_folder(out) as folder:
        _write(folder, marked, notes, rubrics, arguments)
        if compared is not None:
            write_changes_csv(folder / "changes.csv", compared)
        _write_account(folder, marked, arguments, end)
    if arguments.preview:
        print(f"Preview: {out / 'feedback'}")
        return 0
    told = Told(
        out=out,
        marked=marked,
        notes=notes,
        compared=compared,
        reading=reading,
        kept=kept,
        has_paper=not arguments.no_paper,
    )
    if not arguments.json:
        if compared is not None:
            print(compared_words(Path(arguments.compare).name, compared))
        print(beside_words(reading))
        if arguments.graph != "paper":
            print(*_left_out(marked, arguments.rubric), sep="\n")
    return tell(told, as_json=arguments.json)


def _left_out(marked: Sequence[MarkedSet], files: Sequence[str]) -> Iterator[str]:
    """Yield what a graph that is not marked takes from each total."""
    whole = known_rubrics(files)
    for one in marked:
        before = whole[one.rubric.id].total
        if before != one.rubric.total:
            yield f"The graph on paper is not marked: {one.rubric.id} is out of {one.rubric.total}, not {before}."


def _refuse_strangers(out: Path, reading: Reading) -> None:
    students = ", ".join(dict.fromkeys(student for student, _, _ in reading.strangers))
    said = f"marks.xlsx there holds what a teacher typed about {students}, who are not in this set"
    raise InputError(out.name, said, "name another folder after --out, or add --replace where they may go")


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
    marked: Sequence[MarkedSet], rubrics: Catalogue, arguments: argparse.Namespace, keeper: Keeper
) -> tuple[Change, ...]:
    """Return what the marks of today change against those of the other edition."""
    other = read_rubric(Path(arguments.compare))
    if all(one.rubric.id != other.id for one in marked):
        raise InputError(
            Path(arguments.compare).name, f"nothing here is {other.id}", "name an edition of this practical"
        )
    known = rubrics.with_own([other])
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


def known_rubrics(files: Sequence[str], graph: str = "paper") -> Catalogue:
    """Return the catalogue, with the rubrics in *files* added; a file's rubric replaces one of the same id.

    With *graph* ``none`` the graph on paper is not marked.
    """
    known = load_catalogue().with_own(read_rubric(Path(file)) for file in files)
    return known if graph == "paper" else known.without_paper()


def _options(arguments: argparse.Namespace, end: tuple[int, str] | None) -> dict[str, object]:
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
) -> None:
    by_student: dict[str, list[Script]] = {}
    for one in marked:
        for script in one.scripts:
            by_student.setdefault(script.write_up.student.code, []).append(script)
    if not arguments.no_paper:
        _write_sheets(folder / "feedback", by_student, rubrics, arguments)
    if not arguments.preview:
        if not arguments.no_paper:
            _write_summary(folder / "class-summary.pdf", marked, notes)
        write_marks_workbook(folder / MARKS_FILE, marked)
        write_findings_csv(folder / "findings.csv", marked)
        write_class_notes_csv(folder / "class-notes.csv", notes)
        if before := first_versions(marked):
            write_findings_csv(folder / "first-versions.csv", before)
        if arguments.print:
            _write_print(folder, marked, by_student, rubrics, notes, arguments)


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
    account = {**account_of(marked, _options(arguments, end)), **kept}
    text = json.dumps(account, indent=2, ensure_ascii=False)
    (folder / OURS).write_text(text + "\n", encoding="utf-8", newline="\n")


def _write_sheets(
    folder: Path, by_student: Mapping[str, list[Script]], rubrics: Mapping[str, Rubric], arguments: argparse.Namespace
) -> None:
    from reports.student import MarksShown, write_feedback

    names = file_names(list(by_student))
    chosen = list(by_student.items())[: arguments.preview or None]
    folder.mkdir()
    for code, scripts in _told_as_it_goes(chosen):
        write_feedback(folder / f"{names[code]}.pdf", scripts, rubrics, marks=MarksShown(arguments.marks))


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
