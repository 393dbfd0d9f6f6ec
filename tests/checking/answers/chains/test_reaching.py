"""Which answers a chain of steps reaches: awarded, waiting or withheld, at the edge of each decision."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from marking.checking.answers.chains.kept_steps import (
    MOST_AT_ONCE,
    MOST_OF_A_STEP,
    as_kept,
    combined,
    fewer,
    one_way,
    sharp,
)
from marking.checking.answers.written.printed_answers import Printed
from tests.checking.answers.test_judging import Judgement, judgement
from tests.checking.rows import CUBOID, HEAT, changed, found, in_table, rubric_of

BLOCK, CELL, PENDULUM = "specific-heat-block", "emf-internal-resistance", "pendulum-g"
RIGHT, NEAR, WRONG, FOLLOWS = Judgement.RIGHT, Judgement.NEAR, Judgement.WRONG, Judgement.FOLLOWS

LINE = in_table(I="0.10 0.20 0.30 0.40 0.50 0.60 A", V="1.45 1.37 1.28 1.20 1.11 1.03 V")
"""A cell of 1.537 V and 0.849 Ω."""
SWINGS = in_table(
    L="0.300 0.450 0.600 0.750 0.900 m",
    t10="11.00 13.46 15.54 17.38 19.04 s",
    T="1.10 1.35 1.55 1.74 1.90 s",
    T2="1.21 1.82 2.40 3.03 3.61 s²",
)
"""A gradient of 4.02 s²/m."""
PAIR = """
    V_1,,4.07,V
    I_1,,0.35,A
    V_2,,4.74,V
    I_2,,0.250,A
    R_1,,11.6,Ω
    R_2,,19.0,Ω
"""
"""Two resistors; the first current has two figures."""


def printed(text: str, finest: int, coarsest: int | None = None) -> Printed:
    """Return one printed answer in SI units."""
    last = finest if coarsest is None else coarsest
    number = np.array([float(text)])
    digits = sum(one.isdigit() for one in text.lstrip("-0."))
    return Printed(
        number=number,
        factor=np.ones(1),
        offset=np.zeros(1),
        last=np.array([last]),
        finest=np.array([finest]),
        most_figures=np.array([digits]),
    )


@pytest.mark.parametrize(
    ("c", "wanted"),
    [
        ("973", RIGHT),  # 20400 / (0.998 × 21.0) = 973.38
        ("974", RIGHT),  # one up
        ("971", RIGHT),  # 0.998 × 21.0 kept as 21.0
        ("976", RIGHT),  # or cut off to 20.9
        ("977", NEAR),
        ("985", WRONG),
        ("955", WRONG),
        ("971.4", RIGHT),  # 20400 / 21.0
        ("974.8", NEAR),
        ("973.3", RIGHT),
        ("1e3", RIGHT),  # one figure: 26.6 away, and half of its last place is 500
        ("9e2", NEAR),  # 73 away, more than 50
    ],
)
def test_edges_of_a_quotient(c: str, wanted: Judgement) -> None:
    """Steps kept to three figures or more are reached, what lies between two chains waits, the rest is withheld."""
    assert judgement(BLOCK, changed(HEAT, c=c), "c") is wanted


def test_what_is_near_waits_with_both_numbers() -> None:
    """Near and reached by nothing is the teacher's, and is told beside what the readings lead to."""
    (finding,) = found(BLOCK, changed(HEAT, c="977"), "F1")
    assert (finding.outcome, finding.reason, finding.cause) == ("for-teacher", "near-value", "none")
    assert finding.facts["wrote"] == "977 J/(kg °C)"
    assert finding.facts["expected"] == "973 J/(kg °C)"


@pytest.mark.parametrize(
    ("V", "rho", "wanted"), [("24.2", "2.75", WRONG), ("24.2", "2.70", RIGHT), ("24", "2.73", RIGHT)]
)
def test_a_step_in_writing_goes_on_as_written(V: str, rho: str, wanted: Judgement) -> None:
    """24 cm³ may be divided by because it stands there; beside 24.2 cm³ nothing leads to 2.75."""
    assert judgement("density-cuboid", changed(CUBOID, V=V, rho=rho), "rho") is wanted


