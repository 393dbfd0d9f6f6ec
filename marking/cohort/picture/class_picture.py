"""A class at a glance: marks, criteria, causes that many share, results beside the accepted value, and what waits.

Pure arithmetic on one marked set; what it says stands in ``reports``.
"""

from __future__ import annotations

import math
import re
import statistics
from collections import Counter, defaultdict
from collections.abc import Iterable
from enum import StrEnum

from msgspec import Struct

from marking.findings import Agrees, Cause, Finding, MarkedSet, Outcome, Script
from marking.reasons import Reason
from marking.write_up import MarkCode
from rubrics.model import AcceptedValue, Rubric

NAMED = 0.5
"""A cause counts for a student from this probability on: likelier than all others together."""
RETEACH_OVER = 0.30
"""A cause that more of the class share than this is taught again to all."""
GROUP_FROM = 0.10
"""From this share on a small group is worth calling together; below it, the sheet does the work."""
FEWEST_SHARING = 2
"""One student is no group, however small the class."""


BY_FORMULA = frozenset(
    {
        Cause.REARRANGEMENT,
        Cause.OPERATION_ORDER,
        Cause.MISSING_FACTOR,
        Cause.COMBINATION_RULE,
        Cause.SIGN,
        Cause.WRONG_QUANTITY,
    }
)
"""Causes whose slips differ by what was done in the place of the formula."""
PLACES = "places"
"""The slip of decimal places, which is none of significant figures."""
_PLACES_MIXED = Reason.PLACES_MIXED
_NAME, _ROW = re.compile(r"[A-Za-z]\w*"), re.compile(r"\brow \d+")
OUT_OF_MEANS = frozenset({MarkCode.ABSENT, MarkCode.EXCUSED, MarkCode.LOST})
"""Mark codes whose students count in no mean; they stand in every list all the same."""


class Band(StrEnum):
    """What a shared cause asks for in the next lesson."""

    RETEACH = "reteach"
    GROUP = "group"
    SHEET = "sheet"


class CriterionPicture(Struct, frozen=True, kw_only=True):
    """How a class did on one criterion."""

    code: str
    point: str
    marks: int
    full: int
    """Students with all of its marks."""
    part: int
    none: int
    pending: int
    """Students for whom a teacher has still to decide."""
    facility: float | None
    """Mean mark over the most that can be had, of the students decided; None where none is."""


class SharedCause(Struct, frozen=True, kw_only=True):
    """One cause, and who shows it."""

    cause: Cause
    slip: str
    """What tells it from another slip of the same cause, 'g>kg' or 'V * Ω' by units; empty where all are one."""
    shown: Finding
    """One student's line that shows it: the surest."""
    items: tuple[str, ...]
    """Names of items, the one with most students first."""
    students: tuple[str, ...]
    share: float
    """Of those who handed in."""
    band: Band


class Waiting(Struct, frozen=True, kw_only=True):
    """One kind of thing that waits for the teacher."""

    reason: str
    criterion: str
    item: str
    students: tuple[str, ...]
    findings: int
    """Lines of it; more than students where a table has several."""


class StudentResult(Struct, frozen=True, kw_only=True):
    """One student's final value, as the student's own readings lead to it."""

    student: str
    value: float
    agrees: Agrees = Agrees.UNKNOWN
    """With the accepted value, within its uncertainty."""


class ClassPicture(Struct, frozen=True, kw_only=True):
    """One practical of one class."""

    practical: str
    students: int
    handed_in: int
    absent: tuple[str, ...]
    """Codes of those said to be away, with nothing handed in."""
    missing: tuple[str, ...]
    """Codes of the others with nothing handed in."""
    codes: tuple[tuple[str, tuple[str, ...]], ...]
    """Mark codes in use, each with its students."""
    out_of: int
    distribution: tuple[int, ...]
    """Students with 0, 1, 2 ... marks so far."""
    mean: float | None
    median: float | None
    pending: int
    """Marks that a teacher has still to decide, over the class."""
    criteria: tuple[CriterionPicture, ...]
    causes: tuple[SharedCause, ...]
    """Most shared first."""
    waiting: tuple[Waiting, ...]
    """Most findings first."""
    results: tuple[StudentResult, ...]
    result_unit: str
    accepted: tuple[AcceptedValue, ...]
    """The accepted values the results were compared with, each once."""


def counts_in_means(script: Script) -> bool:
    """Tell whether a script counts in means and facilities: not where its student was away, excused or lost it."""
    return not OUT_OF_MEANS.intersection(script.write_up.student.codes)


def picture(marked: MarkedSet) -> ClassPicture:
    """Return the picture of one marked set."""
    handed_in = [script for script in marked.scripts if script.criteria]
    others = [script.write_up.student for script in marked.scripts if not script.criteria]
    out_of = max((script.out_of for script in handed_in), default=marked.rubric.total)
    counted = [script for script in handed_in if counts_in_means(script)]
    awarded = [script.total for script in counted]
    counts = Counter(awarded)
    results = [script.result for script in handed_in if script.result is not None]
    accepted = {result.accepted.name: result.accepted for result in results if result.accepted is not None}
    return ClassPicture(
        practical=marked.rubric.id,
        students=len(marked.scripts),
        handed_in=len(handed_in),
        absent=tuple(student.code for student in others if student.absent),
        missing=tuple(student.code for student in others if not student.absent),
        codes=_codes(marked),
        out_of=out_of,
        distribution=tuple(counts[mark] for mark in range(out_of + 1)),
        mean=statistics.fmean(awarded) if awarded else None,
        median=statistics.median(awarded) if awarded else None,
        pending=sum(script.pending for script in handed_in),
        criteria=_criteria(marked, counted),
        causes=_causes(handed_in, marked.rubric),
        waiting=_waiting(handed_in),
        results=tuple(
            StudentResult(
                student=script.write_up.student.code,
                value=script.result.value,
                agrees=script.result.uncertainty.agrees if script.result.uncertainty else Agrees.UNKNOWN,
            )
            for script in handed_in
            if script.result is not None and math.isfinite(script.result.value)
        ),
        result_unit=results[0].unit if results else "",
        accepted=tuple(accepted.values()),
    )


