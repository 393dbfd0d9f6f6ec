"""Which change of unit is told: of one quantity each time, and of the one that was left as it was recorded."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from marking.checking.causes.slips.units.unit_words import si_unit, unit_of_formula
from marking.findings import Cause, Finding
from reports.wording.cause_sentences import message
from rubrics.load import load_catalogue, read_rubric
from rubrics.model.practical import Rubric
from rubrics.units import define_unit
from tests.checking.rows import found, rubric_of

SURE = 0.8
CALLED = "rho_si: kg/m³ called g/cm³"
BALL = read_rubric(Path(__file__).parents[3] / "catalogue" / "own" / "falling-ball.toml")
FALLEN = (
    "m,,0.11,g\nx,,20.0,cm\nrho_l,,1.26,g/cm³\nd,,3.00,mm\nt,,8.49,s\nV,,0.0141,cm³\nrho,,7.80,g/cm³\n"
    "speed,,0.0236,m/s\neta,,{},Pa s\n"
)
HEAD = """format = 1
id = "own"
title = "Own"
purpose = "To find out."
cautions = ["Take care."]
criteria = [{ code = "F1", check = "value", items = ["X"] }]
"""
CHANGE = re.compile(r"^\w+: (\S.*?) (?:for|to|called) (\S.*)$")


def own(readings: str, answer: str) -> Rubric:
    """Return a rubric with some *readings* and one answer X, both as lines of TOML."""
    return rubric_of(f"{HEAD}[readings]\n{readings}\n[answers]\nX = {{ {answer} }}\n")


DENSITY = own(
    'm = { quantity = "mass", unit = "g", recorded_in = ["kg"], limits = [0.01, 5000] }\n'
    'V = { quantity = "volume", unit = "cm³", recorded_in = ["m³"], limits = [1e-7, 5000] }',
    'quantity = "density", unit = "kg/m³", formula = "m / V"',
)
WORK = own(
    'P = { quantity = "power", unit = "W", limits = [0.1, 5000] }\n'
    't = { quantity = "time", unit = "min", recorded_in = ["s"], limits = [0.1, 5000] }',
    'quantity = "energy", unit = "J", formula = "P * t"',
)


def wrong(rubric: Rubric | str, lines: str, item: str) -> Finding:
    """Return what is said of the wrong value of *item*."""
    return next(one for one in found(rubric, lines) if one.item == item and one.explanations)


@pytest.mark.parametrize(
    ("rubric", "lines", "item", "detail"),
    [
        # The formula takes the difference of two densities: both were left.
        (BALL, FALLEN.format("0.00136"), "eta", "rho: g/cm³ for kg/m³; rho_l: g/cm³ for kg/m³"),
        (BALL, FALLEN.format("1360000"), "eta", "d: mm for m"),
        (BALL, FALLEN.format("1360"), "eta", "d: mm for m; rho: g/cm³ for kg/m³; rho_l: g/cm³ for kg/m³"),
        (DENSITY, "m,,54.3,g\nV,,20.1,cm³\nX,,2.70,kg/m³", "X", "X: g/cm³ to kg/m³"),
        (DENSITY, "m,,54.3,g\nV,,20.1,cm³\nX,,2700000,kg/m³", "X", "m: g for kg"),
        (DENSITY, "m,,54.3,g\nV,,20.1,cm³\nX,,0.00270,kg/m³", "X", "V: cm³ for m³"),
        (WORK, "P,,12.5,W\nt,,4.2,min\nX,,52.5,J", "X", "t: min for s"),
        ("density-displacement", "m,,54.3,g\nV,,20.1,cm³\nrho,,0.00270,kg/m³", "rho", "V: cm³ for m³"),
        ("density-displacement", "m,,54.3,g\nV,,20.1,cm³\nrho,,2700000,kg/m³", "rho", "m: g for kg"),
        # The number in kg/m³ that was asked for, called g/cm³: no point has moved.
        ("density-displacement", "m,,78.0,g\nV,,10.0,cm³\nrho,,7.80,g/cm³\nrho_si,,7800,g/cm³", "rho_si", CALLED),
        # A hundred centimetres in a metre, and so a hundred cm³ in a m³.
        ("density-displacement", "m,,523.5,g\nV,,67.5,cm³\nrho,,0.776,kg/m³", "rho", "V: cm³ to m³"),
    ],
)
def test_the_unit_that_was_left_is_named(rubric: Rubric | str, lines: str, item: str, detail: str) -> None:
    """Where a unit explains it no decimal point has moved."""
    finding = wrong(rubric, lines, item)
    assert finding.cause is Cause.UNIT_CONVERSION
    assert (finding.confidence or 0.0) >= SURE
    assert finding.explanations[0].detail == detail
    moved = sum(one.probability for one in finding.explanations if one.cause is Cause.POWER_OF_TEN)
    assert moved < 1.0 - SURE


@pytest.mark.parametrize("times", [1e-6, 1e-4, 1e-3, 1e-2, 0.1, 10, 100, 1e3, 1e6])
@pytest.mark.parametrize(
    ("rubric", "lines", "item", "right"),
    [
        (BALL, FALLEN, "eta", 1.36),
        (DENSITY, "m,,54.3,g\nV,,20.1,cm³\nX,,{},kg/m³", "X", 2700),
        (DENSITY, "m,,0.0543,kg\nV,,20.1,cm³\nX,,{},kg/m³", "X", 2700),
        (WORK, "P,,12.5,W\nt,,4.2,min\nX,,{},J", "X", 3150),
        ("density-displacement", "m,,54.3,g\nV,,20.1,cm³\nrho,,{},kg/m³", "rho", 2700),
        ("density-cuboid", "l,,51,mm\nw,,89,mm\nh,,26,mm\nV,,{},cm³", "V", 118),
    ],
)
def test_a_change_of_unit_is_of_one_quantity(
    rubric: Rubric | str, lines: str, item: str, right: float, times: float
) -> None:
    """Millimetres do not become pascal seconds, and nothing becomes what it is already."""
    script = found(rubric, lines.format(f"{right * times:.3g}"))
    for one in (one for finding in script if finding.item == item for one in finding.explanations):
        if one.cause is Cause.UNIT_CONVERSION and "second" not in one.facts:
            for part in one.detail.split("; "):
                match = CHANGE.match(part)
                assert match is not None, one.detail
                first, other = (define_unit(text) for text in match.groups())
                assert first.dimension == other.dimension, one.detail
                assert first != other, one.detail


def test_nothing_was_to_be_changed_where_it_is_recorded_in_the_unit_asked_for() -> None:
    """A density in kg/m³ already, ten times off: the point has moved, and no unit is named."""
    finding = wrong("density-displacement", "m,,54.3,g\nV,,20.1,cm³\nrho,,2700,kg/m³\nrho_si,,270,kg/m³", "rho_si")
    assert finding.cause is Cause.POWER_OF_TEN
    assert "g/cm³" not in message(finding)


@pytest.mark.parametrize(
    ("answer", "cause"),
    [
        ("776", Cause.UNIT_CONVERSION),  # by a hundred
        ("77.6", Cause.UNIT_CONVERSION),
        ("77600", Cause.UNIT_CONVERSION),  # by ten thousand
        ("776000", Cause.POWER_OF_TEN),  # nobody takes a hundred thousand
        ("7760000", Cause.UNIT_CONVERSION),  # twice
    ],
)
def test_how_far_a_last_change_of_unit_goes(answer: str, cause: Cause) -> None:
    """Short of a thousand, one ten too far, or a thousand once more."""
    lines = f"m,,523.5,g\nV,,67.5,cm³\nrho,,7.76,g/cm³\nrho_si,,{answer},kg/m³"
    assert wrong("density-displacement", lines, "rho_si").cause is cause


def test_a_change_done_the_wrong_way_is_not_told_as_left_out() -> None:
    """998 g times a thousand was not 'put in as 998 g'."""
    lines = "m,,998,g\nT_start,,20.5,°C\nT_end,,41.5,°C\nE,,20400,J\ndT,,21.0,°C\nc,,0.000973,J/(kg °C)"
    finding = wrong("specific-heat-block", lines, "c")
    assert finding.explanations[0].detail == "m: g to kg"
    assert "You put in" not in message(finding)


def test_a_number_that_stands_nowhere_is_not_quoted() -> None:
    """The unrounded density went on, in g/cm³: 1.18 on the page is not 1182.6."""
    lines = "l,,9.1,cm\nw,,3.4,cm\nh,,5.2,cm\nm,,190.26,g\nV,,161,cm³\nrho,,1.18,g/cm³\nrho_si,,1.18256,kg/m³"
    finding = wrong("density-cuboid", lines, "rho_si")
    assert finding.cause is Cause.UNIT_CONVERSION
    assert "1.18 g/cm³ = " not in message(finding)


@pytest.mark.parametrize(
    ("rubric", "item", "last_step", "symbol"),
    [
        (DENSITY, "X", 1000.0, "g/cm³"),
        (WORK, "X", 60.0, ""),  # W min is no unit of energy that anybody uses
        (BALL, "V", 1e-3, "mm³"),
        (BALL, "eta", 1e-3, ""),
        (load_catalogue()["density-cuboid"], "rho_si", 1000.0, "g/cm³"),
        (load_catalogue()["resistor-combinations"], "difference", 100.0, ""),
    ],
)
def test_the_unit_of_the_formulas_own_number(rubric: Rubric, item: str, last_step: float, symbol: str) -> None:
    """It has a name where it is a power of one unit, one unit by another, or that of an input."""
    one = rubric.items[item]
    names = [name for name in one.formula.names if name in rubric.items] if one.formula else []
    assert unit_of_formula(rubric, one, names, last_step) == symbol


def test_the_si_unit_of_a_quantity() -> None:
    """From the rubric's own units first, then from those of a school; its own where neither has one."""
    assert si_unit(BALL, BALL.items["d"]).symbol == "m"
    assert si_unit(BALL, BALL.items["rho"]).symbol == "kg/m³"
    assert si_unit(WORK, WORK.items["t"]).symbol == "s"
    assert si_unit(BALL, BALL.items["eta"]).symbol == "Pa s"


