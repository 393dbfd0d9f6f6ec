"""Slips that arithmetic alone makes certain, and whether they show that a step was not done.

They are weighed by the fixed shares of ``priors.toml``, never by what a class has shown: the same answer is decided
alike whoever sits beside it.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from marking.checking.causes.explaining import Explained, Explanations
from marking.findings import Cause, Explanation

CERTAIN = 0.95
"""A slip at least this likely, by the fixed shares, is taken for known."""
CERTAIN_FORMULA = 0.9
"""So likely is enough for another formula that prints all figures: what is beside it then is chance, not a slip."""
NEVER_CERTAIN = CERTAIN_FORMULA - 1e-6
"""A likeliest cause that has less than this is not certain, whatever it is."""
FORMULA_SLIPS = (
    Cause.REARRANGEMENT,
    Cause.OPERATION_ORDER,
    Cause.MISSING_FACTOR,
    Cause.COMBINATION_RULE,
    Cause.SIGN,
)
SPARES_THE_STEP = (
    Cause.UNIT_CONVERSION,
    Cause.POWER_OF_TEN,
    Cause.DIGITS_SWAPPED,
    Cause.COPYING,
    Cause.ROUNDED_EARLY,
)
"""Slips behind which the formula was the right one."""
OF = " of "
"""Between a cause and the reading that it is about, or what was done with the readings: 'unit-conversion of E',
'wrong-quantity of means'."""


def certain_of(fixed: Explained, names: Collection[str]) -> Explanations:
    """Return the wrong answers to the items *names* of which the cause is certain, explained by the *fixed* shares."""
    return {
        key: told for key, told in fixed.explanations.items() if key[0] in names and certain_cause(told) is not None
    }


def certain_cause(told: Sequence[Explanation]) -> Cause | None:
    """Return the one cause that leaves no other; None of two slips at once, or where none is certain."""
    first = told[0].cause
    total = sum(one.probability for one in told if one.cause is first)
    enough = CERTAIN_FORMULA if first in FORMULA_SLIPS else CERTAIN
    is_known = first is not Cause.UNEXPLAINED and total >= enough and "second" not in told[0].facts
    return first if is_known else None


def denies(told: Sequence[Explanation], lost_by: Sequence[str]) -> bool | None:
    """Tell whether a slip shows that a step was not done, or that it was; None where that cannot be told from it.

    Args:
        told: The explanations of the answer that would prove the step, one cause certain; empty where none is.
        lost_by: Causes that deny the step: ``rearrangement``, or ``unit-conversion of E`` of one reading alone.
    """
    cause = certain_cause(told) if told else None
    if cause is None or not lost_by:
        return None
    if cause in lost_by:
        return True
    readings = {one.partition(OF)[2] for one in lost_by if one.startswith(f"{cause}{OF}")}
    if not readings:
        return False if cause in SPARES_THE_STEP else None
    about = sum(one.probability for one in told if one.cause is cause and _is_about(one, readings))
    if about >= CERTAIN:
        return True
    # Grams left in another reading spare the step; another quantity put in may have been no step at all.
    is_other = sum(one.probability for one in told if one.cause is cause) - about >= CERTAIN
    return False if is_other and cause in SPARES_THE_STEP else None


def _is_about(one: Explanation, readings: Collection[str]) -> bool:
    return any(part.partition(":")[0] in readings for part in one.detail.split("; "))
