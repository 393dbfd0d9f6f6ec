"""Figures that an answer quotes, held against what they are quoted for and against the student's own columns."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from statistics import mean, stdev

from marking.checking.short_answers.quoted_names import is_ordered_otherwise
from rubrics.model import Evidence, Idea, Question
from rubrics.patterns import late_pattern

_NUMBER = late_pattern(r"(?<![\w.])\d+(?:\.\d+)?(?![\w]*\d)")
_LIST = late_pattern(r"\d+(?:\.\d+)?(?:\s*(?:,|;|and|then|/)\s*(?:and\s+)?\d+(?:\.\d+)?){2,}")
_RESULT = late_pattern(r"=\s*(\d+(?:\.\d+)?)(?![\w]*\d)")
"""What a sum in the answer comes to: '100 x 40 = 4000'."""
SAME_SHARE = 0.10
"""Products that stay the same in a school laboratory: largest over smallest, less one."""
CHANGED_SHARE = 0.20
"""From here on the figures quoted say that it does not stay the same."""
COLUMN_CHANGED_SHARE = 0.35
"""The same for a whole column, one reading of which may be off."""
COPIED_SHARE = 0.02
"""How far a figure may be from the one in the table that it was copied or rounded from."""
SCATTER_SHARE = 0.5
"""Standard deviation over mean from which counts are not alike; common practice, no source."""
ALIKE_SHARE = 0.1
"""The same up to which they do not differ; common practice, no source."""
LAW_SHARE = 0.15
"""How far 'twice' and 'half' may be from 2 and 0.5."""
FEWEST = 3
TWO_PAIRS = 4
_POWER = {Evidence.PROPORTIONAL: 1.0, Evidence.INVERSE: -1.0, Evidence.INVERSE_SQUARE: -2.0}


def figures_in(text: str) -> list[float]:
    """Return the numbers of *text* in order."""
    return [float(found[0]) for found in _NUMBER.finditer(text)]


def ideas_shown(question: Question, text: str, own: Mapping[str, Sequence[float]]) -> set[str]:
    """Return the ids of ideas that the figures quoted in *text* show, all of them the student's own."""
    quoted = figures_in(text)
    return {
        idea.id
        for idea in question.ideas
        if idea.evidence is not None
        and quoted
        and all(name in own for name in idea.columns)
        and _shows(idea, quoted, own)
    }


def _shows(idea: Idea, quoted: Sequence[float], own: Mapping[str, Sequence[float]]) -> bool:
    if idea.evidence is Evidence.CONSTANT:
        column = _in_one_unit(own[idea.columns[-1]], quoted)
        found = [value for value in quoted if _is_in(value, column)]
        return len(found) >= FEWEST and _spread(found) <= SAME_SHARE and len(found) == len(quoted)
    if idea.evidence not in _POWER or len(idea.columns) != 2:
        return False
    rows = list(zip(own[idea.columns[0]], own[idea.columns[1]], strict=False))
    cited = [(x, y) for x, y in rows if _is_in(x, quoted) and _is_in(y, quoted)]
    power = _POWER[idea.evidence]
    return any(
        a != c and abs(math.log(abs(b / d)) - power * math.log(abs(a / c))) <= LAW_SHARE
        for a, b in cited
        for c, d in cited
        if a and b and c and d and abs(math.log(abs(a / c))) > math.log(1.5)
    )


def is_contradicted(question: Question, ideas: Collection[str], text: str, own: Mapping[str, Sequence[float]]) -> bool:
    """Tell whether figures speak against an idea of what stays the same, differs, or is above or below another.

    A list of figures in the answer counts, and so does the student's own column.
    """
    for idea in question.ideas:
        if idea.id not in ideas:
            continue
        if is_ordered_otherwise(idea, text, own) or _is_spread_otherwise(idea, own):
            return True
        if idea.evidence in _POWER and _breaks_law(figures_in(text), _POWER[idea.evidence]):
            return True
        if idea.evidence is not Evidence.CONSTANT:
            continue
        results = [float(found[1]) for found in _RESULT.finditer(text)]
        lists = [results, *(figures_in(found[0]) for found in _LIST.finditer(text))]
        if any(_spread(figures) > CHANGED_SHARE for figures in lists):
            return True
        column = [value for name in idea.columns for value in own.get(name, ())]
        if len(column) >= FEWEST and _spread(column) > COLUMN_CHANGED_SHARE:
            return True
    return False


def _breaks_law(quoted: Sequence[float], power: float) -> bool:
    """Tell whether two pairs that are quoted follow no law of this *power*, whichever figure belongs to which."""
    if len(quoted) != TWO_PAIRS or not all(quoted):
        return False
    first, second, third, fourth = (math.log(abs(value)) for value in quoted)
    steps = [(first - third, second - fourth), (first - second, third - fourth)]
    return not any(
        abs(one - power * other) <= LAW_SHARE or abs(other - power * one) <= LAW_SHARE for one, other in steps
    )


def _is_spread_otherwise(idea: Idea, own: Mapping[str, Sequence[float]]) -> bool:
    """Tell whether the student's own counts differ where they are said to be alike, or the other way round."""
    if idea.evidence not in (Evidence.ALIKE, Evidence.SCATTERED):
        return False
    counts = [value for name in idea.columns for value in own.get(name, ()) if math.isfinite(value)]
    if len(counts) < FEWEST or sum(counts) <= 0:
        return False
    share = stdev(counts) / mean(counts)
    return share >= SCATTER_SHARE if idea.evidence is Evidence.ALIKE else share <= ALIKE_SHARE


def _spread(values: Sequence[float]) -> float:
    sizes = [abs(value) for value in values if value and math.isfinite(value)]
    return max(sizes) / min(sizes) - 1 if sizes else 0.0


def _is_in(value: float, column: Sequence[float]) -> bool:
    return any(abs(value - one) <= COPIED_SHARE * abs(one) for one in column if math.isfinite(one))


def _in_one_unit(column: Sequence[float], quoted: Sequence[float]) -> list[float]:
    """Return *column* in the power of ten in which it is quoted: joules for kPa cm³."""
    sizes = [abs(value) for value in column if value and math.isfinite(value)]
    if not sizes or not quoted or not quoted[0]:
        return list(column)
    shift = 10.0 ** round(math.log10(abs(quoted[0]) / sizes[0]))
    return [value * shift for value in column]
