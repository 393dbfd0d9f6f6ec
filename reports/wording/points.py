"""What a sheet tells the student: which findings stand together, and in what order they are said."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence, Set
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from marking.findings import Cause, Finding, Outcome, Script
from marking.reasons import Reason
from marking.write_up import State
from reports.wording.cause_sentences import explain, told_cause
from reports.wording.row_names import rows_named
from reports.wording.sentences import Slots
from reports.wording.templates import fill, wording
from rubrics.formulas import listed
from rubrics.model import Rubric

KINDS = ("step", "readings", "figures")
"""Order of points: steps of the working first, then readings to take again, then units and figures."""
MOST_STANDING = 4
"""Sentences about what stands; more are not read."""
ALIKE = (Cause.UNIT_CONVERSION, Cause.REARRANGEMENT, Cause.OPERATION_ORDER, Cause.MISSING_FACTOR)
"""Causes that can be one habit in several answers; a copied figure is about one answer only."""
_NAME = re.compile(r"[A-Za-z]\w*")
_STEP_NOT_DONE = Reason.METHOD_NOT_DONE
"""Told with the wrong value that shows it."""
_OTHER_UNIT = Reason.RIGHT_IF_OTHER_UNIT
"""The number is right in a unit that nobody wrote: then the missing unit is not the usual one."""
_TICKED = Reason.TEACHER_TICKED
"""Nothing to work out again: it takes the place of no slip that the program found."""
MOST_NAMED = 3
"""Quantities of one point that are named; of more the first two, and how many there are."""
SAME_KIND = 2
"""Things of one kind that are named one by one; more are summed up."""


class Point(Struct, frozen=True, kw_only=True):
    """One thing to mend: findings that one look will mend together."""

    findings: tuple[Finding, ...]
    quantity: str
    """Names of what it is about: 'resistance'."""
    rows: str
    """'rows 1 to 8'; empty for a single item."""
    marks_lost: int
    kind: str
    card: tuple[tuple[str, str], ...]
    """Label and sentence, line by line."""
    step: str
    """What it is, in a sentence that keeps the answer back."""
    tip: str
    """What to check next time."""
    task: str
    """Set of questions in tasks.toml."""
    unit_change: str
    """The change of unit that was missed, 'g>kg'; empty where it is about something else."""
    expected: str
    """What the student's figures lead to, as printed; empty where there is no one value."""
    repeats: bool
    """True where readings have to be taken again."""


def points_to_mend(script: Script, rubric: Rubric) -> tuple[Point, ...]:
    """Return everything that cost a mark or would next time, the earliest step first; what follows is told once.

    What a criterion was given in full for is no point, whatever was found; what a teacher only ticked comes last.
    """
    given = {one.criterion.code for one in script.criteria if one.marks and one.marks == one.criterion.marks}
    groups: defaultdict[tuple[str, str, str], list[Finding]] = defaultdict(list)
    unsure = {finding.item for finding in script.findings if finding.reason is _OTHER_UNIT}
    for finding in script.findings:
        if finding.outcome is Outcome.WITHHELD and finding.criterion not in given:
            if finding.reason is Reason.UNIT_MISSING and finding.item in unsure:
                finding = replace(finding, facts={**finding.facts, "unit": ""})
            groups[_mended_together(finding, rubric)].append(finding)
    lost = _marks_lost(groups, script)
    points = [_point(group, lost[key], rubric) for key, group in groups.items()]
    order = {name: place for place, name in enumerate(rubric.items)}
    last = len(order)

    def step_of(point: Point) -> tuple[bool, int, int, int]:
        place = min(order.get(finding.item, last) for finding in point.findings)
        is_ticked = all(finding.reason == _TICKED for finding in point.findings)
        return is_ticked, KINDS.index(point.kind), place, -point.marks_lost

    return _told_once(sorted(points, key=step_of))


def _told_once(points: Sequence[Point]) -> tuple[Point, ...]:
    """Return *points* without what only follows from another: a step not done, figures and unit of a wrong value."""
    reasons = wording("reasons")
    wrong = {
        finding.item for point in points for finding in point.findings if reasons[finding.reason].get("names_cause")
    }

    def only_follows(point: Point) -> bool:
        about = {finding.item for finding in point.findings}
        if any(reasons[finding.reason].get("names_cause") for finding in point.findings):
            return False
        is_same_step = all(finding.reason == _STEP_NOT_DONE for finding in point.findings)
        return (is_same_step or point.kind == KINDS[-1]) and about <= wrong and "" not in about

    return tuple(point for point in points if not only_follows(point))


