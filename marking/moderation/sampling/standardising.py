"""Scripts to mark together beforehand: a good one, a middling one, a weak one, and odd ones."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random

from marking.moderation.sampling.candidates import Candidate
from marking.moderation.sampling.drawing import Sampled
from marking.moderation.sampling.sampling_rule import ASIDE, NEVER, Reason

LEVELS = ((0.85, Reason.GOOD), (0.5, Reason.MIDDLING), (0.15, Reason.WEAK))
"""Share of the cohort below each; the ends themselves teach little. Common practice, no source."""
FEWEST, MOST = 3, 5


def to_mark_together(scripts: Sequence[Candidate], count: int, seed: str) -> tuple[Sampled, ...]:
    """Return so many scripts, three to five, from as many classes as can be.

    The odd ones are those whose eye marks and computed marks tell most different tales.

    Args:
        scripts: Of one practical.
        count: How many.
        seed: Any words; settles ties.
    """
    lot = [one for one in scripts if not (ASIDE | NEVER).intersection(one.codes)]
    Random(f"{seed}/together").shuffle(lot)
    ranked = sorted(lot, key=lambda one: one.total / max(1, one.out_of))
    chosen: list[Sampled] = []
    for share, reason in LEVELS:
        wanted = share * (len(ranked) - 1)
        free = _free(ranked, chosen)
        if free:
            best = min(free, key=lambda one: (_met(one, chosen), abs(ranked.index(one) - wanted) // 5))
            chosen.append(Sampled(candidate=best, reasons=(reason,)))
    while len(chosen) < min(MOST, max(FEWEST, count)) and (free := _free(ranked, chosen)):
        odd = max(free, key=lambda one: (_oddness(one), -_met(one, chosen)))
        chosen.append(Sampled(candidate=odd, reasons=(Reason.ODD,)))
    return tuple(chosen)


def _free(ranked: Sequence[Candidate], chosen: Sequence[Sampled]) -> list[Candidate]:
    taken = {id(one.candidate) for one in chosen}
    return [one for one in ranked if id(one) not in taken]


def _met(one: Candidate, chosen: Sequence[Sampled]) -> int:
    return sum(each.candidate.marker == one.marker for each in chosen)


def _oddness(one: Candidate) -> float:
    eye, most = sum(one.marks[code] for code in one.eye), one.eye_out_of
    rest, rest_most = one.total - eye, one.out_of - most
    return abs(eye / most - rest / rest_most) if most and rest_most else 0.0