@pytest.mark.parametrize(
    ("steps", "parallel", "wanted"),
    [
        ({"I_1": "0.35", "R_1": "", "R_2": ""}, "7.143", RIGHT),  # 1/11.6 + 1/19.0 kept as 0.14
        ({"I_1": "0.35", "R_1": "12", "R_2": "19"}, "7.143", RIGHT),
        ({"I_1": "0.35"}, "7.143", NEAR),  # 11.6 has three figures: they do not keep two
        ({"I_1": "0.350"}, "7.143", NEAR),  # no reading has two figures
        ({"I_1": "0.350"}, "7.20", RIGHT),
        ({"I_1": "0.35"}, "7.4", WRONG),
    ],
)
def test_two_figures_only_where_a_reading_has_no_more(steps: dict[str, str], parallel: str, wanted: Judgement) -> None:
    """A step is kept to two figures only where a reading that goes into it has two, by those who write so few."""
    lines = changed(PAIR, **steps) + f"\npredicted_parallel,,{parallel},Ω"
    assert judgement("resistor-combinations", lines, "predicted_parallel") is wanted


@pytest.mark.parametrize(
    ("gradient", "g", "wanted"),
    [
        ("4.02", "9.82", RIGHT),
        ("4.02", "9.81", RIGHT),
        ("4.02", "9.60", WRONG),  # within a twentieth, but the gradient stands there
        ("4.02", "10.2", WRONG),
        ("", "9.60", RIGHT),  # the gradient was read off the line and not written down
        ("", "10.9", WRONG),
    ],
)
def test_a_drawn_line_is_allowed_for_once(gradient: str, g: str, wanted: Judgement) -> None:
    """Who wrote the gradient down goes on with it; the line's allowance is not given a second time."""
    lines = SWINGS + (f"\ngradient,,{gradient},s²/m" if gradient else "") + f"\ng,,{g},m/s²"
    assert judgement(PENDULUM, lines, "g") is wanted


@pytest.mark.parametrize(
    ("emf", "wanted"),
    [
        ("1.54", RIGHT),
        ("1.52", RIGHT),
        ("1.45", WRONG),  # the first reading, by name
        ("1.40", WRONG),  # below a p.d. that was read
        ("1.48", Judgement.NEAR_LINE),
        ("1.90", WRONG),
    ],
)
def test_an_intercept(emf: str, wanted: Judgement) -> None:
    """An e.m.f. lies above every p.d. that was read, and the first reading is no intercept however near it lies."""
    assert judgement(CELL, f"{LINE}\nemf,,{emf},V\nr,,0.849,Ω", "emf") is wanted


@pytest.mark.parametrize(("mean", "wanted"), [("1.83", RIGHT), ("1.95", RIGHT), ("1.89", NEAR)])
def test_a_mean_with_or_without_the_odd_reading(mean: str, wanted: Judgement) -> None:
    """Both means stand, and nothing between them: of 1.82, 1.84, 1.83 and 2.31 either 1.95 or 1.83."""
    lines = "object,,rod,\n" + in_table(d="1.82 1.84 1.83 2.31 mm") + f"\nd_mean,,{mean},mm"
    assert judgement("density-cylinder-sphere", lines, "d_mean") is wanted


ROOT = """
format = 1
id = "root"
edition = 1
title = "Root"
level = "14 to 16"
purpose = "To try a root."
cautions = ["Before you start, follow your school's own risk assessment and local rules."]
[readings.a]
quantity = "first length"
unit = "m"
[readings.b]
quantity = "second length"
unit = "m"
[answers.x]
quantity = "root"
unit = "m"
formula = "sqrt(a**2 - b**2)"
[[criteria]]
code = "F1"
point = "x"
check = "value"
items = ["x"]
"""


