"""Each group's material, found with the factor of its bench; and several materials in a whole class."""

from __future__ import annotations

from random import Random

import numpy as np
import pytest

from marking.cohort.benches.bench_notes import bench_notes
from marking.cohort.benches.known_materials import references
from tests.cohort.simulated import Cells, Practical, Reader, Spread, Stand, as_marked, simulate

ACCEPTED = np.log([2.70, 7.13, 7.85, 8.44, 8.92, 11.3])
MATERIALS = (2.70, 7.13, 7.85, 8.44, 8.92, 11.3)


def cuboids(*, one_a_bench: bool) -> Practical:
    """Return how a class measures blocks of six metals, of one at each bench or of any."""

    def set_up(stand: Stand) -> Reader:
        sizes = [4.0 + stand.chance.random(), 3.0, 2.0]
        blocks = [stand.part(density) for density in MATERIALS]

        def read(chance: Random) -> Cells:
            density = blocks[int(stand.name) % len(blocks)] if one_a_bench else chance.choice(blocks)
            mass = density * sizes[0] * sizes[1] * sizes[2]
            sides = zip("lwh", sizes, strict=True)
            shown = {name: stand.show("rule or calipers", side, "cm", 2, chance=chance) for name, side in sides}
            return {**shown, "m": stand.show("balance", mass, "g", 1, chance=chance)}

        return read

    return set_up


def test_a_class_with_one_material_is_compared_with_itself() -> None:
    """All iron, one bench 5 % high: no accepted value comes between, for 8.24 would be taken for brass."""
    logs = np.log(np.array([7.85, 7.9, 7.8, 7.84, 7.88, 7.81, 8.24, 8.25]))
    assert references(logs, np.arange(8) // 2, ACCEPTED).tolist() == [0.0] * 8


def test_the_groups_of_a_bench_are_taken_together() -> None:
    """Aluminium, iron and copper at one bench, all 5 % high: the iron is not taken for brass."""
    sound = [2.70, 7.85, 8.92, 2.70, 8.44, 11.3]
    high = [1.05 * one for one in (2.70, 7.85, 8.92)]
    found = references(np.log(np.array(sound + high)), np.repeat([0, 1, 2], 3), ACCEPTED)
    assert np.exp(found).round(2).tolist() == [*sound, 2.70, 7.85, 8.92]


def test_unknown_materials_are_no_reference() -> None:
    """Pebbles of 2.0 and wood of 0.6 are near none of the values."""
    assert not references(np.log(np.array([2.0, 0.6, 2.0, 0.6, 7.85])), np.arange(5), ACCEPTED).any()


@pytest.mark.parametrize("one_a_bench", [True, False])
def test_a_balance_is_found_among_several_materials(one_a_bench: bool) -> None:
    """A balance 8 % high at bench 5; without the accepted values such a class has nothing in common."""
    spread = Spread(parts=0.004, reading=0.002)
    set_up, found = cuboids(one_a_bench=one_a_bench), 0
    for seed in range(6):
        faults = {"5": {"balance": 1.08}}
        write_ups = simulate("density-cuboid", seed, faults=faults, set_up=set_up, spread=spread)
        notes = bench_notes([as_marked("density-cuboid", write_ups)])
        found += [(note.bench, note.direction) for note in notes] == [("5", "high")]
    assert found >= 5
