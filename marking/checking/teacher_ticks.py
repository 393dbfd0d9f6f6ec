"""What the program found and what a teacher decided, joined: the findings stay, the mark is the decision."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from marking.checking.case import Reason
from marking.findings import CriterionMark, Finding, Outcome, Ruling, Script
from marking.write_up import Remark, Tick, Weight


def decided(script: Script, ticks: Mapping[str, Tick]) -> Script:
    """Return *script* with what a teacher decided: pure, and the findings as they were stay in ``found``.

    Where the mark waited, or the teacher gives another than was worked out, one finding says so in the place of those
    that say the contrary. A decision that gives what was worked out changes nothing but who stands behind it.

    Args:
        script: As it was worked out, without a decision.
        ticks: Code of a criterion to what the teacher gives; one that does not apply here decides nothing.
    """
    marks: list[CriterionMark] = []
    shown: list[Finding] = []
    for mark in script.criteria:
        lines = [one for one in script.findings if one.criterion == mark.criterion.code]
        tick = ticks.get(mark.criterion.code)
        if tick is not None:
            lines = _shown(mark, tick, lines)
            mark = _marked(mark, tick)
        marks.append(mark)
        shown += lines
    if not script.criteria or tuple(marks) == script.criteria:
        return script
    found = () if tuple(shown) == script.findings else script.findings
    return replace(script, criteria=tuple(marks), findings=tuple(shown), found=found)


def _marked(mark: CriterionMark, tick: Tick) -> CriterionMark:
    outcome = Outcome.AWARDED if tick.marks == mark.criterion.marks else Outcome.WITHHELD
    source = str(tick.entry.place)
    ruling = Ruling(marks=tick.marks, proposed=mark.marks, who="", when="", why=tick.why, source=source)
    return replace(mark, outcome=outcome, marks=tick.marks, ruling=ruling)


def _shown(mark: CriterionMark, tick: Tick, lines: Sequence[Finding]) -> list[Finding]:
    if tick.marks == mark.marks:
        return list(lines)
    is_full, is_none = tick.marks == mark.criterion.marks, tick.marks == 0
    against = {Outcome.FOR_TEACHER}
    if is_full:
        against.add(Outcome.WITHHELD)
    if is_none:
        against.add(Outcome.AWARDED)
    first = next((line for line in lines if line.outcome in against), lines[0])
    decision = replace(
        first,
        outcome=Outcome.AWARDED if is_full else Outcome.WITHHELD,
        reason=Reason.TEACHER_TICKED,
        marks=tick.marks,
        out_of=mark.criterion.marks,
        # What the program thought of an answer is no reason of the teacher's.
        explanations=(),
        expected=None,
        facts={"point": mark.criterion.point, **first.facts},
    )
    return [decision, *(replace(line, marks=0, out_of=0) for line in lines if line.outcome not in against)]


def tick_remarks(scripts: Iterable[Script]) -> Iterator[Remark]:
    """Yield a remark for each decision against what was worked out, and for each tick that is about nothing here."""
    for script in scripts:
        marks = {one.criterion.code: one for one in script.criteria}
        for code, tick in script.write_up.ticks.items():
            told = _told(code, tick, marks.get(code))
            if told is not None:
                weight, said = told
                student, place = script.write_up.student.code, tick.entry.place
                message = f"{place}, {student}: {said}"
                yield Remark(weight=weight, file=place.file, message=message, student=student, item=code, place=place)


def _told(code: str, tick: Tick, mark: CriterionMark | None) -> tuple[Weight, str] | None:
    if mark is None:
        return Weight.QUERY, f"the tick for {code} is not used, for {code} does not apply here. Take it out."
    proposed = mark.ruling.proposed if mark.ruling is not None else None
    if proposed is None or proposed == tick.marks:
        return None
    said = f"{code} was worked out as {proposed}, and the teacher's {tick.marks} counts"
    if tick.why:
        return Weight.NOTE, f"{said} ({tick.why})."
    return Weight.QUERY, f"{said}. Say why in a column 'why {code}' beside it."