@pytest.mark.parametrize(
    ("a", "x", "outcome"),
    [
        ("2.02", "0.28", "awarded"),
        ("2.02", "99", "withheld"),
        ("2.02", "0.6", "withheld"),
        ("1.98", "0.3", "awarded"),  # no root at all: nothing to work out
    ],
)
def test_an_interval_without_a_value_is_no_licence(a: str, x: str, outcome: str) -> None:
    """A root of what rounding may take below zero is judged by its exact value."""
    (finding,) = found(rubric_of(ROOT), f"a,,{a},m\nb,,2.00,m\nx,,{x},m", "F1")
    assert finding.outcome == outcome


def test_a_wrong_earlier_answer_is_carried_on_as_written_or_unrounded() -> None:
    """23.5 for 21.0: c may follow from 23.5, or from what 23.5 was before it was rounded, and from nothing else."""
    for c, wanted in (("870", FOLLOWS), ("868", FOLLOWS), ("850", WRONG)):
        assert judgement(BLOCK, changed(HEAT, dT="23.5", c=c), "c") is wanted


@settings(max_examples=60, deadline=None)
@given(st.decimals("1", "999", places=4).map(float), st.integers(2, 5))
def test_rounded_or_cut_off_is_printed_and_nothing_else(value: float, figures: int) -> None:
    """A value prints its rounding and its cut, and neither neighbour of the two."""
    place = int(np.floor(np.log10(value))) - figures + 1
    unit = 10.0**place
    steps = value / unit
    assume(min(abs(2 * steps - round(2 * steps)), 1.0) > 1e-6)
    for count in range(int(steps) - 2, int(steps) + 4):
        text = f"{count * unit:.{max(0, -place)}f}"
        wanted = count in (int(np.floor(steps)), int(np.floor(steps + 0.5)))
        assert bool(printed(text, place).is_printed_by(np.array([value]), np.array([value]))[0]) is wanted


@pytest.mark.parametrize(
    ("text", "finest", "value", "is_it"),
    [
        ("7.4", -1, 7.5, False),  # 7.5 cut off is 7.5
        ("7.4", -1, 7.4999, True),
        ("7.4", -1, 7.35, True),
        ("7.4", -1, 7.3499, False),
        ("-7.4", -1, -7.4999, True),
        ("-7.4", -1, -7.5, False),
        ("7", 0, 7.5, True),  # one figure, half a unit away
        ("7", 0, 7.6, False),
        ("0.0", -1, 0.09, True),
        ("0.0", -1, -0.2, False),
    ],
)
def test_what_a_value_prints(text: str, finest: int, value: float, is_it: bool) -> None:
    """Half a unit inwards, less than a whole one outwards; a single figure is half a unit from the value."""
    assert bool(printed(text, finest).is_printed_by(np.array([value]), np.array([value]))[0]) is is_it


@pytest.mark.parametrize(
    ("text", "finest", "value", "is_it"),
    [("973", 0, 974.0, True), ("973", 0, 974.1, False), ("973", 0, 972.0, True), ("9.7", -1, 9.8, False)],
)
def test_one_unit_either_way_from_three_figures_on(text: str, finest: int, value: float, is_it: bool) -> None:
    """The direct value stands with its last place one up or down, where there are three figures."""
    assert bool(printed(text, finest).is_nearly(np.array([value]))[0]) is is_it


@pytest.mark.parametrize(("text", "value", "is_it"), [("7.0", 7.09, False), ("7.1", 7.09, True), ("7.00", 7.009, True)])
def test_a_chain_is_cut_off_from_three_figures_on(text: str, value: float, is_it: bool) -> None:
    """What a chain comes to is rounded to two figures, and rounded or cut off to three."""
    finest = -len(text.partition(".")[2])
    assert bool(printed(text, finest).is_reached_by(np.array([value]), np.array([value]))[0]) is is_it


