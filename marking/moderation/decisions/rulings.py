"""What may be decided about a marker's marks, and what a round proposes: the program proposes, a person decides."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from enum import StrEnum

from msgspec import Struct
from scipy.special import bdtr, chdtri

from marking.moderation.comparing import Comparison, GroupAgreement, SecondLook
from marking.moderation.joint import FEWEST_MARKERS, FEWEST_PAIRS, Adjustment, Named, adjustment_for, is_one_criterion


class Ruling(StrEnum):
    """What to do with first marks."""

    ACCEPT = "accept"
    CORRECT = "correct"
    """Single scripts."""
    REMARK_CRITERION = "re-mark-criterion"
    ADJUST = "adjust"
    """By a constant or a structural line."""
    REMARK_CLASS = "re-mark-class"
    MORE = "more-scripts"
    CLARIFY = "clarify"
    """Nobody can say who is right: the scheme is settled first."""


WIDE = 1.6 / 15
"""Scatter, as a share of the maximum, beyond which adjusting would be unfair; common practice, no source."""
SURELY = 0.001
"""Chance that a scatter just as wide as that gives the one seen; marking a class again is a great deal of work."""
MOST_OF_ALL = 0.5
"""Share of all differences in one criterion from which that criterion is agreed again; common practice, no source."""
LOOSE = {1: 0.7}
"""Exact agreement on a criterion of so many marks below which it is not read alike; common practice, no source."""
LOOSE_BEYOND = 0.5
"""The same for criteria of more marks, on which people agree exactly 5 to 8 times in 10 (Bramley 2008, as reported)."""


class Proposal(Struct, frozen=True, kw_only=True):
    """What the table of usual decisions says."""

    ruling: Ruling
    marker: str
    """Empty where it is about everybody."""
    criterion: str = ""
    adjustment: Adjustment | None = None
    scripts: tuple[str, ...] = ()
    """Codes of the sample, where single scripts are meant."""
    shift: float | None = None
    """Marks more generous than the others, where that is the reason."""
    chance: float | None = None


def proposals(found: Comparison) -> tuple[Proposal, ...]:
    """Return one proposal for each marker, and one for a criterion that nobody reads as the others do."""
    named = {one.marker: one for one in found.named}
    doubtful = {one.marker: one for one in found.doubts}
    made = []
    for group in found.markers:
        if group.name in named:
            made.append(_named(found, named[group.name]))
        elif group.name in doubtful:
            doubt = doubtful[group.name]
            made.append(Proposal(ruling=Ruling.MORE, marker=group.name, shift=doubt.estimate))
        elif len(found.table.markers) < FEWEST_MARKERS and group.drawn.severity and group.drawn.severity.is_shown:
            made.append(Proposal(ruling=Ruling.CLARIFY, marker=group.name, shift=group.drawn.severity.mean))
        else:
            made.append(_sound(found, group))
    return (*made, *_loose_criteria(found, made))


def _named(found: Comparison, one: Named) -> Proposal:
    shift, chance = one.total.estimate, one.strongest.chance
    if is_one_criterion(one):
        worst = max(one.criteria, key=lambda each: abs(each.score))
        return Proposal(
            ruling=Ruling.REMARK_CRITERION, marker=one.marker, criterion=worst.outcome, shift=shift, chance=chance
        )
    adjustment = adjustment_for(one, found.table)
    own = [each for each in found.looks if each.line.first_marker == one.marker and each.is_counted]
    if adjustment is None or (_is_loose(found, own) and not adjustment.is_line):
        return Proposal(ruling=Ruling.REMARK_CLASS, marker=one.marker, shift=shift, chance=chance)
    return Proposal(ruling=Ruling.ADJUST, marker=one.marker, adjustment=adjustment, shift=shift, chance=chance)


def _sound(found: Comparison, group: GroupAgreement) -> Proposal:
    """Return what to do about a marker who is not off: accept, look at single scripts, or mark again what is loose.

    Scripts that somebody who is off, or may be, has marked a second time say nothing against their first marker.
    """
    off = {one.marker for one in found.named} | {one.marker for one in found.doubts}
    own = [
        one
        for one in found.looks
        if one.line.first_marker == group.name and one.is_counted and one.line.second_marker not in off
    ]
    out = tuple(one.line.code for one in own if abs(one.apart) > group.looked_at.tolerance)
    if not out:
        return Proposal(ruling=Ruling.ACCEPT, marker=group.name)
    if _is_loose(found, own):
        return Proposal(ruling=Ruling.REMARK_CLASS, marker=group.name, scripts=out)
    return Proposal(ruling=Ruling.CORRECT, marker=group.name, scripts=out)


def _is_loose(found: Comparison, own: Sequence[SecondLook]) -> bool:
    """Tell whether the scatter is surely wide: so wide that sound marking gives it once in a thousand samples."""
    drawn = [one.apart for one in own if one.line.is_drawn]
    if len(drawn) < FEWEST_PAIRS:
        return False
    usual = (WIDE * found.out_of) ** 2
    mean = sum(drawn) / len(drawn)
    return sum((one - mean) ** 2 for one in drawn) / usual > float(chdtri(len(drawn) - 1, SURELY))


def _loose_criteria(found: Comparison, made: Sequence[Proposal]) -> Iterator[Proposal]:
    """Yield the criterion that causes most differences where nobody in particular does."""
    told = {one.criterion for one in made}
    looks = [one for one in found.looks if one.is_counted]
    sizes = {group.name: sum(_size(one, group.name) for one in looks) for group in found.criteria}
    whole = sum(sizes.values())
    for group in found.criteria:
        counts = group.looked_at
        usual = LOOSE.get(group.drawn.out_of, LOOSE_BEYOND)
        is_loose = counts.pairs > 0 and float(bdtr(counts.exact, counts.pairs, usual)) < SURELY
        if group.name not in told and is_loose and len(sizes) > 1 and sizes[group.name] >= MOST_OF_ALL * whole:
            yield Proposal(ruling=Ruling.REMARK_CRITERION, marker="", criterion=group.name)


def _size(look: SecondLook, code: str) -> int:
    return abs(look.line.first[code] - look.second[code]) if code in look.line.eye else 0
