"""What only a teacher can see: a drawing, an explanation, a way of working."""

from __future__ import annotations

from collections.abc import Iterator

from marking.checking.case import Case, Line, basic_facts
from marking.checking.checks.read_off_points import line_reason
from marking.findings import Outcome
from marking.reasons import Reason
from rubrics.model import Criterion


def check_teacher(criterion: Criterion, case: Case) -> Iterator[Line]:
    """Yield the one line that waits for the teacher, with what was written where an item is named."""
    # Two points read off the line let the program say what it sees; the teacher still looks at the line itself.
    is_line = case.rubric.graph is not None and bool(set(criterion.items) & set(case.rubric.graph.read_off))
    seen = line_reason(case) if is_line else None
    name = criterion.items[0] if criterion.items and not is_line else ""
    facts = {"point": criterion.point}
    entry = None
    if name:
        item = case.item(name)
        entry = case.entry(item, 1) if item.table is None else None
        facts |= basic_facts(item, None, entry)
    if seen is not None:
        reason, more = seen
        yield Line(item=name, row=None, outcome=Outcome.FOR_TEACHER, reason=reason, entry=entry, facts=facts | more)
        return
    yield Line(item=name, row=None, outcome=Outcome.FOR_TEACHER, reason=Reason.TEACHER_LOOKS, entry=entry, facts=facts)
