"""What is said of classes in which nothing is wrong: leads, benches, lessons.

``python -m tests.benchmarks.other_labs.counts --classes 2``: every practical, with coarse and fine instruments,
settings kept or read off, readings shared or not, careless readings or none.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from marking.cohort.benches import bench_notes
from marking.cohort.leads import lead_notes
from marking.cohort.lesson import lesson_notes
from tests.benchmarks.other_labs import electricity_and_light as electric
from tests.benchmarks.other_labs import heat_and_chemistry as wet
from tests.benchmarks.other_labs import mechanics
from tests.benchmarks.other_labs.lab import SetUp, class_of, labs
from tests.cohort.simulated import as_marked, rubric_of

PRACTICALS: Mapping[str, SetUp] = {
    "spring-extension": mechanics.spring,
    "pendulum-g": mechanics.pendulum,
    "freefall-g": mechanics.freefall,
    "trolley-force": mechanics.trolley,
    "young-modulus": mechanics.stretched_wire,
    "emf-internal-resistance": electric.cell,
    "thermistor": electric.thermistor,
    "led-planck": electric.leds,
    "lens-focal-length": electric.lens,
    "refraction-index": electric.glass,
    "inverse-square": electric.source,
    "cooling-insulation": wet.cooling,
    "boyle": wet.trapped_air,
    "density-liquid": wet.liquid,
    "rate-disappearing-cross": wet.cross,
    "titration": wet.titration,
    "neutralisation-enthalpy": wet.neutralised,
    "osmosis": wet.tissue,
    "half-life-model": wet.dice,
}


@dataclass(slots=True, kw_only=True)
class Said:
    """What was said of the sound classes of one practical."""

    write_ups: int = 0
    with_lead: int = 0
    classes: int = 0
    flagged: int = 0
    """Classes with a bench named."""
    clean_write_ups: int = 0
    """Without a careless reading."""
    warned: int = 0
    """Of these, with a note of the lesson check."""


def said_of(practical: str, classes: int, first: int = 0) -> Said:
    """Return what is said of *classes* classes for each way to work, from the seed *first*."""
    count = Said()
    for lab in labs():
        for seed in range(first, first + classes):
            write_ups = class_of(practical, PRACTICALS[practical], lab, seed)
            marked = as_marked(practical, write_ups)
            count.write_ups += len(write_ups)
            count.with_lead += len({code for note in lead_notes(marked) for code in note.students})
            count.classes += 1
            count.flagged += bool(bench_notes([marked]))
            if not lab.is_careless:
                notes = lesson_notes(rubric_of(practical), write_ups)
                count.clean_write_ups += len(write_ups)
                count.warned += len({code for note in notes for code in note.students})
    return count


def lines(classes: int, first: int = 0) -> Iterator[tuple[str, int, int]]:
    """Yield name, hits and of how many, practical by practical."""
    for practical in PRACTICALS:
        said = said_of(practical, classes, first)
        yield f"other labs, honest with a lead: {practical}", said.with_lead, said.write_ups
        yield f"other labs, sound class flagged: {practical}", said.flagged, said.classes
        yield f"other labs, clean set warned: {practical}", said.warned, said.clean_write_ups


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--classes", type=int, default=1, help="classes for each way to work")
    parser.add_argument("--seed", type=int, default=0, help="seed of the first class")
    asked = parser.parse_args()
    for name, hits, of in lines(asked.classes, asked.seed):
        print(f"{name:66} {hits:6} of {of:6} {hits / of:8.2%}", flush=True)


if __name__ == "__main__":
    main()
