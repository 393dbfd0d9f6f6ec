"""What the list of apparatus says that readings come to is read from its words, and only where it says so."""

from __future__ import annotations

import math

import numpy as np
import pytest

from marking.cohort.lesson.nominal import AS_STATED, FROM_NOTHING, ROOM, as_stated, stated
from tests.cohort.simulated import rubric_of


def ranges(practical: str, item: str) -> list[tuple[float, float]]:
    """Return what is stated of an item, as numbers in its unit."""
    rubric = rubric_of(practical)
    return [(math.exp(low), math.exp(high)) for low, high in stated(rubric, rubric.items[item])]


@pytest.mark.parametrize(
    ("practical", "item", "low", "high"),
    [
        ("specific-heat-block-vit", "V", 12 / ROOM, 12 * ROOM),
        ("resistor-combinations", "R_1", 10 / ROOM, 22 * ROOM),
        ("iv-characteristic", "V", 12 / FROM_NOTHING / ROOM, 12 * ROOM),
        ("boyle", "p", 80 / ROOM, 300 * ROOM),
        ("thermistor", "R", 5 / ROOM, 5 * ROOM),
        ("spring-extension", "k", 25 / ROOM, 25 * ROOM),
        ("spring-extension", "M", 0.1 / ROOM, 0.1 * ROOM),
    ],
    ids=["supply", "from-to", "from-nothing", "gauge", "about", "compound-unit", "other-unit"],
)
def test_sizes_of_the_list(practical: str, item: str, low: float, high: float) -> None:
    """A single size, a range, and a size in another unit of the item are read."""
    assert any(math.isclose(one[0], low) and math.isclose(one[1], high) for one in ranges(practical, item))


@pytest.mark.parametrize(("practical", "item"), [("resistor-combinations", "I_1"), ("cooling-insulation", "T_start")])
def test_meters_say_what_they_can_read(practical: str, item: str) -> None:
    """The range and the step of a meter say nothing of what there is to read."""
    assert ranges(practical, item) == []


def test_density_of_what_is_stated() -> None:
    """Half of all lies as stated, and the rest wherever else it may; the whole is one."""
    at = np.linspace(-7, 7, 140_001)
    otherwise = np.full(at.shape, 1 / 14)
    density = as_stated(((0.0, 1.0), (0.5, 2.0)), at, otherwise)
    assert math.isclose(np.trapezoid(density, at), 1.0, rel_tol=1e-3)
    assert density[0] == (1 - AS_STATED) / 14
    assert as_stated((), at, otherwise) is otherwise
