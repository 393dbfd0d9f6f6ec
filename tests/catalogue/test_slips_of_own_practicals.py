"""Slips that a teacher planted in three practicals of a department's own: what is said of each is true."""

from __future__ import annotations

from pathlib import Path

import pytest

from marking.findings import Cause, Finding, Outcome
from reports.wording.cause_sentences import message
from rubrics.load import read_rubric
from tests.checking.rows import found, in_table

FOLDER = Path(__file__).parent / "own"
WATER = read_rubric(FOLDER / "water-of-crystallisation.toml")
LEAVES = read_rubric(FOLDER / "shade-leaves.toml")
SPRING = read_rubric(FOLDER / "spring-oscillation.toml")
SURE = 0.8

SALT = {
    "m_c": "21.37,g",
    "m_h": "23.92,g",
    "m_a": "22.63,g",
    "salt": "1.26,g",
    "water": "1.29,g",
    "n_s": "0.0105,mol",
    "n_w": "0.0717,mol",
    "x": "6.83,",
}
LIGHT = "820 1500 2300 3100 4000 5200 6400 lx"
WIDTH = "71 58 61 47 44 38 30 mm"


def of_salt(item: str, answer: str, **others: str) -> Finding:
    """Return what is said of one answer, the others right unless given."""
    lines = "\n".join(f"{name},,{text}" for name, text in (SALT | others | {item: answer}).items())
    return next(one for one in found(WATER, lines) if one.item == item and one.criterion not in ("F2", "F3"))


def of_leaves(item: str, answer: str) -> Finding:
    """Return what is said of a figure for all widths."""
    lines = in_table(L=LIGHT, w=WIDTH) + f"\n{item},,{answer}"
    return next(one for one in found(LEAVES, lines) if one.item == item and one.criterion != "F3")


@pytest.mark.parametrize("answer", ["10.5,mol", "10.47,mol"])
def test_a_listed_unit_comes_before_a_moved_point(answer: str) -> None:
    """The factor is just that of mmol and mol: no decimal point has moved."""
    finding = of_salt("n_s", answer)
    assert finding.cause is Cause.UNIT_CONVERSION
    assert "decimal point" not in message(finding)


def test_a_point_moved_by_what_is_no_unit() -> None:
    """A factor of ten is that of no unit listed."""
    assert of_salt("n_s", "0.105,mol").cause is Cause.POWER_OF_TEN


@pytest.mark.parametrize(
    ("answer", "cause"),
    [("41,mm", Cause.WRONG_QUANTITY), ("71,mm", Cause.WRONG_QUANTITY), ("49.9,mm", Cause.WRONG_QUANTITY)],
    ids=["range", "largest", "mean"],
)
def test_another_figure_of_the_column_for_its_spread(answer: str, cause: Cause) -> None:
    """41 is the range of the column before it is 14 with its digits swapped."""
    assert of_leaves("sd", answer).cause is cause


def test_swapped_digits_that_fit_only_rounded_are_not_sure() -> None:
    """14 is not 14.1: what else prints 41 is likelier, and the swap stands beside it."""
    chances = [one.probability for one in of_leaves("sd", "41,mm").explanations if one.cause is Cause.DIGITS_SWAPPED]
    assert sum(chances) < SURE / 2


@pytest.mark.parametrize(
    "changed",
    [
        {},
        {"salt": "1300,mg", "water": "1320,mg", "n_s": "10.8,mmol", "n_w": "73.3,mmol"},
        {"salt": "1.50,g", "water": "1.54,g", "n_s": "12,mmol", "n_w": "86,mmol", "x": "1.03,"},
    ],
)
def test_both_operands_one_step_early(changed: dict[str, str]) -> None:
    """Mass by mass for moles by moles: nothing was copied wrongly."""
    finding = of_salt("x", changed.get("x", "1.02,"), **{name: one for name, one in changed.items() if name != "x"})
    assert finding.outcome is Outcome.WITHHELD
    assert finding.cause is Cause.WRONG_QUANTITY
    assert (finding.confidence or 0.0) >= SURE
    assert "You did water ÷ salt. It is n w ÷ n s." in message(finding)


MASS = "100 150 200 250 300 350 g"
TIMES = (8.17, 9.92, 11.35, 12.69, 13.89, 15.02)
"""Of 20 swings, in seconds: 1.586 s²/kg, and T against m gives 1.357."""


def of_spring(gradient: str) -> Finding:
    """Return what is said of a gradient through points that hardly scatter."""
    times = " ".join(f"{time:.2f}" for time in TIMES) + " s"
    periods = " ".join(f"{time / 20:.3f}" for time in TIMES) + " s"
    squares = " ".join(f"{(time / 20) ** 2:.3f}" for time in TIMES) + " s²"
    lines = in_table(m=MASS, t_1=times, t_2=times, t=times, P=periods, T2=squares)
    return next(one for one in found(SPRING, f"N,,20,\n{lines}\ngradient,,{gradient},s²/kg", "G2"))


