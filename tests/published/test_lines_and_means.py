"""Lines and means against certified and published values, each table through the main job.

Sources stand at the head of each data file. 'Certified' values are those of NIST StRD, all digits recomputed in
60-digit arithmetic; the others are printed to the digits given.
"""

from __future__ import annotations

import pytest

from marking.findings import Outcome
from tests.published.main_path import Row, column, table, value_finding

CERTIFIED = 1e-9
"""Relative; the certified values have 15 digits, double precision keeps at least nine of them here."""


def columns(file: str, where: str = "", **headings: str) -> list[Row]:
    """Return a data file's columns as rows: item = heading; *where* keeps the lines of one set."""
    lines = [line for line in table(file) if not where or line["set"] == where]
    return [row for item, heading in headings.items() for row in column(item, (line[heading] for line in lines))]


NORRIS = columns("strd-norris.csv", x="x", y="y")
NO_INTERCEPT = columns("strd-noint1.csv", x="x", y="y")
MICHELSON = columns("strd-michelso.csv", x="y")

CERTIFIED_VALUES = [
    ("Norris gradient", "straight-line", NORRIS, "gradient", 1.00211681802045),
    ("Norris intercept", "straight-line", NORRIS, "intercept", -0.262323073774029),
    ("NoInt1 gradient", "line-through-origin", NO_INTERCEPT, "gradient", 2.07438016528926),
    ("Michelso mean", "mean-of-readings", MICHELSON, "mean_x", 299.8524),
    ("Michelso count", "mean-of-readings", MICHELSON, "count_x", 100),
    ("NumAcc1 mean", "mean-of-readings", column("x", ["10000001", "10000003", "10000002"]), "mean_x", 10000002),
]


@pytest.mark.parametrize(
    ("rubric", "rows", "answer", "certified"),
    [case[1:] for case in CERTIFIED_VALUES],
    ids=[case[0] for case in CERTIFIED_VALUES],
)
def test_certified_value(rubric: str, rows: list[Row], answer: str, certified: float) -> None:
    """NIST's certified value is what the readings lead to, to nine digits, and is awarded as NIST prints it."""
    finding = value_finding(rubric, [*rows, (answer, "", repr(certified), "")], answer)
    assert finding.outcome is Outcome.AWARDED
    assert finding.expected == pytest.approx(certified, rel=CERTIFIED)


@pytest.mark.parametrize(
    ("rubric", "rows", "answer", "slip"),
    [
        ("straight-line", NORRIS, "gradient", "0.8"),
        ("line-through-origin", NO_INTERCEPT, "gradient", "1.87"),
        ("mean-of-readings", MICHELSON, "mean_x", "299.58"),
    ],
    ids=["Norris", "NoInt1", "Michelso"],
)
def test_planted_slip_is_withheld(rubric: str, rows: list[Row], answer: str, slip: str) -> None:
    """A value that the same table does not lead to is withheld."""
    assert value_finding(rubric, [*rows, (answer, "", slip, "")], answer).outcome is Outcome.WITHHELD


@pytest.mark.parametrize("data_set", ["1", "2", "3", "4"])
def test_four_tables_with_one_line(data_set: str) -> None:
    """Anscombe's four tables have the printed line y = 3.00 + 0.500 x, whatever their points look like."""
    rows = columns("anscombe.csv", data_set, x="x", y="y")
    rows += [("gradient", "", "0.500", ""), ("intercept", "", "3.00", "")]
    gradient = value_finding("straight-line", rows, "gradient")
    intercept = value_finding("straight-line", rows, "intercept")
    assert (gradient.outcome, intercept.outcome) == (Outcome.AWARDED, Outcome.AWARDED)
    assert gradient.expected == pytest.approx(0.500, abs=0.0005)
    assert intercept.expected == pytest.approx(3.00, abs=0.005)


IMPEDANCE = [
    *column("V", (line["V_volt"] for line in table("gum-h2.csv")), "V"),
    *column("I", (line["I_milliampere"] for line in table("gum-h2.csv")), "mA"),
    *column("phi", (line["phi_radian"] for line in table("gum-h2.csv")), "rad"),
]


