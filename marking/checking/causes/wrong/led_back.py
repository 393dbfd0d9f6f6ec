"""From a printed answer back to an input: by which factor it must have differed from what the formula needed."""

from __future__ import annotations

import numpy as np

from marking.checking.causes.wrong.hypothesis import Values
from marking.checking.causes.wrong.wrong_answers import WrongAnswers
from rubrics.formulas import Node

SCALES = (1.0, 1.5, 1.5**2, 1.5**3)
"""By how much a reading is changed to see how the answer goes with it; any ratio will do."""
_STRAIGHT = 1e-6


def used_instead(wrong: WrongAnswers, tree: Node, name: str) -> tuple[Values, Values] | None:
    """Return by which factor an input must have differed for each end of the printed answer, (low, high).

    Works where the answer goes as a power of the input, or as (a x + b) / (c x + d), which straight lines,
    reciprocals and their sums all are; None elsewhere.
    """
    items = wrong.needed(name)
    values = list(wrong.value_each(tree, [{name: items * by} for by in SCALES]) * wrong.last_step())
    low, high = (end * wrong.scale for end in wrong.rounded())
    with np.errstate(all="ignore"):
        ratios = [np.log(values[i + 1] / values[i]) for i in range(len(values) - 1)]
        if all(_agree(ratio, ratios[0]) for ratio in ratios[1:]):
            power = ratios[0] / np.log(SCALES[1])
            return (low / values[0]) ** (1.0 / power), (high / values[0]) ** (1.0 / power)
        # Four points of such a curve have the cross ratio of their inputs.
        last = _solved(values, SCALES[:3], values[3])
        if _agree(last, np.full(len(wrong), SCALES[3])):
            return _solved(values, SCALES[:3], low), _solved(values, SCALES[:3], high)
    return None


def _solved(values: list[Values], at: tuple[float, ...], wanted: Values) -> Values:
    """Return where (a x + b) / (c x + d) is *wanted*, given its *values* at three places."""
    cross = (wanted - values[0]) * (values[1] - values[2]) / ((wanted - values[2]) * (values[1] - values[0]))
    own = (at[1] - at[2]) / (at[1] - at[0])
    # (x - x0)(x1 - x2) = cross (x - x2)(x1 - x0)
    return np.asarray((own * at[0] - cross * at[2]) / (own - cross))


def _agree(one: Values, other: Values) -> bool:
    known = np.isfinite(one) & np.isfinite(other)
    return bool(known.any() and np.max(np.abs(one[known] / other[known] - 1.0)) < _STRAIGHT)
