"""Uncertainties, weighted lines and limits of outlier tests against what others published.

Where a rubric can carry the data they go the main way, from CSV to what the checker works out; the rest is
asked of the functions themselves. Sources stand at each table.
"""

from __future__ import annotations

import csv
import io
import math
import tempfile
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from marking.checking.answers.drawn_lines import Proportion, proportions
from marking.checking.answers.written.board import lay_out
from marking.checking.fits.outliers import grubbs_distance, grubbs_limit
from marking.checking.fits.parabolas import fit_parabolas
from marking.checking.fits.straight_lines import fit_lines
from marking.checking.fits.weighted_lines import fit_weighted_lines
from marking.checking.uncertainty.jcgm import coverage_factor, effective_freedom, rectangular
from marking.checking.uncertainty.of_answers import AnswerUncertainty, answer_uncertainty
from marking.intake.read_inputs import read_inputs
from tests.checking.uncertainty.one_formula import worked_out as formula_worked_out
from tests.published.main_path import HEADINGS, STUDENT, Row, column, rubric_named, table

Values = NDArray[np.float64]

OWN_DATA = Path(__file__).parent / "data_lines"


def columns_of(file: str) -> dict[str, Values]:
    """Return the columns of a file of ``data_lines`` by heading."""
    text = (OWN_DATA / file).read_text(encoding="utf-8")
    lines = list(csv.DictReader(io.StringIO("".join(x for x in text.splitlines(True) if not x.startswith("#")))))
    return {heading: np.array([float(line[heading]) for line in lines]) for heading in lines[0]}


def one_set(values: Sequence[float] | Values) -> Values:
    """Return a column as the class of one student that the functions take."""
    return np.asarray(values, dtype=np.float64)[None, :]


def worked_out(practical: str, rows: Sequence[Row], answer: str) -> AnswerUncertainty:
    """Return what the checker makes of *rows*, read from tidy CSV, for one answer."""
    rubric = rubric_named(practical)
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "class.csv"
        with file.open("w", encoding="utf-8", newline="") as stream:
            writer = csv.writer(stream)
            writer.writerow(HEADINGS)
            writer.writerows([STUDENT, "", rubric.id, *row] for row in rows)
        (class_set,) = read_inputs([file], {rubric.id: rubric})
    return answer_uncertainty(lay_out(rubric, class_set.write_ups), rubric.items[answer])


IMPEDANCE = [
    *column("V", (line["V_volt"] for line in table("gum-h2.csv")), "V"),
    *column("I", (line["I_milliampere"] for line in table("gum-h2.csv")), "mA"),
    *column("phi", (line["phi_radian"] for line in table("gum-h2.csv")), "rad"),
]


@pytest.mark.parametrize(
    ("answer", "value", "standard", "tolerance"),
    [("R", 127.732, 0.071, 0.0005), ("X", 219.847, 0.295, 0.001), ("Z", 254.260, 0.236, 0.0005)],
)
def test_impedance_from_simultaneous_readings(answer: str, value: float, standard: float, tolerance: float) -> None:
    """R, X and Z of five readings taken together, with the printed uncertainties, correlation kept (JCGM 100, H.2)."""
    found = worked_out("impedance", IMPEDANCE, answer)
    assert found.value[0, 0] == pytest.approx(value, abs=0.001)
    assert found.standard[0, 0] == pytest.approx(standard, abs=tolerance)
    assert found.freedom[0, 0] == pytest.approx(4, rel=0.01)


def test_norris_errors_the_main_way() -> None:
    """NIST's certified standard deviations of slope and intercept come out of CSV and rubric (StRD Norris)."""
    lines = table("strd-norris.csv")
    rows = [*column("x", (line["x"] for line in lines)), *column("y", (line["y"] for line in lines))]
    gradient = worked_out("straight-line", rows, "gradient")
    intercept = worked_out("straight-line", rows, "intercept")
    assert gradient.standard[0, 0] == pytest.approx(0.000429796848199937, rel=1e-8)
    assert intercept.standard[0, 0] == pytest.approx(0.232818234301152, rel=1e-8)
    assert gradient.freedom[0, 0] == 34


def test_pontius_parabola() -> None:
    """The certified coefficients and deviations of a very flat parabola, to nine digits (StRD Pontius)."""
    data = columns_of("strd-pontius.csv")
    fit = fit_parabolas(one_set(data["x"]), one_set(data["y"]))
    assert fit.constant[0, 0] == pytest.approx(0.673565789473684e-3, rel=1e-9)
    assert fit.linear[0, 0] == pytest.approx(0.732059160401003e-6, rel=1e-9)
    assert fit.square[0, 0] == pytest.approx(-0.316081871345029e-14, rel=1e-9)
    assert fit.constant_error[0, 0] == pytest.approx(0.107938612033077e-3, rel=1e-7)
    assert fit.linear_error[0, 0] == pytest.approx(0.157817399981659e-9, rel=1e-7)
    assert fit.square_error[0, 0] == pytest.approx(0.486652849992036e-16, rel=1e-7)


def test_line_of_pearson_and_york() -> None:
    """Pearson's points with York's weights have the published line (York and others 2004)."""
    data = columns_of("pearson-york.csv")
    x_error, y_error = (1 / np.sqrt(one_set(data[name])) for name in ("weight_x", "weight_y"))
    line = fit_weighted_lines(one_set(data["x"]), one_set(data["y"]), x_error, y_error)
    assert line.slope[0, 0] == pytest.approx(-0.480533407, abs=1e-8)
    assert line.intercept[0, 0] == pytest.approx(5.47991022, abs=1e-7)
    assert line.slope_error[0, 0] == pytest.approx(0.057985009, abs=1e-8)
    assert line.intercept_error[0, 0] == pytest.approx(0.294970735, abs=1e-8)
    assert line.misfit[0, 0] == pytest.approx(11.8663532, abs=1e-6)


