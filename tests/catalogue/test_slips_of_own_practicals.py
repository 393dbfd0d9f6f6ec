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
