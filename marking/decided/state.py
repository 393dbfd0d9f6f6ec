"""Findings + decisions -> marks: the one place where a mark is known.

A finding is never changed. Where a person decided otherwise than the program, the script shows that decision in the
place of the lines that say the contrary, and keeps all lines as they were found.
"""

from __future__ import annotations

import hashlib
import json
import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence

from msgspec import Struct, field, structs

from marking.decided.decisions import (
    CommentWritten,
    Decision,
    MarkGiven,
    ModerationRuled,
    ModerationUndone,
    PutOff,
    RoundBegun,
    SentenceMended,
    TakenBack,
)
from marking.findings import CriterionMark, Finding, MarkedSet, Moderated, Outcome, Ruling, Script
from marking.reasons import Reason
from marking.write_up import Remark, Weight

AGAIN = "again"
"""The cell of a decision on work that was handed in a second time: each version has marks of its own."""

Thing = tuple[str, str, str]
"""Student, criterion, version."""


class Ruled(Struct):
    """What has been decided about one mark, so far."""

    standing: list[MarkGiven] = field(default_factory=list)
    """Decisions not taken back, the one that counts last."""
    is_put_off: bool = False


def ruled(decisions: Iterable[Decision]) -> Mapping[Thing, Ruled]:
    """Return what decisions in their order come to, mark by mark."""
    found: dict[Thing, Ruled] = defaultdict(Ruled)
    for decision in decisions:
        if isinstance(decision, MarkGiven | PutOff | TakenBack):
            _STEPS[type(decision)](found[decision.student, decision.criterion, decision.cell], decision)
    return found


def _give(thing: Ruled, decision: Decision) -> None:
    if isinstance(decision, MarkGiven):
        thing.standing.append(decision)
    thing.is_put_off = False


def _put_off(thing: Ruled, _decision: Decision) -> None:
    thing.is_put_off = True


def _take_back(thing: Ruled, _decision: Decision) -> None:
    if thing.is_put_off:
        thing.is_put_off = False
    elif thing.standing:
        thing.standing.pop()


_STEPS = {MarkGiven: _give, PutOff: _put_off, TakenBack: _take_back}
"""A new kind of decision on marks is one more line."""


def with_decisions(
    found: MarkedSet, decisions: Iterable[Decision], adjustment: ModerationRuled | None = None
) -> MarkedSet:
    """Return the set with the marks that findings and decisions come to together; pure, and the order of both counts.

    Args:
        found: The set as checking returns it.
        decisions: On this set, in the order in which they were taken.
        adjustment: What the department ruled on the totals of this class, see ``ruling_for``.
    """
    taken = tuple(decisions)
    things = ruled(taken)
    comments = {one.student: one.text for one in taken if isinstance(one, CommentWritten)}
    scripts = tuple(
        structs.replace(
            moderated(_script(script, things), adjustment), comment=comments.get(script.write_up.student.code, "")
        )
        for script in found.scripts
    )
    mends = {(one.student, one.criterion, one.cell): one for one in taken if isinstance(one, SentenceMended)}
    spoken = {student for student, _, _ in mends}
    scripts = tuple(_in_words(one, mends) if one.write_up.student.code in spoken else one for one in scripts)
    remarks = (remark for script in scripts for remark in _remarks(script, things))
    return structs.replace(found, scripts=scripts, remarks=(*found.remarks, *remarks))


def seen(script: Script, criterion: str) -> str:
    """Return a fingerprint of what the student wrote under a criterion: a decision stands while it is the same."""
    cells = [
        (one.item, one.row, one.entry.strip(), one.unit.strip())
        for one in script.as_found
        if one.criterion == criterion
    ]
    return hashlib.sha256(json.dumps(cells, ensure_ascii=True).encode()).hexdigest()[:16]


def sentence_of(finding: Finding) -> str:
    """Return how decisions name what is said of *finding*: the item, why it stands so, and the likeliest cause.

    Never its words, so that sheet, workbook and explanation, which say it differently, show the same when it is mended.
    """
    return f"{finding.item}/{finding.reason}/{finding.cause.value}"


