"""How many copies and made-up readings are found, and how often honest work carries a lead.

``python -m tests.benchmarks.leads``: classes of thirty at twelve benches. In each class one write-up is put in the
place of an honest one; the others are honest, and so are all in the classes of the first column. Then a page is copied
with its answers and altered in every way that a fifth changed can be meant, in classes that work out their answers with
care and in classes in which half of the pages have a slip.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from random import Random

from marking.cohort.leads.lead_notes import lead_notes
from marking.write_up import WriteUp
from tests.cohort.altered import WAYS, handed_in
from tests.cohort.answered import answered
from tests.cohort.dishonest import copied, worked_back_combinations
from tests.cohort.simulated import PRACTICALS, Practical, as_marked, block, mixed_resistors, simulate
from tests.cohort.slipped import slipped

CLASSES = 60
FIFTH = 0.2

Pages = Callable[[WriteUp, Random], WriteUp]
"""Works out the answers of a page, honestly, with or without slips."""
CAREFUL: Pages = lambda one, _: answered(one)  # noqa: E731 - a name for a line
ALTERED = (
    "specific-heat-block",
    "specific-heat-liquid",
    "resistor-combinations",
    "density-cuboid",
    "density-displacement",
    "wire-resistance",
)
SET_UPS: Mapping[str, Practical] = {"specific-heat-liquid": lambda stand: block(stand, 4180.0)}
"""A litre of water is warmed as a block is; other ways to set up are the usual ones."""

Deed = Callable[[list[WriteUp], Random], set[str]]
"""Puts a dishonest write-up into a class; returns the students it is about."""


def copy(changed: float) -> Deed:
    """Return the deed of copying from another bench, each digit changed at a chance of *changed*."""

    def put_in(write_ups: list[WriteUp], chance: Random) -> set[str]:
        source, place = chance.sample(range(len(write_ups)), 2)
        while write_ups[source].student.bench == write_ups[place].student.bench:
            place = chance.randrange(len(write_ups))
        write_ups[place] = copied(write_ups[source], write_ups[place].student, chance, changed=changed)
        return {write_ups[source].student.code, write_ups[place].student.code}

    return put_in


def copy_and_alter(way: str) -> Deed:
    """Return the deed of copying a page with its answers from another bench and altering it in one of the ``WAYS``."""

    def put_in(write_ups: list[WriteUp], chance: Random) -> set[str]:
        source, place = chance.sample(range(len(write_ups)), 2)
        while write_ups[source].student.bench == write_ups[place].student.bench:
            place = chance.randrange(len(write_ups))
        write_ups[place] = handed_in(write_ups[source], write_ups[place].student, WAYS[way], chance)
        return {write_ups[source].student.code, write_ups[place].student.code}

    return put_in


def work_back(write_ups: list[WriteUp], chance: Random) -> set[str]:
    """Put in a write-up whose p.d.s were worked back from the resistors' labels."""
    place = chance.randrange(len(write_ups))
    write_ups[place] = worked_back_combinations(write_ups[place].student, chance)
    return {write_ups[place].student.code}


@dataclass(slots=True, kw_only=True)
class Altered:
    """What is said of classes with one page copied and altered."""

    found: int = 0
    """Classes in which a lead names just the two."""
    others: int = 0
    """Students named besides."""


def found_share(practical: str, deed: Deed, classes: int, first: int = 0) -> float:
    """Return the share of classes, from the seed *first*, in which a lead names just those that it should."""
    return said_of(practical, deed, lambda one, _: one, classes, first).found / classes


def said_of(practical: str, deed: Deed, work_out: Pages, classes: int, first: int = 0) -> Altered:
    """Return what is said of classes from the seed *first*, each page with the answers that *work_out* gives it."""
    count = Altered()
    for seed in range(first, first + classes):
        slips = Random(f"slips {seed}")
        write_ups = [work_out(one, slips) for one in simulate(practical, seed, set_up=SET_UPS.get(practical))]
        about = deed(write_ups, Random(seed))
        named = [set(note.students) for note in lead_notes(as_marked(practical, write_ups))]
        count.found += about in named
        count.others += len(set().union(*named) - about)
    return count


def honest_with_lead(
    practical: str, classes: int, *, set_up: Practical | None = None, together: bool = False
) -> tuple[int, int]:
    """Return how many honest write-ups carry a lead, and of how many."""
    named = total = 0
    for seed in range(classes):
        write_ups = simulate(practical, seed, set_up=set_up, together=together)
        named += len({code for note in lead_notes(as_marked(practical, write_ups)) for code in note.students})
        total += len(write_ups)
    return named, total


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--classes", type=int, default=CLASSES, help="classes for each figure of the table")
    classes = parser.parse_args().classes
    print(f"{classes} classes a figure; aims: honest 1 in 500 at most, copies 90 %, fifth changed 75 %, shared 0")
    print(f"{'practical':24} {'honest with lead':>17} {'shared':>9} {'exact copy':>11} {'fifth changed':>14}")
    for practical in PRACTICALS:
        honest = honest_with_lead(practical, classes)
        shared = honest_with_lead(practical, classes, together=True)
        exact, changed = found_share(practical, copy(0.0), classes), found_share(practical, copy(FIFTH), classes)
        print(f"{practical:24} {honest[0]:8} in {honest[1]:5} {shared[0]:9} {exact:11.0%} {changed:14.0%}", flush=True)
    mixed = honest_with_lead("resistor-combinations", classes, set_up=mixed_resistors)
    print(f"resistors of several kinds: {mixed[0]} of {mixed[1]} honest write-ups with a lead")
    for practical in ALTERED:
        for way in WAYS:
            got = [said_of(practical, copy_and_alter(way), pages, classes) for pages in (CAREFUL, slipped)]
            told = "; ".join(f"{one.found / classes:5.0%}, {one.others} others" for one in got)
            print(f"{practical:24} {way:60} careful, with slips: {told}", flush=True)
    back = found_share("resistor-combinations", work_back, classes)
    print(f"worked back from labels in combinations: {back:.0%} found (aim 95 %)")


if __name__ == "__main__":
    main()