def _codes(marked: MarkedSet) -> tuple[tuple[str, tuple[str, ...]], ...]:
    found: defaultdict[str, list[str]] = defaultdict(list)
    for script in marked.scripts:
        for code in script.write_up.student.codes:
            found[code].append(script.write_up.student.code)
    return tuple((code, tuple(found[code])) for code in sorted(found))


def _criteria(marked: MarkedSet, handed_in: Iterable[Script]) -> tuple[CriterionPicture, ...]:
    given: defaultdict[str, list[int | None]] = defaultdict(list)
    for script in handed_in:
        for mark in script.criteria:
            given[mark.criterion.code].append(mark.marks)
    pictures = []
    for criterion in marked.rubric.criteria:
        marks = given[criterion.code]
        decided = [mark for mark in marks if mark is not None]
        if not marks and criterion.when:
            continue  # a criterion of a component that nobody took
        pictures.append(
            CriterionPicture(
                code=criterion.code,
                point=criterion.point,
                marks=criterion.marks,
                full=sum(mark == criterion.marks for mark in decided),
                part=sum(0 < mark < criterion.marks for mark in decided),
                none=sum(mark == 0 for mark in decided),
                pending=len(marks) - len(decided),
                facility=statistics.fmean(decided) / criterion.marks if decided and criterion.marks else None,
            )
        )
    return tuple(pictures)


def _causes(handed_in: list[Script], rubric: Rubric) -> tuple[SharedCause, ...]:
    found: defaultdict[tuple[Cause, str], list[Finding]] = defaultdict(list)
    for script in handed_in:
        for finding in script.findings:
            key = slip_of(finding, rubric)
            if key is not None:
                found[key].append(finding)
    shared = []
    for (cause, slip), findings in found.items():
        codes = tuple(dict.fromkeys(finding.student for finding in findings))
        places = Counter(item for item, _ in dict.fromkeys((finding.item, finding.student) for finding in findings))
        shared.append(
            SharedCause(
                cause=cause,
                slip=slip,
                shown=max(findings, key=lambda finding: finding.confidence or 0.0),
                items=tuple(item for item, _ in places.most_common() if item),
                students=codes,
                share=len(codes) / len(handed_in),
                band=band_of(len(codes), len(handed_in)),
            )
        )
    order = list(Cause)
    return tuple(sorted(shared, key=lambda one: (-len(one.students), order.index(one.cause))))


def slip_of(finding: Finding, rubric: Rubric) -> tuple[Cause, str] | None:
    """Return the cause of a finding and what tells it from other slips of that cause; None where none is named.

    Who added where it should be multiplied did not turn the formula round, though both are one cause.
    """
    cause = named_cause(finding)
    if cause is None:
        return None
    likeliest = next((one for one in finding.explanations if one.cause is cause), None)
    if likeliest is None:
        return cause, ""
    if cause is Cause.UNIT_CONVERSION:
        change = (likeliest.facts.get("given_unit", ""), likeliest.facts.get("needed_unit", ""))
        return cause, ">".join(change) if all(change) else ""
    if cause is Cause.SIGNIFICANT_FIGURES:
        return cause, PLACES if finding.reason == _PLACES_MIXED else ""
    if cause not in BY_FORMULA:
        return cause, ""
    # V_1 * I_1 and V_2 * I_2 are one slip: what counts is the kind of each quantity, and no row.
    kinds = {name: item.unit.symbol or name for name, item in rubric.items.items()}
    return cause, _ROW.sub("row", _NAME.sub(lambda name: kinds.get(name[0], name[0]), likeliest.detail))


def named_cause(finding: Finding) -> Cause | None:
    """Return the cause a withheld mark is put down to, or None where none is likelier than the rest together."""
    if finding.outcome is not Outcome.WITHHELD:
        return None
    chances: dict[Cause, float] = {}
    for explanation in finding.explanations:
        chances[explanation.cause] = chances.get(explanation.cause, 0.0) + explanation.probability
    cause = max(chances, key=lambda one: chances[one], default=Cause.NONE)
    return None if cause in (Cause.NONE, Cause.UNEXPLAINED) or chances[cause] < NAMED else cause


def band_of(sharing: int, handed_in: int) -> Band:
    """Return what a cause asks for that *sharing* of *handed_in* students show."""
    if sharing < FEWEST_SHARING:
        return Band.SHEET
    share = sharing / handed_in
    if share > RETEACH_OVER:
        return Band.RETEACH
    return Band.GROUP if share >= GROUP_FROM else Band.SHEET


def _waiting(handed_in: Iterable[Script]) -> tuple[Waiting, ...]:
    lines: Counter[tuple[str, str, str]] = Counter()
    students: defaultdict[tuple[str, str, str], dict[str, None]] = defaultdict(dict)
    for script in handed_in:
        for finding in script.findings:
            if finding.outcome is Outcome.FOR_TEACHER:
                key = (finding.reason, finding.criterion, finding.item)
                lines[key] += 1
                students[key][script.write_up.student.code] = None
    return tuple(
        Waiting(reason=key[0], criterion=key[1], item=key[2], students=tuple(students[key]), findings=count)
        for key, count in lines.most_common()
    )
