"""Figures that others have printed, from the data that they printed, and general libraries beside our sums."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from marking.moderation.statistics.all_figures import agreement
from marking.moderation.statistics.closeness import closeness, usual_tolerance
from marking.moderation.statistics.intraclass import absolute_agreement, mean_squares, six_forms
from marking.moderation.statistics.limits_of_agreement import limits_of_agreement
from marking.moderation.statistics.many_markers_kappa import many_markers_kappa
from marking.moderation.statistics.quality_trend import quality_trend
from marking.moderation.statistics.severity import severity
from marking.moderation.statistics.weighted_kappa import kappa_of, quadratic_kappa

DATA = Path(__file__).resolve().parents[2] / "published" / "data"
FIRST = (14, 12, 9, 15, 7, 11, 13, 6, 10, 8, 12, 5)
SECOND = (13, 12, 8, 14, 7, 10, 13, 5, 9, 8, 11, 6)


def published(name: str) -> NDArray[np.float64]:
    """Return the figures of a file, without its first column."""
    with (DATA / name).open(encoding="utf-8") as file:
        rows = list(csv.reader(line for line in file if not line.startswith("#")))
    return np.array([row[1:] for row in rows[1:]], dtype=np.float64)


def test_the_worked_example_of_a_department() -> None:
    """Every pair within a mark and kappa almost perfect, and yet the first marker is half a mark generous."""
    found = agreement(FIRST, SECOND, 15)
    assert found.severity is not None
    assert (round(found.severity.mean, 3), round(found.severity.spread, 3)) == (0.5, 0.674)
    assert (round(found.severity.low, 2), round(found.severity.high, 2)) == (0.07, 0.93)
    assert found.limits is not None
    assert (round(found.limits.lower.at, 2), round(found.limits.upper.at, 2)) == (-0.82, 1.82)
    assert (found.counts.exact, found.counts.within, found.pairs) == (4, 12, 12)
    assert found.kappa is not None
    assert round(found.kappa.value, 3) == 0.963
    assert found.intraclass is not None
    assert round(found.intraclass.value, 3) == 0.966
    harsher = quadratic_kappa(FIRST, [mark - 1 for mark in SECOND], 15)
    assert harsher is not None
    assert round(harsher.value, 3) == 0.865


def test_shrout_and_fleiss() -> None:
    """Six targets, four judges: Psychological Bulletin 86 (1979) 420, Tables 2 to 4."""
    marks = published("shrout-fleiss.csv")
    squares = mean_squares(marks)
    printed = [round(value, 2) for value in (squares.between, squares.within, squares.judges, squares.residual)]
    assert printed == [11.24, 6.26, 32.49, 1.02]
    assert [round(value, 2) for value in six_forms(squares).values()] == [0.17, 0.29, 0.71, 0.44, 0.62, 0.91]


def test_interval_of_the_intraclass_correlation() -> None:
    """As the package pingouin has it, which prints two decimal places."""
    pingouin = pytest.importorskip("pingouin")
    marks = published("shrout-fleiss.csv")
    long = pd.DataFrame(
        [(s, m, marks[s, m]) for s in range(6) for m in range(4)],
        columns=["script", "marker", "mark"],
    )
    table = pingouin.intraclass_corr(long, targets="script", raters="marker", ratings="mark")
    (row,) = [one for one in table.to_dict("records") if one["Type"] in ("ICC2", "ICC(A,1)")]
    interval = next(value for name, value in row.items() if name.startswith("CI95"))
    found = absolute_agreement(marks)
    assert found is not None
    assert found.value == pytest.approx(row["ICC"], abs=1e-9)
    assert [found.low, found.high] == pytest.approx(list(interval), abs=0.006)


def test_fleiss_cohen_and_everitt() -> None:
    """Kappa, weighted kappa and their variances: Psychological Bulletin 72 (1969) 323."""
    table = published("fleiss-cohen-everitt-1969.csv")
    plain = kappa_of(table)
    assert plain is not None
    assert round(plain.value, 3) == 0.429
    assert (round(plain.error**2, 6), round(plain.null_error**2, 6)) == (0.002885, 0.003082)
    agreed = np.array([[1, 0, 0.4444], [0, 1, 0.6667], [0.4444, 0.6667, 1]])
    weighted = kappa_of(table, 1 - agreed)
    assert weighted is not None
    assert round(weighted.value, 3) == 0.507
    assert [weighted.error**2, weighted.null_error**2] == pytest.approx([0.003248, 0.004269], abs=2e-6)


def test_fleiss_for_many_markers() -> None:
    """Thirty patients, six of the judges each: Psychological Bulletin 76 (1971) 378."""
    found = many_markers_kappa(published("fleiss-1971.csv"))
    assert found is not None
    assert round(found, 3) == 0.430
    with pytest.raises(ValueError, match="same number"):
        many_markers_kappa(np.array([[1.0, 1.0], [2.0, 1.0]]))


def test_bland_and_altman() -> None:
    """Two meters, seventeen people: Lancet i (1986) 307. They print with two standard deviations, rounded before."""
    readings = published("bland-altman-pefr.csv")
    wright, mini = readings[:, 0].tolist(), readings[:, 2].tolist()
    found = severity(wright, mini)
    assert found is not None
    assert (round(found.mean, 1), round(found.spread, 1)) == (-2.1, 38.8)
    assert [found.low, found.high] == pytest.approx([-22.0, 17.8], abs=0.1)
    limits = limits_of_agreement(wright, mini, multiple=2)
    assert limits is not None
    assert [limits.lower.at, limits.upper.at] == pytest.approx([-79.7, 75.5], abs=0.1)
    # From memory: their intervals of the two limits.
    lower, upper = limits.lower, limits.upper
    assert [lower.low, lower.high, upper.low, upper.high] == pytest.approx([-114.3, -45.1, 40.9, 110.1], abs=0.3)


marks = st.lists(st.tuples(st.integers(0, 15), st.integers(0, 15)), min_size=10, max_size=40)


@given(marks)
@settings(deadline=None, max_examples=60)
def test_quadratic_kappa_beside_two_libraries(pairs: list[tuple[int, int]]) -> None:
    """The same number as scikit-learn, and the same interval as statsmodels."""
    metrics = pytest.importorskip("sklearn.metrics")
    inter_rater = pytest.importorskip("statsmodels.stats.inter_rater")
    first, second = zip(*pairs, strict=True)
    found = quadratic_kappa(first, second, 15)
    if found is None:
        assert len(set(first) | set(second)) == 1
        return
    theirs = metrics.cohen_kappa_score(first, second, labels=list(range(16)), weights="quadratic")
    assert found.value == pytest.approx(theirs, abs=1e-9)
    table = np.zeros((16, 16))
    np.add.at(table, (first, second), 1)
    with np.errstate(invalid="ignore"):  # theirs has no error where the variance is nought
        whole = inter_rater.cohens_kappa(table, wt="quadratic")
    if math.isnan(whole.std_kappa):
        assert found.error == pytest.approx(0, abs=1e-6)
        return
    assert found.error == pytest.approx(whole.std_kappa, abs=1e-6)
    assert found.low == pytest.approx(whole.kappa_low, abs=1e-4)  # they take 1.95996 where we print 1.96
    assert found.high == pytest.approx(min(1.0, whole.kappa_upp), abs=1e-4)


@given(marks)
@settings(deadline=None, max_examples=60)
def test_turning_the_pairs_round_turns_severity_round(pairs: list[tuple[int, int]]) -> None:
    """Severity and trend change their sign, counts and kappa stay."""
    first, second = zip(*pairs, strict=True)
    one, other = agreement(first, second, 15), agreement(second, first, 15)
    assert one.counts == other.counts
    assert one.severity is not None
    assert other.severity is not None
    assert one.severity.mean == pytest.approx(-other.severity.mean)
    assert one.severity.low == pytest.approx(-other.severity.high)
    assert (one.trend is None) == (other.trend is None)
    if one.trend is not None and other.trend is not None:
        assert one.trend.slope == pytest.approx(-other.trend.slope)


def test_trend_finds_generosity_at_one_end() -> None:
    """A marker who gives two more at the bottom and none at the top."""
    second = list(range(15))
    first = [mark + round(2 - mark / 7) for mark in second]
    found = quality_trend(first, second)
    assert found is not None
    assert found.high < 0
    level = quality_trend([mark + 1 for mark in second], second)
    assert level is not None
    assert level.slope == pytest.approx(0, abs=1e-12)


@pytest.mark.parametrize(("pairs", "has_figures"), [(9, False), (10, True)])
def test_under_ten_scripts_there_are_counts_only(pairs: int, has_figures: bool) -> None:
    """The edge of the rule."""
    found = agreement(FIRST[:pairs], SECOND[:pairs], 15)
    assert found.counts.pairs == pairs
    assert [one is not None for one in (found.severity, found.limits, found.kappa, found.intraclass)] == (
        [has_figures] * 4
    )


@pytest.mark.parametrize(("out_of", "allowed"), [(3, 1), (15, 1), (20, 1), (50, 3), (100, 6)])
def test_usual_tolerance(out_of: int, allowed: int) -> None:
    """One mark up to twenty, then six in a hundred."""
    assert usual_tolerance(out_of) == allowed


def test_all_marks_alike() -> None:
    """A class bunched on one mark has no kappa and no intraclass correlation, and nothing breaks."""
    found = agreement([12] * 11, [12] * 11, 15)
    assert (found.kappa, found.intraclass, found.trend) == (None, None, None)
    assert found.severity is not None
    assert (found.severity.mean, found.severity.low) == (0.0, 0.0)
    assert closeness([], [], 1).within == closeness([], [], 1).pairs == 0
    assert severity([1], [2]) is None
    assert found.counts.within == found.counts.pairs == 11
