"""How the criteria of a mark scheme did: how hard each is, how well it tells students apart, how all hang together.

Facility is the mean mark over the most that can be had; discrimination the correlation with the mark in all the
other criteria; Cronbach's alpha (Psychometrika 16 (1951) 297) how far the criteria measure one thing, with the
interval of Feldt (Psychometrika 30 (1965) 357). Only marks that are decided count.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from marking.cohort.picture.class_picture import counts_in_means
from marking.distributions import f_limit
from marking.findings import MarkedSet

Values = NDArray[np.float64]

EASY, HARD = 0.95, 0.30
"""Beyond these facilities a criterion hardly tells anybody apart: the scheme or the teaching is worth a look."""
LEAST_DISCRIMINATION = 0.20
"""Below this a criterion goes its own way."""
FEWEST_STUDENTS = 10
"""With fewer, nothing is worked out but facilities."""
SMALL = 30
"""With fewer, figures are shaky, and that is said."""
MOST_UNDECIDED = 0.5
"""A criterion that waits for the teacher for more of the class than this is left out of alpha and discrimination."""
COVERAGE = 0.95


class CriterionStatistics(Struct, frozen=True, kw_only=True):
    """One criterion over the class."""

    code: str
    students: int
    """With a decided mark."""
    facility: float | None
    discrimination: float | None
    """None where it cannot be told: too few students, or all marks the same."""
    alpha_without: float | None
    """Alpha of the other criteria."""
    warnings: tuple[str, ...]


class ItemStatistics(Struct, frozen=True, kw_only=True):
    """All criteria of one practical over the class."""

    practical: str
    students: int
    """With a decided mark in every criterion that alpha is taken over."""
    criteria: tuple[CriterionStatistics, ...]
    alpha: float | None
    alpha_interval: tuple[float, float] | None
    """95 % interval."""
    warnings: tuple[str, ...]


def item_statistics(marked: MarkedSet) -> ItemStatistics:
    """Return the statistics of one marked set."""
    codes, full, marks = _marks(marked)
    decided = np.isfinite(marks)
    used = decided.mean(axis=0) >= 1 - MOST_UNDECIDED if len(marks) else np.zeros(len(codes), np.bool_)
    complete = decided[:, used].all(axis=1) if used.any() else np.zeros(len(marks), np.bool_)
    scores = marks[complete][:, used]
    count = int(complete.sum())
    enough = count >= FEWEST_STUDENTS
    alpha = cronbach_alpha(scores) if enough else None
    places = {code: place for place, code in enumerate(np.array(codes, dtype=object)[used])} if enough else {}
    return ItemStatistics(
        practical=marked.rubric.id,
        students=count,
        criteria=tuple(
            _criterion(code, most, marks[:, place], scores, places.get(code))
            for place, (code, most) in enumerate(zip(codes, full, strict=True))
        ),
        alpha=alpha,
        alpha_interval=None if alpha is None else alpha_interval(alpha, *scores.shape),
        warnings=_warnings(count, alpha, codes, used),
    )


def cronbach_alpha(scores: Values) -> float | None:
    """Return Cronbach's alpha of *scores*, shape (students, items); None where it cannot be told.

    It takes two students, two items, and totals that differ.
    """
    students, items = scores.shape
    if students < 2 or items < 2:
        return None
    total = float(scores.sum(axis=1).var(ddof=1))
    if not total > 0:
        return None
    return float(items / (items - 1) * (1 - scores.var(axis=0, ddof=1).sum() / total))


def alpha_interval(alpha: float, students: int, items: int) -> tuple[float, float]:
    """Return the 95 % interval of Cronbach's alpha.

    Source: Feldt, Psychometrika 30 (1965) 357.
    """
    first, second = students - 1, (students - 1) * (items - 1)
    tail = (1 - COVERAGE) / 2
    return (
        1 - (1 - alpha) * f_limit(first, second, 1 - tail),
        1 - (1 - alpha) * f_limit(first, second, tail),
    )


def discrimination(scores: Values, item: int) -> float | None:
    """Return the correlation of one item with the sum of the others; None where either is the same for all."""
    own = scores[:, item]
    rest = scores.sum(axis=1) - own
    if own.size < 2 or not own.std() > 0 or not rest.std() > 0:
        return None
    return float(np.corrcoef(own, rest)[0, 1])


def _marks(marked: MarkedSet) -> tuple[list[str], list[int], Values]:
    """Return codes and full marks of the criteria that anybody was marked on, and the marks, NaN where undecided."""
    scripts = [script for script in marked.scripts if script.criteria and counts_in_means(script)]
    met = {mark.criterion.code for script in scripts for mark in script.criteria}
    criteria = [criterion for criterion in marked.rubric.criteria if criterion.code in met and criterion.marks]
    codes = [criterion.code for criterion in criteria]
    marks = np.full((len(scripts), len(codes)), np.nan)
    for row, script in enumerate(scripts):
        for mark in script.criteria:
            if mark.marks is not None and mark.criterion.code in codes:
                marks[row, codes.index(mark.criterion.code)] = mark.marks
    return codes, [criterion.marks for criterion in criteria], marks


def _criterion(code: str, most: int, marks: Values, scores: Values, place: int | None) -> CriterionStatistics:
    known = marks[np.isfinite(marks)]
    facility = float(known.mean()) / most if known.size else None
    tells = discrimination(scores, place) if place is not None else None
    without = cronbach_alpha(np.delete(scores, place, axis=1)) if place is not None else None
    return CriterionStatistics(
        code=code,
        students=int(known.size),
        facility=facility,
        discrimination=tells,
        alpha_without=without,
        warnings=_criterion_warnings(known, facility, tells),
    )


def _criterion_warnings(known: Values, facility: float | None, tells: float | None) -> tuple[str, ...]:
    if facility is None:
        return ("No mark is decided yet.",)
    found = []
    if facility > EASY:
        found.append("Nearly everybody has it.")
    if facility < HARD:
        found.append("Few have it: look at the scheme, or teach it again.")
    if tells is not None and tells < LEAST_DISCRIMINATION:
        found.append("It hardly goes with the other criteria.")
    if known.size < SMALL:
        found.append(f"Only {known.size} students: take the figures as rough.")
    return tuple(found)


def _warnings(count: int, alpha: float | None, codes: Sequence[str], used: NDArray[np.bool_]) -> tuple[str, ...]:
    found = []
    left_out = [code for code, kept in zip(codes, used, strict=True) if not kept]
    if count < FEWEST_STUDENTS:
        found.append(f"Only {count} students have every mark decided: nothing but facilities is worked out.")
    elif count < SMALL:
        found.append(f"Only {count} students: alpha and discrimination are rough; see the interval.")
    if alpha is None and count >= FEWEST_STUDENTS:
        found.append("Alpha cannot be told: too few criteria, or all totals the same.")
    if left_out:
        found.append(f"Left out until the teacher has decided: {', '.join(left_out)}.")
    return tuple(found)
