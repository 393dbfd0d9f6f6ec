"""A prefix taken for the one beside it: a thousand times too much or too little, and no point that moved."""

from __future__ import annotations

from marking.findings import Cause, Finding
from reports.wording.cause_sentences import message
from rubrics.model.practical import Rubric
from tests.checking.rows import found, in_table, rubric_of

SURE = 0.8


def own(readings: str, answer: str) -> Rubric:
    """Return a rubric with a table of *readings* and a column X beside them."""
    return rubric_of(f"""format = 1
id = "own"
title = "Own"
purpose = "To find out."
cautions = ["Take care."]
criteria = [{{ code = "F1", check = "value", items = ["X"] }}]
[readings]
{readings}
[answers]
X = {{ {answer} }}
""")


CHARGE = own(
    'I = { quantity = "current", unit = "A", recorded_in = ["µA", "mA"], table = "t", limits = [0, 9000000] }\n'
    't = { quantity = "time", unit = "s", table = "t", limits = [0.01, 90000] }',
    'quantity = "charge", unit = "C", recorded_in = ["µC"], table = "t", formula = "I * t"',
)
CURRENTS, TIMES = (212.0, 187.0, 164.0, 149.0, 131.0), (10.0, 20.0, 30.0, 40.0, 50.0)
FREQUENCY = own(
    'T = { quantity = "period", unit = "s", recorded_in = ["µs", "ms"], table = "t", limits = [0, 9000000] }',
    'quantity = "frequency", unit = "Hz", table = "t", formula = "1 / T"',
)
PERIODS = (455.0, 512.0, 640.0, 731.0)


def charges(factor: float, unit: str = "C", rows: int = 5) -> list[Finding]:
    """Return what is said of a column of charges, off by a *factor* from the microamperes that were read."""
    lines = in_table(
        I=" ".join(f"{one:g}" for one in CURRENTS[:rows]) + " µA",
        t=" ".join(f"{one:.1f}" for one in TIMES[:rows]) + " s",
    )
    numbers = [f"{i * t * factor:.3g}" for i, t in zip(CURRENTS, TIMES, strict=True)]
    column = "\n".join(f"X,{row},{one},{unit}" for row, one in enumerate(numbers[:rows], 1))
    return [one for one in found(CHARGE, f"{lines}\n{column}") if one.explanations]


def test_microamperes_taken_for_milliamperes() -> None:
    """A thousand times too much in every row."""
    told = charges(1e-3)
    assert [one.cause for one in told] == [Cause.UNIT_CONVERSION] * 5
    assert all((one.confidence or 0.0) >= SURE for one in told)
    assert "You took 212 µA for 212 mA. 1 µA is 10⁻⁶ A." in message(told[0])


def test_one_row_alone_is_told_as_a_point_that_moved() -> None:
    """Nothing beside it says that a rule was at work: the prefix is told behind, and neither for sure."""
    (one,) = charges(1e-3, rows=1)
    assert one.cause is Cause.POWER_OF_TEN
    assert Cause.UNIT_CONVERSION in {other.cause for other in one.explanations}
    assert (one.confidence or 0.0) < SURE


def test_microamperes_taken_for_nanoamperes() -> None:
    """The neighbour may be the one below, whose symbol nobody listed."""
    told = charges(1e-9)
    assert {one.cause for one in told} == {Cause.UNIT_CONVERSION}
    assert "You took 212 µA for 212 nA." in message(told[0])


def test_below_the_line_it_goes_the_other_way() -> None:
    """Microseconds taken for milliseconds make a frequency a thousand times too low."""
    lines = in_table(T=" ".join(f"{one:g}" for one in PERIODS) + " µs")
    column = "\n".join(f"X,{row},{1e3 / one:.3g},Hz" for row, one in enumerate(PERIODS, 1))
    told = [one for one in found(FREQUENCY, f"{lines}\n{column}") if one.explanations]
    assert [one.explanations[0].detail for one in told] == ["T: ms for µs"] * 4
    assert "1 µs is 10⁻⁶ s" in message(told[0])


def test_a_plain_change_of_unit_is_told_as_that() -> None:
    """Left as recorded, it is no prefix taken for its neighbour."""
    told = charges(1.0)
    assert {one.cause for one in told} == {Cause.UNIT_CONVERSION}
    assert all("taken" not in one.explanations[0].facts for one in told)


def test_where_nothing_had_to_be_changed_a_point_has_moved() -> None:
    """Microamperes by seconds are microcoulombs: a thousand more is no prefix."""
    told = charges(1e3, "µC")
    assert all("taken" not in explanation.facts for one in told for explanation in one.explanations)


def test_a_unit_without_a_prefix_has_no_neighbour() -> None:
    """Amperes as they stand are taken for nothing else."""
    lines = in_table(I="0.212 0.187 0.164 A", t="10.0 20.0 30.0 s", X="2120 3740 4920 C")
    told = [one for one in found(CHARGE, lines) if one.explanations]
    assert len(told) == 3
    assert all("taken" not in explanation.facts for one in told for explanation in one.explanations)