@pytest.mark.parametrize(
    ("share", "outcome"),
    [
        (0.85, Outcome.WITHHELD),
        (0.89, Outcome.WITHHELD),
        (0.92, Outcome.FOR_TEACHER),
        (0.96, Outcome.AWARDED),
        (1.04, Outcome.AWARDED),
        (1.08, Outcome.FOR_TEACHER),
        (1.11, Outcome.WITHHELD),
        (1.15, Outcome.WITHHELD),
    ],
)
def test_the_same_room_above_and_below_a_line(share: float, outcome: Outcome) -> None:
    """Two figures of a number of swings widen no line downwards."""
    assert of_spring(f"{1.586 * share:.3f}").outcome is outcome


def test_a_column_plotted_before_it_was_squared() -> None:
    """T against m is looked for by itself, and lies 14 % off."""
    finding = of_spring("1.357")
    assert finding.outcome is Outcome.WITHHELD
    assert finding.cause is Cause.WRONG_QUANTITY
    assert finding.explanations[0].detail == "slope(P, m)"
    assert "the gradient of T against m" in message(finding)


LEAVES_IN_ROWS = "820 1500 1500 3100 4000 lx"


def of_ranks(column: str) -> list[Finding]:
    """Return what is said of ranks of the light, of which the second and third are equal."""
    lines = in_table(L=LEAVES_IN_ROWS, w="71 58 61 47 44 mm", r_L=f"{column} -")
    return [one for one in found(LEAVES, lines, "P1") if one.item == "r_L"]


def test_equal_readings_share_the_mean_of_their_ranks() -> None:
    """A rank is counted and never rounded: 2.5 stands, and 2 and 3 do not."""
    assert all(one.outcome is Outcome.AWARDED for one in of_ranks("1 2.5 2.5 4 5"))
    assert all(one.outcome is Outcome.AWARDED for one in of_ranks("5 3.5 3.5 2 1"))
    wrong = [one for one in of_ranks("1 2 3 4 5") if one.outcome is Outcome.WITHHELD]
    assert [one.row for one in wrong] == [2, 3]
    assert all("equal values share the mean of their places" in message(one) for one in wrong)


def test_a_sum_of_counts_is_not_one_off() -> None:
    """Three figures allow a measured value one unit either way, and a sum of squares of ranks none."""
    lines = in_table(L=LIGHT, w=WIDTH, r_L="1 2 3 4 5 6 7 -", r_w="7 5 6 4 3 2 1 -", d2="36 9 9 0 4 16 36 -")
    said = {answer: found(LEAVES, f"{lines}\nS,,{answer},", "P4")[0].outcome for answer in ("110", "109")}
    assert said == {"110": Outcome.AWARDED, "109": Outcome.WITHHELD}


def test_a_column_that_was_not_squared_has_one_cause() -> None:
    """Whichever way round the difference was taken, its size was written in every row."""
    lines = in_table(L=LIGHT, w=WIDTH, r_L="1 2 3 4 5 6 7 -", r_w="7 5 6 4 3 2 1 -", d2="6 3 3 0 2 4 6 -")
    wrong = [one for one in found(LEAVES, lines, "P3") if one.outcome is not Outcome.AWARDED]
    assert {(one.outcome, one.explanations[0].detail) for one in wrong} == {(Outcome.WITHHELD, "r_L - r_w")}
    assert not any("near" in message(one) for one in wrong)


def test_a_sign_is_told_by_what_was_done() -> None:
    """Which way round a difference was taken, a minus too many, or one too few: one cause each."""
    assert "You did m a − m h. It is m h − m a." in message(of_salt("water", "-1.29,g"))
    assert "There is a minus sign too many: it is 1.59." in message(of_spring("-1.59"))
    lines = in_table(L=LIGHT, w=WIDTH) + "\nS,,110,\nr_s,,0.964,"
    lost = next(one for one in found(LEAVES, lines, "F1") if one.item == "r_s")
    assert "The minus sign is missing." in message(lost)
    assert sum(one.probability for one in lost.explanations) <= 1.0


@pytest.mark.parametrize(("item", "answer", "used"), [("n_s", "0.0700,mol", "M_w"), ("n_w", "0.0107,mol", "M_s")])
def test_one_constant_for_another(item: str, answer: str, used: str) -> None:
    """The molar mass of water for that of the salt is one change, like one reading for another."""
    finding = of_salt(item, answer)
    assert finding.cause is Cause.WRONG_QUANTITY
    assert finding.explanations[0].detail.startswith(used)
    assert "molar mass of water" in message(finding)


def test_a_sum_without_one_of_its_rows() -> None:
    """As likely as a mean that lacks one of its values."""
    lines = in_table(L=LIGHT, w=WIDTH, r_L="1 2 3 4 5 6 7 -", r_w="7 5 6 4 3 2 1 -", d2="36 9 9 0 4 16 36 -")
    (finding,) = found(LEAVES, f"{lines}\nS,,94,", "P4")
    assert finding.explanations[0].detail == "sum(d2) without row 6"
    assert "You left out row 6." in message(finding)