def _mended_together(finding: Finding, rubric: Rubric) -> tuple[str, str, str]:
    """Return the key that findings share when one look mends them all."""
    reason = wording("reasons")[finding.reason]
    if reason.get("names_cause"):
        cause, slip = told_cause(finding), _slip(finding, rubric)
        return finding.reason, "" if slip else finding.item, f"{cause} {slip}"
    if reason.get("kind") == "figures":
        return finding.reason, "", ""
    return finding.reason, finding.item, ""


def _slip(finding: Finding, rubric: Rubric) -> str:
    """Return what a student would do alike in several answers: mA for A, or V × I; empty where it is about one."""
    cause = told_cause(finding)
    if not finding.explanations or finding.explanations[0].cause is not cause or cause not in ALIKE:
        return ""
    if cause is Cause.UNIT_CONVERSION:
        facts = finding.explanations[0].facts
        return f"{facts.get('given_unit', '')}>{facts.get('needed_unit', '')}"
    # V_1 * I_1 and V_2 * I_2 are one slip: what counts is the kind of each quantity.
    kinds = {name: item.unit.symbol for name, item in rubric.items.items()}
    return _NAME.sub(lambda name: kinds.get(name[0], name[0]), finding.explanations[0].detail)


def _marks_lost(
    groups: Mapping[tuple[str, str, str], Sequence[Finding]], script: Script
) -> Counter[tuple[str, str, str]]:
    """Return the marks each group cost; a criterion counts once, for the group with most of its findings."""
    lost: Counter[tuple[str, str, str]] = Counter()
    for mark in script.criteria:
        missing = mark.criterion.marks - (mark.criterion.marks if mark.marks is None else mark.marks)
        shares = {key: sum(f.criterion == mark.criterion.code for f in group) for key, group in groups.items()}
        if missing and any(shares.values()):
            lost[max(shares, key=lambda key: shares[key])] += missing
    return lost


def _point(group: Sequence[Finding], marks_lost: int, rubric: Rubric) -> Point:
    first = group[0]
    reason = wording("reasons")[first.reason]
    slots = Slots(first)
    slots["quantity"] = _quantities(group, rubric)
    rows = rows_named(sorted({finding.row for finding in group if finding.row is not None}))
    if len(group) > 1 and first.row is not None and first.facts.get("wrote"):
        slots["wrote"] += f" (row {first.row})"
    elif len({finding.item for finding in group}) > 1 and first.facts.get("wrote"):
        slots["wrote"] += f" ({slots['symbol']})"
    named = told_cause(first) if reason.get("names_cause") else Cause.NONE
    told = reason if named in (Cause.NONE, Cause.UNEXPLAINED) else wording("causes")[named]
    change = first.explanations[0].facts if named is Cause.UNIT_CONVERSION else {}
    return Point(
        findings=tuple(group),
        quantity=slots["quantity"],
        rows=rows,
        marks_lost=marks_lost,
        kind=_kind(told),
        card=_card(first, reason, slots, named),
        step=first.told or _step(first, reason),
        # A teacher's words stand alone: what the program would check next may not follow from them.
        tip="" if first.told else _tip(reason, named),
        task=reason.get("task") or (Cause.UNEXPLAINED if named is Cause.NONE else named).value,
        unit_change=f"{change.get('given_unit', '')}>{change.get('needed_unit', '')}",
        expected=slots["expected"],
        repeats=bool(reason.get("repeat")),
    )


def _tip(reason: Mapping[str, Any], named: Cause) -> str:
    return str(wording("causes")[named]["tip"] if reason.get("names_cause") else reason.get("tip", ""))


def _kind(told: Mapping[str, Any]) -> str:
    """Return the kind of a point: wrong ideas and slips of the pen are steps of the working alike."""
    kind = told.get("kind", KINDS[0])
    return kind if kind in KINDS else KINDS[0]


def _card(
    finding: Finding, reason: Mapping[str, Any], slots: Mapping[str, str], named: Cause
) -> tuple[tuple[str, str], ...]:
    """Return the lines of a point: what was written, what it should follow from, the step, what to check next time."""
    labels = wording("sheet")["labels"]
    lines = [(fill([label], slots), fill(sentences, slots)) for label, *sentences in reason.get("card", ())]
    if reason.get("names_cause"):
        lines.append((labels["step"], explain(finding)))
        lines.append((labels["tip"], wording("causes")[named]["tip"]))
    else:
        lines.append((labels["tip"], reason.get("tip", "")))
    return tuple((label, _raised(sentence)) for label, sentence in lines if sentence)


def _step(finding: Finding, reason: Mapping[str, Any]) -> str:
    """Return the one sentence that says what a point is, without the answer."""
    if reason.get("names_cause"):
        return explain(finding, hides_answer=True)
    slots = Slots(finding, hides_answer=True)
    label = wording("sheet")["labels"]["step"]
    return next((fill(sentences, slots) for name, *sentences in reason.get("card", ()) if name == label), "")


