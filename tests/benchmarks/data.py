"""Everything that is said of readings, measured in one go: leads, benches, shapes, the lesson check.

``python -m tests.benchmarks.data``, whole or by ``--part``: each share with the interval in which the true one lies 95
times in 100 (Wilson, Journal of the American Statistical Association 22 (1927) 209). Honest classes are those of
``tests/cohort/honest.py``.
"""

from __future__ import annotations

import argparse
import math
from collections.abc import Callable, Iterator, Mapping

from marking.cohort.leads import lead_notes
from tests.benchmarks import benches, leads, lesson, shapes
from tests.benchmarks.lesson_slips import PLANTERS
from tests.benchmarks.other_labs import counts as other_labs
from tests.benchmarks.shared_slips import tally
from tests.cohort.altered import WAYS
from tests.cohort.honest import cases
from tests.cohort.simulated import PRACTICALS, Spread, as_marked, simulate, students

COVERAGE = 1.96
CLASSES = 40
SPREADS = (Spread(parts=0.01, reading=0.005), Spread(parts=0.005, reading=0.002))
"""Parts and meters as they are sold by the usual tolerance; and blocks cut from one bar, with digital calipers."""
SHARING = (1, 6, 8, 15)
"""How many students of thirty have the same slip in their readings."""

SHARING_WIDELY = (1, 6, 15, 24)
"""The same over all practicals, where every class costs a tenth of a second."""


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
    for spread in SPREADS:
        for case in benches.CASES:
            got = benches.score(case, spread, classes, first)
            what = f"{' + '.join(case.practicals)}, {case.instrument} {case.factor - 1:.0%}, parts {spread.parts:.1%}"
            yield line(f"bench found: {what}", round(got.found * classes), classes)
            yield line(f"sound class flagged: {what}", round(got.flagged * classes), classes)


def shape_lines(sets: int, seed: int = 1) -> Iterator[str]:
    """Yield how many shapes are named right; of hopeless sets, how many are left to the teacher."""
    for kind in shapes.KINDS:
        for make in shapes.COMPONENTS:
            got = shapes.measure(kind, make, sets, seed)
            share = got.open if kind == "hopeless" else got.right
            yield line(f"shape, {kind}: {make.__name__}", round(share * sets), sets)


def lesson_lines(classes: int, first: int = 0) -> Iterator[str]:
    """Yield how many slips are told, kind by kind over all practicals, and how many sound write-ups are warned."""
    for label, (make, practicals) in lesson.KINDS_OF_CLASS.items():
        for kind in PLANTERS:
            for sharing in SHARING:
                found = (lesson.score(make, one, kind, classes, first, sharing=sharing) for one in practicals)
                scores = [one for one in found if one is not None]
                if scores:
                    told = round(sum(one.told * one.planted for one in scores))
                    of = sum(one.planted for one in scores)
                    yield line(f"lesson, {label}, {kind}, shared by {sharing}", told, of)
        sound = [lesson.clean(make, one, classes, first) for one in practicals]
        warned = round(sum(one.write_ups * one.checked for one in sound))
        yield line(f"lesson, {label}, clean write-ups warned", warned, sum(one.checked for one in sound))


def other_lab_lines(classes: int, first: int = 0) -> Iterator[str]:
    """Yield what is said of sound classes in a second set of simulators, practical by practical."""
    for name, hits, of in other_labs.lines(classes, first):
        yield line(name, hits, of)


def shared_slip_lines(classes: int, first: int = 0) -> Iterator[str]:
    """Yield how many who share a slip are told of it, and who else, over every practical that has a simulator."""
    for name, hits, of in tally.lines(classes, first, SHARING_WIDELY):
        yield line(name, hits, of)


PARTS: Mapping[str, Callable[[int, int], Iterator[str]]] = {
    "honest": lambda classes, first: honest_lines(max(1, classes // 10), first),
    "leads": lead_lines,
    "benches": bench_lines,
    "shapes": lambda classes, first: shape_lines(10 * classes, first + 1),
    "lesson": lambda classes, first: lesson_lines(max(1, classes // 10), first),
    "other-labs": lambda classes, first: other_lab_lines(max(1, classes // 10), first),
    "shared-slips": lambda classes, first: shared_slip_lines(max(1, classes // 20), first),
}
"""Parts of the table, each of which can be had alone."""


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--classes", type=int, default=CLASSES, help="classes for each line; a tenth for honest ones")
    parser.add_argument("--seed", type=int, default=0, help="seed of the first class")
    parser.add_argument("--part", choices=tuple(PARTS), action="append", help="only this part; may be given again")
    asked = parser.parse_args()
    for part in asked.part or PARTS:
        for one in PARTS[part](asked.classes, asked.seed):
            print(one, flush=True)


if __name__ == "__main__":
    main()
