"""What is said of answers that are off by a little for no reason that can be known, in every practical.

    python -m tests.benchmarks.near_misses [--students N] [--seed S] [--practical ID] [--examples N]

Each student of a careful class has one answer of the last lines made 1 to 6 % wrong and written to three or four
figures; everything before it stands as it was. No cause can be known of such an answer, whatever digits happen to fit:
a cause named as sure is counted against the program.
"""

from __future__ import annotations

import argparse
import re
import sys
import tempfile
from collections import Counter
from collections.abc import Mapping, Sequence
from pathlib import Path
from random import Random

from msgspec import Struct, field

from marking.checking.marking_set import mark_set
from marking.findings import Cause, Finding, Outcome
from marking.intake.read_inputs import read_inputs
from marking.write_up import Student
from rubrics.load import load_catalogue
from rubrics.model.practical import CheckKind, Rubric
from samples.bench_class import fill_desk
from samples.bench_data import bench_data
from samples.habits import ordinary
from samples.make_samples import FilledSet, write
from samples.scenario import bare_set
from samples.sheet import WriteUp, rows_of
from tests.apparatus.figures import written

CLASS = 40
BENCH_COUNT = 12
NEAR = (0.01, 0.06)
SURE = 0.8
"""From this confidence on a sheet names the cause."""
_NUMBER = re.compile(r"-?[0-9]+(?:\.[0-9]+)?")


class Count(Struct):
    """What became of the near misses of one practical."""

    awarded: int = 0
    for_teacher: int = 0
    withheld: int = 0
    unexplained: int = 0
    sure: list[Finding] = field(default_factory=list)
    """Withheld with a cause named as if it were known."""
    causes: Counter[Cause] = field(default_factory=Counter)

    @property
    def total(self) -> int:
        """Return how many there were."""
        return self.awarded + self.for_teacher + self.withheld

    def add(self, finding: Finding) -> None:
        """Count one."""
        if finding.outcome is Outcome.AWARDED:
            self.awarded += 1
        elif finding.outcome is Outcome.FOR_TEACHER:
            self.for_teacher += 1
        else:
            self.withheld += 1
            self.unexplained += finding.cause is Cause.UNEXPLAINED
            if finding.cause is not Cause.UNEXPLAINED and (finding.confidence or 0.0) >= SURE:
                self.sure.append(finding)
                self.causes[finding.cause] += 1

    def join(self, other: Count) -> None:
        """Count all of *other* too."""
        for name in ("awarded", "for_teacher", "withheld", "unexplained"):
            setattr(self, name, getattr(self, name) + getattr(other, name))
        self.sure += other.sure
        self.causes.update(other.causes)


def count_practical(rubric: Rubric, size: int, seed: str) -> Count:
    """Return what became of one near miss each of *size* students."""
    count = Count()
    for number in range(-(-size // CLASS)):
        _count_class(count, rubric, min(CLASS, size - number * CLASS), f"{seed} near {number}")
    return count


def _count_class(count: Count, rubric: Rubric, size: int, seed: str) -> None:
    students = tuple(Student(code=f"S{n:03}", name="", bench=str(n % BENCH_COUNT + 1)) for n in range(size))
    data, chance = bench_data()[rubric.id], Random(f"{rubric.id} {seed}")
    work: dict[str, WriteUp] = {}
    spoiled: dict[str, tuple[str, int | None]] = {}
    for one in students:
        sheet = fill_desk(rubric, data, one, seed, habits=ordinary, slip_rate=0.0).work
        where = _spoil(sheet, rubric, chance)
        if where is not None:
            spoiled[one.code] = where
        work[one.code] = sheet
    filled = FilledSet(sample=bare_set(rubric.id, students, seed), write_ups=work)
    with tempfile.TemporaryDirectory() as folder:
        write(filled, rubric, Path(folder))
        (class_set,) = read_inputs([Path(folder)], {rubric.id: rubric})
        marked = mark_set(rubric, class_set)
    values = {one.code for one in rubric.criteria if one.check is CheckKind.VALUE}
    for script in marked.scripts:
        where = spoiled.get(script.write_up.student.code)
        for finding in script.findings:
            if finding.criterion in values and (finding.item, finding.row) == where:
                count.add(finding)
                break


def _spoil(sheet: WriteUp, rubric: Rubric, chance: Random) -> tuple[str, int | None] | None:
    """Make one answer of *sheet* a little wrong; return its item and row, None where there is none."""
    judged = {name for one in rubric.criteria if one.check is CheckKind.VALUE for name in one.items}
    slots = [
        (item, row)
        for item, cell in sheet.cells.items()
        if item in judged and rubric.items[item].formula is not None
        for row, (text, _) in rows_of(cell).items()
        if (found := _NUMBER.match(text)) and float(found[0])
    ]
    if not slots:
        return None
    item, row = chance.choice(slots)
    cell = sheet.cells[item]
    text, unit = rows_of(cell)[row]
    found = _NUMBER.match(text)
    assert found is not None
    off = 1.0 + chance.choice((-1, 1)) * chance.uniform(*NEAR)
    made = written(float(found[0]) * off, chance.choice((3, 3, 3, 4))) + text[found.end() :]
    if isinstance(cell, dict):
        cell[row] = (made, unit)
    else:
        sheet.cells[item] = (made, unit)
    return item, row + 1 if isinstance(cell, dict) else None


def run(students: int, seed: str, practicals: Sequence[str]) -> Mapping[str, Count]:
    """Return the counts of each practical, *students* students in each."""
    rubrics = load_catalogue()
    return {name: count_practical(rubrics[name], students, seed) for name in practicals}


def main(arguments: Sequence[str] | None = None) -> int:
    """Print a line for each practical."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.near_misses")
    parser.add_argument("--students", type=int, default=80, help="a practical")
    parser.add_argument("--seed", default="1")
    parser.add_argument("--practical", action="append", help="may be given several times")
    parser.add_argument("--examples", type=int, default=0, help="answers to show that were given a cause for sure")
    chosen = parser.parse_args(arguments)
    whole = Count()
    print(f"{'practical':26}{'awarded':>9}{'teacher':>9}{'withheld':>10}{'unexpl.':>9}{'sure':>7}")
    for name, count in run(chosen.students, chosen.seed, chosen.practical or sorted(bench_data())).items():
        print(_line(name, count))
        for finding in count.sure[: chosen.examples]:
            told = "; ".join(f"{e.cause} {e.probability:.2f} [{e.detail}]" for e in finding.explanations[:3])
            print(f"    {finding.item} {finding.row or ''}: {finding.entry} for {finding.expected:.4g}: {told}")
        whole.join(count)
    print(_line("all", whole))
    print("named for sure: " + ", ".join(f"{times} {cause}" for cause, times in whole.causes.most_common()))
    return 0


def _line(name: str, count: Count) -> str:
    def share(part: int, of: int) -> str:
        return f"{100 * part / of:.0f} %" if of else "-"

    of_all = [share(part, count.total) for part in (count.awarded, count.for_teacher, count.withheld)]
    of_withheld = [share(part, count.withheld) for part in (count.unexplained, len(count.sure))]
    cells = f"{of_all[0]:>9}{of_all[1]:>9}{of_all[2]:>10}{of_withheld[0]:>9}{of_withheld[1]:>7}"
    return f"{name:26}{cells}{count.withheld:>6}"


if __name__ == "__main__":
    sys.exit(main())