@pytest.mark.parametrize("time", ["10:30|min", "10 min 30 s|", "10m30s|", "10'30|"])
@pytest.mark.parametrize(("energy", "cause"), [("30900", "unit-conversion"), ("31500", "none")])
def test_seconds_taken_for_decimals_of_a_minute(time: str, energy: str, cause: str) -> None:
    """10:30 is ten and a half minutes, and 10.30 no time that anybody read."""
    lines = f"P,,50,W\nt,,{time.replace('|', ',')}\nX,,{energy},J\n"
    line = next(one for one in found(WORK, lines) if one.item == "X")
    assert str(line.cause) == cause
    assert not line.explanations or line.explanations[0].detail.startswith("t: 10.3 min for 10")


@pytest.mark.parametrize(("time", "rate", "cause"), [("630", "2.09", "unit-conversion"), ("600", "2.21", "other")])
def test_seconds_become_decimals_only_where_there_are_some(time: str, rate: str, cause: str) -> None:
    """630 s is 10 min 30 s and was taken for 10.30 min; 600 s is ten minutes whichever way."""
    rows = "".join(
        f"n,{row},{row},\nT_start,{row},80.0,°C\nT_end,{row},58.5,°C\nt,{row},{time},s\n"
        f"fall,{row},21.5,°C\nrate,{row},{rate},°C/min\n"
        for row in (1, 2, 3)
    )
    line = wrong("cooling-insulation", rows, "rate")
    assert (line.explanations[0].detail == "t: 10.3 min for 630 s") is (cause == "unit-conversion")