def _in_words(script: Script, mends: Mapping[Thing, SentenceMended]) -> Script:
    """Return a script whose findings carry the words of *mends*; words about something else as written do not count."""
    code = script.write_up.student.code
    written = {mark.criterion.code: seen(script, mark.criterion.code) for mark in script.criteria}

    def told(finding: Finding) -> Finding:
        mend = mends.get((code, finding.criterion, sentence_of(finding)))
        if mend is None or not mend.text or mend.saw not in ("", written.get(finding.criterion, "")):
            return finding
        return structs.replace(finding, told=mend.text)

    return structs.replace(script, findings=tuple(map(told, script.findings)), found=tuple(map(told, script.found)))


def version_of(script: Script) -> str:
    """Return the cell of decisions on the marks of *script*."""
    return "" if script.earlier is None else AGAIN


def _script(script: Script, things: Mapping[Thing, Ruled]) -> Script:
    earlier = _script(script.earlier, things) if script.earlier is not None else None
    code = script.write_up.student.code
    marks: list[CriterionMark] = []
    shown: list[Finding] = []
    for mark in script.criteria:
        thing = things.get((code, mark.criterion.code, version_of(script)))
        lines = [one for one in script.as_found if one.criterion == mark.criterion.code]
        ruling = _ruling(script, mark, thing)
        if ruling is not None:
            lines = _shown(mark, ruling, lines)
            mark = _marked(mark, ruling)
        elif thing is not None and thing.is_put_off:
            mark = structs.replace(mark, is_put_off=True)
        marks.append(mark)
        shown += lines
    if not script.criteria:
        return script
    as_found = script.as_found
    # What no criterion pays for is told whatever was decided.
    shown += [one for one in as_found if not one.criterion]
    return structs.replace(
        script,
        earlier=earlier,
        criteria=tuple(marks),
        findings=tuple(shown),
        found=() if tuple(shown) == as_found else as_found,
    )


def stands(script: Script, mark: CriterionMark, decision: MarkGiven) -> bool:
    """Tell whether a decision still fits: the same was written, and the criterion has as many marks."""
    same = not decision.saw or decision.saw == seen(script, mark.criterion.code)
    return same and 0 <= decision.marks <= mark.criterion.marks


def _ruling(script: Script, mark: CriterionMark, thing: Ruled | None) -> Ruling | None:
    if thing is None or not thing.standing or not stands(script, mark, thing.standing[-1]):
        return None
    last = thing.standing[-1]
    return Ruling(marks=last.marks, proposed=mark.marks, who=last.who, when=last.when, why=last.why, source=last.source)


def _marked(mark: CriterionMark, ruling: Ruling) -> CriterionMark:
    outcome = Outcome.AWARDED if ruling.marks == mark.criterion.marks else Outcome.WITHHELD
    return structs.replace(mark, outcome=outcome, marks=ruling.marks, ruling=ruling)


def _shown(mark: CriterionMark, ruling: Ruling, lines: Sequence[Finding]) -> list[Finding]:
    """Return the lines as pages tell them: the decision first, then what does not say the contrary."""
    if ruling.marks == mark.marks:
        return list(lines)
    is_full, is_none = ruling.marks == mark.criterion.marks, ruling.marks == 0
    against = {Outcome.FOR_TEACHER}
    if is_full:
        against.add(Outcome.WITHHELD)
    if is_none:
        against.add(Outcome.AWARDED)
    first = next((line for line in lines if line.outcome in against), lines[0])
    decided = structs.replace(
        first,
        outcome=Outcome.AWARDED if is_full else Outcome.WITHHELD,
        reason=Reason.TEACHER_TICKED,
        marks=ruling.marks,
        out_of=mark.criterion.marks,
        explanations=() if is_full else first.explanations,
        facts={"point": mark.criterion.point, **first.facts},
    )
    others = [structs.replace(line, marks=0, out_of=0) for line in lines if line.outcome not in against]
    return [decided, *others]


