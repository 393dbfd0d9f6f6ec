"""Sound classes of every practical that a simulator exists for, of all the kinds of class that there are."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from random import Random

from marking.write_up import WriteUp
from tests.benchmarks.lesson_classes import ALIKE, MIXED, alike, mixed
from tests.benchmarks.other_labs.counts import PRACTICALS as OTHERS
from tests.benchmarks.other_labs.lab import class_of, labs
from tests.cohort.honest import cases
from tests.cohort.simulated import Practical, simulate

Make = Callable[[int], Sequence[WriteUp]]
"""From a seed to a class of thirty."""


def makers() -> dict[str, tuple[Make, ...]]:
    """Return for every practical the kinds of class it is met with, by id."""
    found: dict[str, list[Make]] = {}
    for practical in OTHERS:
        ways = [lab for lab in labs(careless=False) if lab.share != "pairs"]
        found[practical] = [_other_lab(practical, number) for number in range(len(ways))]
    for practical in ALIKE:
        found.setdefault(practical, []).extend([_alike(practical)] * 4)
    for practical, _, set_up in cases():
        found.setdefault(practical, []).append(_honest(practical, set_up))
    return {practical: tuple(kinds) for practical, kinds in sorted(found.items())}


def mixed_makers() -> dict[str, tuple[Make, ...]]:
    """Return the practicals in which each student has apparatus of some other kind, with their classes."""
    return {practical: (_mixed(practical),) for practical in MIXED}


def sound_class(practical: str, kinds: Sequence[Make], seed: int) -> Sequence[WriteUp]:
    """Return a class of one of the *kinds*, which the seed decides too."""
    return Random(f"kind of {practical} {seed}").choice(kinds)(seed)


def _other_lab(practical: str, number: int) -> Make:
    lab = [one for one in labs(careless=False) if one.share != "pairs"][number]
    return lambda seed: class_of(practical, OTHERS[practical], lab, seed)


def _alike(practical: str) -> Make:
    return lambda seed: alike(practical, seed)


def _mixed(practical: str) -> Make:
    return lambda seed: mixed(practical, seed)


def _honest(practical: str, set_up: Practical) -> Make:
    return lambda seed: simulate(practical, seed, set_up=set_up)
