"""Simple slips, each where another word for it lies close: what is told, from the page to the first cause."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marking.checking.causes.slips import rounding_slips
from marking.checking.causes.slips.backwards import matches
from marking.checking.causes.slips.digit_answers import _zeros_at_the_end, meant_answers
from marking.checking.causes.slips.formulas import wrong_formulas
from marking.findings import Cause, Finding
from rubrics.formulas import plain_text
from rubrics.load import load_catalogue
from tests.checking.causes.wrong_answers_of import block
from tests.checking.rows import HEAT, changed, found

SURE = 0.8
CUBOID_IN_MM = "l,,51,mm\nw,,89,mm\nh,,26,mm\nV,,{},mm³\n"
DISPLACED = "m,,46.1,g\nV,,17.0,cm³\nrho,,2.71,g/cm³\nrho_si,,{},kg/m³\n"
PARALLEL = (
    "R_parallel,,26.4,Ω\npredicted_parallel,,28.3286119,Ω\ndifference,,{},%\nV_parallel,,2.9,V\nI_parallel,,0.11,A\n"
)
FREEFALL = "".join(f"h,{row},{0.25 * row:.3f},m\nt2,{row},{0.0513 * row:.4f},s²\n" for row in range(1, 6))


@given(st.lists(st.integers(0, 10**10).map(lambda n: n * 10 ** (n % 3)), min_size=1, max_size=8))
def test_zeros_at_the_end(numbers: list[int]) -> None:
    """As many as a reader counts; nought has none that hold a place."""
    counted = [len(text) - len(text.rstrip("0")) if (text := str(one)) != "0" else 0 for one in numbers]
    assert _zeros_at_the_end(np.array([numbers])).tolist() == [counted]


def of(practical: str, lines: str, item: str) -> Finding:
    """Return what is said of the value of *item*."""
    return next(one for one in found(practical, lines) if one.item == item and one.explanations)


@pytest.mark.parametrize(
    ("practical", "lines", "item", "cause"),
    [
        # A factor of ten that stands in the formula was left out: no point has moved.
        ("pendulum-g", "L,1,0.200,m\nt10,1,9.00,s\nT,1,9.00,s", "T", "missing-factor"),
        # Both lengths cut to whole metres, 20 × 14.
        ("quadrat", "l,,20.7,m\nw,,14.8,m\nfield,,280,m²", "field", "rounded-early"),
        # The other sign on the right number, whatever was rounded before it.
        (
            "specific-heat-liquid",
            "m,,0.388,kg\nT_start,,19,°C\nT_end,,27,°C\nE,,13600,J\ndT,,8,°C\nc,,-4390,J/kg K",
            "c",
            "sign",
        ),
        # Everything in mm, and mm³ asked for: there was no unit to be changed, so it is the point.
        ("density-cuboid", CUBOID_IN_MM.format("1180000"), "V", "power-of-ten"),
        # g/cm³ to kg/m³ has to be done, and went by 100: no point has moved.
        ("density-displacement", DISPLACED.format("271"), "rho_si", "unit-conversion"),
        # A percentage comes out of a plain number: Ω to % is no change of unit.
        ("resistor-combinations", PARALLEL.format("-68.1"), "difference", "power-of-ten"),
        # 170000 has two figures that count: the calculator held 168127.
        (
            "density-cuboid",
            "l,,64.6,mm\nw,,82.1,mm\nh,,31.7,mm\nm,,119.0,g\nV,,170000,mm³\nrho,,1.41,g/ml",
            "rho",
            "rearrangement",
        ),
        # Twice the gradient is asked for, and the gradient given: a factor left out, not another reading.
        ("freefall-g", FREEFALL + "gradient,,4.87,m s⁻²\ng,,4.87,m s⁻²", "g", "missing-factor"),
        # The diameter in the box of the radius: another reading, though half of it was asked for.
        ("density-cylinder-sphere", "solid,,cylinder,\nd_mean,,12.0,mm\nr,,12.0,mm", "r", "wrong-quantity"),
        # One of two volumes added up.
        (
            "neutralisation-enthalpy",
            "V_a,,25.0,cm³\nV_b,,25.0,cm³\nc_a,,1.00,mol/dm³\nc_b,,1.00,mol/dm³\nm,,25.0,g",
            "m",
            "missing-factor",
        ),
        # Digits of 570, which stands for 573.
        (
            "density-displacement",
            "m,,9.17,g\nV,,16.0,cm³\nrho,,0.573,g/cm³\nrho_si,,507,kg/m³",
            "rho_si",
            "digits-swapped",
        ),
        # The point slipped in a number that was worked on from the unrounded volume, 157.6.
        (
            "density-cuboid",
            "l,,7.1,cm\nw,,3.7,cm\nh,,6.0,cm\nm,,110.9,g\nV,,158,cm³\nrho,,7.04,g/ml",
            "rho",
            "power-of-ten",
        ),
        # One step rounded behind two digits swapped: 0.828 for 0.288 gives 1530.7.
        (
            "specific-heat-liquid",
            "m,,0.288,kg\nT_start,,18.6,°C\nT_end,,35.8,°C\nE,,21.8,kJ\ndT,,17.2,°C\nc,,1540,J/kg/K",
            "c",
            "digits-swapped",
        ),
    ],
)
def test_the_first_cause(practical: str, lines: str, item: str, cause: str) -> None:
    """It is the plain one."""
    assert str(of(practical, lines, item).cause) == cause


@pytest.mark.parametrize("answer", ["-681", "-68.1"])
def test_a_percentage_is_never_told_as_a_change_of_ohms(answer: str) -> None:
    """Of a percentage ten or a hundred times off, no unit of the readings is named."""
    finding = of("resistor-combinations", PARALLEL.format(answer), "difference")
    assert not any("Ω" in one.detail or one.facts.get("given_unit") == "Ω" for one in finding.explanations)


def test_a_reading_is_never_copied_as_nothing() -> None:
    """Watt hours divided by 3600 leave next to nothing, and no digit of 9.00 was read as 0.00."""
    wrong = block("0.0000769", E="9.00|Wh")
    assert not any(one.mass.any() for one in matches(wrong) if "0.00 for" in one.describe(0)[0])


@pytest.mark.parametrize(
    ("answer", "meant", "place"),
    [("907", 970.0, 1), ("2730", 2700.0, 2), ("9.07", 9.70, -2)],
)
def test_zeros_that_only_hold_a_place(answer: str, meant: float, place: int) -> None:
    """970 may stand for 965 to 975, and 2700 for 2650 to 2750; behind a point every zero counts."""
    found_ = {
        (round(float(one.number[0]), 6), int(one.last[0]))
        for one in meant_answers(block(answer))
        if np.isfinite(one.number[0]) and one.chance[0] > 0
    }
    assert (meant, place) in found_
    assert answer != "9.07" or not any(number == meant and last > -2 for number, last in found_)


@given(st.sampled_from(["940", "1010", "895", "0.94", "1104", "700"]), st.sampled_from(["0.998", "0.99", "1.2"]))
@settings(deadline=None, max_examples=12)
def test_ways_to_round_too_soon_share_one(answer: str, mass: str) -> None:
    """What does not show has no part, and the others add up to one at most."""
    wrong = block(answer, m=mass)
    total = sum(one.share for one in rounding_slips(wrong))
    assert np.all(np.asarray(total) <= 1.0 + 1e-9)


def test_a_way_that_passes_by_what_stands_written_was_not_gone() -> None:
    """Who wrote the gradient of h against t² did not round the gradient of t² against h."""
    written = of("freefall-g", FREEFALL + "gradient,,4.87,m s⁻²\ng,,9.52,m s⁻²", "g")
    rounded = sum(one.probability for one in written.explanations if one.cause is Cause.ROUNDED_EARLY)
    assert rounded < SURE


def test_rows_that_speak_for_each_other_are_open_together() -> None:
    """100 g called 100 N in every row: in row 2 alone 200 might be a point that slipped from 1.96."""
    lines = "".join(f"M,{row},{0.1 * row:.3f},kg\nF,{row},{100 * row},N\n" for row in range(1, 7))
    rows = [one for one in found("spring-extension", lines, "P1") if one.explanations]
    assert len(rows) == 6
    assert not any(one.cause is Cause.POWER_OF_TEN and (one.confidence or 0.0) >= SURE for one in rows)


def test_one_slip_is_told_once() -> None:
    """The final temperature for the rise is another reading, and not a formula beside it."""
    finding = of("specific-heat-block", changed(HEAT, c="493"), "c")
    assert [one.detail for one in finding.explanations if one.cause is Cause.WRONG_QUANTITY] == ["T_end for dT"]


def test_no_single_figure_was_meant_by_several() -> None:
    """1060 was not meant as 1000, which would stand for all from 500 to 1500."""
    places = {int(one.last[0]) for one in meant_answers(block("1060")) if one.number[0] == 1000.0 and one.chance[0] > 0}
    assert places <= {0, 1, 2}


TWO = (
    "V_1,,2.03,V\nI_1,,0.31,A\nV_2,,2.85,V\nI_2,,0.04,A\nR_1,,6.5,Ω\nR_2,,71,Ω\n"
    "predicted_series,,{},Ω\npredicted_parallel,,{},Ω\n"
)


@pytest.mark.parametrize(
    ("series", "parallel", "item", "detail"),
    [
        ("5.99", "5.99", "predicted_series", "1 / (1 / R_1 + 1 / R_2)"),
        ("77.5", "77.5", "predicted_parallel", "R_1 + R_2"),
    ],
)
def test_the_number_of_another_rule_is_that_rule(series: str, parallel: str, item: str, detail: str) -> None:
    """5.99 by unrounded resistances in both boxes: the rule for parallel, not one box copied into another."""
    finding = of("resistor-combinations", TWO.format(series, parallel), item)
    assert finding.cause is Cause.COMBINATION_RULE
    assert (finding.confidence or 0.0) >= SURE
    assert finding.explanations[0].detail == detail


def test_the_unit_of_a_gradient_turned_over_speaks_for_it() -> None:
    """0.0993 m/Ω is across ÷ up; 0.0993 Ω/m may be a centimetre as well."""
    table = "".join(f"L,{row},{10 * row},cm\nR,{row},{row * 1.007:.3f},Ω\n" for row in range(1, 8))
    chances = {}
    for unit in ("m/Ω", "Ω/m"):
        finding = of("wire-resistance", f"{table}gradient,,0.100,{unit}", "gradient")
        chances[unit] = sum(one.probability for one in finding.explanations if one.cause is Cause.GRADIENT_INVERTED)
    assert chances["m/Ω"] >= SURE > chances["Ω/m"]


ON_A_LINE = "".join(f"L,{row},{row / 10:.3f},m\nR,{row},{0.413 + 1.407 * row:.3f},Ω\n" for row in range(1, 7))


@pytest.mark.parametrize(
    ("answer", "detail"),
    [
        ("18.20", "R / L of row 1 for the gradient"),
        ("16.14", "R / L of row 2 for the gradient"),
        ("182.0", "R / L of row 1 for the gradient; gradient: 10^1"),
    ],
)
def test_one_point_taken_for_the_line_is_a_sum(answer: str, detail: str) -> None:
    """It is matched to its last figure, unlike a gradient that is drawn: one per cent beside it is another matter."""
    finding = of("wire-resistance", f"{ON_A_LINE}gradient,,{answer},Ω/m", "gradient")
    assert finding.cause is Cause.WRONG_QUANTITY
    assert finding.explanations[0].detail == detail
    beside = of("wire-resistance", f"{ON_A_LINE}gradient,,{float(answer) * 1.01:.4g},Ω/m", "gradient")
    assert not any(one.detail == detail for one in beside.explanations)


@pytest.mark.parametrize(
    ("practical", "item", "never"),
    [
        ("resistor-combinations", "predicted_parallel", "(R_1 + R_2) / (R_1 + R_2)"),
        ("resistor-combinations", "difference", "predicted_parallel / predicted_parallel"),
    ],
)
def test_no_formula_gives_the_same_whatever_was_read(practical: str, item: str, never: str) -> None:
    """Nobody works out a sum divided by itself."""
    rubric = load_catalogue()[practical]
    formulas = [plain_text(one.tree) for one in wrong_formulas(rubric, rubric.items[item])]
    assert formulas
    assert never not in formulas


def test_what_was_done_on_the_page_was_not_left_out() -> None:
    """51 in the box of the series pair is R_1, or nothing that is known; never a p.d. added to a resistance."""
    lines = TWO.format("{}", "6.0")
    alone, volts = (of("resistor-combinations", lines.format(text), "predicted_series") for text in ("71", "73.0"))
    assert alone.cause is not Cause.UNEXPLAINED
    assert volts.cause is Cause.UNEXPLAINED
    assert not any(one.cause is Cause.MISSING_FACTOR for one in volts.explanations)


def test_ten_for_the_square_of_pi() -> None:
    """It is a rounding of its own, and told as that."""
    timed = {"0.200": "9.00", "0.400": "12.68", "0.600": "15.49", "0.800": "18.07", "1.000": "20.11"}
    swings = "".join(f"L,{row},{one},m\nt10_1,{row},{timed[one]},s\n" for row, one in enumerate(timed, 1))
    finding = of("pendulum-g", f"{swings}gradient,,4.03,s²/m\ng,,9.93,m/s²", "g")
    assert finding.explanations[0].detail == "π² rounded to 1 figures"


def test_a_density_rounded_before_its_unit_was_changed() -> None:
    """2.77 g/cm³ kept as 3 is 3000 kg/m³."""
    finding = of("density-displacement", "m,,118.9,g\nV,,43.0,cm³\nrho,,2.77,g/cm³\nrho_si,,3.00e3,kg/m³", "rho_si")
    assert finding.cause is Cause.ROUNDED_EARLY


def test_added_before_multiplying() -> None:
    """331 + 0.6 × 21.0 typed from left to right is 331.6 × 21.0."""
    finding = of("sound-speed", "theta,,21.0,°C\nv_air,,6964,m/s", "v_air")
    assert (finding.cause, finding.explanations[0].detail) == (Cause.OPERATION_ORDER, "(v_0 + k) * theta")
