"""``writeups mark``: read, check, mark, report."""

from __future__ import annotations

import argparse
import os
from collections.abc import Iterator, Mapping, Sequence
from contextlib import ExitStack
from pathlib import Path

# Set before numpy is first imported: threads for arrays this small only cost time.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from marking.collector import collector_resting, leave_alone, search_seldom
from marking.commands.record_use import Keeper, keeping
from marking.commands.told_of_marks import Told, beside_words, compared_words, tell
from marking.commands.written_results import (
    MARKS_FILE,
    MarkedInputs,
    begun_leads,
    fewest_in,
    hands_for,
    options_of,
    write_results,
)
from marking.compared import Change, changes, mark_versions
from marking.findings import MarkedSet
from marking.hands import Shared
from marking.intake import Reading, read_all, read_inputs
from marking.outputs import held, is_ours
from marking.version import VERSION
from marking.write_up import ClassSet
from rubrics.faults import InputError
from rubrics.load import Catalogue, load_catalogue, read_rubric
from rubrics.model import Rubric

NEEDS_THE_WHOLE = ("again", "compare", "record", "trials")
"""Options that look at a whole set at once."""


def run(arguments: argparse.Namespace) -> int:
    """Mark the inputs and write the folder; return the exit status."""
    if not arguments.inputs:
        raise InputError("mark", "nothing to mark was named", "name a workbook, a folder or a CSV file, see help mark")
    if arguments.criterion:
        raise InputError("--criterion", "goes through the classes of a list", "name the list after --department")
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
    if wanted and (arguments.cluster or arguments.parquet):
        option = "--cluster" if arguments.cluster else "--parquet"
        raise InputError(option, f"does not go with --{wanted[0]}, which needs the whole set", "leave one out")
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
        options=options_of(arguments, None),
        program=VERSION,
        workers=arguments.workers,
        cluster=arguments.cluster,
        parquet=arguments.parquet,
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
    if arguments.parquet and not arguments.no_paper:
        raise InputError("--parquet", "is for tables of large sets", "add --no-paper")


def _place(out: Path, *, is_preview: bool) -> Path:
    """Return where to write: a preview goes beside results that are there, and those stay as they are."""
    is_done = (out / MARKS_FILE).exists()
    return out.with_name(f"{out.resolve().name}-preview") if is_preview and is_done else out


def _run(out: Path, arguments: argparse.Namespace) -> int:
    search_seldom()
    with ExitStack() as until:
        with collector_resting():
            found = marked_inputs(out, arguments, until)
            leave_alone()  # what was read and marked lasts to the end
        told = write_results(out, found, arguments)
    if arguments.preview:
        print(f"Preview: {out / 'feedback'}")
        return 0
    return tell_results(told, arguments)


def marked_inputs(out: Path, arguments: argparse.Namespace, until: ExitStack | None = None) -> MarkedInputs:
    """Read and mark the inputs.

    Args:
        out: Where results may be already, with what a teacher typed in them.
        arguments: The options of the run.
        until: With what processes end that help with it; where it is None, none are started.
    """
    rubrics = known_rubrics(arguments.rubric, arguments.graph)
    paths = [Path(path) for path in arguments.inputs]
    helped = hands_for(arguments, until, fewest_in(paths))  # they load while the input is read
    reading = read_all(
        paths,
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
    hands = helped or hands_for(arguments, until, sum(len(one.write_ups) for one in class_sets)) or Shared(None)
    leads = begun_leads(rubrics, class_sets, arguments, hands)
    again = _read_again(rubrics, arguments)
    with keeping(arguments, arguments.inputs) as keeper:
        marked = keeper.marked(rubrics, class_sets, again, hands)
        end = keeper.end()
        compared = _compared(marked, rubrics, arguments, keeper) if arguments.compare else None
    return MarkedInputs(
        rubrics=rubrics, reading=reading, marked=marked, compared=compared, end=end, hands=hands, leads=leads
    )


def tell_results(told: Told, arguments: argparse.Namespace) -> int:
    """Say what was done and what needs attention; return the exit status."""
    if not arguments.json:
        if told.compared is not None:
            print(compared_words(Path(arguments.compare).name, told.compared))
        print(beside_words(told.reading))
        for line in _left_out(told.marked, arguments.rubric):
            print(line)
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
