"""Slips that books print: a checker must neither follow them nor punish what is right beside them.

Sources: as named in each test; numbers only.
"""

from __future__ import annotations

import pytest

from marking.findings import Outcome
from tests.published.main_path import Row, column, split, table, value_finding

BRAKES = ["m_truck,,10000,kg", "h,,75.0,m", "m_brakes,,100,kg", "c,,800,J/(kg °C)"]


@pytest.mark.parametrize(
    ("rubric", "rows", "right", "wrong"),
    [
        ("braking", [*BRAKES, "share,,0.100,"], "9.2", "91.9"),
        ("braking-all", BRAKES, "91.9", "9.2"),
    ],
    ids=["with-the-share", "as-the-substitution-is-printed"],
)
def test_substitution_without_its_factor(rubric: str, rows: list[str], right: str, wrong: str) -> None:
    """The printed 9.2 °C follows with the share of 0.10 and not from the substitution that leaves it out.

    OpenStax College Physics 2e, module m42224, worked example on brakes; recomputed.
    """
    for written, outcome in ((right, Outcome.AWARDED), (wrong, Outcome.WITHHELD)):
        assert value_finding(rubric, [*split(rows), ("dT", "", written, "°C")], "dT").outcome is outcome


def test_left_out_share_is_named() -> None:
    """91.9 °C, the value of the printed substitution, is told as a factor that was left out, or a slip of the point."""
    rows = [*split([*BRAKES, "share,,0.100,"]), ("dT", "", "91.9", "°C")]
    causes = {one.cause.value for one in value_finding("braking", rows, "dT").explanations}
    assert "missing-factor" in causes


@pytest.mark.parametrize(
    ("written", "outcome"), [("1.36", "awarded"), ("1.356", "awarded"), ("1.3557", "awarded"), ("1.3656", "withheld")]
)
def test_digits_transposed_in_print(written: str, outcome: str) -> None:
    """An intermediate printed as 1.3656 does not follow; the 1.356 of the next line and the printed 1.36 do.

    OpenStax College Physics 2e, module m42242, worked example; recomputed 1.3557.
    """
    rows = split(["k,,6.53e4,N/m", "m,,900.0,kg"])
    assert value_finding("mass-on-spring", [*rows, ("f", "", written, "Hz")], "f").outcome == outcome


@pytest.mark.parametrize(
    ("written", "outcome"), [("2.80e-4", "awarded"), ("2.81e-4", "awarded"), ("2.18e-4", "withheld")]
)
def test_rounding_slip_of_two_figure_readings(written: str, outcome: str) -> None:
    """2.805e-4 m printed as 2.81e-4 m is inside what two-figure readings allow a careful student.

    OpenStax College Physics 2e, module m42346, problems with printed answer; recomputed 2.80499e-4.
    """
    rows = split(["R_given,,0.200,Ω", "d,,1.0e-5,m", "rho,,5.6e-8,Ω m"])
    assert value_finding("wire-geometry", [*rows, ("length", "", written, "m")], "length").outcome == outcome


@pytest.mark.parametrize(
    ("frequency", "period", "outcome"),
    [
        ("1.36", "0.738", "awarded"),
        ("1.36", "0.735", "awarded"),
        ("1.356", "0.737", "awarded"),
        ("1.36", "1.36", "withheld"),
    ],
    ids=["from-the-unrounded", "from-the-rounded", "from-four-figures", "not-turned"],
)
def test_period_from_the_rounded_frequency_or_not(frequency: str, period: str, outcome: str) -> None:
    """A period stands whether it was worked out from the frequency as written or as it was before rounding.

    OpenStax College Physics 2e, module m42242, worked example (prints 1.36 Hz and 0.738 s).
    """
    rows = [*split(["k,,6.53e4,N/m", "m,,900.0,kg"]), ("f", "", frequency, "Hz"), ("T", "", period, "s")]
    assert value_finding("mass-on-spring", rows, "T").outcome == outcome


@pytest.mark.parametrize(
    ("rubric", "written", "outcome"),
    [
        ("area-uncertainty", "0.36", "awarded"),
        ("area-uncertainty", "0.27", "withheld"),
        ("area-uncertainty-quadrature", "0.36", "awarded"),
        ("area-uncertainty-quadrature", "0.27", "awarded"),
        ("area-uncertainty-quadrature", "0.50", "withheld"),
    ],
)
def test_two_schools_of_uncertainty(rubric: str, written: str, outcome: str) -> None:
    """Adding percentages stands where that is taught; adding their squares stands too where the rubric says so.

    OpenStax College Physics 2e, module m42120 (straight addition); JCGM 100:2008, 5.1.2 (quadrature).
    """
    rows = split(["area,,12.0,m²", "p_1,,2,%", "p_2,,1,%"])
    assert value_finding(rubric, [*rows, ("u", "", written, "m²")], "u").outcome == outcome


def readings(line: dict[str, str], metal: str) -> list[Row]:
    """Return resistivity and diameter of a wire of the table, diameter in mm."""
    resistivity = {"aluminium": "2.650e-8", "constantan": "45.38e-8", "copper": "1.678e-8", "silver": "1.587e-8"}
    return [("rho", "", resistivity[metal], "Ω m"), ("d", "", line["diameter_mm"], "mm")]


@pytest.mark.parametrize("metal", ["aluminium", "constantan", "copper", "silver"])
@pytest.mark.parametrize("line", table("wire-resistance-crc.csv"), ids=lambda line: line["awg"])
def test_wire_table(line: dict[str, str], metal: str) -> None:
    """Each resistance per metre of a wire table follows from resistivity and diameter, not from twice the diameter.

    CRC Handbook of Chemistry and Physics, section 15, Wire Tables, 20 °C, to a unit of the last digit; seen in a
    public copy.
    """
    rows = readings(line, metal)
    finding = value_finding("wire-geometry", [*rows, ("k", "", line[metal], "Ω/m")], "k")
    last = 10.0 ** -len(line[metal].partition(".")[2])
    assert finding.expected == pytest.approx(float(line[metal]), abs=last)
    assert finding.outcome is Outcome.AWARDED
    quarter = f"{float(line[metal]) / 4:.3g}"
    assert value_finding("wire-geometry", [*rows, ("k", "", quarter, "Ω/m")], "k").outcome is Outcome.WITHHELD


def test_columns_keep_their_order() -> None:
    """Rows are numbered from 1, as every check here takes for granted."""
    assert column("x", ["a", "b"], "V") == [("x", "1", "a", "V"), ("x", "2", "b", "V")]
