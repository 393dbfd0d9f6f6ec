"""What a department ruled on whole classes, in the totals: from the rulings that stand and marks as they are."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterable, Sequence

from marking.findings import Moderated, Script
from marking.record.decisions import Decision, ModerationRuled, ModerationUndone

ADJUST = "adjust"
REPLACED_BY = frozenset({ADJUST, "accept", "re-mark-class"})
"""Rulings on a marker's marks as a whole: the last of them counts."""


def adjusted_mark(mark: int, *, slope: float, constant: float, out_of: int) -> int:
    """Return a mark adjusted by a line, between nought and *out_of*; all are rounded alike, halves up."""
    return min(out_of, max(0, math.floor(slope * mark + constant + 0.5)))


def standing_rulings(decisions: Iterable[Decision]) -> tuple[ModerationRuled, ...]:
    """Return the rulings among a department's decisions that were not undone, in their order."""
    rulings: dict[int, ModerationRuled] = {}
    for one in decisions:
        if isinstance(one, ModerationRuled):
            rulings[one.number] = one
        elif isinstance(one, ModerationUndone):
            rulings.pop(one.undoes, None)
    return tuple(rulings[number] for number in sorted(rulings))


def ruling_for(rulings: Sequence[ModerationRuled], class_name: str) -> ModerationRuled | None:
    """Return the adjustment that counts for a class; None where none does."""
    own = [one for one in rulings if class_name in one.classes and one.ruling in REPLACED_BY]
    return own[-1] if own and own[-1].ruling == ADJUST else None


def moderated(script: Script, ruling: ModerationRuled | None) -> Script:
    """Return a script with what *ruling* makes of its total; as it is where none does, or where marks still wait."""
    if ruling is None or not script.criteria or script.pending:
        return dataclasses.replace(script, moderated=None)
    given = sum(mark.marks or 0 for mark in script.eye)
    most = sum(mark.criterion.marks for mark in script.eye)
    # A line is fitted on whole scripts; where fewer marks could be had there, no more than those can come out.
    fitted = adjusted_mark(given, slope=ruling.slope, constant=ruling.constant, out_of=ruling.out_of)
    return dataclasses.replace(
        script,
        moderated=Moderated(
            total=script.awarded - given + min(most, fitted),
            before=script.awarded,
            number=ruling.number,
            slope=ruling.slope,
            constant=ruling.constant,
            who=ruling.who,
            when=ruling.when,
            why=ruling.why,
        ),
    )
