"""Shapes of simulated points, kind by kind: right where they can be told, left open where they cannot."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray

from marking.checking.curves.curve_shapes import shapes
from tests.benchmarks.shapes import COMPONENTS, KINDS, Component, Generator, measure

Values = NDArray[np.float64]

SETS = 120
TELLING = ("plain", "six points", "reversed", "dropped signs")
HARD = ("narrow range", "one anomaly", "zero offset")


@pytest.mark.parametrize("make", COMPONENTS, ids=lambda make: make.__name__)
@pytest.mark.parametrize("kind", TELLING)
def test_range_that_can_tell(kind: str, make: Callable[[Generator], Component]) -> None:
    """At least 99 % are right where the range can tell, and none is called another shape."""
    tally = measure(kind, make, sets=SETS, seed=3)
    assert tally.right >= 0.99
    assert tally.wrong == 0


@pytest.mark.parametrize("make", COMPONENTS, ids=lambda make: make.__name__)
@pytest.mark.parametrize("kind", HARD)
def test_hard_kind(kind: str, make: Callable[[Generator], Component]) -> None:
    """At least 95 % are right with a narrow range, an anomaly or a meter off its zero, and hardly one is wrong."""
    tally = measure(kind, make, sets=SETS, seed=3)
    assert tally.right >= 0.95
    assert tally.wrong <= 0.01


@pytest.mark.parametrize("make", COMPONENTS, ids=lambda make: make.__name__)
def test_coarse_meters(make: Callable[[Generator], Component]) -> None:
    """Meters of 0.1 V and 0.01 A: nine in ten are right, a line of three steps is left open, hardly one is wrong."""
    tally = measure("coarse meters", make, sets=SETS, seed=3)
    assert tally.right >= 0.85
    assert tally.wrong <= 0.01


@pytest.mark.parametrize("make", COMPONENTS, ids=lambda make: make.__name__)
def test_hopeless_points(make: Callable[[Generator], Component]) -> None:
    """At least 90 % of the sets that nobody can tell are left to the teacher."""
    assert measure("hopeless", make, sets=SETS, seed=3).open >= 0.90


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind not in ("hopeless", "zero offset")])
def test_turn_on_within_its_uncertainty(kind: str) -> None:
    """The turn-on p.d. lies within two standard uncertainties of the simulated one in nineteen sets of twenty."""
    assert measure(kind, COMPONENTS[2], sets=SETS, seed=3).turn_on_within >= 0.95


STEPS = np.array([-5.0, -1.0, 0.0, 0.3, 0.5, 0.6, 0.65, 0.7, 0.75])


def silicon(V: Values) -> Values:
    """Return the current through a diode of ideality 2, 1 nA saturation."""
    return np.asarray(np.where(V > 0, 1e-8 * np.expm1(V / 0.0508), 0.0))


@pytest.mark.parametrize(("sign", "unit"), [(1, 1.0), (-1, 1.0), (1, 1000.0)], ids=["forward", "turned", "mV"])
def test_turn_on_has_sign_and_unit_of_the_readings(sign: int, unit: float) -> None:
    """The turn-on stands on the side and in the unit of the readings."""
    y = np.round(silicon(STEPS), 4)[None, :] * sign
    found = shapes(STEPS[None, :] * sign * unit, y, np.full(y.shape, 1e-4), np.full(y.shape, 0.01 * unit))
    assert found.named(0) == "threshold"
    assert found.turn_on[0] == pytest.approx(sign * unit * 0.60, abs=0.04 * unit)
    assert 0.005 * unit < found.turn_on_error[0] < 0.06 * unit


@pytest.mark.parametrize(
    ("x", "y"),
    [
        (np.linspace(0.5, 6, 8), 0.02 * np.linspace(0.5, 6, 8) ** 1.4),
        (np.linspace(0.2, 1.4, 8), 1.5 - np.linspace(0.2, 1.4, 8)),
        (np.linspace(0.5, 6, 8), np.full(8, 0.4)),
    ],
    ids=["steepening", "falling", "level"],
)
def test_something_else_is_left_open(x: Values, y: Values) -> None:
    """Points of another shape than the three are left to the teacher."""
    assert shapes(x[None, :], np.round(y, 3)[None, :], np.full((1, 8), 0.001)).named(0) is None


def test_probabilities_leave_room_for_none() -> None:
    """The three probabilities never add up to more than 1, and are missing with too few points."""
    x, random = np.tile(np.linspace(0.5, 6, 8), (50, 1)), np.random.default_rng(1)
    found = shapes(x, random.uniform(0, 1, x.shape), np.full(x.shape, 0.01))
    assert (found.probability.sum(axis=1) <= 1 + 1e-9).all()
    assert np.isnan(shapes(x[:1, :4], x[:1, :4], np.full((1, 4), 0.01)).probability).all()


def test_no_students() -> None:
    """A class of none has no shapes."""
    assert shapes(np.empty((0, 8)), np.empty((0, 8)), np.empty((0, 8))).probability.shape == (0, 3)


def test_result_does_not_depend_on_the_batch() -> None:
    """A student's probabilities are the same alone and among others."""
    random = np.random.default_rng(2)
    x = np.tile(np.linspace(0.5, 6, 8), (60, 1))
    y = x**0.6 * random.normal(1, 0.02, x.shape)
    step = np.full(x.shape, 0.01)
    together = shapes(x, y, step).probability[37]
    assert np.array_equal(together, shapes(x[37:38], y[37:38], step[37:38]).probability[0])