@pytest.mark.parametrize(
    ("answer", "published", "unit", "slip"),
    [
        ("mean_V", "4.9990", "V", "4.9950"),
        ("mean_I", "19.6610", "mA", "19.6160"),
        ("mean_phi", "1.04446", "rad", "1.04466"),
        ("R", "127.732", "Ω", "254.260"),
        ("X", "219.847", "Ω", "127.732"),
        ("Z", "254.260", "Ω", "245.260"),
    ],
)
def test_quantities_of_readings_taken_together(answer: str, published: str, unit: str, slip: str) -> None:
    """Means, resistance, reactance and impedance of five readings are those printed in JCGM 100:2008, H.2."""
    finding = value_finding("impedance", [*IMPEDANCE, (answer, "", published, unit)], answer)
    assert finding.outcome is Outcome.AWARDED
    last = 10.0 ** -len(published.partition(".")[2])
    assert finding.expected == pytest.approx(float(published), abs=0.5 * last)
    assert value_finding("impedance", [*IMPEDANCE, (answer, "", slip, unit)], answer).outcome is Outcome.WITHHELD


def test_mean_of_twenty_temperatures() -> None:
    """Twenty temperatures have the printed mean of 100.145 °C (JCGM 100:2008, 4.4.3; readings from memory)."""
    rows = column("T", (line["t_C"] for line in table("gum-443-temperatures.csv")), "°C")
    finding = value_finding("mean-temperature", [*rows, ("mean_T", "", "100.145", "°C")], "mean_T")
    assert finding.outcome is Outcome.AWARDED
    assert finding.expected == pytest.approx(100.145, abs=0.0005)
    assert value_finding("mean-temperature", [*rows, ("mean_T", "", "373.295", "K")], "mean_T").outcome == "awarded"
    assert value_finding("mean-temperature", [*rows, ("mean_T", "", "100.415", "°C")], "mean_T").outcome == "withheld"


@pytest.mark.parametrize(
    ("heading", "right", "other"), [("density", "5.448", "5.482"), ("density2", "5.482", "5.448")], ids=["4.88", "5.88"]
)
def test_one_slip_in_the_record_moves_the_mean(heading: str, right: str, other: str) -> None:
    """Cavendish's 29 values have one mean with 4.88 and another with 5.88; each stands with its own table alone.

    Cavendish (1798), Stigler (1977); recomputed, the history from memory.
    """
    rows = columns("cavendish.csv", x=heading)
    assert value_finding("mean-of-readings", [*rows, ("mean_x", "", right, "")], "mean_x").outcome == "awarded"
    assert value_finding("mean-of-readings", [*rows, ("mean_x", "", other, "")], "mean_x").outcome == "withheld"


def test_resistor_of_a_textbook_table() -> None:
    """The gradient of the textbook's five readings is 3.581 Ω; the mean of its ratios, 3.608 Ω, stands as well.

    OpenStax College Physics 2e, m42344: data only, no printed answer; recomputed with scipy.
    """
    lines = table("openstax-vi.csv")
    rows = [
        *column("V", (line["V_volt"] for line in lines), "V"),
        *column("I", (line["I_ampere"] for line in lines), "A"),
        ("component", "", "resistor", ""),
    ]
    for written in ("3.581", "3.58", "3.61", "3.598"):
        finding = value_finding("iv-characteristic", [*rows, ("R_component", "", written, "Ω")], "R_component")
        assert finding.outcome is Outcome.AWARDED
        assert finding.expected == pytest.approx(3.5811915, abs=1e-6)
    finding = value_finding("iv-characteristic", [*rows, ("R_component", "", "0.279", "Ω")], "R_component")
    assert (finding.outcome, finding.cause) == ("withheld", "gradient-inverted")


def test_rate_constant_of_a_textbook_table() -> None:
    """The logarithms of the textbook's concentrations fall by 0.116 an hour (OpenStax Chemistry 2e, m68791)."""
    lines = table("openstax-h2o2.csv")
    rows = [
        *column("t", (line["t_hour"] for line in lines), "h"),
        *column("c", (line["c_mol_per_L"] for line in lines), "mol/L"),
    ]
    finding = value_finding("first-order", [*rows, ("k", "", "0.116", "1/h")], "k")
    assert finding.outcome is Outcome.AWARDED
    assert finding.expected == pytest.approx(0.11552453, abs=1e-8)
    assert value_finding("first-order", [*rows, ("slope_c", "", "-0.116", "1/h")], "slope_c").outcome == "awarded"
    assert value_finding("first-order", [*rows, ("k", "", "0.0502", "1/h")], "k").outcome == "withheld"
