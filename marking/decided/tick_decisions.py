"""Ticks in workbooks are decisions too: each becomes one, with the cell it stands in, and never twice."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from msgspec import structs

from marking.decided.decisions import Decision, MarkGiven, SetName
from marking.decided.state import version_of, with_decisions
from marking.findings import MarkedSet, Script
from marking.write_up import Remark, Weight

PLACELESS = SetName(class_name="", practical="")


def new_ticks(
    found: MarkedSet,
    known: Sequence[Decision],
    fresh: Callable[[], str],
    *,
    name: SetName = PLACELESS,
    who: str = "",
    when: str = "",
    program: str = "",
) -> tuple[MarkGiven, ...]:
    """Return the ticks of a set that *known* decisions do not hold yet, as decisions.

    A tick is known where the last one from its cell said the same; from a cell that was never met (a file that was
    moved or renamed), where the last tick for that mark did. So a decision at the desk outlasts the tick before it,
    and a tick that is changed counts anew.

    Args:
        found: The set as read, its ticks with the write-ups.
        known: Decisions on the set so far, in their order.
        fresh: Makes an id.
        name: The set.
        who: Name of the teacher.
        when: UTC, ISO 8601.
        program: Version of the program.
    """
    hashes = {source.name: source.sha256 for source in found.sources}
    made: list[MarkGiven] = []
    for script in _with_earlier(found.scripts):
        code = script.write_up.student.code
        applying = {mark.criterion.code: mark.marks for mark in script.criteria}
        for criterion, tick in script.write_up.ticks.items():
            same = [one for one in known if _is_about(one, code, criterion, version_of(script))]
            place = tick.entry.place
            if criterion not in applying or _is_known(tick.marks, str(place), tick.why, same):
                continue
            was = applying[criterion]
            made.append(
                MarkGiven(
                    id=fresh(),
                    who=who,
                    when=when,
                    set=name,
                    number=max((one.number for one in same), default=0) + 1,
                    student=code,
                    criterion=criterion,
                    cell=version_of(script),
                    was="" if was is None else str(was),
                    why=tick.why,
                    source=str(place),
                    input=hashes.get(place.file, ""),
                    edition=str(found.rubric.edition),
                    program=program,
                    marks=tick.marks,
                )
            )
    return tuple(made)


def _with_earlier(scripts: Sequence[Script]) -> Iterator[Script]:
    for script in scripts:
        if script.earlier is not None:
            yield script.earlier
        yield script


def _is_about(decision: Decision, student: str, criterion: str, version: str) -> bool:
    about = (decision.student, decision.criterion, decision.cell)
    return decision.about == MarkGiven.about and about == (student, criterion, version)


def _is_known(marks: int, place: str, why: str, same: Sequence[Decision]) -> bool:
    ticks = [one for one in same if isinstance(one, MarkGiven) and one.source]
    here = [one for one in ticks if one.source == place]
    last = (here or ticks)[-1:]
    return bool(last) and (last[0].marks, last[0].why) == (marks, why or last[0].why)


def idle_ticks(found: MarkedSet) -> Iterator[Remark]:
    """Yield a remark for each tick for a criterion that does not apply to its student."""
    for script in found.scripts:
        applying = {mark.criterion.code for mark in script.criteria}
        for code, tick in script.write_up.ticks.items():
            if code not in applying:
                yield Remark(
                    weight=Weight.QUERY,
                    file=tick.entry.place.file,
                    message=f"The tick for {code} is not used: the criterion does not apply here.",
                    student=script.write_up.student.code,
                    item=code,
                    place=tick.entry.place,
                )


def ticked(found: MarkedSet) -> MarkedSet:
    """Return a set with the ticks in its workbooks decided, where no record is kept."""
    if not any(script.write_up.ticks for script in found.scripts):
        return found
    numbers = iter(range(1, len(found.scripts) * len(found.rubric.criteria) * 2 + 1))
    decided = with_decisions(found, new_ticks(found, (), lambda: str(next(numbers))))
    return structs.replace(decided, remarks=(*decided.remarks, *idle_ticks(found)))
