"""A step that a right answer proves; behind a wrong one a certain slip decides, else only the working can show it."""

from __future__ import annotations

import pytest

from tests.checking.checks.test_value import NEUTRALISATION
from tests.checking.checks.told import told
from tests.checking.rows import HEAT, changed, found, in_table, rows

LAMP = in_table(
    V="-4.00 -3.00 -2.00 -1.00 0.00 1.00 2.00 3.00 4.00 V",
    I="-0.214 -0.183 -0.146 -0.100 0.000 0.100 0.146 0.183 0.214 A",
)


@pytest.mark.parametrize(
    ("changes", "outcome"),
    [
        ({}, "awarded"),
        ({"c": "973|"}, "awarded"),
        ({"c": "973.3753"}, "awarded"),
        ({"dT": "62.0", "c": "330"}, "awarded"),
        ({"dT": "", "c": "973"}, "awarded"),
        ({"c": "123"}, "for-teacher"),
        ({"c": "97O"}, "for-teacher"),
        ({"m": "", "c": "973"}, "for-teacher"),
        ({"c": ""}, "withheld"),
    ],
    ids=[
        "right",
        "no-unit",
        "too-many-figures",
        "carried-forward",
        "step-left-out",
        "unexplained",
        "unreadable",
        "cannot-be-worked-out-again",
        "not-given",
    ],
)
def test_what_an_answer_proves(changes: dict[str, str], outcome: str) -> None:
    """A right answer proves its steps; a wrong one that nothing explains disproves none, so a teacher looks."""
    found_rows = rows("specific-heat-block", changed(HEAT, **changes), "P2", "P3", "P4")
    assert [row[2] for row in found_rows] == [outcome] * 3
    assert {row[3] for row in found_rows} == {"none"}


@pytest.mark.parametrize(
    ("changes", "outcomes"),
    [
        ({"c": "429000"}, ("for-teacher", "withheld", "for-teacher")),
        ({"E": "20.4|kJ", "c": "0.9734"}, ("withheld", "awarded", "for-teacher")),
        ({"m": "998|g", "c": "0.9734"}, ("awarded", "awarded", "for-teacher")),
        ({"E": "20.4|kJ", "m": "998|g", "c": "0.000973"}, ("for-teacher", "awarded", "for-teacher")),
        ({"c": "0.973"}, ("for-teacher", "for-teacher", "for-teacher")),
        ({"c": "793"}, ("awarded", "awarded", "for-teacher")),
        ({"c": "963"}, ("for-teacher", "for-teacher", "for-teacher")),
    ],
    ids=[
        "wrong-order",
        "E-left-in-kJ",
        "m-left-in-g",
        "both-left-or-m-the-wrong-way",
        "one-of-several",
        "digits-swapped",
        "digit-changed",
    ],
)
def test_what_a_certain_slip_decides(changes: dict[str, str], outcomes: tuple[str, ...]) -> None:
    """Energy in joules (P2) falls with E left in kJ alone, the formula (P3) with a wrong formula alone."""
    found_rows = rows("specific-heat-block", changed(HEAT, **changes), "P2", "P3", "P4")
    assert tuple(row[2] for row in found_rows) == outcomes


def test_step_that_was_not_written_down_is_proved_by_what_follows() -> None:
    """A rise that was left out is shown by a right answer that needs it, and not by a wrong one."""
    assert rows("specific-heat-block", changed(HEAT, dT=""), "P1") == [("dT", "P1", "awarded", "none")]
    assert rows("specific-heat-block", changed(HEAT, dT="", c="123"), "P1") == [("dT", "P1", "withheld", "none")]


@pytest.mark.parametrize(
    ("resistances", "outcome"),
    [
        ("18.7 16.4 13.7 10.0 _ 10.0 13.7 16.4 18.7 Ω", "awarded"),
        ("18.7 16.4 13.7 10.0 _ 0.10 0.073 0.061 0.053 Ω", "awarded"),
        ("0.05 0.06 13.7 0.10 _ 0.10 0.07 0.06 0.05 Ω", "for-teacher"),
        ("0.053 0.061 0.073 0.10 _ 0.10 0.073 0.061 0.053 Ω", "for-teacher"),
        ("_ Ω", "for-teacher"),
    ],
    ids=["all-right", "half-right", "one-right", "all-turned", "none-and-no-other-answer"],
)
def test_half_of_the_rows_show_the_step(resistances: str, outcome: str) -> None:
    """In a column half of the rows worked rightly show that the step is known; one may be right by another method."""
    lines = LAMP + "\n" + in_table(R=resistances) + "\ncomponent,,lamp,"
    assert [row[2] for row in rows("iv-characteristic", lines, "P2")] == [outcome]


