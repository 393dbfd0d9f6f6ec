"""Ticks typed in results, put to the write-ups that they are about: one small rule says which of several counts.

What we wrote ourselves is known. A tick that says something else than what was written is what the teacher typed
last; one that says the same is older. Two new ones that differ decide nothing: the mark waits, and both are named.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec.structs import replace

from marking.intake.ours.typed_marks import Key, TypedMarks
from marking.write_up import ClassSet, Remark, Tick, Weight, WriteUp

Person = tuple[str, str]
"""Student and practical."""


def joined(sets: Sequence[ClassSet], typed: Sequence[TypedMarks]) -> tuple[tuple[ClassSet, ...], tuple[Key, ...]]:
    """Return *sets* with the ticks of *typed*, and what was typed about students who are in none of them."""
    ticks: dict[Person, dict[str, list[Tick]]] = {}
    before: dict[Key, int | None] = {}
    for one in typed:
        before.update(one.before)
        for (student, practical, criterion), found in one.ticks.items():
            ticks.setdefault((student, practical), {}).setdefault(criterion, []).extend(found)
    told = tuple(remark for one in typed for remark in one.remarks)
    result = []
    for class_set in sets:
        conflicts: list[Remark] = []
        write_ups = tuple(
            _with(one, ticks.get((one.student.code, one.practical), {}), before, conflicts)
            for one in class_set.write_ups
        )
        result.append(replace(class_set, write_ups=write_ups, remarks=(*class_set.remarks, *told, *conflicts)))
        told = ()  # said once, with the first
    known = {(one.student.code, class_set.practical) for class_set in sets for one in class_set.write_ups}
    strangers = tuple((*person, code) for person, found in ticks.items() if person not in known for code in found)
    return tuple(result), strangers


def last_typed(found: Sequence[Tick], before: int | None) -> Tick | None:
    """Return the tick of *found*, of which there is one at least, that was typed last; None where that cannot be told.

    Args:
        found: Ticks for one criterion of one student.
        before: The mark that stood there when they were typed; None where it waited.
    """
    new = [tick for tick in found if tick.marks != before] or list(found)
    return new[0] if len({tick.marks for tick in new}) == 1 else None


def _with(
    write_up: WriteUp, typed: Mapping[str, Sequence[Tick]], before: Mapping[Key, int | None], told: list[Remark]
) -> WriteUp:
    if not typed:
        return write_up
    student = write_up.student.code
    own = dict(write_up.ticks)
    for code, found in typed.items():
        every = [*([own[code]] if code in own else []), *found]
        tick = last_typed(every, before.get((student, write_up.practical, code)))
        if tick is not None:
            own[code] = tick
            continue
        own.pop(code, None)
        place = found[0].entry.place
        places = " and ".join(f"{one.marks} in {one.entry.place}" for one in every)
        said = f"ticked {places}; none of these is used, and the mark waits"
        message = f"{student}, {code}: {said}. Take the wrong one out."
        told.append(
            Remark(weight=Weight.QUERY, file=place.file, message=message, student=student, item=code, place=place)
        )
    return replace(write_up, ticks=own)
