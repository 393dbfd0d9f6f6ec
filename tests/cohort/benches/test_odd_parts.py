"""A resistor that is not what its label says is told, as the part or a meter; one kind among several is not."""

from __future__ import annotations

import pytest

from marking.class_notes import ClassNote
from marking.cohort.benches.bench_notes import bench_notes
from tests.cohort.simulated import Practical, Reader, Stand, as_marked, cuboid, resistors, simulate


def with_part(factor: float, which: int) -> Practical:
    """Return how two resistors are set up, one of them off its label at bench 5."""

    def set_up(stand: Stand) -> Reader:
        pair = [10.0, 15.0]
        pair[which] *= factor if stand.name == "5" else 1.0
        return resistors(stand, (pair[0], pair[1]))

    return set_up


def notes_of(practical: str, seed: int, set_up: Practical) -> tuple[ClassNote, ...]:
    """Return the notes on the benches of one class."""
    return bench_notes([as_marked(practical, simulate(practical, seed, set_up=set_up))])


@pytest.mark.parametrize("seed", [11, 12])
@pytest.mark.parametrize("factor", [0.70, 0.88, 1.12, 1.30])
@pytest.mark.parametrize("which", [0, 1])
def test_a_resistor_off_its_label_is_told(seed: int, factor: float, which: int) -> None:
    """By 12 or 30 %, either way, the first or the second; with the size, as the part or a meter."""
    (note,) = notes_of("resistor-combinations", seed, with_part(factor, which))
    assert (note.bench, note.direction) == ("5", "high" if factor > 1 else "low")
    assert note.items == (("R_1", "R_2")[which], "voltmeter", "ammeter")
    assert note.factor == pytest.approx(factor, rel=0.06)
    assert note.factors[0] == pytest.approx(1 / note.factors[2])
    assert "the part itself" in note.message


def test_a_meter_is_told_as_a_meter() -> None:
    """A voltmeter 12 % high moves both resistors and what they make together."""
    faults = {"5": {"voltmeter": 1.12}}
    write_ups = simulate("resistor-combinations", 11, faults=faults)
    (note,) = bench_notes([as_marked("resistor-combinations", write_ups)])
    assert set(note.items) == {"voltmeter", "ammeter"}
    assert "the part itself" not in note.message


def test_another_material_is_no_fault() -> None:
    """One bench with a block of brass, where the class is to find out what its blocks are made of."""

    def set_up(stand: Stand) -> Reader:
        return cuboid(stand, 8.44 if stand.name == "5" else 2.70)

    assert notes_of("density-cuboid", 11, set_up) == ()
