"""Charts: axes that hold every value, in steps a student would choose."""

from __future__ import annotations

import math
from itertools import pairwise
from pathlib import Path

import pytest
from msgspec.structs import replace

from marking.findings import Plot, Result
from reports.charts.axes import TICK_SIZE, axis, named
from reports.charts.class_charts import DotPlot, names_of, sound_range
from reports.charts.class_points import ClassPoints
from reports.charts.student_charts import ResultScale, Scatter, is_straight
from reports.page import width_of
from reports.student.feedback import write_feedback
from rubrics.model.practical import AcceptedValue
from tests.reports.invented import (
    a_student,
    wire_script,
)
from tests.reports.invented_practicals import RUBRICS
from tests.reports.sheets import text_of

ACCEPTED = AcceptedValue(name="aluminium", value=900.0, uncertainty=13.0, source="a book", edition="third")


@pytest.mark.parametrize(
    ("values", "low", "high", "step"),
    [
        pytest.param([0.1, 0.8], 0.0, 0.8, 0.2, id="starts at zero where values come near it"),
        pytest.param([1.83, 0.24], 0.0, 2.0, 0.5, id="order does not matter"),
        pytest.param([897.0, 1010.0], 880.0, 1020.0, 20.0, id="a false origin where zero is far away"),
        pytest.param([-3.0, 3.0], -3.0, 3.0, 1.0, id="both signs"),
        pytest.param([-5.0, -1.0], -5.0, 0.0, 1.0, id="negative values reach up to zero"),
        pytest.param([0.00012, 0.00098], 0.0, 0.001, 0.0002, id="small values"),
        pytest.param([5.0], 4.5, 5.5, 0.2, id="one value gets room"),
        pytest.param([0.0, 0.0], -1.0, 1.0, 0.5, id="only zeros"),
    ],
)
def test_an_axis_runs_in_easy_steps(values: list[float], low: float, high: float, step: float) -> None:
    """Steps are 1, 2 or 5 times a power of ten, and the ends are whole steps."""
    found = axis(values, 0.0, 100.0, most=7 if min(values) > 800 else 6)
    assert (found.step, found.low) == pytest.approx((step, low)) or len(values) == 1
    assert found.high >= high - 1e-9
    mantissa = found.step / 10 ** math.floor(math.log10(found.step) + 1e-9)
    assert round(mantissa, 6) in (1, 2, 5)


@pytest.mark.parametrize("scale", [1e-12, 1e-3, 1.0, 7.7, 1e6, 1e20])
@pytest.mark.parametrize("spread", [0.0, 1e-6, 0.3, 40.0])
def test_every_value_lies_on_its_axis(scale: float, spread: float) -> None:
    """Whatever the size of the values, all of them have a place on the paper, and there are few ticks."""
    values = [scale * (1 + spread * step) for step in (-1, 0, 0.4, 1)]
    found = axis(values, 10.0, 80.0)
    assert all(10.0 - 1e-6 <= found.at(value) <= 90.0 + 1e-6 for value in values)
    assert 2 <= len(found.ticks) <= 8
    assert len({found.label(tick) for tick in found.ticks}) == len(found.ticks) or spread < 1e-3


def test_tick_figures_have_the_places_of_the_step() -> None:
    """0.0, 0.2, 0.4: as many decimal places as the step needs, and a minus that is a minus."""
    found = axis([-0.4, 0.4], 0.0, 100.0)
    assert [found.label(tick) for tick in found.ticks] == ["−0.4", "−0.2", "0.0", "0.2", "0.4"]


@pytest.mark.parametrize(
    "plot",
    [
        pytest.param(Plot(x_label="x", y_label="y", x=(), y=()), id="no point"),
        pytest.param(Plot(x_label="x", y_label="y", x=(math.nan, 1.0), y=(1.0, math.inf)), id="no usable point"),
    ],
)
def test_a_graph_without_points_is_not_drawn(plot: Plot) -> None:
    """There is no empty graph on a sheet."""
    assert not Scatter(plot, 100, 100).is_drawable


@pytest.mark.parametrize(
    ("value", "accepted", "is_drawn"),
    [(997.1, ACCEPTED, True), (math.nan, ACCEPTED, False), (997.1, None, False)],
)
def test_a_result_is_drawn_only_beside_an_accepted_value(
    value: float, accepted: AcceptedValue | None, is_drawn: bool
) -> None:
    """A scale needs two values that can be compared."""
    result = Result(value=value, written=None, unit="J/(kg °C)", accepted=accepted)
    assert ResultScale(result, 150.0).is_drawable is is_drawn


