"""What may be decided about a marker's marks, and what a round proposes: the program proposes, a person decides."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from marking.moderation.comparing import Comparison, GroupAgreement, SecondLook
from marking.moderation.joint import FEWEST_MARKERS, Adjustment, Named, adjustment_for, is_one_criterion


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


FEW_FAULTS = 0.2
"""Share of a marker's scripts out of tolerance up to which they are single faults; common practice, no source."""
WIDE = 2.0 / 15
"""Scatter, as a share of the maximum, from which adjusting would be unfair; common practice, no source."""
MOST_OF_ALL = 0.5
"""Share of all differences in one criterion from which that criterion is agreed again; common practice, no source."""
LOOSE = 0.7
"""Exact agreement on a criterion below which people do not read it alike; common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
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
            made.append(_named(found, named[group.name], group))
        elif group.name in doubtful:
            doubt = doubtful[group.name]
            made.append(Proposal(ruling=Ruling.MORE, marker=group.name, shift=doubt.estimate))
        elif len(found.table.markers) < FEWEST_MARKERS and group.drawn.severity and group.drawn.severity.is_shown:
            made.append(Proposal(ruling=Ruling.CLARIFY, marker=group.name, shift=group.drawn.severity.mean))
        else:
            made.append(_sound(found, group))
    return (*made, *_loose_criteria(found, made))


def _named(found: Comparison, one: Named, group: GroupAgreement) -> Proposal:
    shift, chance = one.total.estimate, one.strongest.chance
    if is_one_criterion(one):
        worst = max(one.criteria, key=lambda each: abs(each.score))
        return Proposal(
            ruling=Ruling.REMARK_CRITERION, marker=one.marker, criterion=worst.outcome, shift=shift, chance=chance
        )
    spread = group.drawn.severity.spread if group.drawn.severity else 0.0
    adjustment = adjustment_for(one, found.table)
    if adjustment is None or (spread >= WIDE * found.out_of and not adjustment.is_line):
        return Proposal(ruling=Ruling.REMARK_CLASS, marker=one.marker, shift=shift, chance=chance)
    return Proposal(ruling=Ruling.ADJUST, marker=one.marker, adjustment=adjustment, shift=shift, chance=chance)


def _sound(found: Comparison, group: GroupAgreement) -> Proposal:
    own = [one for one in found.looks if one.line.first_marker == group.name and one.is_counted]
    out = [one for one in own if abs(one.apart) > group.looked_at.tolerance]
    if not out:
        return Proposal(ruling=Ruling.ACCEPT, marker=group.name)
    codes = tuple(one.line.code for one in out)
    if len(out) <= max(1, FEW_FAULTS * len(own)):
        return Proposal(ruling=Ruling.CORRECT, marker=group.name, scripts=codes)
    return Proposal(ruling=Ruling.REMARK_CLASS, marker=group.name, scripts=codes)


def _loose_criteria(found: Comparison, made: Sequence[Proposal]) -> Iterator[Proposal]:
    """Yield the criterion that causes most differences where nobody in particular does."""
    told = {one.criterion for one in made}
    looks = [one for one in found.looks if one.is_counted]
    sizes = {group.name: sum(_size(one, group.name) for one in looks) for group in found.criteria}
    whole = sum(sizes.values())
    for group in found.criteria:
        counts = group.looked_at
        is_loose = counts.pairs and counts.exact / counts.pairs < LOOSE
        if group.name not in told and is_loose and len(sizes) > 1 and sizes[group.name] >= MOST_OF_ALL * whole:
            yield Proposal(ruling=Ruling.REMARK_CRITERION, marker="", criterion=group.name)


def _size(look: SecondLook, code: str) -> int:
    return abs(look.line.first[code] - look.second[code]) if code in look.line.eye else 0
