"""How many who share a slip are told of it, and who else is: by kind of slip, by how many share it, by practical.

``python -m tests.benchmarks.shared_slips.tally --classes 1 --sharing 6 15``: every practical by itself, then all.
"""

from __future__ import annotations

import argparse
import math
from collections.abc import Iterator, Mapping, Sequence
from random import Random

from msgspec import Struct

from marking.class_notes import ClassNote
from marking.cohort.lesson import lesson_notes
from tests.benchmarks.shared_slips.many_classes import Make, makers, mixed_makers, sound_class
from tests.benchmarks.shared_slips.same_slip import SLIPS, SameSlip
from tests.cohort.simulated import rubric_of

SHARING = (1, 3, 6, 10, 12, 15, 20, 24)
"""How many of thirty make the slip."""


class Tally(Struct, kw_only=True):
    """What became of one kind of slip."""

    slipped: int = 0
    """Students who made it."""
    told: int = 0
    """Of these, with a note that names a reading it touches."""
    named: int = 0
    """Of these, with a note that says what it is."""
    others: int = 0
    """Students who made no slip, in the same classes."""
    blamed: int = 0
    """Of these, with a note that is on none who made the slip."""
    either: int = 0
    """Of these, with a note on both groups: one of the two has it."""

    def add(self, other: Tally) -> None:
        """Count another tally in."""
        for name in self.__struct_fields__:
            setattr(self, name, getattr(self, name) + getattr(other, name))


def tally(practical: str, kinds: Sequence[Make], slip: str, sharing: int, seed: int) -> Tally | None:
    """Return what is told in one class; None where it cannot have the slip."""
    sound = sound_class(practical, kinds, seed)
    chance = Random(f"{slip} {practical} {seed}")
    same = SLIPS[slip](rubric_of(practical), sound[0], chance)
    if same is None:
        return None
    order = chance.sample(range(len(sound)), len(sound))
    changed, who = list(sound), set[int]()
    for at in order:
        made = same.make(sound[at])
        if len(who) < sharing and made != sound[at]:
            changed[at] = made
            who.add(at)
    notes = lesson_notes(rubric_of(practical), changed)
    slipped = {sound[at].student.code for at in who}
    found = Tally(slipped=len(who), others=len(sound) - len(who))
    for at, one in enumerate(sound):
        mine = [note for note in notes if one.student.code in note.students]
        if at not in who:
            alone = [note for note in mine if not slipped & set(note.students)]
            found.blamed += bool(alone)
            found.either += len(mine) > len(alone)
            continue
        about = [note for note in mine if set(note.items) & set(same.items)]
        found.told += bool(about)
        found.named += any(_is_named(note, same) for note in about)
    return found


def _is_named(note: ClassNote, same: SameSlip) -> bool:
    if same.factor is None or "one of the two has the decimal point" in note.message:
        return note.factor is None
    return (
        note.factor is not None
        and note.factor > 0
        and math.isclose(math.log(note.factor / same.factor), 0, abs_tol=0.2)
    )


def tallies(
    kinds: Mapping[str, tuple[Make, ...]], slip: str, sharing: int, classes: int, first: int = 0
) -> dict[str, Tally]:
    """Return what is told of one slip, practical by practical."""
    found: dict[str, Tally] = {}
    for practical, makes in kinds.items():
        for seed in range(first, first + classes):
            one = tally(practical, makes, slip, sharing, seed)
            if one is not None:
                found.setdefault(practical, Tally()).add(one)
    return found


def warned(kinds: Mapping[str, tuple[Make, ...]], classes: int, first: int = 0) -> dict[str, tuple[int, int]]:
    """Return how many write-ups in which nothing is wrong have a note, and of how many, practical by practical."""
    found: dict[str, tuple[int, int]] = {}
    for practical, makes in kinds.items():
        hits = of = 0
        for seed in range(first, first + classes):
            sound = sound_class(practical, makes, seed)
            hits += len({code for note in lesson_notes(rubric_of(practical), sound) for code in note.students})
            of += len(sound)
        found[practical] = hits, of
    return found


def lines(classes: int, first: int = 0, sharing: Sequence[int] = SHARING) -> Iterator[tuple[str, int, int]]:
    """Yield name, hits and of how many: slips told, others told beside them, clean write-ups warned."""
    for label, kinds in (("", makers()), ("mixed benches, ", mixed_makers())):
        for slip in SLIPS:
            for many in sharing:
                total = Tally()
                for one in tallies(kinds, slip, many, classes, first).values():
                    total.add(one)
                if total.slipped:
                    yield f"lesson, {label}{slip} by {many} of 30: told", total.told, total.slipped
                    yield f"lesson, {label}{slip} by {many} of 30: others told instead", total.blamed, total.others
                    yield f"lesson, {label}{slip} by {many} of 30: others told as well", total.either, total.others
        sound = warned(kinds, classes, first)
        yield (
            f"lesson, {label}clean write-ups warned",
            sum(h for h, _ in sound.values()),
            sum(n for _, n in sound.values()),
        )


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--classes", type=int, default=1, help="classes of each practical")
    parser.add_argument("--seed", type=int, default=0, help="seed of the first class")
    parser.add_argument("--sharing", type=int, nargs="*", default=list(SHARING), help="how many make the slip")
    parser.add_argument("--slips", nargs="*", default=list(SLIPS), help="which slips")
    parser.add_argument("--mixed", action="store_true", help="classes of mixed benches instead")
    parser.add_argument("--only", nargs="*", help="these practicals only")
    asked = parser.parse_args()
    kinds = mixed_makers() if asked.mixed else makers()
    kinds = {name: makes for name, makes in kinds.items() if not asked.only or name in asked.only}
    for slip in asked.slips:
        for many in asked.sharing:
            found = tallies(kinds, slip, many, asked.classes, asked.seed)
            total = Tally()
            for one in found.values():
                total.add(one)
            for name, one in {**found, "all": total}.items():
                if one.slipped:
                    share, named = one.told / one.slipped, one.named / one.slipped
                    blamed, either = one.blamed / max(one.others, 1), one.either / max(one.others, 1)
                    shares = f"told {share:6.1%} named {named:6.1%} others {blamed:6.1%} either {either:6.1%}"
                    print(f"{slip:28}{many:3} {name:26} {shares}", flush=True)
    for name, (hits, of) in warned(kinds, asked.classes, asked.seed).items():
        print(f"{'clean':31} {name:26} warned {hits:4} of {of:5} {hits / of:6.1%}", flush=True)


if __name__ == "__main__":
    main()
