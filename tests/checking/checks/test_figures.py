"""Whether an answer has a sensible number of significant figures, judged on the student's own number."""

from __future__ import annotations

import pytest

from tests.checking.rows import HEAT, WIRE, changed, found, rows

CASES = [
    ("973", "awarded", "as many as the readings"),
    ("970", "awarded", "two or three: the nought may count"),
    ("973.4", "awarded", "one more than the readings"),
    ("9.7e2", "awarded", "two in standard form"),
    ("9.73 × 10²", "awarded", "three in standard form"),
    ("1000", "for-teacher", "the right value as one figure only: not both marks"),
    ("900", "awarded", "one to three, of a wrong value"),
    ("973.38", "withheld", "two more than the readings"),
    ("973.3753221", "withheld", "the calculator's display"),
    ("9e2", "withheld", "one figure, written so"),
    ("0.97|kJ/(kg °C)", "awarded", "noughts in front do not count"),
    ("0.97338|kJ/(kg °C)", "withheld", "five in kilojoules"),
    ("1|kJ/(kg °C)", "withheld", "one figure"),
    ("1.0|kJ/(kg °C)", "awarded", "two figures"),
    ("123", "awarded", "a wrong value to the right figures"),
    ("123.456", "withheld", "a wrong value to too many"),
    ("97O", "for-teacher", "not readable"),
    ("", "withheld", "not given"),
]


@pytest.mark.parametrize(("entry", "outcome"), [case[:2] for case in CASES], ids=[case[2] for case in CASES])
def test_figures_of_one_answer(entry: str, outcome: str) -> None:
    """As many figures as the least precise reading, or one more, and never fewer than two."""
    assert [row[2] for row in rows("specific-heat-block", changed(HEAT, c=entry), "F3")] == [outcome]


@pytest.mark.parametrize(
    ("readings", "entry", "outcome"),
    [
        ({"E": "20.4e3"}, "973.4", "awarded"),
        ({"E": "20e3", "m": "1.0", "T_start": "20", "T_end": "41", "dT": "21"}, "973.4", "withheld"),
        ({"E": "20e3", "m": "1.0", "T_start": "20", "T_end": "41", "dT": "21"}, "952", "awarded"),
        ({"E": "20400.0", "m": "0.9980", "T_start": "20.500", "T_end": "41.500", "dT": "21.000"}, "973.38", "awarded"),
        (
            {"E": "20400.0", "m": "0.9980", "T_start": "20.500", "T_end": "41.500", "dT": "21.000"},
            "973.375",
            "withheld",
        ),
        ({"E": "20000"}, "973.38", "withheld"),
        ({"E": "20000"}, "9e2", "withheld"),
        ({"E": "20000", "m": "0.4"}, "9e2", "awarded"),
    ],
    ids=[
        "one-more-than-three",
        "two-figure-readings",
        "three-usual",
        "five-from-four",
        "six-from-four",
        "noughts-in-doubt",
        "noughts-in-doubt-are-no-reason-for-one-figure",
        "one-figure-of-a-balance-is",
    ],
)
def test_readings_decide_how_many(readings: dict[str, str], entry: str, outcome: str) -> None:
    """Precise readings allow more figures than are usual, and coarse ones never take the usual ones away."""
    lines = changed(HEAT, c=entry, **readings)
    assert [row[2] for row in rows("specific-heat-block", lines, "F3")] == [outcome]


def test_nought_has_no_figures_to_count() -> None:
    """0 kPa × 40 cm³ is 0, and no figure is missing from it."""
    lines = "".join(f"p,{n},{p},kPa\nVol,{n},40,cm³\npV,{n},{40 * p},kPa cm³\n" for n, p in enumerate((0, 14, 34), 1))
    told = [one.reason for one in found("boyle", lines) if one.item == "pV"]
    assert "figures-too-few" not in told


def test_too_many_figures_cost_their_own_mark_only() -> None:
    """A display copied whole loses the mark of the figures; value and unit keep theirs."""
    lines = changed(HEAT, c="973.3753221")
    assert rows("specific-heat-block", lines, "F1", "F2", "F3") == [
        ("c", "F1", "awarded", "none"),
        ("c", "F2", "awarded", "none"),
        ("c", "F3", "withheld", "significant-figures"),
    ]


def test_too_few_figures_leave_the_value_standing() -> None:
    """One figure loses the mark of the figures, and the value stands if it is the nearest."""
    lines = changed(HEAT, c="1e3")
    assert [row[2] for row in rows("specific-heat-block", lines, "F1", "F3")] == ["awarded", "withheld"]
    cut = changed(HEAT, c="9e2")
    assert [row[2] for row in rows("specific-heat-block", cut, "F1", "F3")] == ["for-teacher", "withheld"]


def test_finding_says_how_many_and_how_many_are_wanted() -> None:
    """The finding tells which: how many figures there are, how many would do."""
    (finding,) = found("specific-heat-block", changed(HEAT, c="973.38"), "F3")
    assert (finding.facts["figures"], finding.facts["figures_wanted"]) == ("5", "2 to 4")
    assert finding.reason == "figures-too-many"
    (finding,) = found("specific-heat-block", changed(HEAT, c="9e2"), "F3")
    assert (finding.facts["figures"], finding.reason) == ("1", "figures-too-few")


def test_a_whole_column_costs_one_mark() -> None:
    """Too many figures in three rows lose one mark, and each row is told."""
    lines = changed(WIRE, R_2="1.3200", R_3="1.7600", R_4="2.1600")
    findings = found("wire-resistance", lines, "P2")
    assert [one.row for one in findings if one.outcome == "withheld"] == [2, 3, 4]
    assert sum(one.out_of for one in findings) == 1


def test_rows_without_a_value_have_no_figures_to_judge() -> None:
    """A nought written where there is nothing to work out is not one figure too few."""
    lines = "V,1,0.00,V\nV,2,1.00,V\nI,1,0.00,A\nI,2,0.10,A\nR,1,0,Ω\nR,2,10.0,Ω\nL,1,0.100,m\nL,2,0.200,m"
    assert rows("wire-resistance", lines, "P2") == [("R 2", "P2", "awarded", "none")]
