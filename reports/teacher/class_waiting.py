"""What waits for the teacher, criterion by criterion, who is missing, and the notes on the input."""

from __future__ import annotations

from collections.abc import Sequence

from marking.cohort.picture import ClassPicture, Waiting
from marking.reasons import Reason
from marking.write_up import Remark, Weight
from reports.page import BODY, NOTE, Block, Heading, Hung, text
from reports.teacher.students_called import People
from reports.wording import fill, wording
from rubrics.model import Rubric

_GAP = 13.0
_CODE = 27.0
"""Points from the code of a criterion to its line."""
_NAMED = 5
"""Students who are named one by one in what waits; more are counted."""
_BY_NAME = 2
"""Where they are named in full, which takes more room."""
_ALL = 40
_QUERIES_FIRST = (Weight.REFUSED, Weight.QUERY, Weight.NOTE)
_PLAIN = Reason.TEACHER_LOOKS
"""The reason that says no more than that the criterion is the teacher's."""


def waiting_blocks(rubric: Rubric, seen: ClassPicture, people: People, most: int) -> list[Block]:
    """Return what the teacher decides, one line a criterion with how many students and why."""
    words = wording("summary")
    titles = {0: "waiting", 1: "waiting_one"}
    heading = Heading(
        fill([words["headings"][titles.get(seen.pending, "waiting_marks")]], {"count": str(seen.pending)})
    )
    by_criterion: dict[str, list[Waiting]] = {}
    for one in seen.waiting:
        by_criterion.setdefault(one.criterion, []).append(one)
    order = {criterion.code: place for place, criterion in enumerate(rubric.criteria)}
    codes = sorted(by_criterion, key=lambda code: order.get(code, len(order)))
    lines = [_waiting_line(code, by_criterion[code], rubric, seen, people) for code in codes[:most]]
    if len(codes) > most:
        more = fill([words["waiting"]["more"]], {"count": str(len(codes) - most)})
        lines.append(Hung("", text(NOTE, more), left=_CODE))
    if not lines:
        lines = [Hung("", text(BODY, words["waiting"]["nothing"]), left=0)]
    return [Block(parts=(heading, lines[0]), gap=_GAP), *(Block(parts=(line,), gap=2) for line in lines[1:])]


def _waiting_line(code: str, waiting: Sequence[Waiting], rubric: Rubric, seen: ClassPicture, people: People) -> Hung:
    words = wording("summary")["waiting"]
    point = next((one.point for one in rubric.criteria if one.code == code), words["no_criterion"])
    students = list(dict.fromkeys(student for one in waiting for student in one.students))
    slots = {"point": point, "who": _who(students, seen, people), "reasons": _reasons(waiting)}
    return Hung(code or "–", text(NOTE, fill(words["line"], slots)), left=_CODE, small=True)


def _who(students: Sequence[str], seen: ClassPicture, people: People) -> str:
    words = wording("summary")["waiting"]
    if len(students) == seen.handed_in > 1:
        return fill([words["everyone"]], {"count": str(len(students))})
    if len(students) <= (_BY_NAME if people.names else _NAMED):
        return people.listed(students, _NAMED)
    return fill([words["counted"]], {"count": str(len(students))})


def _reasons(waiting: Sequence[Waiting]) -> str:
    """Return why it waits, with a number each where reasons differ; empty where it is the teacher's anyway."""
    words = wording("summary")["waiting"]
    counts: dict[str, set[str]] = {}
    for one in waiting:
        said = wording("reasons")[one.reason].get("teacher", one.reason)
        counts.setdefault(said, set()).update(one.students)
    if {one.reason for one in waiting} == {_PLAIN}:
        return ""
    if len(counts) == 1:
        return next(iter(counts))
    told = [fill([words["reason"]], {"count": str(len(students)), "reason": said}) for said, students in counts.items()]
    return "; ".join(told)


def missing_blocks(seen: ClassPicture, people: People) -> list[Block]:
    """Return who handed nothing in, and the mark codes in use."""
    words = wording("summary")
    if seen.handed_in == seen.students == 1 and not seen.codes:
        return []
    absent = [(name, codes) for name, codes in (("missing", seen.missing), ("absent", seen.absent)) if codes]
    told = [fill([words["missing"][name]], {"codes": people.with_codes(codes, _ALL)}) for name, codes in absent]
    told = told or [words["missing"]["nobody"]]
    told += [
        fill([words["missing"]["mark_code"]], {"code": code, "codes": people.listed(students, _ALL)})
        for code, students in seen.codes
    ]
    return [Block(parts=(Heading(words["headings"]["missing"]), *(text(NOTE, line) for line in told)), gap=_GAP)]


def remark_blocks(remarks: Sequence[Remark], most: int) -> list[Block]:
    """Return the first so many notes on how the input was read, what was not marked first."""
    words = wording("summary")
    heading = Heading(words["headings"]["remarks"])
    ordered = sorted(remarks, key=lambda remark: _QUERIES_FIRST.index(remark.weight))
    lines = [Hung("–", text(NOTE, remark.message), left=10, small=True) for remark in ordered[:most]]
    if len(ordered) > most:
        more = fill([words["remarks"]["more"]], {"count": str(len(ordered) - most)})
        lines.append(Hung("", text(NOTE, more), left=10))
    if not lines:
        lines = [Hung("", text(BODY, words["remarks"]["nothing"]), left=0)]
    return [Block(parts=(heading, lines[0]), gap=_GAP), *(Block(parts=(line,), gap=2) for line in lines[1:])]