def _raised(sentence: str) -> str:
    return fill(["{Sentence}"], {"sentence": sentence})


def _quantities(group: Sequence[Finding], rubric: Rubric) -> str:
    """Return what the findings are about in the words of the rubric."""
    return listed(list(dict.fromkeys(_quantity(finding, rubric) for finding in group)), most=MOST_NAMED)


def _quantity(finding: Finding, rubric: Rubric) -> str:
    if finding.item in rubric.items:
        item = rubric.items[finding.item]
        # What is asked in words may be a sentence: 'Name a source of error.'
        return item.quantity if item.question is None else item.quantity.removesuffix(".")
    if finding.reason.startswith("scale-"):
        return str(wording("sheet")["now"]["graph"])
    # What is about no entry goes by what earns the mark, never by its code.
    return Slots(finding)["point"] or Slots(finding)["quantity"]


def what_stands(script: Script, rubric: Rubric) -> tuple[str, ...]:
    """Return a few sentences about what stands, each with its evidence."""
    return tuple(sentence for sentence, _ in standing(script, rubric)) or _entries(script)


def standing(script: Script, rubric: Rubric) -> tuple[tuple[str, tuple[Finding, ...]], ...]:
    """Return the sentences about what stands, each with the findings it is about."""
    groups: dict[str, dict[str, list[Finding]]] = {}
    mended = {(one.item, one.row, one.reason) for one in script.findings if one.outcome is Outcome.WITHHELD}
    beyond = _beyond_sense(script, rubric)
    is_unsettled = any(finding.reason is Reason.CHOICE_UNCLEAR for finding in script.findings)
    for finding in script.findings:
        if finding.outcome is not Outcome.AWARDED or _is_spoilt(finding, mended, beyond):
            continue
        if is_unsettled and finding.reason is Reason.CHOICE_RIGHT:
            continue  # the points that show one thing are those that do not settle another
        if "stands_one" in wording("reasons")[finding.reason]:
            groups.setdefault(finding.reason, {}).setdefault(finding.item, []).append(finding)
    told: list[tuple[str, tuple[Finding, ...]]] = []
    for name in wording("sheet")["stands"]["order"]:
        told.extend(_standing(name, list(groups.get(name, {}).values()), rubric))
    return tuple(told[:MOST_STANDING])


def _is_spoilt(finding: Finding, mended: Set[tuple[str, int | None, str]], beyond: str) -> bool:
    """Tell whether praise of *finding* would speak against something else that the sheet says of the same entry."""
    against = wording("against").get(finding.reason, ())
    rows = {row for item, row, reason in mended if item == finding.item and reason in against}
    if None in rows or finding.row in rows or (finding.row is None and rows):
        return bool(finding.item)
    return bool(beyond) and finding.item == beyond


def _beyond_sense(script: Script, rubric: Rubric) -> str:
    """Return the item of a result that no apparatus gives, such as a yield of 694 %; empty where it makes sense."""
    result, told = script.result, rubric.result
    if result is None or told is None:
        return ""
    if result.uncertainty is not None and result.uncertainty.is_beyond:
        return told.answer
    if told.stop is None:
        return ""
    base = result.accepted.value if result.accepted is not None else 0.0
    low, high = (base + base * end for end in told.stop) if base else told.stop
    values = [result.value] if result.written is None else [result.value, result.written]
    return "" if all(min(low, high) <= value <= max(low, high) for value in values) else told.answer


def _standing(name: str, groups: list[list[Finding]], rubric: Rubric) -> list[tuple[str, tuple[Finding, ...]]]:
    reason = wording("reasons")[name]
    if len(groups) > (SAME_KIND if reason.get("one_by_one") else 1):
        groups = [[finding for group in groups for finding in group]]
    told = []
    for group in groups:
        slots = Slots(group[0])
        slots["quantity"] = _quantities(group, rubric)
        slots["count"] = str(len(group))
        sentence = _raised(fill(reason["stands_many" if len(group) > 1 else "stands_one"], slots))
        told.append((group[0].told or sentence, tuple(group)))
    return told


def _entries(script: Script) -> tuple[str, ...]:
    """Return what can be said where no criterion is met: that there is something to work from."""
    columns = [column.values() for column in script.write_up.columns.values()]
    entries = [*script.write_up.singles.values(), *(entry for column in columns for entry in column)]
    count = sum(entry.state is not State.BLANK for entry in entries)
    return (fill(wording("sheet")["stands"]["entries"], {"count": str(count)}),)
