"""Fits by calculation against certified and published values, from tidy CSV through intake and checking.

NIST StRD Pontius and NoInt1, all digits certified; Pearson's data with York's weights, as York and others print it
(American Journal of Physics 72 (2004) 367).
"""

from __future__ import annotations

import pytest

from marking.findings import Outcome
from tests.published.main_path import Row, column, marked, table, value_finding
from tests.published.test_lines_and_uncertainty import columns_of, worked_out


def rows_of(file: str, **headings: str) -> list[Row]:
    """Return columns of a file of ``data_lines`` as rows."""
    data = columns_of(file)
    return [row for item, heading in headings.items() for row in column(item, (repr(float(v)) for v in data[heading]))]


PONTIUS = rows_of("strd-pontius.csv", x="x", y="y")
PEARSON = rows_of("pearson-york.csv", x="x", y="y", w_x="weight_x", w_y="weight_y")
NO_INTERCEPT = [row for item in ("x", "y") for row in column(item, (line[item] for line in table("strd-noint1.csv")))]


@pytest.mark.parametrize(
    ("answer", "certified", "deviation", "slip"),
    [
        ("constant", 0.673565789473684e-3, 0.107938612033077e-3, "0.00573"),
        ("linear", 0.732059160401003e-6, 0.157817399981659e-9, "0.000000832"),
        ("square", -0.316081871345029e-14, 0.486652849992036e-16, "-0.000000000000000316"),
    ],
)
def test_pontius(answer: str, certified: float, deviation: float, slip: str) -> None:
    """Coefficients to nine digits and their standard deviations to seven; a slip is withheld."""
    finding = value_finding("parabola", [*PONTIUS, (answer, "", f"{certified:.10e}", "")], answer)
    assert finding.outcome is Outcome.AWARDED
    assert finding.expected == pytest.approx(certified, rel=1e-9)
    assert worked_out("parabola", PONTIUS, answer).standard[0, 0] == pytest.approx(deviation, rel=1e-7)
    assert value_finding("parabola", [*PONTIUS, (answer, "", slip, "")], answer).outcome is Outcome.WITHHELD


@pytest.mark.parametrize(
    ("answer", "published", "slip"), [("gradient", -0.480533407, "-0.611"), ("intercept", 5.47991022, "6.10")]
)
def test_pearson_with_the_weights_of_york(answer: str, published: float, slip: str) -> None:
    """The weighted line in all printed digits; a slip is withheld."""
    finding = value_finding("weighted-line", [*PEARSON, (answer, "", repr(published), "")], answer)
    assert finding.outcome is Outcome.AWARDED
    assert finding.expected == pytest.approx(published, abs=1e-7)
    assert value_finding("weighted-line", [*PEARSON, (answer, "", slip, "")], answer).outcome is Outcome.WITHHELD


def test_the_line_drawn_is_the_one_asked_for() -> None:
    """The chart shows the weighted line, and the line through the origin, where the rubric calculates these."""
    weighted, through = marked("weighted-line", PEARSON).plot, marked("gradient-through-origin", NO_INTERCEPT).plot
    assert weighted is not None
    assert through is not None
    assert weighted.line == pytest.approx((-0.480533407, 5.47991022), abs=1e-7)
    assert through.line == pytest.approx((2.07438016528926, 0.0))


def test_uncertainty_of_a_weighted_line() -> None:
    """From the errors given with the points, moved one by one: York's printed 0.057985009 to one per cent."""
    found = worked_out("weighted-line", PEARSON, "gradient")
    assert found.standard[0, 0] == pytest.approx(0.057985009, rel=0.01)


def test_gradient_through_the_origin() -> None:
    """NoInt1 in all certified digits, with its standard deviation."""
    finding = value_finding("gradient-through-origin", [*NO_INTERCEPT, ("gradient", "", "2.07438", "")], "gradient")
    assert finding.outcome is Outcome.AWARDED
    assert finding.expected == pytest.approx(2.07438016528926, rel=1e-13)
    found = worked_out("gradient-through-origin", NO_INTERCEPT, "gradient")
    assert found.standard[0, 0] == pytest.approx(0.0165289256198347, rel=1e-8)
    assert found.freedom[0, 0] == 10
