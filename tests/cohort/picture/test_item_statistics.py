from __future__ import annotations

import numpy as np
import pytest

from marking.cohort.picture.item_statistics import alpha_interval, cronbach_alpha, discrimination, item_statistics
from marking.findings import CriterionMark, MarkedSet, Outcome, Script
from tests.cohort.simulated import rubric_of, simulate

# Example data set of the package pingouin, cronbach_alpha: 15 subjects, 10 questions; documented alpha 0.592,
# 95 % interval 0.195 to 0.84.
QUESTIONS = """
3 2 4 1 4 5 1 4 3 2
5 4 6 3 5 1 2 5 5 5
7 3 5 5 6 4 3 3 6 5
2 4 3 3 2 2 2 6 6 3
6 5 6 5 4 4 4 6 7 5
1 2 3 4 2 5 2 3 5 2
4 3 5 3 5 2 1 2 4 3
2 4 4 3 7 2 2 4 6 5
6 5 5 5 1 6 5 2 3 2
5 4 6 4 3 5 3 1 7 2
4 3 5 2 5 3 2 3 4 1
4 2 3 2 5 3 4 2 3 4
5 5 6 2 3 3 2 4 4 5
6 5 5 4 2 2 1 4 6 5
4 3 5 5 3 1 3 2 3 4
"""
# Shrout and Fleiss, Psychological Bulletin 86 (1979) 420, Table 2: six targets, four judges; ICC(3,k) = 0.91,
# which is Cronbach's alpha over the judges.
JUDGES = """
9 2 5 8
6 1 3 2
8 4 6 8
7 1 2 6
10 5 6 9
6 2 4 7
"""


def table(text: str) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    """Return the numbers of a table."""
    return np.array([[float(word) for word in line.split()] for line in text.strip().splitlines()])


@pytest.mark.parametrize(
    ("text", "published", "figures"),
    [pytest.param(QUESTIONS, 0.5917, 4, id="questions"), pytest.param(JUDGES, 0.9093, 4, id="judges")],
)
def test_published_alphas_are_reached(text: str, published: float, figures: int) -> None:
    """To the figures that are published."""
    alpha = cronbach_alpha(table(text))
    assert alpha is not None
    assert round(alpha, figures) == published


def test_the_published_interval_is_reached() -> None:
    """0.195 to 0.84 for 15 subjects and 10 questions."""
    low, high = alpha_interval(0.591719, 15, 10)
    assert (round(low, 3), round(high, 3)) == (0.195, 0.840)


def test_what_cannot_be_told_is_none() -> None:
    """One item, one student, or equal totals have no alpha; an item that all have right tells nobody apart."""
    assert cronbach_alpha(np.ones((5, 1))) is None
    assert cronbach_alpha(np.ones((1, 5))) is None
    assert cronbach_alpha(np.array([[1.0, 0.0], [0.0, 1.0]])) is None
    assert discrimination(np.array([[1.0, 0.0], [1.0, 1.0]]), 0) is None


def test_discrimination_is_the_correlation_with_the_rest() -> None:
    """The item itself does not count towards the total it is compared with."""
    scores = np.array([[0.0, 1.0, 0.0], [0.0, 2.0, 1.0], [1.0, 3.0, 3.0], [1.0, 5.0, 4.0]])
    rest = scores[:, 1] + scores[:, 2]
    assert discrimination(scores, 0) == pytest.approx(np.corrcoef(scores[:, 0], rest)[0, 1])


def marked(count: int) -> MarkedSet:
    """Return a class whose better half has everything but the teacher's criteria, which wait."""
    rubric = rubric_of("density-cuboid")
    scripts = []
    for number, write_up in enumerate(simulate("density-cuboid", 1)[:count]):
        marks = tuple(
            CriterionMark(criterion=criterion, outcome=Outcome.FOR_TEACHER, marks=None)
            if criterion.check.value in ("teacher", "ideas")
            else CriterionMark(
                criterion=criterion, outcome=Outcome.AWARDED, marks=criterion.marks if 2 * number >= place else 0
            )
            for place, criterion in enumerate(rubric.criteria)
        )
        scripts.append(Script(write_up=write_up, findings=(), criteria=marks))
    return MarkedSet(rubric=rubric, scripts=tuple(scripts), remarks=(), sources=())


@pytest.mark.parametrize(("count", "has_alpha"), [(9, False), (10, True)])
def test_small_numbers_are_warned_of(count: int, has_alpha: bool) -> None:
    """With nine students only facilities are given, with ten alpha too, as rough."""
    found = item_statistics(marked(count))
    assert found.students == count
    assert (found.alpha is not None) == has_alpha
    assert found.warnings[0].startswith(f"Only {count} students")
    assert all(one.facility is not None for one in found.criteria if one.students)


def test_criteria_that_wait_for_the_teacher_are_left_out() -> None:
    """They are named, and have no facility yet."""
    found = item_statistics(marked(30))
    waiting = [one.code for one in found.criteria if not one.students]
    assert waiting
    assert found.warnings[-1] == f"Left out until the teacher has decided: {', '.join(waiting)}."
    assert all(one.warnings == ("No mark is decided yet.",) for one in found.criteria if not one.students)
