"""Formulas worked out line by line, every line kept to a few figures."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marking.checking.answers import evaluate
from marking.checking.causes.wrong import WAYS_TO_KEEP, kept
from marking.checking.causes.wrong.line_by_line import Keeping, evaluate_kept, every_way_to_keep, has_steps
from marking.findings import Cause
from rubrics.formulas import parse_formula
from tests.checking.causes.wrong_answers_of import block, told
from tests.checking.rows import HEAT, changed

THREE = Keeping(np.array([3]), np.array([False]))
DIVIDES = Keeping(np.array([3]), np.array([True]))
NUMBERS = {name: np.array([[value]]) for name, value in {"E": 14794.0, "m": 0.9853, "dT": 14.0}.items()}


def worked(text: str, keeping: Keeping, numbers: dict[str, np.ndarray] = NUMBERS) -> float:
    """Return a formula worked out with its steps kept."""
    return float(evaluate_kept(parse_formula(text).tree, numbers, keeping)[0, 0])


@pytest.mark.parametrize(
    ("text", "keeping", "value"),
    [
        ("E * m / dT", THREE, 14600 / 14),
        ("E * m / dT", DIVIDES, 1060 * 0.9853),
        ("E / (m * dT)", THREE, 14794 / 13.8),
        ("E / (m * dT)", DIVIDES, 15000 / 14),
        ("E - m * dT", THREE, 14794 - 13.8),
        ("E / m", THREE, 14794 / 0.9853),
        ("-(E * m)", THREE, -14794 * 0.9853),
        ("(4 / 3) * m", THREE, 4 / 3 * 0.9853),
        ("1 / (1 / m + 1 / dT)", THREE, 1 / 1.08),
        ("m**3 * dT", THREE, 0.957 * 14),
        ("sqrt(m * dT)", THREE, 13.7942**0.5),
    ],
)
def test_every_step_but_the_last(text: str, keeping: Keeping, value: float) -> None:
    """What is divided by is kept as well; a reading, a number alone and the last step are not."""
    assert worked(text, keeping) == pytest.approx(value, rel=1e-12)


def test_a_column_is_left_alone() -> None:
    """A gradient has no steps that anybody writes down."""
    tree, numbers = (
        parse_formula("slope(E, m)").tree,
        {"E": np.array([[1.0, 2.0, 3.1]]), "m": np.array([[1.0, 2.0, 3.0]])},
    )
    assert evaluate_kept(tree, numbers, THREE) == pytest.approx(evaluate(tree, numbers))
    assert not has_steps(tree)
    assert not has_steps(parse_formula("E / m").tree)
    assert has_steps(parse_formula("E / (m * dT)").tree)


@given(value=st.floats(1e-6, 1e6), figures=st.integers(1, 6))
@settings(deadline=None)
def test_kept_is_near_and_cut_is_below(value: float, figures: int) -> None:
    """Half a unit of the last figure either way, or one below; kept again it stays."""
    rounded, cut = (float(kept(np.array([value]), figures, is_cut=is_cut)[0]) for is_cut in (False, True))
    unit = 10.0 ** (np.floor(np.log10(value * (1 + 1e-12))) - figures + 1)
    assert abs(rounded - value) <= 0.5 * unit * (1 + 1e-6)
    assert -1e-6 * unit <= value - cut <= unit * (1 + 1e-6)
    assert float(kept(np.array([rounded]), figures)[0]) == pytest.approx(rounded, rel=1e-12)


def test_only_answers_whose_figures_show_it() -> None:
    """Three figures do not tell whether a step before was kept to three; four and a whole display do."""
    wrong = block("1040", "1042", "1042.857143", "10400")
    assert wrong.shows_steps().tolist() == [False, True, True, False]


@pytest.mark.parametrize(
    ("answer", "cause"),
    [
        ("439.0476190", Cause.REARRANGEMENT),  # 20 400 × 0.452 kept as 9220, by 21.0
        ("947100", Cause.OPERATION_ORDER),  # 20 400 by 0.452 kept as 45 100, times 21.0
        ("946902.6549", Cause.OPERATION_ORDER),  # 20 400 × 21.0 kept as 428 000, by 0.452
        ("1672.131148", Cause.COPYING),  # 0.452 × 27.0 kept as 12.2: 27.0 for 21.0
        ("1675.231148", Cause.UNEXPLAINED),
    ],
)
def test_a_wrong_formula_worked_line_by_line(answer: str, cause: Cause) -> None:
    """A whole display is matched to its last digit, whichever way the lines before it were kept."""
    chances = told("specific-heat-block", changed(HEAT, c=answer, m="0.452|kg"), "c")
    assert next(iter(chances)) is cause


def test_all_ways_are_different() -> None:
    """None is counted twice."""
    assert len(set(WAYS_TO_KEEP)) == len(WAYS_TO_KEEP)


@pytest.mark.parametrize("text", ["E * m / dT", "E / (m * dT)", "E - m * dT", "E / m", "sqrt(m * dT)"])
def test_every_way_at_once(text: str) -> None:
    """Answers that are kept each in its own way come to what each comes to alone."""
    tree, every = parse_formula(text).tree, every_way_to_keep(2)
    numbers = {name: np.concatenate([column, 1.37 * column] * len(WAYS_TO_KEEP)) for name, column in NUMBERS.items()}
    together = evaluate_kept(tree, numbers, every)[:, 0]
    for at in range(together.size):
        alone = {name: column[at : at + 1] for name, column in numbers.items()}
        assert together[at] == evaluate_kept(tree, alone, every.at(np.array([at])))[0, 0]
