"""What became of slips since the last practical: of one student, and of a class."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from msgspec import structs

from marking.decided import (
    SetName,
    Work,
    work_of,
)
from marking.findings import Cause, MarkedSet, Script, Since, TrendPoint
from marking.over_time.histories import Practical


def mended(before: Work, now: Work) -> frozenset[Cause]:
    """Return the slips of *before* that *now* has not, where it could have shown them.

    Not made again is not mended: only where the same kind of check found everything right this time.
    """
    return frozenset(one.cause for one in before.slips if one.check in now.sound) - now.causes


def came_back(before: Sequence[Work], now: Work) -> frozenset[Cause]:
    """Return the slips of *now* that any of the works *before* it had."""
    return now.causes & frozenset(cause for one in before for cause in one.causes)


def since(before: Sequence[tuple[str, Work]], now: Work) -> Since | None:
    """Return what one student mended and what came back; None where neither.

    Args:
        before: Title and work of each earlier practical, earliest first.
        now: The work of this one.
    """
    if not before:
        return None
    title, last = before[-1]
    good, again = mended(last, now), came_back([work for _, work in before], now)
    if not good and not again:
        return None
    return Since(before=title, mended=_in_order(good), came_back=_in_order(again))


def _in_order(causes: frozenset[Cause]) -> tuple[Cause, ...]:
    return tuple(cause for cause in Cause if cause in causes)


def with_history(marked: MarkedSet, name: SetName, told: Sequence[Practical], titles: Mapping[str, str]) -> MarkedSet:
    """Return a set whose scripts say what changed since the last practical, and which knows the class's trend.

    Args:
        marked: The set, decided.
        name: As the record names it.
        told: Practicals in the record's order, this one as it stands now among them where it was marked before.
        titles: Id of a practical to its title.
    """
    places = [place for place, one in enumerate(told) if one.name == name]
    earlier = [one for one in told[: places[0] if places else None] if one.name.class_name == name.class_name]
    if not earlier:
        return marked
    if places:
        now = told[places[0]]
    else:
        works = {one.write_up.student.code: work for one in marked.scripts if (work := work_of(one)) is not None}
        now = Practical(name=name, day="", works=works)
    scripts = tuple(_with_since(script, now, earlier, titles) for script in marked.scripts)
    trend = tuple(_point(one, titles) for one in (*earlier, now) if one.works)
    return structs.replace(marked, scripts=scripts, trend=trend if len(trend) > 1 else ())


def _with_since(script: Script, now: Practical, earlier: Sequence[Practical], titles: Mapping[str, str]) -> Script:
    code = script.write_up.student.code
    if code not in now.works:
        return script
    before = [
        (titles.get(one.name.practical, one.name.practical), one.works[code]) for one in earlier if code in one.works
    ]
    found = since(before, now.works[code])
    return script if found is None else structs.replace(script, since=found)


def _point(one: Practical, titles: Mapping[str, str]) -> TrendPoint:
    counts = Counter(cause for work in one.works.values() for cause in work.causes)
    return TrendPoint(
        title=titles.get(one.name.practical, one.name.practical),
        day=one.day,
        handed_in=len(one.works),
        counts={cause: counts[cause] for cause in Cause if counts[cause]},
    )
