"""Answers that nothing sound can give, answers without a value, and numbers whose unit is in doubt."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marking.checking.answers.judged import Judgement
from marking.checking.answers.judging import judge
from marking.checking.answers.written.board import lay_out
from rubrics.load import load_catalogue
from tests.checking.rows import CUBOID, HEAT, changed, in_table, mark, rubric_of

RIGHT, WRONG, NOT_RECALCULABLE = Judgement.RIGHT, Judgement.WRONG, Judgement.NOT_RECALCULABLE


def judgement(practical: str, lines: str, item: str, row: int = 1) -> Judgement:
    """Return what one answer of one student is worth."""
    board = lay_out(load_catalogue()[practical], [mark(practical, lines).write_up])
    return Judgement(int(judge(board)[item].judgement[0, row - 1]))


def resistance(volts: str, amperes: str, ohms: str) -> Judgement:
    """Return what a resistance is worth that was worked out from one row; the rubric's limits are 0 to 1 MΩ."""
    lines = in_table(V=f"{volts} 1.00 V", I=f"{amperes} 0.10 A", R=f"{ohms} 10.0 Ω") + "\ncomponent,,resistor,"
    return judgement("iv-characteristic", lines, "R")


@pytest.mark.parametrize(
    ("volts", "amperes", "ohms", "wanted"),
    [
        ("-1.00", "0.10", "7", NOT_RECALCULABLE),
        ("-1.00", "0.10", "10.0", NOT_RECALCULABLE),
        ("-1.00", "0.10", "-10.0", RIGHT),
        ("-1.00", "-0.10", "7", WRONG),
        ("1.00", "0.10", "7", WRONG),
        ("0.00", "0.10", "7", WRONG),
        ("1000000", "1.00", "7", WRONG),
        ("1000001", "1.00", "7", NOT_RECALCULABLE),
        ("1000001", "1.00", "1000001", RIGHT),
        ("1.00", "0.00", "7", NOT_RECALCULABLE),
        ("0.00", "0.00", "7", Judgement.NO_VALUE),
        ("0.00", "0.00", "", Judgement.NOT_GIVEN),
    ],
    ids=[
        "a-sign-lost",
        "a-sign-lost-in-the-current",
        "as-the-readings-say",
        "both-signs",
        "within",
        "on-the-lower-limit",
        "on-the-upper-limit",
        "beyond-the-upper-limit",
        "beyond-it-and-right",
        "division-by-zero",
        "nothing-over-nothing",
        "nothing-given",
    ],
)
def test_a_value_that_nothing_sound_can_give(volts: str, amperes: str, ohms: str, wanted: Judgement) -> None:
    """Readings that lead beyond the limits of a quantity are in doubt themselves: no answer to them is simply wrong."""
    assert resistance(volts, amperes, ohms) is wanted


@settings(deadline=None, max_examples=25)
@given(st.integers(1, 99), st.integers(1, 99), st.integers(1, 9))
def test_no_answer_is_wrong_beside_a_lost_sign(volts: int, amperes: int, off: int) -> None:
    """With one sign lost no number at all is called wrong; with none lost a number far off is."""
    far = f"{10 * volts / amperes * (3 + off):.3g}"
    assert resistance(f"-{volts / 10}", f"{amperes / 100}", far) is NOT_RECALCULABLE
    assert resistance(f"{volts / 10}", f"{amperes / 100}", far) is not NOT_RECALCULABLE


@pytest.mark.parametrize(
    ("changes", "wanted"),
    [
        ({"c": "0.973|"}, Judgement.UNLABELLED),
        ({"c": "0.973|J/(kg °C)"}, WRONG),
        ({"c": "0.973|J"}, WRONG),
        ({"c": "0.973|kJ/(kg °C)"}, RIGHT),
        ({"c": "973|kJ/(kg °C)"}, Judgement.RIGHT_AS_ASKED),
        ({"c": "973|J"}, RIGHT),
        ({"c": "123|kJ/(kg °C)"}, WRONG),
        ({"c": "0.123|"}, WRONG),
        ({"dT": "62.0", "c": "0.330|"}, Judgement.UNLABELLED),
        ({"dT": "62.0", "c": "330|kJ/(kg °C)"}, Judgement.RIGHT_AS_ASKED),
    ],
)
def test_a_number_whose_unit_is_in_doubt(changes: dict[str, str], wanted: Judgement) -> None:
    """Without a unit it may be meant in another; beside another unit it may be right for the one asked for."""
    assert judgement("specific-heat-block", changed(HEAT, **changes), "c") is wanted


