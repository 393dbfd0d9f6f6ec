"""Everything that is said of readings, measured in one go: leads, benches, shapes, the lesson check.

``python -m tests.benchmarks.data``: each share with the interval in which the true one lies 95 times in 100 (Wilson,
Journal of the American Statistical Association 22 (1927) 209). Honest classes are those of ``tests/cohort/honest.py``.
"""

from __future__ import annotations

import argparse
import math
from collections.abc import Iterator

from marking.cohort.leads import lead_notes
from tests.benchmarks import benches, leads, lesson, shapes
from tests.cohort.altered import WAYS
from tests.cohort.honest import cases
from tests.cohort.simulated import PRACTICALS, Spread, as_marked, simulate, students

COVERAGE = 1.96
CLASSES = 40
SPREAD = 0.005


def interval(hits: int, of: int) -> tuple[float, float]:
    """Return the limits of the share behind *hits* out of *of*.

    Raises:
        ValueError: Nothing was counted, or more hits than were counted.
    """
    if not 0 <= hits <= of or not of:
        raise ValueError(f"{hits} of {of} is no share")
    share, square = hits / of, COVERAGE**2
    middle = (share + square / (2 * of)) / (1 + square / of)
    half = COVERAGE / (1 + square / of) * math.sqrt(share * (1 - share) / of + square / (4 * of * of))
    return max(0.0, middle - half), min(1.0, middle + half)


def line(name: str, hits: int, of: int) -> str:
    """Return one line of the table."""
    low, high = interval(hits, of)
    return f"{name:84} {hits:6} of {of:6} {hits / of:8.2%}  ({low:.2%} to {high:.2%})"


def honest_lines(classes: int, first: int = 0) -> Iterator[str]:
    """Yield how many honest write-ups have a lead, for each practical, over all its meters and ways to set."""
    found: dict[str, list[int]] = {}
    for practical, _, set_up in cases():
        count = found.setdefault(practical, [0, 0])
        for seed in range(first, first + classes):
            for who, together in ((students(), False), (students(), True), (students(1), False)):
                write_ups = simulate(practical, seed, set_up=set_up, who=who, together=together)
                notes = lead_notes(as_marked(practical, write_ups))
                count[0] += len({code for note in notes for code in note.students})
                count[1] += len(write_ups)
    for practical, (hits, of) in found.items():
        yield line(f"honest with a lead: {practical}", hits, of)


def lead_lines(classes: int, first: int = 0) -> Iterator[str]:
    """Yield how many copies and how much that was worked back is found."""
    for practical in PRACTICALS:
        for words, changed in (("exact copy", 0.0), ("a fifth changed", leads.FIFTH)):
            share = leads.found_share(practical, leads.copy(changed), classes, first)
            yield line(f"{words}: {practical}", round(share * classes), classes)
    for practical in leads.ALTERED:
        for way in WAYS:
            got = leads.said_of(practical, leads.copy_and_alter(way), leads.CAREFUL, classes, first)
            yield line(f"{way}: {practical}", got.found, classes)
    share = leads.found_share("resistor-combinations", leads.work_back, classes, first)
    yield line("worked back: resistor-combinations", round(share * classes), classes)


def bench_lines(classes: int, first: int = 0) -> Iterator[str]:
    """Yield how many benches that are off are found, and how many sound classes are flagged."""
    for case in benches.CASES:
        got = benches.score(case, Spread(reading=SPREAD), classes, first)
        name = f"{' + '.join(case.practicals)}, {case.instrument} {case.factor - 1:.0%}"
        yield line(f"bench found: {name}", round(got.found * classes), classes)
        yield line(f"sound class flagged: {name}", round(got.flagged * classes), classes)


def shape_lines(sets: int, seed: int = 1) -> Iterator[str]:
    """Yield how many shapes are named right; of hopeless sets, how many are left to the teacher."""
    for kind in shapes.KINDS:
        for make in shapes.COMPONENTS:
            got = shapes.measure(kind, make, sets, seed)
            share = got.open if kind == "hopeless" else got.right
            yield line(f"shape, {kind}: {make.__name__}", round(share * sets), sets)


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--classes", type=int, default=CLASSES, help="classes for each line; a tenth for honest ones")
    parser.add_argument("--seed", type=int, default=0, help="seed of the first class")
    asked = parser.parse_args()
    classes, first = asked.classes, asked.seed
    for lines in (
        honest_lines(max(1, classes // 10), first),
        lead_lines(classes, first),
        bench_lines(classes, first),
        shape_lines(10 * classes, first + 1),
        lesson.lines(max(1, classes // 10)),
    ):
        for one in lines:
            print(one, flush=True)


if __name__ == "__main__":
    main()