def test_teacher_is_told_what_to_look_for() -> None:
    """The finding that goes to the teacher carries the point of the scheme and the answer."""
    (finding,) = found("specific-heat-block", changed(HEAT, c="123"), "P3")
    assert finding.facts["point"].startswith("c = E ÷ (m × ΔT)")
    assert (finding.reason, finding.entry, finding.marks) == ("method-unclear", "123", None)


@pytest.mark.parametrize(("entry", "outcome"), [("", "awarded"), ("?|", "withheld"), ("I don't know|", "withheld")])
def test_a_step_left_blank_is_proved_and_one_declined_is_not(entry: str, outcome: str) -> None:
    """The right c proves the change of temperature that was not written; 'I don't know' is no step at all."""
    lines = changed(HEAT, dT=entry)
    assert [row[2] for row in rows("specific-heat-block", lines) if row[0] == "dT"][:1] == [outcome]


@pytest.mark.parametrize(
    ("case", "wanted"),
    [
        (
            {},
            [
                "dT awarded right [21.0 °C] → 21 own-readings",
                "c awarded method-shown [973 J/(kg °C)] own-readings",
                "c awarded method-shown [973 J/(kg °C)] own-readings",
            ],
        ),
        (
            {"c": "973|"},
            [
                "dT awarded right [21.0 °C] → 21 own-readings",
                "c awarded method-shown [973] own-readings",
                "c awarded method-shown [973] own-readings",
            ],
        ),
        (
            {"dT": "62.0", "c": "330"},
            [
                "dT withheld wrong-value [62.0 °C] → 21 own-readings sign (T_end + T_start) 1",
                "c awarded method-shown [330 J/(kg °C)] carried-forward",
                "c awarded method-shown [330 J/(kg °C)] carried-forward",
            ],
        ),
        (
            {"dT": "", "c": "973"},
            [
                "dT awarded method-shown own-readings proof=c",
                "c awarded method-shown [973 J/(kg °C)] own-readings",
                "c awarded method-shown [973 J/(kg °C)] own-readings",
            ],
        ),
        (
            {"dT": "", "c": "123"},
            [
                "dT withheld no-answer",
                "c for-teacher method-unclear [123 J/(kg °C)] point=Energy used in joules",
                "c for-teacher method-unclear [123 J/(kg °C)] point=c = E ÷ (m × ΔT), the rearranged form",
            ],
        ),
        (
            {"c": "123"},
            [
                "dT awarded right [21.0 °C] → 21 own-readings",
                "c for-teacher method-unclear [123 J/(kg °C)] point=Energy used in joules",
                "c for-teacher method-unclear [123 J/(kg °C)] point=c = E ÷ (m × ΔT), the rearranged form",
            ],
        ),
        (
            {"c": "97O"},
            [
                "dT awarded right [21.0 °C] → 21 own-readings",
                "c for-teacher method-unclear [97O J/(kg °C)] point=Energy used in joules",
                "c for-teacher method-unclear [97O J/(kg °C)] point=c = E ÷ (m × ΔT), the rearranged form",
            ],
        ),
        ({"c": ""}, ["dT awarded right [21.0 °C] → 21 own-readings", "c withheld no-answer", "c withheld no-answer"]),
        (
            {"c": "429000"},
            [
                "dT awarded right [21.0 °C] → 21 own-readings",
                "c for-teacher method-unclear [429000 J/(kg °C)] point=Energy used in joules",
                ("c withheld method-not-done [429000 J/(kg °C)] point=c = E ÷ (m × ΔT), the rearranged form"),
            ],
        ),
        (
            {"E": "20.4|kJ", "c": "0.9734"},
            [
                "dT awarded right [21.0 °C] → 21 own-readings",
                "c withheld method-not-done [0.9734 J/(kg °C)] point=Energy used in joules",
                ("c awarded method-behind-slip [0.9734 J/(kg °C)] point=c = E ÷ (m × ΔT), the rearranged form"),
            ],
        ),
        (
            {"c": "?|"},
            ["dT awarded right [21.0 °C] → 21 own-readings", "c withheld no-answer [?]", "c withheld no-answer [?]"],
        ),
        (
            {"c": "973|kJ/(kg °C)"},
            [
                "dT awarded right [21.0 °C] → 21 own-readings",
                "c awarded method-shown [973 kJ/(kg °C)] own-readings",
                "c awarded method-shown [973 kJ/(kg °C)] own-readings",
            ],
        ),
        (
            {"dT": "?|"},
            [
                "dT withheld no-answer [?]",
                "c awarded method-shown [973 J/(kg °C)] own-readings",
                "c awarded method-shown [973 J/(kg °C)] own-readings",
            ],
        ),
    ],
)
def test_what_is_told_of_a_step(case: dict[str, str], wanted: list[str]) -> None:
    """Outcome, reason, basis and what the teacher is to look for, behind right and wrong answers."""
    assert told("specific-heat-block", changed(HEAT, **case), "P1", "P2", "P3", facts=("proof", "point")) == wanted