def test_ways_to_keep_a_step() -> None:
    """4.34782 is kept as it is, as 4.35, 4.348, 4.3478, 4.34 and 4.347; as 4.3 only where a reading has two figures."""
    for figures, wanted in (
        (3, {4.35, 4.348, 4.3478, 4.34, 4.347, 4.34782}),
        (2, {4.3, 4.35, 4.348, 4.3478, 4.34, 4.347, 4.34782}),
    ):
        kept = as_kept(one_way(np.array([[4.34782]]), np.array([[figures]])))
        assert {round(float(one), 9) for one in kept.low[np.isfinite(kept.low)]} == wanted


def test_alternatives_are_bounded_and_evenly_spread() -> None:
    """Of too many alternatives some are left out, the outermost never; equal ones are one."""
    many = sharp(np.linspace(1.0, 2.0, 5000)[:, None, None], np.full((1, 1), 3))
    few = fewer(many)
    assert few.low.shape[0] == MOST_OF_A_STEP
    assert (float(few.low.min()), float(few.low.max())) == (1.0, 2.0)
    assert float(np.diff(few.low[:, 0, 0]).max()) < 3.0 / MOST_OF_A_STEP
    assert fewer(sharp(np.ones((50, 1, 1)), np.full((1, 1), 3))).low.shape[0] == 1
    both = combined(few, few, np.multiply)
    assert both.low.shape[0] <= MOST_AT_ONCE
    assert float(both.low.min()) == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("rho", "si", "wanted"),
    [
        ("1.8", "1800", FOLLOWS),
        ("1.8", "1810", NEAR),  # 1.81 before it was rounded
        ("1.8", "1843.7", NEAR),
        ("1.8", "1890", NEAR),  # 1.89 cut off
        ("1.8", "1750", NEAR),
        ("1.8", "1730", WRONG),
        ("1.8", "1920", WRONG),
        ("1.81", "1813", FOLLOWS),  # three figures leave no more than half a unit
        ("1.81", "1819", NEAR),  # or a whole one, cut off
        ("1.81", "1823", WRONG),
        ("1.81", "2690", NEAR),  # between chains from the readings
    ],
)
def test_a_wrong_step_stands_for_all_that_prints_it(rho: str, si: str, wanted: Judgement) -> None:
    """What a wrong step was before it was printed is not known: whatever prints it, a later answer is not withheld."""
    lines = f"m,,163.59,g\nV,,61,cm³\nrho,,{rho},g/cm³\nrho_si,,{si},kg/m³"
    assert judgement("density-displacement", lines, "rho_si") is wanted


@pytest.mark.parametrize(
    ("V", "rho", "wanted"),
    [
        ("15", "64.8", FOLLOWS),  # 5.4 + 6.9 + 2.2 = 14.5
        ("15", "64.1", NEAR),
        ("15", "57.9", WRONG),
    ],
)
def test_a_named_slip_goes_on_unrounded(V: str, rho: str, wanted: Judgement) -> None:
    """Where a slip that the rubric names prints the wrong step, its unrounded value may be gone on with."""
    lines = f"l,,5.4,cm\nw,,6.9,cm\nh,,2.2,cm\nm,,940,g\nV,,{V},cm³\nrho,,{rho},g/cm³"
    assert judgement("density-cuboid", lines, "rho") is wanted


@pytest.mark.parametrize(
    ("m", "rho", "wanted"),
    [
        ("163.59,g", "2779.66,kg/m³", RIGHT),  # 0.164 kg / 0.000059 m³
        ("163.59,g", "2762.7,kg/m³", RIGHT),  # cut off to 0.163 kg
        ("163.59,g", "2830,kg/m³", WRONG),
        ("163.59,g", "2.7797,g/cm³", NEAR),  # nothing is converted, and no reading is rounded
        ("0.16359,kg", "2.7797,g/cm³", RIGHT),  # 164 g
    ],
)
def test_a_reading_turned_into_another_unit_is_a_step(m: str, rho: str, wanted: Judgement) -> None:
    """What has to be converted for the answer's unit may be kept to three figures on the way; nothing else may."""
    lines = f"m,,{m}\nV,,59,cm³\nrho,,{rho}"
    assert judgement("density-displacement", lines, "rho") is wanted
