"""What readings must cover before a shape is named: sizes of p.d., counts of the meter."""

from __future__ import annotations

import numpy as np
import pytest

from marking.checking.curves import shapes


def named(x: list[float], y: list[float], step: float) -> str | None:
    """Return the shape of one set."""
    return shapes(np.array([x]), np.array([y]), np.full((1, len(x)), step)).named(0)


def test_one_size_of_pd_either_way_has_no_shape() -> None:
    """Readings near 6 V in both directions lie on a line and on a lamp's curve alike."""
    volts = [-6.1, -6.0, -5.95, -5.9, 5.9, 5.95, 6.0, 6.1]
    assert named(volts, [v / 10 for v in volts], 0.001) is None
    wide = [-6.0, -4.0, -2.0, -1.0, 1.0, 2.0, 4.0, 6.0]
    assert named(wide, [v / 10 for v in wide], 0.001) == "proportional"


@pytest.mark.parametrize(("top", "shape"), [(3, "threshold"), (2, None)])
def test_a_diode_shows_with_three_counts_at_the_top(top: int, shape: str | None) -> None:
    """Nothing up to 0.65 V and three counts at 0.75 V; with two it is for the teacher."""
    volts = [-5.0, -1.0, 0.3, 0.5, 0.6, 0.65, 0.7, 0.75]
    assert named(volts, [0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.01, 0.01 * top], 0.01) == shape


def test_three_counts_do_not_tell_a_line_from_a_lamp() -> None:
    """A resistor read in whole steps up to three."""
    volts = [1.0, 2.0, 3.0, 4.0, 5.0, 6.0]
    assert named(volts, [0.0, 0.01, 0.02, 0.02, 0.02, 0.03], 0.01) is None