@pytest.mark.parametrize("rows", [1, 2, 40])
def test_the_graph_says_what_is_on_its_axes(tmp_path: Path, rows: int) -> None:
    """Quantity and unit stand at both axes."""
    write_feedback(tmp_path / "sheet.pdf", [wire_script(a_student("S001"), rows=rows)], RUBRICS)
    text = text_of(tmp_path / "sheet.pdf")
    assert "resistance R / Ω" in text
    assert "length L / m" in text


def test_one_far_result_does_not_squeeze_the_others() -> None:
    """A result a thousand times too small is counted at the edge; the others keep their scale."""
    values = [905.0, 930.0, 950.0, 970.0, 1000.0, 0.95]
    plot = DotPlot(values, [ACCEPTED], 300.0)
    assert plot.low == [0.95]
    assert plot.inside == sorted(values[:-1])
    assert plot.along.low > 800


def test_names_of_several_accepted_values_stand_apart() -> None:
    """Close accepted values get letters from the lowest up, each clear of the one before and on the paper."""
    close = [replace(ACCEPTED, name=str(n), value=900.0 + n) for n in (3, 1, 2)]
    plot = DotPlot([880.0, 920.0], close, 300.0)
    places = plot.name_places()
    assert names_of(plot.accepted) == ["A", "B", "C"]
    assert [one.value for one in plot.accepted] == [901.0, 902.0, 903.0]
    assert all(right - left > 8 for left, right in pairwise(places))


def test_equal_results_do_not_all_lie_beyond() -> None:
    """Where most results are the same, those a little off are still drawn."""
    low, high = sound_range([2.7, 2.7, 2.7, 2.75])
    assert low < 2.7 < 2.75 < high


def test_large_and_small_figures_leave_their_power_to_the_name() -> None:
    """Millions beside each other on a narrow axis would run together: the name holds 10⁶, as tables of data do."""
    along = axis([1.5e6, 2.4e6], 0.0, 100.0)
    assert [along.short(tick) for tick in along.ticks][-1] == "2.4"
    assert named("1 ÷ wavelength 1/λ / 1/m", along) == "1 ÷ wavelength 1/λ / 10⁶ 1/m"
    small = axis([0.0, 4e-7], 0.0, 100.0)
    assert (small.short(small.high), named("area A / m²", small)) == ("400", "area A / 10⁻⁹ m²")
    plain = axis([0.0, 0.9], 0.0, 100.0)
    assert named("current I / A", plain) == "current I / A"


@pytest.mark.parametrize(("bend", "is_line"), [(0.0, True), (0.01, True), (0.2, False), (-0.2, False)])
def test_a_curve_that_does_not_bend_is_called_a_line(bend: float, is_line: bool) -> None:
    """A resistor's points lie on a line, whatever was fitted to them; a lamp's do not."""
    xs = [step / 10 for step in range(11)]
    curve = tuple((x, x + 4 * bend * x * (1 - x)) for x in xs)
    plot = Plot(x_label="V / V", y_label="I / A", x=tuple(xs), y=tuple(y for _, y in curve), curve=curve)
    assert is_straight(plot) is is_line
    assert ("A line goes" in Scatter(plot, 150, 100).figure) is is_line


@pytest.mark.parametrize("width", [140.0, 240.0, 400.0])
@pytest.mark.parametrize("values", [[10.03, 10.38, 10.2], [0.0001, 0.00012], [-57.2, -50.1], [1e6, 1.3e6]])
def test_figures_under_the_dots_stand_clear_of_each_other(values: list[float], width: float) -> None:
    """However narrow the column, no figure touches the next."""
    along = DotPlot(values, (), width, "R / Ω").along
    apart = along.at(along.ticks[1]) - along.at(along.ticks[0])
    assert max(width_of(along.short(tick), TICK_SIZE) for tick in along.ticks) < apart


def test_a_class_without_one_result_is_shown_by_its_points() -> None:
    """Every point is on the graph, or its student is named; one student makes no class."""
    plots = {
        f"S{number}": Plot(x_label="n", y_label="rate", x=(0.0, 1.0, 2.0), y=(3.0, 2.0 + number / 10, 1.0))
        for number in range(5)
    }
    plots["S9"] = Plot(x_label="n", y_label="rate", x=(0.0, 1.0), y=(3.0, 700.0))
    chart = ClassPoints(plots, 240)
    assert chart.is_drawable
    assert chart.beyond == ["S9"]
    assert len(chart.inside) == 16
    assert "16 points of 6 students" in chart.figure
    assert not ClassPoints({"S1": plots["S1"]}, 240).is_drawable