@pytest.mark.parametrize(
    ("resistances", "outcomes"),
    [
        ("0.90 1.32 1.76 _ Ω", "awarded"),
        ("0.90 1.32 _ _ Ω", "withheld"),
        ("0.90 _ _ _ Ω", "withheld"),
    ],
)
def test_a_gradient_proves_a_blank_only_where_most_of_the_column_stands(resistances: str, outcomes: str) -> None:
    """A right gradient shows the fourth resistance beside three; beside two, half of the column, it shows none."""
    lines = in_table(L="0.200 0.300 0.400 0.500 m", V="0.45 0.66 0.88 1.08 V", I="0.50 0.50 0.50 0.50 A", R=resistances)
    given = rows("wire-resistance", lines + "\ngradient,,4.29,Ω/m", "P1")
    assert given[-1][2] == outcomes


@pytest.mark.parametrize(("energy", "outcome"), [("", "awarded"), ("?", "withheld"), ("52.3", "withheld")])
def test_steps_in_a_row_that_were_not_written_down(energy: str, outcome: str) -> None:
    """Neither mass nor energy in writing, and the result right: both were done. A declined or wrong one ends it."""
    lines = NEUTRALISATION.replace("m,,100,g", "m,,,g").replace("q,,5.23,kJ", f"q,,{energy},kJ")
    if energy == "52.3":
        lines = lines.replace("-52.3", "-523")
    (line,) = [one for one in found("neutralisation-enthalpy", lines, "P2") if one.item == "m"]
    assert line.outcome == outcome


TANK = in_table(
    f="8.0 10.0 12.5 16.0 20.0 Hz",
    l="15.1 12.2 9.8 7.6 6.1 cm",
    n="5 5 5 5 5 -",
    wl="3.02 2.44 1.96 1.52 1.22 cm",
)
"""Speeds of 24.2 to 24.5 cm/s; their mean is 24.36 cm/s."""


@pytest.mark.parametrize(
    ("later", "outcome"),
    [
        ("v_mean,,0.244,m/s", "for-teacher"),
        ("v_mean,,0.300,m/s", "withheld"),
        ("v_mean,,0.244,m/s\nv,1,?,m/s", "withheld"),  # given up in a row, and blank in the others
    ],
    ids=["a right mean", "a wrong mean", "begun"],
)
def test_a_column_left_blank_behind_its_mean(later: str, outcome: str) -> None:
    """A right mean of a column of which nothing was written: a teacher looks; else the column is lost."""
    assert {one.outcome for one in found("wave-speed", f"{TANK}\n{later}", "P2")} == {outcome}


@pytest.mark.parametrize(
    ("answer", "wanted"),
    [
        ("-52.3", ("awarded", "method-shown")),
        ("-49.7", ("awarded", "method-shown")),  # 5 % small for no reason, and with its sign
        ("49.7", ("withheld", "method-not-done")),
        ("52.3", ("withheld", "method-not-done")),
    ],
)
def test_a_sign_shows_in_any_number(answer: str, wanted: tuple[str, str]) -> None:
    """A step that is a sign alone is there, or is not, however far off the number is."""
    lines = NEUTRALISATION.replace("-52.3", answer)
    (line,) = found("neutralisation-enthalpy", lines, "P5")
    assert (line.outcome, line.reason) == wanted
