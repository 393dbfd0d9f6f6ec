"""How many benches that are off are found, and how many sound classes are flagged.

``python -m tests.benchmarks.benches``: classes of thirty at twelve benches, two or three groups a bench, each with
readings of its own to two decimals as meters show. The parts of sound benches differ by 1 %; what a reading differs
by from the next is given in the table.
"""

from __future__ import annotations

import argparse
from collections.abc import Mapping, Sequence

from msgspec import Struct

from marking.cohort.benches.bench_notes import bench_notes
from tests.cohort.simulated import STUDENTS, Spread, as_marked, simulate

FAULTY = "5"
CLASSES = 100
READING_SPREADS = (0.002, 0.005, 0.010)


class Case(Struct, frozen=True, kw_only=True):
    """One fault, in the practicals that show it."""

    practicals: tuple[str, ...]
    instrument: str
    factor: float
    aim: float
    """Share of the classes in which the bench is to be named, with the right direction."""


BOTH = ("resistor-combinations", "wire-resistance")
CASES = (
    Case(practicals=BOTH[:1], instrument="voltmeter", factor=1.05, aim=0.90),
    Case(practicals=BOTH[:1], instrument="ammeter", factor=1.05, aim=0.90),
    Case(practicals=BOTH[1:], instrument="ammeter", factor=1.05, aim=0.70),
    Case(practicals=BOTH, instrument="voltmeter", factor=1.05, aim=0.95),
    Case(practicals=BOTH[:1], instrument="voltmeter", factor=1.10, aim=0.95),
    Case(practicals=BOTH[1:], instrument="voltmeter", factor=1.10, aim=0.95),
    Case(practicals=("density-cuboid",), instrument="balance", factor=1.05, aim=0.90),
    Case(practicals=("density-displacement",), instrument="balance", factor=1.05, aim=0.90),
    Case(practicals=("specific-heat-block",), instrument="joulemeter", factor=1.10, aim=0.55),
)


class Score(Struct, frozen=True, kw_only=True):
    """How one case went."""

    found: float
    named: float
    """Of those found, with the faulty instrument among the likeliest."""
    flagged: float
    """Sound classes with any bench named."""


def score(case: Case, spread: Spread, classes: int, first: int = 0) -> Score:
    """Return how often the bench is found, and how often a sound class is flagged; *first* is the first seed."""
    found = named = flagged = 0
    for seed in range(first, first + classes):
        faults = {FAULTY: {case.instrument: case.factor}}
        notes = [note for note in _notes(case.practicals, seed, spread, faults) if note[0] == FAULTY]
        if notes and notes[0][1] == _direction(case, notes[0][2]):
            found += 1
            named += case.instrument in notes[0][2]
        flagged += bool(_notes(case.practicals, seed + classes, spread, {}))
    return Score(found=found / classes, named=named / max(found, 1), flagged=flagged / classes)


def _direction(case: Case, instruments: Sequence[str]) -> str:
    """Return the direction to be told: the instrument's own, or that of V / I where the meters cannot be told apart."""
    upside_down = len(instruments) > 1 and case.instrument == "ammeter"
    return "low" if (case.factor > 1) == upside_down else "high"


def _notes(
    practicals: Sequence[str], seed: int, spread: Spread, faults: Mapping[str, Mapping[str, float]]
) -> list[tuple[str, str, tuple[str, ...]]]:
    sets = [as_marked(one, simulate(one, seed, spread=spread, faults=faults)) for one in practicals]
    return [(note.bench, note.direction, note.items) for note in bench_notes(sets)]


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--classes", type=int, default=CLASSES, help="classes for each line of the table")
    classes = parser.parse_args().classes
    print(f"{classes} classes of {STUDENTS} a line; parts 1 %")
    print(
        f"{'practicals':45} {'instrument':11} {'factor':>6} {'reading':>8} {'aim':>5} {'found':>6} {'named':>6} "
        f"{'sound flagged':>14}"
    )
    for spread in READING_SPREADS:
        for case in CASES:
            got = score(case, Spread(parts=0.01, reading=spread), classes)
            print(
                f"{' + '.join(case.practicals):45} {case.instrument:11} {case.factor:6.2f} {spread:8.1%} "
                f"{case.aim:5.0%} {got.found:6.0%} {got.named:6.0%} {got.flagged:14.1%}",
                flush=True,
            )


if __name__ == "__main__":
    main()
