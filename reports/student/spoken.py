"""What one sheet says, sentence by sentence, with the findings each sentence is about: what a teacher may mend."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from marking.findings import Finding, Script
from reports.next_step import what_now
from reports.student.feedback_columns import MOST_ALSO, MOST_STANDING, told_waiting
from reports.wording import points_to_mend, standing
from rubrics.model import Rubric


class Spoken(Struct, frozen=True, kw_only=True):
    """One sentence of a sheet."""

    part: str
    """Where it stands: 'now', 'mend', 'stands' or 'teacher', as headings of the sheet are called."""
    text: str
    findings: tuple[Finding, ...]

    @property
    def is_mended(self) -> bool:
        """Tell whether these are a teacher's words."""
        return bool(self.findings[0].told)


def spoken(script: Script, rubric: Rubric) -> tuple[Spoken, ...]:
    """Return the sentences of a sheet that are about something found, in the order in which they are read."""
    return tuple(one for one in _all(script, rubric) if one.text)


def _all(script: Script, rubric: Rubric) -> Iterator[Spoken]:
    if not script.criteria:
        return
    points = points_to_mend(script, rubric)
    if points:
        first = points[0]
        own = first.step or " ".join(what_now(script, rubric, points).said)
        yield Spoken(part="now", text=own, findings=first.findings)
    for point in points[1 : 1 + MOST_ALSO]:
        yield Spoken(part="mend", text=point.step or point.tip, findings=point.findings)
    for sentence, findings in standing(script, rubric)[:MOST_STANDING]:
        yield Spoken(part="stands", text=sentence, findings=findings)
    for sentence, findings in told_waiting(script):
        yield Spoken(part="teacher", text=sentence, findings=findings)
