"""Benches that are off, as notes for teacher and technician."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from marking.class_notes import ClassNote, NoteKind
from marking.cohort.benches.bench_quantities import Quantities, Trials
from marking.cohort.benches.off_benches import OffBench, off_benches
from marking.cohort.benches.suspects import Suspect, mentioned, named
from marking.cohort.evidence import luck_in_words
from marking.findings import MarkedSet
from rubrics.formulas import listed
from rubrics.model import Item

COVERAGE = 2.0
"""Standard uncertainties either way that the message gives a factor with (JCGM 100:2008, 6.3.3)."""


def bench_notes(marked_sets: Sequence[MarkedSet], trials: Trials | None = None) -> tuple[ClassNote, ...]:
    """Return a note for each bench that is off and each practical that shows it, the surest bench first."""
    return tuple(note for off in off_benches(marked_sets, trials) for note in _notes(off))


def _notes(off: OffBench) -> list[ClassNote]:
    at_fault = named(off.suspects)
    only_one = len(at_fault) == 1 and not off.odd_part
    size = at_fault[0].factor if only_one else off.answers
    message = _message(off, at_fault, _trial_words(off))
    return [
        ClassNote(
            kind=NoteKind.BENCH,
            practical=part.rubric.id,
            message=message,
            bench=off.bench,
            students=off.students,
            items=(*([off.odd_part] if off.odd_part else []), *(one.instrument for one in at_fault)),
            direction=_direction(size),
            factor=float(np.exp(size)),
            factors=tuple(
                float(np.exp(one)) for one in (*([size] if off.odd_part else []), *(one.factor for one in at_fault))
            ),
            chance=off.chance,
        )
        for part in off.parts
    ]


def _direction(size: float) -> str:
    return "high" if size > 0 else "low"


def _message(off: OffBench, at_fault: Sequence[Suspect], trial: str) -> str:
    sentences = [
        f"{_head(off, at_fault)}: {_evidence(off)}.",
        _which_part(at_fault) if off.odd_part else _which(off, at_fault),
        trial,
        luck_in_words(off.chance, of="sound classes"),
        "Marks are not touched: every student is marked from their own readings.",
    ]
    return " ".join(sentence for sentence in sentences if sentence)


def _head(off: OffBench, at_fault: Sequence[Suspect]) -> str:
    if off.odd_part:
        return f"Bench {off.bench}, a part or a meter"
    size = at_fault[0].factor if len(at_fault) == 1 else off.answers
    instruments = listed(tuple(one.instrument for one in at_fault), last="or")
    return f"Bench {off.bench} reads {_direction(size)}, {instruments}"


def _which_part(at_fault: Sequence[Suspect]) -> str:
    meters = listed(tuple(one.instrument for one in at_fault), last="or")
    return (
        f"No {meters} that reads off accounts for all that was found there: the part itself may be another one than "
        "its label says, or a meter was read wrong for it alone."
    )


def _evidence(off: OffBench) -> str:
    """Return what came out how far off, of how many groups."""
    odd = off.odd_part
    shown = (_symbol(off.parts[0].rubric.items[odd]),) if odd else tuple(_symbols(part, off) for part in off.parts)
    several = len(shown) > 1 or " and " in shown[0]
    names = (
        listed(shown)
        if len(shown) == 1
        else listed(tuple(f"{symbols} ({part.rubric.id})" for symbols, part in zip(shown, off.parts, strict=True)))
    )
    side = "above" if off.answers > 0 else "below"
    others = "the technician's trial at the same bench" if off.beside_trials else "what the other benches have"
    low, high = sorted(abs(np.expm1(off.answers + way * COVERAGE * off.error)) * 100 for way in (-1, 1))
    if abs(off.answers) < COVERAGE * off.error:
        low = 0.0
    percent = abs(np.expm1(off.answers)) * 100
    groups = "1 group" if off.groups == 1 else f"{off.groups} sets of readings"
    if off.is_tried:
        groups = f"{groups} and the technician's trial" if off.groups else "the technician's trial"
    return (
        f"{names} {'come' if several else 'comes'} out {percent:.1f} % {side} {others} "
        f"({low:.0f} to {high:.0f} %), in {groups}"
    )


def _symbols(part: Quantities, off: OffBench) -> str:
    powers = part.exponents.get(off.suspects[0].instrument)
    used = [name for place, name in enumerate(part.names) if powers is not None and powers[place]]
    return listed(tuple(_symbol(part.rubric.items[name]) for name in used))


def _symbol(item: Item) -> str:
    return item.symbol if item.symbol != item.name else item.quantity


def _which(off: OffBench, at_fault: Sequence[Suspect]) -> str:
    """Return what the readings say of the instruments, and what they cannot say."""
    if len(at_fault) > 1:
        ways = listed(tuple(f"the {one.instrument} reads {_direction(one.factor)}" for one in at_fault), last="or")
        return f"Either {ways}; these readings alone cannot tell which."
    others = tuple(f"the {one.instrument} ({_direction(one.factor)})" for one in mentioned(off.suspects))
    return f"Less likely: {listed(others, last='or')}." if others else ""


def _trial_words(off: OffBench) -> str:
    """Return how the technician's trial at that bench stands; empty where there is none to compare."""
    if not off.is_tried or not off.groups:
        return ""
    for part in off.parts:
        powers = part.exponents.get(off.suspects[0].instrument)
        for place in np.flatnonzero(powers) if powers is not None else ():
            mine = part.bench_of == part.benches.index(off.bench)
            is_trial = np.array([not one.students for one in part.partners])
            whole = part.logs[:, place] + part.references[:, place]
            tried, found = (whole[mine & rows] for rows in (is_trial, ~is_trial))
            if np.isfinite(tried).any() and np.isfinite(found).any():
                return _beside_trial(off, part, int(place), float(np.nanmean(tried)), float(np.nanmean(found)))
    return ""


def _beside_trial(off: OffBench, part: Quantities, place: int, tried: float, found: float) -> str:
    item = part.rubric.items[part.names[place]]
    value = float(item.unit.from_si(np.array(np.exp(tried))))
    shown = f"The technician's trial there gave {value:.4g} {item.unit.symbol} for {_symbol(item)}"
    apart = found - tried
    if abs(apart) < abs(off.answers) / 2:
        return f"{shown}, as its groups find: it is the bench and not the students."
    return f"{shown}, {abs(np.expm1(-apart)) * 100:.1f} % {'below' if apart > 0 else 'above'} what its groups find."
