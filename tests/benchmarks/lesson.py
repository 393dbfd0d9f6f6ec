"""How often a slip in the readings of a lesson is told, and how often a sound class is queried.

Classes of thirty are simulated, one slip is planted in one write-up of each, or the same in eight of them, and the
lesson check is asked.
Run ``python -m tests.benchmarks.lesson``; ``tests/cohort/test_lesson.py`` holds the limits.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from random import Random

from msgspec import Struct

from marking.class_notes import ClassNote
from marking.cohort.lesson.telling import lesson_notes
from marking.write_up import WriteUp
from rubrics.load import load_catalogue
from rubrics.model import Rubric
from tests.benchmarks.lesson_classes import ALIKE, MIXED, alike, mixed
from tests.benchmarks.lesson_slips import PLANTERS, Planted

CLASSES = 20
"""Classes for each practical and slip."""

SHARING = 8
"""Students of a class with the same slip."""

MakeClass = Callable[[str, int], tuple[WriteUp, ...]]
KINDS_OF_CLASS: Mapping[str, tuple[MakeClass, Sequence[str]]] = {
    "alike": (alike, tuple(ALIKE)),
    "mixed": (mixed, MIXED),
}


class Score(Struct, frozen=True, kw_only=True):
    """What became of planted slips; shares of 1."""

    told: float
    """A note on the student names the reading."""
    named: float
    """And it names the slip: the unit or the place of the point."""
    others: float
    """Notes on write-ups that were sound, for each class."""
    planted: int
    """Write-ups with the slip."""


def score(
    make: MakeClass, practical: str, kind: str, classes: int = CLASSES, first: int = 0, *, sharing: int = 1
) -> Score | None:
    """Return how one kind of slip comes out in one practical; None where it has no such slip.

    Args:
        make: Makes a sound class.
        practical: Id of the practical.
        kind: Kind of slip, as in ``PLANTERS``.
        classes: How many classes.
        first: Seed of the first.
        sharing: How many of a class have the same slip.
    """
    rubric = load_catalogue()[practical]
    told = named = others = planted = 0
    for seed in range(first, first + classes):
        sound = make(practical, seed)
        slips = _planted(rubric, sound, kind, f"{kind} {practical} {seed}", sharing)
        if not slips:
            return None
        notes = lesson_notes(rubric, [slips[at].write_up if at in slips else one for at, one in enumerate(sound)])
        for at, slip in slips.items():
            mine = [note for note in notes if sound[at].student.code in note.students and _is_about(note, slip)]
            told += bool(mine)
            named += any(_is_named(note, slip) for note in mine)
            planted += 1
        slipped = {sound[at].student.code for at in slips}
        others += sum(not slipped & set(note.students) for note in notes)
    return Score(told=told / planted, named=named / planted, others=others / classes, planted=planted)


def _planted(rubric: Rubric, sound: Sequence[WriteUp], kind: str, seed: str, sharing: int) -> dict[int, Planted]:
    """Return the same slip for *sharing* students of a class, by position; fewer, where some cannot have it."""
    random = Random(seed)
    who = random.sample(range(len(sound)), sharing)
    choice = random.random()
    slips = {at: PLANTERS[kind](Random(choice), rubric, sound[at]) for at in who}
    return {at: slip for at, slip in slips.items() if slip is not None}


def _is_about(note: ClassNote, slip: Planted) -> bool:
    return not slip.items or bool(set(note.items) & set(slip.items))


def _is_named(note: ClassNote, slip: Planted) -> bool:
    if slip.factor is None:
        return True
    return note.factor is not None and note.factor > 0 and abs(math.log(note.factor / slip.factor)) < 0.2


class Clean(Struct, frozen=True, kw_only=True):
    """What is said of sound classes; shares of 1."""

    classes: float
    write_ups: float
    checked: int
    """Write-ups that were looked at."""


def clean(make: MakeClass, practical: str, classes: int = CLASSES, first: int = 1000) -> Clean:
    """Return how many sound classes and write-ups have a note."""
    rubric = load_catalogue()[practical]
    touched = queried = everybody = 0
    for seed in range(first, first + classes):
        sound = make(practical, seed)
        students = {code for note in lesson_notes(rubric, sound) for code in note.students}
        touched += len(students)
        queried += bool(students)
        everybody += len(sound)
    return Clean(classes=queried / classes, write_ups=touched / everybody, checked=everybody)


def lines(classes: int = CLASSES) -> Iterator[str]:
    """Yield the table, line by line."""
    for label, (make, practicals) in KINDS_OF_CLASS.items():
        for kind in PLANTERS:
            scores = {practical: score(make, practical, kind, classes) for practical in practicals}
            known = {practical: one for practical, one in scores.items() if one is not None}
            if not known:
                continue
            for practical, one in known.items():
                yield f"{label:6s} {kind:13s} {practical:24s} told {one.told:5.2f} named {one.named:5.2f}"
            told, named = (
                sum(column) / len(known) for column in zip(*((s.told, s.named) for s in known.values()), strict=True)
            )
            yield f"{label:6s} {kind:13s} {'all':24s} told {told:5.3f} named {named:5.3f}"
            for practical in known:
                shared = score(make, practical, kind, classes // 4 or 1, sharing=SHARING)
                if shared is not None:
                    yield f"{label:6s} {kind:13s} {practical:24s} told {shared.told:5.2f} where {SHARING} share it"
        for practical in practicals:
            sound = clean(make, practical, classes)
            shares = f"classes {sound.classes:5.3f} write-ups {sound.write_ups:6.4f}"
            yield f"{label:6s} {'sound':13s} {practical:24s} {shares}"


if __name__ == "__main__":
    for line in lines():
        print(line, flush=True)
