"""Which marks wait, in which order they come, and which answers are alike."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence

from msgspec import Struct

from marking.desk.shelf import HeldSet
from marking.findings import CriterionMark, Outcome, Script

BY_CRITERION, BY_SCRIPT = "criterion", "script"


class Spot(Struct, frozen=True, kw_only=True):
    """One mark of one student: where it stands in the set."""

    at: int
    """Position of the script in the set."""
    criterion: str
    is_put_off: bool = False


def waiting(held: HeldSet, by: str = BY_CRITERION) -> tuple[Spot, ...]:
    """Return the marks that wait, in the order in which they come; those left for later come last."""
    spots = [
        Spot(at=at, criterion=mark.criterion.code, is_put_off=mark.is_put_off)
        for at, script in enumerate(held.marked.scripts)
        for mark in script.criteria
        if mark.marks is None
    ]
    return tuple(sorted(spots, key=lambda spot: (spot.is_put_off, *_order(held, spot, by))))


def following(held: HeldSet, spot: Spot, by: str) -> Spot | None:
    """Return the mark that comes after *spot*, round to the first again; None where none waits."""
    spots = [one for one in waiting(held, by) if (one.at, one.criterion) != (spot.at, spot.criterion)]
    fresh = [one for one in spots if not one.is_put_off] or spots
    here = _order(held, spot, by)
    return next((one for one in fresh if _order(held, one, by) > here), fresh[0] if fresh else None)


def _order(held: HeldSet, spot: Spot, by: str) -> tuple[int, int]:
    codes = [criterion.code for criterion in held.rubric.criteria]
    place = codes.index(spot.criterion)
    return (place, spot.at) if by == BY_CRITERION else (spot.at, place)


def mark_at(held: HeldSet, at: int, criterion: str) -> tuple[Script, CriterionMark] | None:
    """Return a script and its mark; None where the set has none there."""
    if not 0 <= at < len(held.marked.scripts):
        return None
    script = held.marked.scripts[at]
    mark = next((one for one in script.criteria if one.criterion.code == criterion), None)
    return (script, mark) if mark is not None else None


def whose(script: Script) -> str:
    """Return whose a script is, as forms carry it: its place in the set may be another student’s by then."""
    return hashlib.sha256(script.write_up.student.code.encode()).hexdigest()[:12]


def alike(held: HeldSet, at: int, criterion: str) -> tuple[int, ...]:
    """Return where answers stand that wait for the same mark and say the same, *at* among them.

    Alike are answers in words that name the same ideas, that are written letter for letter the same, or that were not
    given; what is not words (a drawing, a way of working) is like nothing else.
    """
    mine = _likeness(held, held.marked.scripts[at], criterion)
    if mine is None:
        return (at,)
    return tuple(
        number
        for number, script in enumerate(held.marked.scripts)
        if number == at or (_waits(script, criterion) and _likeness(held, script, criterion) == mine)
    )


def _waits(script: Script, criterion: str) -> bool:
    return any(mark.criterion.code == criterion and mark.marks is None for mark in script.criteria)


def _likeness(held: HeldSet, script: Script, criterion: str) -> Sequence[tuple[str, ...]] | None:
    lines = [one for one in script.as_found if one.criterion == criterion and one.outcome is Outcome.FOR_TEACHER]
    items = held.rubric.items
    if not lines or not all(line.item in items and items[line.item].is_words for line in lines):
        return None
    return [
        (line.item, line.reason, line.facts["proposal"], line.facts["group"])
        if line.facts.get("group")
        else (line.item, line.reason, " ".join(line.entry.split()).casefold(), line.unit.strip())
        for line in lines
    ]
