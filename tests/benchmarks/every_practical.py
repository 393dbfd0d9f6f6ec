"""How well causes are found in every practical of the catalogue, on classes made as the samples are.

    python -m tests.benchmarks.every_practical [--students N] [--seed S] [--practical ID]

The readings come from the apparatus (``samples/benches``), the answers from the rubric's own formulas, and the slips
from ``samples``; so a wrong formula in a rubric would not show here. ``tests.benchmarks.causes`` has practicals whose
sums are written apart, and says of each slip what else prints the same; here nothing is left out for that.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path

from msgspec import Struct, field

from marking.checking.marking_set import mark_set
from marking.findings import Finding, MarkedSet, Outcome
from marking.intake.read_inputs import read_inputs
from marking.reasons import Reason
from marking.write_up import Student
from rubrics.load import load_catalogue
from rubrics.model.practical import CheckKind, Rubric
from samples.bench_class import SLIP_RATE, fill_desk
from samples.bench_data import bench_data
from samples.habits import ordinary
from samples.make_samples import FilledSet, write
from samples.mistakes import Planted
from samples.scenario import bare_set

CLASS = 30
BENCH_COUNT = 12


class Count(Struct):
    """What was counted over one practical."""

    first: int = 0
    within: int = 0
    wrong: int = 0
    let_pass: int = 0
    lost: list[Finding] = field(default_factory=list)
    """Right values that were withheld."""
    right: int = 0
    missed: Counter[tuple[str, str]] = field(default_factory=Counter)


def count_class(count: Count, rubric: Rubric, size: int, seed: str) -> None:
    """Put one class through the main path and add what was said to *count*."""
    students = tuple(Student(code=f"S{n:03}", name="", bench=str(n % BENCH_COUNT + 1)) for n in range(size))
    data = bench_data()[rubric.id]
    work = {one.code: fill_desk(rubric, data, one, seed, habits=ordinary, slip_rate=SLIP_RATE).work for one in students}
    sample = bare_set(rubric.id, students, seed)
    filled = FilledSet(sample=sample, write_ups=work)
    with tempfile.TemporaryDirectory() as folder:
        write(filled, rubric, Path(folder))
        (class_set,) = read_inputs([Path(folder)], {rubric.id: rubric})
        marked = mark_set(rubric, class_set)
    _add(count, marked, filled.planted)


def _add(count: Count, marked: MarkedSet, planted: Sequence[Planted]) -> None:
    slips = {(one.student, one.item, one.row): one for one in planted if one.lost == "value"}
    for finding in _values(marked):
        key = (finding.student, finding.item)
        slip = slips.get((*key, finding.row)) or slips.get((*key, None))
        if slip is None:
            count.right += 1
            if finding.outcome is Outcome.WITHHELD:
                count.lost.append(finding)
        elif finding.outcome is not Outcome.WITHHELD:
            count.let_pass += 1
        else:
            count.wrong += 1
            count.first += finding.cause == slip.cause
            count.within += slip.cause in {str(one.cause) for one in finding.explanations}
            if finding.cause != slip.cause:
                count.missed[slip.cause, str(finding.cause)] += 1


def _values(marked: MarkedSet) -> Iterator[Finding]:
    """Yield the findings on values that were given."""
    kinds = {criterion.code: criterion.check for criterion in marked.rubric.criteria}
    for script in marked.scripts:
        for finding in script.findings:
            if kinds.get(finding.criterion) is CheckKind.VALUE and finding.reason is not Reason.NO_ANSWER:
                yield finding


def main(arguments: Sequence[str] | None = None) -> int:
    """Print a line for each practical; return 1 where a right value was withheld."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.every_practical")
    parser.add_argument("--students", type=int, default=120, help="a practical")
    parser.add_argument("--seed", default="1")
    parser.add_argument("--practical", action="append", help="may be given several times")
    chosen = parser.parse_args(arguments)
    rubrics = load_catalogue()
    whole, lost = Count(), 0
    print(f"{'practical':26}{'first':>7}{'within':>8}{'of':>6}{'let pass':>10}{'lost':>6}{'of':>7}")
    for practical in chosen.practical or sorted(bench_data()):
        count = Count()
        for number in range(-(-chosen.students // CLASS)):
            size = min(CLASS, chosen.students - number * CLASS)
            count_class(count, rubrics[practical], size, f"{chosen.seed} {number}")
        print(_line(practical, count))
        for finding in count.lost[:3]:
            print(f"    right value withheld: {finding.item} row {finding.row}: {finding.entry}")
        lost += len(count.lost)
        for name in ("first", "within", "wrong", "let_pass", "right"):
            setattr(whole, name, getattr(whole, name) + getattr(count, name))
        whole.lost += count.lost
        whole.missed.update(count.missed)
    print(_line("all", whole))
    for (planted, said), times in whole.missed.most_common(8):
        print(f"    {times} x {planted} called {said}")
    return 1 if lost else 0


def _line(name: str, count: Count) -> str:
    share = [f"{100 * part / count.wrong:.0f} %" if count.wrong else "-" for part in (count.first, count.within)]
    cells = f"{share[0]:>7}{share[1]:>8}{count.wrong:>6}{count.let_pass:>10}{len(count.lost):>6}{count.right:>7}"
    return f"{name:26}{cells}"


if __name__ == "__main__":
    sys.exit(main())
