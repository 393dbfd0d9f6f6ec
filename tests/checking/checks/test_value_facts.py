"""The facts that go with a value: those which its sentence quotes, in the unit in which it was written."""

from __future__ import annotations

import pytest

from tests.checking.rows import HEAT, changed, found, in_table

RESISTOR = "component,,fixed resistor,\n" + in_table(V="0 1.00 2.00 V", I="0 0.10 0.20 A", R="0 10.0 10.0 Ω")


@pytest.mark.parametrize(
    ("practical", "lines", "criterion", "reason", "facts"),
    [
        pytest.param(
            "iv-characteristic",
            RESISTOR,
            "P1",
            "no-value-here",
            {"quantity": "resistance, row 1", "wrote": "0 Ω", "readings": "V = 0 V and I = 0 A"},
            id="nothing to check",
        ),
        pytest.param(
            "inverse-square",
            "bg,,0.4,count/s\n",
            "P4",
            "reading-given",
            {"quantity": "background count rate", "wrote": "0.4 count/s"},
            id="read off a meter",
        ),
        pytest.param(
            "specific-heat-block",
            changed(HEAT, dT="", c="0.123|kJ/(kg °C)"),
            "F1",
            "wrong-value",
            {"wrote": "0.123 kJ/(kg °C)", "expected": "0.973 kJ/(kg °C)"},
            id="in the unit that was written",
        ),
    ],
)
def test_the_facts_of_a_value_are_those_of_its_sentence(
    practical: str, lines: str, criterion: str, reason: str, facts: dict[str, str]
) -> None:
    """What the sentence quotes is there, with the unit in which it was written."""
    line = found(practical, lines, criterion)[0]
    assert (line.reason, {name: line.facts[name] for name in facts}) == (reason, facts)


def test_what_is_expected_is_in_the_unit_that_was_written() -> None:
    """By the student's readings alone, as well as by an earlier answer of theirs."""
    for lines in (changed(HEAT, dT="", c="0.123|kJ/(kg °C)"), changed(HEAT, c="0.123|kJ/(kg °C)")):
        (line,) = found("specific-heat-block", lines, "F1")
        assert line.expected == pytest.approx(20.4 / (0.998 * 21.0), rel=1e-3)


def test_an_answer_within_a_range_is_told_as_it_was_written() -> None:
    """A turn-on p.d. that no formula gives exactly."""
    rising = in_table(V="0 0.20 0.40 0.60 0.65 0.70 0.75 0.80 V", I="0 0 0 0.001 0.004 0.012 0.030 0.060 A")
    (line,) = found("iv-characteristic", f"component,,diode,\n{rising}\nV_on,,0.62,V\n", "P3")
    assert (line.item, line.entry, line.unit) == ("V_on", "0.62", "V")


def test_each_row_is_told_by_its_own_readings() -> None:
    """The second row of a column that is right throughout."""
    line = next(one for one in found("iv-characteristic", RESISTOR, "P1") if one.row == 2)
    assert (line.reason, line.facts["quantity"], line.facts["readings"]) == (
        "right",
        "resistance, row 2",
        "V = 1.00 V and I = 0.10 A",
    )


@pytest.mark.parametrize(("start", "end", "titre"), [("0.05", "24.40", "24.35"), ("1.50", "25.95", "24.45")])
def test_a_difference_keeps_the_places_of_what_it_is_of(start: str, end: str, titre: str) -> None:
    """24.40 less 0.05 is 24.35: to three figures the sum on the page would be false."""
    line = found("titration", f"v_1,1,{start},cm³\nv_2,1,{end},cm³\ntitre,1,{titre},cm³", "P1")[0]
    assert line.facts["expected"] == f"{titre} cm³"
