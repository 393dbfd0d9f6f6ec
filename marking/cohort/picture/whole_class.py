"""Whether a whole class is off one way, beside the accepted value and the band that careful results fall in."""

from __future__ import annotations

from collections import defaultdict

import numpy as np
from numpy.typing import NDArray

from marking.class_notes import ClassNote, NoteKind
from marking.cohort.evidence import luck_in_words, partners_of
from marking.distributions import median, t_below
from marking.findings import MarkedSet, Result
from rubrics.model import AcceptedValue, ResultInfo

CHANCE = 0.01
"""A class is said to be off one way if a sound class whose true result lies just at the edge of the band would have a
median as far outside with no more than this probability."""
FEWEST_BENCHES = 4
SAME_SIDE = 0.75
"""Share of the results that must lie outside the band on the same side."""
WIDEST = 0.15
"""Relative scatter above which the results are not of one thing, or not measured with care; nothing is said then."""


def class_notes(marked: MarkedSet) -> tuple[ClassNote, ...]:
    """Return a note if the class's results lie outside the band on one side; an empty tuple where they do not."""
    info = marked.rubric.result
    results = _results(marked)
    if info is None or info.expected is None or len(results) < FEWEST_BENCHES:
        return ()
    accepted = next(iter(results.values()))[0].accepted
    if accepted is None or not accepted.value:
        return ()
    ratios = np.array([median([one.value / accepted.value for one in found]) for found in results.values()])
    low, high = _band(info, accepted)
    middle, spread = _middle_and_spread(ratios)
    too_high = middle > high
    edge = high if too_high else low
    outside = float(np.mean(ratios > high if too_high else ratios < low))
    if low <= middle <= high or outside < SAME_SIDE or spread > WIDEST * abs(middle):
        return ()
    chance = _chance(abs(middle - edge), spread, ratios.size)
    if chance > CHANCE:
        return ()
    return (_note(marked, info, accepted, middle, chance, too_high=too_high),)


def _results(marked: MarkedSet) -> dict[str, list[Result]]:
    """Return the results of each bench, partners once; who has no bench counts as a bench of their own."""
    by_student = {script.write_up.student.code: script.result for script in marked.scripts}
    found: defaultdict[str, list[Result]] = defaultdict(list)
    for one in partners_of(marked):
        result = by_student[one.students[0]]
        if result is not None and np.isfinite(result.value):
            found[one.bench or f"student {one.students[0]}"].append(result)
    return dict(found)


def _band(info: ResultInfo, accepted: AcceptedValue) -> tuple[float, float]:
    low, high = info.expected or (0.0, 0.0)
    doubt = accepted.uncertainty / abs(accepted.value)
    return 1 + low - doubt, 1 + high + doubt


def _middle_and_spread(ratios: NDArray[np.float64]) -> tuple[float, float]:
    middle = median(ratios)
    return middle, 1.4826 * median(np.abs(ratios - middle))


def _chance(beyond: float, spread: float, benches: int) -> float:
    """Return how often the median of a class at the edge would lie this far outside, either way."""
    # The median of a normal sample scatters 1.25 times as much as its mean.
    error = 1.2533 * spread / np.sqrt(benches)
    return 2 * t_below(benches - 1, float(-beyond / error)) if error > 0 else 0.0


def _note(
    marked: MarkedSet, info: ResultInfo, accepted: AcceptedValue, middle: float, chance: float, *, too_high: bool
) -> ClassNote:
    item = marked.rubric.items[info.answer]
    side = "above" if too_high else "below"
    low, high = info.expected or (0.0, 0.0)
    reason = info.too_high if too_high else info.too_low
    message = (
        f"The whole class is off one way: the middle of the results for {item.quantity} is "
        f"{accepted.value * middle:.4g} {item.unit.symbol}, {abs(middle - 1):.0%} {side} the accepted "
        f"{accepted.value:g} {item.unit.symbol} ({accepted.name}); careful results fall between {low:+.0%} and "
        f"{high:+.0%}. {reason} If most students followed the instructions, look at the method or at what is shared, "
        f"or whether the material is another one. {luck_in_words(chance, of='sound classes')}"
    )
    return ClassNote(
        kind=NoteKind.CLASS,
        practical=marked.rubric.id,
        message=message,
        items=(info.answer,),
        direction="high" if too_high else "low",
        factor=middle,
        chance=chance,
    )
