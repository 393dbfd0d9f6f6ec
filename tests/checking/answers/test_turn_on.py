"""The turn-on p.d. of a diode, judged by the student's own points, and the curve drawn through them."""

from __future__ import annotations

import numpy as np
import pytest

from marking.checking.curves.curve_drawing import drawn_curve
from tests.benchmarks.shapes import diode, plain
from tests.checking.rows import found, in_table, mark

DIODE = "component,,diode,\n" + in_table(
    V="-1.00 -0.50 0.00 0.30 0.50 0.60 0.65 0.70 0.75 0.80 V",
    I="0.0 0.0 0.0 0.0 0.1 1.4 5.2 13.8 26.1 39.0 mA",
)
"""A silicon diode in series with a resistor: nothing below about 0.55 V, steep from about 0.65 V."""


def outcome(lines: str) -> str:
    """Return what becomes of the turn-on p.d."""
    (finding,) = found("iv-characteristic", lines, "P3")
    return finding.outcome.value


@pytest.mark.parametrize("entry", ["0.60,V", "0.65,V", "0.6,V", "600,mV", "-0.62,V"])
def test_where_the_current_starts_to_rise_stands(entry: str) -> None:
    """Readers of one graph differ by some hundredths of a volt."""
    assert outcome(f"{DIODE}\nV_on,,{entry}") == "awarded"


@pytest.mark.parametrize("entry", ["0.35,V", "0.80,V", "650,", "0.65,"])
def test_what_another_reader_may_see_goes_to_the_teacher(entry: str) -> None:
    """Also a number without a unit, which may be in mV."""
    assert outcome(f"{DIODE}\nV_on,,{entry}") == "for-teacher"


@pytest.mark.parametrize("entry", ["650,V", "6.5,V", "0.00065,V", "0.02,V"])
def test_what_the_curve_does_not_show_is_wrong(entry: str) -> None:
    """Beyond the largest reading, or where there is no current yet."""
    assert outcome(f"{DIODE}\nV_on,,{entry}") == "withheld"


def test_an_entry_left_out_costs_nothing() -> None:
    """It may stand on the graph: the teacher looks, as ever."""
    (finding,) = found("iv-characteristic", DIODE, "P3")
    assert (finding.outcome.value, finding.reason) == ("for-teacher", "teacher-looks")


def test_no_turn_on_where_the_points_show_none() -> None:
    """Three points of a diode tell nothing."""
    few = "component,,diode,\n" + in_table(V="0.00 0.60 0.70 V", I="0.0 1.4 13.8 mA")
    assert outcome(f"{few}\nV_on,,0.60,V") == "for-teacher"


def test_the_curve_runs_through_the_points() -> None:
    """On the chart of a diode stands a curve, flat and then steep, within a few per cent of the points."""
    plot = mark("iv-characteristic", DIODE).plot
    assert plot is not None
    across, up = np.array(plot.curve).T
    assert np.interp([-0.5, 0.3], across, up) == pytest.approx(0.0, abs=1e-3)
    assert np.interp(0.70, across, up) == pytest.approx(0.0138, abs=0.003)
    assert np.interp(0.80, across, up) == pytest.approx(0.0390, abs=0.003)


@pytest.mark.parametrize("shape", ["proportional", "flattening"])
def test_curves_of_the_other_shapes(shape: str) -> None:
    """Exact points of the shape have their own curve drawn through them."""
    x = np.linspace(-6.0, 6.0, 13)
    y = 0.2 * x if shape == "proportional" else np.sign(x) * 0.3 * np.abs(x) ** 0.5
    across, up = np.array(drawn_curve(x, y, shape)).T
    assert np.interp(x, across, up) == pytest.approx(y, abs=0.08)
    assert drawn_curve(x, np.zeros_like(x), shape) == ()


@pytest.mark.parametrize("share", [0.02, 0.05, 0.10])
def test_simulated_diodes_lose_nothing(share: float) -> None:
    """A turn-on read where 2 to 10 % of the largest current flows stands in 95 of 100 sets and is never withheld.

    Diodes by Shockley's equation with a series resistance, apart from the curves that are fitted.
    """
    random, outcomes = np.random.default_rng(5), []
    for _ in range(60):
        part = diode(random)
        points = plain(random, part)
        steps = np.linspace(0.01, part.top, 2000)
        stated = steps[np.argmax(part.current(steps) >= share * part.current(np.array([part.top])))]
        table = in_table(
            V=" ".join(f"{one:.2f}" for one in points.x) + " V", I=" ".join(f"{one:.6f}" for one in points.y) + " A"
        )
        outcomes.append(outcome(f"component,,diode,\n{table}\nV_on,,{stated:.2f},V"))
    assert "withheld" not in outcomes
    assert outcomes.count("awarded") >= 0.95 * len(outcomes)