def _remarks(script: Script, things: Mapping[Thing, Ruled]) -> Iterator[Remark]:
    """Yield what a teacher has to hear of decisions: overruled without a reason, or decided on other words."""
    code = script.write_up.student.code
    files = [one.source.file for one in script.as_found if one.source is not None]
    for mark in script.criteria:
        name = mark.criterion.code
        thing = things.get((code, name, version_of(script)))
        said = None
        if mark.ruling is not None:
            said = _overruled(mark, mark.ruling)
        elif thing is not None and thing.standing:
            last = thing.standing[-1]
            said = (
                f"{name}: {last.who or 'a tick'} gave {last.marks} on {last.when[:10]}, and since then what is written "
                "or what it counts has changed: the mark is as worked out now. Decide it again."
            )
        if said is not None:
            where = mark.ruling.source if mark.ruling else ""
            file = where.split(", ")[0] or next(iter(files), "")
            yield Remark(weight=Weight.QUERY, file=file, message=said, student=code, item=name)


def _overruled(mark: CriterionMark, ruling: Ruling) -> str | None:
    if ruling.proposed in (None, ruling.marks) or ruling.why:
        return None
    return (
        f"{ruling.source or ruling.who}: {mark.criterion.code} was worked out as {ruling.proposed}, and the teacher's "
        f"{ruling.marks} counts. Say why in a column 'why {mark.criterion.code}' beside it."
    )


# ---- what a department ruled on whole classes, in the totals ---------------------------------------------------

ADJUST = "adjust"
REPLACED_BY = frozenset({ADJUST, "accept", "re-mark-class"})
"""Rulings on a marker's marks as a whole: the last of them counts."""


def adjusted_mark(mark: int, *, slope: float, constant: float, out_of: int) -> int:
    """Return a mark adjusted by a line, between nought and *out_of*; all are rounded alike, halves up."""
    return min(out_of, max(0, math.floor(slope * mark + constant + 0.5)))


def standing_rulings(decisions: Iterable[Decision]) -> tuple[ModerationRuled, ...]:
    """Return the rulings among a department's decisions that were not undone, in order; each round numbers its own."""
    rulings: dict[tuple[str, int], ModerationRuled] = {}
    for one in decisions:
        if isinstance(one, ModerationRuled):
            rulings[one.cell, one.number] = one
        elif isinstance(one, ModerationUndone):
            rulings.pop((one.cell, one.undoes), None)
    return tuple(rulings.values())


def ruling_for(
    rulings: Iterable[ModerationRuled], rounds: Iterable[RoundBegun], class_name: str
) -> ModerationRuled | None:
    """Return the adjustment that counts for a class; None where none does.

    Args:
        rulings: Those that stand, in the order in which they were taken.
        rounds: As they were begun: the last one that the class is in takes the place of all before it.
        class_name: As the record calls it.
    """
    begun = [one.cell for one in rounds if class_name in one.classes]
    own = [one for one in rulings if class_name in one.classes and one.ruling in REPLACED_BY]
    own = [one for one in own if not begun or one.cell == begun[-1]]
    return own[-1] if own and own[-1].ruling == ADJUST else None


def moderated(script: Script, ruling: ModerationRuled | None) -> Script:
    """Return a script with what *ruling* makes of its total; as it is where none does, or where marks still wait."""
    if ruling is None or not script.criteria or script.pending:
        return structs.replace(script, moderated=None)
    given = sum(mark.marks or 0 for mark in script.eye)
    most = sum(mark.criterion.marks for mark in script.eye)
    # A line is fitted on whole scripts; where fewer marks could be had there, no more than those can come out.
    fitted = adjusted_mark(given, slope=ruling.slope, constant=ruling.constant, out_of=ruling.out_of)
    return structs.replace(
        script,
        moderated=Moderated(
            total=script.awarded - given + min(most, fitted),
            before=script.awarded,
            number=ruling.number,
            slope=ruling.slope,
            constant=ruling.constant,
            who=ruling.who,
            when=ruling.when,
            why=ruling.why,
        ),
    )