def test_twenty_temperatures() -> None:
    """Mean and standard uncertainty of twenty readings (JCGM 100, 4.4.3; readings from memory)."""
    rows = column("T", (line["t_C"] for line in table("gum-443-temperatures.csv")), "°C")
    found = worked_out("mean-temperature", rows, "mean_T")
    assert found.value[0, 0] - 273.15 == pytest.approx(100.145, abs=5e-4)
    assert found.standard[0, 0] == pytest.approx(0.333, abs=5e-4)
    assert found.freedom[0, 0] == 19


def test_titration_budget() -> None:
    """Concentration of sodium hydroxide and its uncertainty (EURACHEM/CITAC CG 4, 2012, example A2).

    The factor for repeatability, 1 with 0.0005, stands in the purity's line of the budget here.
    """
    flask = 0.03 / math.sqrt(6.0)  # likeliest in the middle of its tolerance: triangular, JCGM 100, 4.3.9
    inputs = {
        "m": (0.3888, math.sqrt(2) * rectangular(0.00015)),
        "P": (1.0, math.hypot(rectangular(0.0005), 0.0005)),
        "molar": (204.2212, 0.0038),
        "V": (18.64, math.hypot(flask, 0.006)),
    }
    assert formula_worked_out("1000 * m * P / (molar * V)", inputs) == pytest.approx((0.10214, 0.00010), abs=5e-6)


def test_thermal_expansion() -> None:
    """Thermal expansion of copper (NIST TN 1900, 2015, E13; printed values from memory)."""
    inputs = {"L_0": (1.4999, 0.0001), "L_1": (1.5021, 0.0002), "T_0": (288.15, 0.02), "T_1": (373.10, 0.05)}
    value, standard = formula_worked_out("(L_1 - L_0) / (L_0 * (T_1 - T_0))", inputs)
    assert value == pytest.approx(1.727e-5, abs=5e-9)
    assert standard == pytest.approx(1.8e-6, abs=5e-8)


def test_end_gauge_budget() -> None:
    """Combined uncertainty, degrees of freedom and expanded uncertainty of an end gauge (JCGM 100, H.1)."""
    parts = [(25, 18), (5.8, 24), (3.9, 5), (6.7, 8), (16.6, 2), (2.9, 50)]
    total = math.sqrt(sum(part**2 for part, _ in parts))
    freedom = effective_freedom(parts)
    assert total == pytest.approx(32, abs=0.5)
    assert freedom == pytest.approx(16.7, abs=0.1)
    assert coverage_factor(freedom, 0.99) == pytest.approx(2.92, abs=0.005)
    assert coverage_factor(freedom, 0.99) * total == pytest.approx(93, abs=0.6)


@pytest.mark.parametrize(
    ("freedom", "factor"), [(1, 12.71), (2, 4.30), (3, 3.18), (4, 2.78), (9, 2.26), (19, 2.09), (math.inf, 1.96)]
)
def test_coverage_factors(freedom: float, factor: float) -> None:
    """Student's t for 95 % as printed (JCGM 100, Table G.2)."""
    assert coverage_factor(freedom) == pytest.approx(factor, abs=0.005)


def test_grubbs_of_a_worked_example() -> None:
    """Distance, limits and verdict of NIST's eight readings (NIST/SEMATECH e-Handbook, 1.3.5.17.1)."""
    readings = one_set([199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57])
    assert np.nanmax(grubbs_distance(readings)) == pytest.approx(2.4687, abs=1e-4)
    assert grubbs_limit(8, two_sided=False) == pytest.approx(2.032, abs=5e-4)
    assert grubbs_limit(8) == pytest.approx(2.1266, abs=1e-4)
    assert np.flatnonzero(grubbs_distance(readings)[0] > grubbs_limit(8)).tolist() == [7]


def test_grubbs_limits() -> None:
    """Limits at 5 % for three to twelve readings, one-sided and two-sided (Grubbs and Beck 1972; ISO 5725-2)."""
    data = columns_of("grubbs-5pct.csv")
    for count, one_sided, two_sided in zip(data["n"], data["one_sided_5pct"], data["two_sided_5pct"], strict=True):
        assert grubbs_limit(int(count), two_sided=False) == pytest.approx(one_sided, abs=1e-4)
        assert grubbs_limit(int(count)) == pytest.approx(two_sided, abs=1e-4)


def test_one_slip_of_cavendish_is_no_outlier() -> None:
    """4.88 among Cavendish's 29 densities lies within Grubbs' limit: G = 2.570 below 2.893 (recomputed)."""
    values = one_set([float(line["density"]) for line in table("cavendish.csv")])
    assert np.nanmax(grubbs_distance(values)) == pytest.approx(2.570, abs=5e-4)
    assert grubbs_limit(29) == pytest.approx(2.893, abs=5e-4)


def test_intercepts_of_real_data() -> None:
    """An elastic band has an intercept; eight books leave it open (R DAAG elastic2 and softbacks, recomputed)."""
    band, books = columns_of("elastic2.csv"), columns_of("softback-books.csv")
    line = fit_lines(one_set(band["stretch"]), one_set(band["distance"]))
    assert line.slope_error[0, 0] == pytest.approx(0.3148387, abs=1e-6)
    line = fit_lines(one_set(books["volume"]), one_set(books["weight"]))
    assert line.intercept_error[0, 0] == pytest.approx(97.558831, abs=1e-5)
    assert proportions(one_set(band["stretch"]), one_set(band["distance"])) == (Proportion.LINEAR_ONLY,)
    assert proportions(one_set(books["volume"]), one_set(books["weight"])) == (Proportion.UNCLEAR,)