@pytest.mark.parametrize(
    ("energy", "c", "wanted"),
    [
        ("30000", "1000", Judgement.ROUGH),
        ("30000", "1400", RIGHT),
        ("30000", "2000", WRONG),
        ("31500", "2000", Judgement.ROUGH),
        ("31400", "2000", WRONG),
        ("31400", "1000", Judgement.ROUGH),
        ("20660", "1000", Judgement.ROUGH),
        ("20910", "1000", RIGHT),
        ("22000", "1000", RIGHT),
        ("23100", "1000", Judgement.ROUGH),
    ],
)
def test_one_figure_is_right_if_it_was_rounded_to_it(energy: str, c: str, wanted: Judgement) -> None:
    """1000 stands for up to 1500 if one figure was meant, for under 1100 if two, cut off or rounded.

    For 986 it stands only if one was meant: two make 990.
    """
    assert judgement("specific-heat-block", changed(HEAT, E=energy, c=c), "c") is wanted


@pytest.mark.parametrize(
    ("changes", "volume", "density", "in_si"),
    [
        ({}, "RIGHT", "RIGHT", "RIGHT"),
        ({"V": "242", "rho": "0.270", "rho_si": "270"}, "WRONG", "FOLLOWS", "FOLLOWS"),
        ({"V": "242", "rho_si": "270"}, "WRONG", "RIGHT", "NEAR"),  # the density between says otherwise
        ({"V": "242", "rho": "0.270", "rho_si": "2700"}, "WRONG", "FOLLOWS", "RIGHT"),
        ({"m": ""}, "RIGHT", "NOT_RECALCULABLE", "FOLLOWS"),
        ({"l": ""}, "NOT_RECALCULABLE", "FOLLOWS", "FOLLOWS"),
        ({"l": "", "V": ""}, "NOT_GIVEN", "NOT_RECALCULABLE", "FOLLOWS"),
        ({"V": "24I"}, "UNREADABLE", "RIGHT", "RIGHT"),
    ],
)
def test_each_link_of_a_chain(changes: dict[str, str], volume: str, density: str, in_si: str) -> None:
    """What was written last before an answer counts, and so do the readings; a missing one stops what needs it."""
    lines = changed(CUBOID, **changes)
    found = [judgement("density-cuboid", lines, item).name for item in ("V", "rho", "rho_si")]
    assert found == [volume, density, in_si]


LIMITED = rubric_of("""format = 1
id = "own"
edition = 1
title = "Own"
level = "14 to 16"
purpose = "To find a change of temperature."
cautions = ["Before you start, follow your school's own risk assessment and local rules."]

[readings.T]
quantity = "temperature"
unit = "°C"

[answers.warm]
quantity = "temperature above melting ice"
unit = "°C"
formula = "T"
limits = [0, 100]

[[criteria]]
code = "F1"
point = "Temperature"
check = "value"
items = ["warm"]
""")


@pytest.mark.parametrize(
    ("reading", "wanted"), [("0", WRONG), ("100", WRONG), ("-1", NOT_RECALCULABLE), ("101", NOT_RECALCULABLE)]
)
def test_limits_on_a_scale_with_an_offset(reading: str, wanted: Judgement) -> None:
    """0 to 100 °C are the limits of the scale, not of a difference."""
    lines = f"T,,{reading},°C\nwarm,,55,°C"
    board = lay_out(LIMITED, [mark(LIMITED, lines).write_up])
    assert Judgement(int(judge(board)["warm"].judgement[0, 0])) is wanted


@pytest.mark.parametrize(
    ("percent", "wanted"),
    [("0", RIGHT), ("0.0", RIGHT), ("-2.22e-14", RIGHT), ("1.1102E-14", RIGHT), ("-0.0222", WRONG), ("2.2", WRONG)],
)
def test_what_a_spreadsheet_leaves_of_a_difference_of_equal_numbers(percent: str, wanted: Judgement) -> None:
    """1.00 beside 1.00 differs by 0 %, whatever binary arithmetic leaves of it."""
    lines = "m_1,,62.2,g\nm_2,,143.1,g\nV,,80.9,cm³\nref,,1.00,g/cm³\nm,,80.9,g\nrho,,1.00,g/cm³\n"
    assert judgement("density-liquid", f"{lines}percent_off,,{percent},%\n", "percent_off") is wanted
