"""Means of repeats: with and without a reading that stands out."""

from __future__ import annotations

import numpy as np
import pytest

from marking.checking.fits.outliers import grubbs_limit
from tests.checking.rows import found, in_table, rubric_of

HEAD = """format = 1
id = "own"
edition = 1
title = "Own"
level = "14 to 16"
purpose = "To find a time."
cautions = ["Before you start, follow your school's own risk assessment and local rules."]
"""
COLUMN = rubric_of(
    HEAD
    + """
[readings.t]
quantity = "time"
unit = "s"
table = "repeats"
resolution = 0.01

[answers.mean_t]
quantity = "mean time"
unit = "s"
formula = "mean(t)"

[[criteria]]
code = "F"
point = "Mean follows"
check = "value"
items = ["mean_t"]
"""
)
FIVE = "1.82 1.84 1.83 1.85 2.31 s"
"""Mean of all 1.930, without 2.31 1.835; Grubbs' G is 1.787, its limit at 1 % 1.764 (Grubbs and Beck 1972)."""


def outcome(times: str, mean: str) -> tuple[str, str, str]:
    """Return outcome, reason and cause of a mean."""
    (finding,) = found(COLUMN, in_table(t=times) + f"\nmean_t,,{mean},s", "F")
    return finding.outcome.value, finding.reason, finding.cause.value


def test_limit_at_one_per_cent() -> None:
    """Two-sided 1 % for five readings is 1.764, for eight 2.274 (ISO 5725-2:1994, Table 5)."""
    assert [round(grubbs_limit(n, chance=0.01), 3) for n in (5, 8)] == [1.764, 2.274]


def test_a_mean_with_the_odd_reading_is_proposed() -> None:
    """The teacher decides, the reading is named, and nothing is withheld."""
    assert outcome(FIVE, "1.930") == ("for-teacher", "mean-with-odd", "anomaly-included")
    (finding,) = found(COLUMN, in_table(t=FIVE) + "\nmean_t,,1.93,s", "F")
    assert finding.facts["odd"] == "2.31 s"
    assert finding.explanations[0].detail == "t 5"


@pytest.mark.parametrize(
    ("times", "mean"),
    [
        pytest.param(FIVE, "1.835", id="without the odd one"),
        pytest.param("1.82 1.84 2.31 s", "1.83", id="three, without the one that stands out"),
        pytest.param("1.82 1.84 2.31 s", "1.99", id="three, with it: no test can tell"),
        pytest.param("1.82 1.84 1.83 1.85 1.86 s", "1.84", id="all sound"),
        pytest.param("1.82 1.82 1.82 1.82 1.83 s", "1.822", id="one step is no odd reading"),
    ],
)
def test_what_stands(times: str, mean: str) -> None:
    """Both means where it is arguable, the sound one where it is not."""
    assert outcome(times, mean) == ("awarded", "right", "none")


def test_a_sound_reading_left_out_is_for_the_teacher() -> None:
    """1.855 is the mean of 1.820, 1.860 and 1.885: 1.950 may have been left out for a reason."""
    assert outcome("1.820 1.860 1.885 1.950 s", "1.855")[:2] == ("for-teacher", "mean-without-sound")


def test_any_other_mean_is_wrong() -> None:
    """A sum divided by the wrong number is no mean of these."""
    assert outcome("1.82 1.84 1.83 1.85 1.86 s", "2.30")[0] == "withheld"


def test_sound_repeats_are_hardly_ever_named() -> None:
    """One student in a hundred at most, whose five repeats all come from one bell curve (2000 students, fixed seed)."""
    draws = np.random.default_rng(1).normal(1.80, 0.03, size=(2000, 5)).round(2)
    distance = np.abs(draws - draws.mean(axis=1, keepdims=True)).max(axis=1) / draws.std(axis=1, ddof=1)
    assert (distance > grubbs_limit(5, chance=0.01)).mean() <= 0.015


@pytest.mark.parametrize(
    ("times", "mean", "outcome_"),
    [
        ("1.85 1.86 1.85 1.84 2.31 s", "1.9", "awarded"),
        ("1.85 1.86 1.85 1.84 2.31 s", "1.94", "for-teacher"),
        ("1.84 1.83 1.85 1.82 2.31 s", "1.9", "for-teacher"),
    ],
    ids=["fits-both", "with-it-alone", "short-and-with-it-alone"],
)
def test_a_mean_that_is_right_with_and_without_the_odd_one_stands(times: str, mean: str, outcome_: str) -> None:
    """1.9 is the mean of all five and of the four: nobody can say that the odd one was kept."""
    assert outcome(times, mean)[0] == outcome_
