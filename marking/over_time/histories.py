"""The practicals of classes, in the order in which they were first marked, each with what every work came to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from msgspec import Struct, structs

from marking.decided import (
    Decision,
    SetName,
    SetRead,
    Work,
    WorkMarked,
    work_in,
)


class Practical(Struct, frozen=True, kw_only=True):
    """One practical of one class."""

    name: SetName
    day: str
    """On which it was first marked, ISO 8601."""
    works: Mapping[str, Work]
    """Code of each student who handed something in to what it came to."""


def histories(decisions: Iterable[Decision]) -> tuple[Practical, ...]:
    """Return the practicals that *decisions*, in the order of the record, tell of; earliest first."""
    days: dict[SetName, str] = {}
    works: dict[SetName, dict[str, Work]] = {}
    for one in decisions:
        if isinstance(one, SetRead | WorkMarked):
            days.setdefault(one.set, one.when[:10])
        if isinstance(one, WorkMarked):
            works.setdefault(one.set, {})[one.student] = work_in(one)
    return tuple(Practical(name=name, day=day, works=works.get(name, {})) for name, day in days.items())


def with_live(told: Sequence[Practical], name: SetName, works: Mapping[str, Work]) -> tuple[Practical, ...]:
    """Return *told* with one practical as it stands at this moment, which is newer than the record's lines."""
    if all(one.name != name for one in told):
        return (*told, Practical(name=name, day="", works=works))
    return tuple(structs.replace(one, works=works) if one.name == name else one for one in told)
