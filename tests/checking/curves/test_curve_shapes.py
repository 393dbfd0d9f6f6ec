"""Which shape a student's points have, and when it cannot be told."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray

from marking.checking.curves.curve_shapes import FEWEST_POINTS, shapes

Values = NDArray[np.float64]

BOTH_WAYS = np.array([-6.0, -5, -4, -3, -2, -1, 0, 1, 2, 3, 4, 5, 6])
FORWARD = BOTH_WAYS[6:]
STUDENTS = 150
DIODE_STEPS = np.array([-6.0, -4, -2, 0, 0.2, 0.4, 0.5, 0.6, 0.65, 0.7, 0.75, 0.8])


def resistor(V: Values) -> Values:
    """Return the current through 10 Ω."""
    return np.asarray(V / 10)


def lamp(V: Values) -> Values:
    """Return the current through a small filament lamp."""
    return np.asarray(np.sign(V) * 0.1 * np.abs(V) ** 0.55)


def diode(V: Values) -> Values:
    """Return the current through a silicon diode."""
    return np.asarray(np.where(V > 0, 1e-9 * (np.exp(V / 0.045) - 1), 0.0))


def meter_off_zero(V: Values) -> Values:
    """Return the current through 10 Ω by a meter that reads 0.03 A too much."""
    return np.asarray(V / 10 + 0.03)


def nothing(V: Values) -> Values:
    """Return no current at all."""
    return np.zeros_like(V)


def shape(V: Values, current: Callable[[Values], Values], places: int) -> str | None:
    """Return the shape that one student's points show, the current read to *places* decimal places."""
    y = np.round(current(V), places)[None, :]
    return shapes(V[None, :], y, np.full(y.shape, 10.0**-places)).named(0)


@pytest.mark.parametrize(
    ("V", "current", "places", "wanted"),
    [
        (BOTH_WAYS, resistor, 2, "proportional"),
        (FORWARD, resistor, 2, "proportional"),
        (FORWARD[1:6], resistor, 2, "proportional"),
        (BOTH_WAYS, lamp, 2, "flattening"),
        (FORWARD, lamp, 3, "flattening"),
        (DIODE_STEPS, diode, 4, "threshold"),
        (DIODE_STEPS, diode, 2, "threshold"),
        (-DIODE_STEPS, lambda V: -diode(-V), 4, "threshold"),
        (BOTH_WAYS, meter_off_zero, 2, "proportional"),
        (FORWARD, nothing, 2, None),
        (np.zeros(8), resistor, 2, None),
        (FORWARD[1:], lamp, 1, None),
    ],
    ids=[
        "resistor",
        "resistor-forward",
        "resistor-five-points",
        "lamp",
        "lamp-forward",
        "diode",
        "diode-coarse-meter",
        "diode-turned-round",
        "meter-off-zero",
        "no-current",
        "no-pd",
        "lamp-on-a-meter-too-coarse",
    ],
)
def test_shape_of_the_points(V: Values, current: Callable[[Values], Values], places: int, wanted: str | None) -> None:
    """Clear points have their shape, whichever way they were wired; unclear ones have none."""
    assert shape(V, current, places) == wanted


def test_fewest_points() -> None:
    """Just enough points have a shape, one fewer has none."""
    assert shape(FORWARD[1 : FEWEST_POINTS + 1], resistor, 2) == "proportional"
    assert shape(FORWARD[1:FEWEST_POINTS], resistor, 2) is None


@pytest.mark.parametrize("current", [resistor, lamp, diode])
def test_shape_does_not_depend_on_the_unit(current: Callable[[Values], Values]) -> None:
    """The same points in mA and mV have the same shape."""
    V = DIODE_STEPS if current is diode else BOTH_WAYS
    y = np.round(current(V), 3)[None, :]
    step = np.full(y.shape, 0.001)
    assert shapes(V[None, :], y, step).named(0) == shapes(1000 * V[None, :], 1000 * y, 1000 * step).named(0)


def test_gaps_and_other_students_do_not_disturb() -> None:
    """A row that is missing is left out; each student's shape is their own."""
    V = np.tile(BOTH_WAYS, (3, 1))
    y = np.stack([np.round(resistor(BOTH_WAYS), 2), np.round(lamp(BOTH_WAYS), 2), np.full(13, np.nan)])
    y[0, 3] = np.nan
    found = shapes(V, y, np.full(y.shape, 0.01))
    assert [found.named(student) for student in range(3)] == ["proportional", "flattening", None]


@pytest.mark.parametrize(
    ("V", "current", "places", "right"),
    [
        (BOTH_WAYS, resistor, 2, "proportional"),
        (BOTH_WAYS, lamp, 2, "flattening"),
        (DIODE_STEPS, diode, 4, "threshold"),
    ],
    ids=["resistor", "lamp", "diode"],
)
def test_honest_scatter_is_never_another_shape(
    V: Values, current: Callable[[Values], Values], places: int, right: str
) -> None:
    """Of many honest students none has their points called another shape, and hardly any no shape."""
    random = np.random.default_rng(7)
    x = np.round(V + random.normal(0, 0.02, (STUDENTS, V.size)), 2)
    y = np.round(current(x) * random.normal(1, 0.02, x.shape) + random.normal(0, 0.4 * 10.0**-places, x.shape), places)
    found = shapes(x, y, np.full(y.shape, 10.0**-places))
    named = [found.named(student) for student in range(STUDENTS)]
    assert {name for name in named if name is not None} == {right}
    assert named.count(None) <= 0.02 * STUDENTS
