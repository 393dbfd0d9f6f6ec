"""What the teacher has ticked decides what waits for the teacher."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from marking.checking.case import Line, Reason
from marking.findings import CriterionMark, Outcome, Script
from marking.write_up import Remark, Tick, Weight


def decide(mark: CriterionMark, lines: list[Line], tick: Tick | None) -> tuple[CriterionMark, list[Line]]:
    """Return a criterion's mark and lines with the teacher's tick, which counts only where the mark waits."""
    if tick is None or mark.marks is not None:
        return mark, lines
    criterion = mark.criterion
    outcome = Outcome.AWARDED if tick.marks == criterion.marks else Outcome.WITHHELD
    waiting = [line for line in lines if line.outcome is Outcome.FOR_TEACHER]
    first = waiting[0] if waiting else None
    facts = {"point": criterion.point, **(first.facts if first else {})}
    ticked = Line(
        item=first.item if first else "",
        row=first.row if first else None,
        outcome=outcome,
        reason=Reason.TEACHER_TICKED,
        entry=first.entry if first else None,
        facts=facts,
    )
    others = [line for line in lines if line.outcome is not Outcome.FOR_TEACHER]
    return CriterionMark(criterion=criterion, outcome=outcome, marks=tick.marks), [ticked, *others]


def tick_remarks(scripts: Iterable[Script]) -> Iterator[Remark]:
    """Yield a remark for each tick that was not used: the mark is worked out, and came out otherwise."""
    for script in scripts:
        used = {one.criterion for one in script.findings if one.reason == Reason.TEACHER_TICKED}
        marks = {one.criterion.code: one.marks for one in script.criteria}
        for code, tick in script.write_up.ticks.items():
            if code in used or (code in marks and marks[code] == tick.marks):
                continue
            why = f"it was worked out as {marks[code]}" if code in marks else "the criterion does not apply here"
            yield Remark(
                weight=Weight.QUERY,
                file=tick.entry.place.file,
                message=f"The tick for {code} gives {tick.marks}, and {why}: the tick is not used. "
                "Change the mark at moderation, where the change is recorded.",
                student=script.write_up.student.code,
                item=code,
                place=tick.entry.place,
            )
