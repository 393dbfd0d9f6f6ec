"""A figure that stands for many: the mean for the median, n for n - 1, ranks from the other end."""

from __future__ import annotations

import statistics
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marking.findings import Cause, Finding
from reports.wording.cause_sentences import message
from rubrics.load import read_rubric
from rubrics.model.practical import Rubric
from tests.checking.rows import found, in_table, rubric_of

SURE = 0.8
LEAVES = read_rubric(Path(__file__).parents[3] / "catalogue" / "own" / "leaves.toml")
WIDTHS = (42, 45, 39, 50, 47, 41)
RANKS = (3, 4, 1, 6, 5, 2)


def leaves(**answers: str) -> list[Finding]:
    """Return what is said of leaves with some answers: ``sd_a="3.74"``, ``rank_a="3 4 1 6 5 2"``."""
    columns = {"a": " ".join(map(str, WIDTHS)) + " mm", "b": "33 36 30 41 35 31 mm"}
    single = "".join(f"\n{item},,{text},mm" for item, text in answers.items() if item != "rank_a")
    if "rank_a" in answers:
        columns["rank_a"] = f"{answers['rank_a']} -"
    return found(LEAVES, in_table(**columns) + single)


def wrong(findings: list[Finding], item: str) -> list[Finding]:
    """Return what is said of the wrong values of *item*."""
    return [one for one in findings if one.item == item and one.explanations]


def fitted(function: str) -> Rubric:
    """Return a rubric that asks for one function of a column x of seven."""
    return rubric_of(f"""format = 1
id = "own"
title = "Own"
purpose = "To find out."
cautions = ["Take care."]
criteria = [{{ code = "F1", check = "value", items = ["out"] }}]
[readings]
x = {{ quantity = "time", unit = "s", table = "t" }}
[answers]
out = {{ quantity = "result", unit = "s", formula = "{function}(x)" }}
""")


LIST = "12.1 15.8 11.3 19.9 14.2 13.0 12.6 s"
SEVEN = [float(text) for text in LIST.split()[:-1]]


@pytest.mark.parametrize(
    ("function", "given_answer", "cause", "says"),
    [
        ("median", statistics.fmean(SEVEN), Cause.WRONG_QUANTITY, "You used the mean. The formula needs the median."),
        ("mean", statistics.median(SEVEN), Cause.WRONG_QUANTITY, "You used the median. The formula needs the mean."),
        ("median", SEVEN[3], Cause.WRONG_QUANTITY, "not put in order of size first"),
        ("stdev", statistics.pstdev(SEVEN), Cause.MISSING_FACTOR, "divided by 7, not by 6"),
        ("stdev", statistics.variance(SEVEN), Cause.MISSING_FACTOR, "You left out the square root."),
        ("max", min(SEVEN), Cause.WRONG_QUANTITY, "You used the smallest value. The formula needs the largest value."),
        ("min", max(SEVEN), Cause.WRONG_QUANTITY, "You used the largest value. The formula needs the smallest value."),
    ],
)
def test_another_figure_for_many(function: str, given_answer: float, cause: Cause, says: str) -> None:
    """Each is named for sure, in words that are true."""
    (finding,) = wrong(found(fitted(function), in_table(x=LIST) + f"\nout,,{given_answer:.2f},s"), "out")
    assert finding.cause is cause
    assert (finding.confidence or 0.0) >= SURE
    assert says in message(finding)


def test_in_a_larger_formula() -> None:
    """The means subtracted for the medians that were not written down are not looked for; n for n - 1 is."""
    (finding,) = wrong(leaves(sd_a=f"{statistics.pstdev(WIDTHS):.2f}"), "sd_a")
    assert finding.cause is Cause.MISSING_FACTOR
    assert "divided by 6, not by 5" in message(finding)


def test_ranks_from_the_other_end() -> None:
    """One slip in the whole column."""
    rows = wrong(leaves(rank_a=" ".join(str(7 - rank) for rank in RANKS)), "rank_a")
    assert len(rows) >= 5
    for one in rows:
        assert one.cause is Cause.REARRANGEMENT
        assert (one.confidence or 0.0) >= SURE
        assert "1 given to the largest value, not to the smallest" in message(one)


@pytest.mark.parametrize("ranks", ["4 3 1 6 5 2", "3 4 6 1 5 2", "2 4 1 6 5 3"])
def test_two_ranks_exchanged_run_no_other_way(ranks: str) -> None:
    """3 and 4, or 1 and 6, exchanged are what they would be from the other end; the other four are not."""
    for one in wrong(leaves(rank_a=ranks), "rank_a"):
        assert all(told.cause is not Cause.REARRANGEMENT for told in one.explanations)


def test_a_rank_has_no_unit() -> None:
    """Nothing is said of units of a pure number out of a column."""
    for ranks in ("6 4 1 3 5 2", "1 2 3 4 5 6", "3 4 1 6 5 5"):
        for one in wrong(leaves(rank_a=ranks), "rank_a"):
            assert all(told.cause is not Cause.UNIT_CONVERSION for told in one.explanations)


def test_the_row_above_turned_over() -> None:
    """Formulas with the value of the row above are worked out in their column."""
    rubric = rubric_of("""format = 1
id = "own"
title = "Own"
purpose = "To find out."
cautions = ["Take care."]
criteria = [{ code = "F1", check = "value", items = ["q"] }]
[readings]
x = { quantity = "rate", unit = "1/s", table = "t" }
[answers]
q = { quantity = "over the row above", table = "t", formula = "x / above(x)" }
""")
    lines = in_table(x="0.0250 0.0476 0.0833 0.1100 1/s", q="_ 0.525 0.571 0.757 -")
    rows = wrong(found(rubric, lines), "q")
    assert [one.cause for one in rows] == [Cause.REARRANGEMENT] * 3


@given(st.lists(st.integers(100, 999), min_size=4, max_size=8, unique=True))
@settings(deadline=None, max_examples=8)
def test_the_right_figure_is_never_explained(values: list[int]) -> None:
    """A mean that is the median as well, or ranks that are right, are not wrong."""
    lines = in_table(x=" ".join(map(str, values)) + " s") + f"\nout,,{statistics.median(values)},s"
    assert wrong(found(fitted("median"), lines), "out") == []


def test_repeats_added_and_not_divided() -> None:
    """21.0, 20.0 and 22.0 make 63.0: the division is left out."""
    rubric = read_rubric(Path(__file__).parents[3] / "catalogue" / "own" / "enzyme-q10.toml")
    lines = "temp,1,10.0,°C\nt_1,1,21.0,s\nt_2,1,20.0,s\nt_3,1,22.0,s\nt,1,63.0,s"
    (finding,) = [one for one in wrong(found(rubric, lines), "t") if one.row == 1]
    assert finding.cause is Cause.MISSING_FACTOR
    assert "You left out the division by 3." in message(finding)


def test_a_rank_is_a_whole_number_of_the_values_of_one_column() -> None:
    """Sentences say 'Your values of a lead to 2', not 'Your columns a lead to 2.00'."""
    (row,) = wrong(leaves(rank_a="3 4 1 6 5 1"), "rank_a")
    assert row.facts["readings"] == "your values of a"
    assert row.facts["expected"] == "2"
    assert "Your values of a lead to 2." in message(row)