@pytest.mark.parametrize(("energy", "detail"), [("1173690", "t: s changed as min"), ("326", "t: min for s")])
def test_seconds_changed_in_vain(energy: str, detail: str) -> None:
    """420 s stand there: by 60 they are 25 200 s, divided by it 7."""
    lines = f"V,,11.5,V\nI,,4.05,A\nt,,420,s\nE,,{energy},J\n"
    line = wrong("specific-heat-block-vit", lines, "E")
    assert (line.cause, line.explanations[0].detail) == ("unit-conversion", detail)
    assert message(line).endswith("s. The formula needs 420 s.") is (energy == "1173690")


BLOCK = "m,,{},g\nT_start,,21.5,°C\nT_end,,43.7,°C\nE,,17350,J\ndT,,22.2,°C\nc,,{},{}"
BALL_LINES = (
    "object,,sphere,\nd,1,24.08,{0}\nd,2,24.10,{0}\nd,3,24.06,{0}\nd_mean,,24.08,{0}\nr,,12.04,{0}\nV_ball,,{1},{2}"
)
BOX = "l,,64.3,mm\nw,,26.8,mm\nh,,41.7,mm\nV,,{},mm³"


@pytest.mark.parametrize(
    ("practical", "lines", "item", "cause", "detail"),
    [
        # The answer stands in the unit of the readings already; the sheet changes it there and back.
        ("specific-heat-block", BLOCK.format("846", "0.000924", "J/(g °C)"), "c", "unit-conversion", "m: g for kg"),
        ("wire-resistance", "V,1,0.846,V\nI,1,371,mA\nR,1,0.00000228,kΩ", "R", "unit-conversion", "I: mA for A"),
        ("density-cuboid", BOX.format("7186000"), "V", "unit-conversion", "l: mm for cm; w: mm for cm"),
        # A point that moved by one place is as likely there, and nothing was left in grams where kilograms stand.
        ("specific-heat-block", BLOCK.format("846", "9.24", "J/(g °C)"), "c", "power-of-ten", "c: 10^1"),
        ("density-cuboid", BOX.format("718600"), "V", "power-of-ten", "V: 10^1"),
        ("specific-heat-block", BLOCK.format("846", "0.0924", "J/(g °C)"), "c", "power-of-ten", "c: 10^-1"),
        # A cube of millimetres divided by ten, or by a hundred.
        (
            "density-cylinder-sphere",
            BALL_LINES.format("mm", "731.1", "cm³"),
            "V_ball",
            "unit-conversion",
            "r: mm to cm",
        ),
        ("density-cylinder-sphere", BALL_LINES.format("cm", "73110", "cm³"), "V_ball", "power-of-ten", "V_ball: 10^1"),
    ],
)
def test_changed_where_the_answer_stood_in_its_unit(
    practical: str, lines: str, item: str, cause: str, detail: str
) -> None:
    """A change of unit that the sheet asks for comes before a point that moved far."""
    finding = wrong(practical, lines, item)
    assert (str(finding.cause), finding.explanations[0].detail) == (cause, detail)
