"""What is said about the causes of a wrong answer: as much as is known, and no more."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from msgspec import Struct

from marking.findings import Cause, Explanation, Finding, Outcome
from marking.reasons import Reason
from reports.wording.lettering import one_line
from reports.wording.sentences import Slots, facts_quoted, said
from reports.wording.templates import fill, wording

SURE = 0.8
"""From this probability on, the sentence names the cause."""
LIKELY = 0.5
"""From this probability on, it says what the answer looks like."""
NEARLY_EQUAL = 0.75
"""A second explanation of at least this share of the first is named beside it."""
_ROUNDING = 1e-9
"""So that 0.30 counts as three quarters of 0.40."""


class _Chance(Struct, frozen=True, kw_only=True):
    """Explanations that a reader cannot tell apart, the likeliest and the last of them, and the probability of all."""

    probability: float
    explanation: Explanation
    last: Explanation
    slots: Slots
    """Of the finding."""

    def phrase(self) -> str:
        """Return how it is named beside another, which most never are."""
        return self._named(self.explanation)

    def is_plain(self) -> bool:
        """Tell whether the phrase quotes no fact, though with facts it would."""
        pair = wording("causes")[self.last.cause]["pair"]
        return len(pair) > 1 and self._named(self.last) == pair[-1]

    def _named(self, explanation: Explanation) -> str:
        return fill(wording("causes")[explanation.cause]["pair"], self.slots.explained(explanation))


def message(finding: Finding) -> str:
    """Return what *finding* tells the student: place, what was written, what it should follow from, how to mend it."""
    if finding.told:
        return finding.told
    if not finding.explanations and (names := facts_quoted(finding.reason)) is not None:
        get = finding.facts.get
        quoted = tuple([get(name, "") for name in names])
        return _of_facts(finding.reason, finding.outcome, (finding.item, finding.row, finding.criterion), quoted)
    return message_of(finding, said(finding))


@lru_cache(maxsize=4096)
def _of_facts(reason: Reason, outcome: Outcome, about: tuple[str, int | None, str], quoted: tuple[str, ...]) -> str:
    """Return what a reason tells whose sentences quote facts alone: a class is told few different things by it."""
    item, row, criterion = about
    names = facts_quoted(reason)
    assert names is not None
    nobodys = Finding(
        student="",
        practical="",
        item=item,
        row=row,
        criterion=criterion,
        outcome=outcome,
        marks=None,
        out_of=0,
        reason=reason,
        facts=dict(zip(names, quoted, strict=True)),
    )
    return message_of(nobodys, said(nobodys))


def says_more(reason: Reason, outcome: Outcome) -> bool:
    """Tell whether more is told than what the reason says: a cause, or that a teacher decides."""
    words = wording("reasons")[reason]
    if outcome is Outcome.WITHHELD:
        return bool(words.get("names_cause"))
    return outcome is Outcome.FOR_TEACHER and not words.get("says_teacher")


def message_of(finding: Finding, told: str) -> str:
    """Return what ``message`` does, with what the reason of the finding says already *told*."""
    if not says_more(finding.reason, finding.outcome):
        return told
    if finding.outcome is Outcome.WITHHELD:
        slots = Slots(finding)
        more = _explained(slots, _told_apart(finding, slots))
    else:
        more = wording("sheet")["teacher_decides"]
    return f"{told} {more}" if told and more else told or more


def explain(finding: Finding, *, hides_answer: bool = False) -> str:
    """Return what to do about a wrong answer, worded as surely as its likeliest explanations allow.

    Args:
        finding: About a wrong answer.
        hides_answer: Keep back what the student is to work out: the figure meant, the value in the other unit.
    """
    slots = Slots(finding)
    return _explained(Slots(finding, hides_answer=True) if hides_answer else slots, _told_apart(finding, slots))


def _explained(slots: Slots, chances: Sequence[_Chance]) -> str:
    causes = _by_cause(chances)
    if not causes:
        return fill(wording("causes")[Cause.UNEXPLAINED]["check"], slots)
    first, total = causes[0]
    words = wording("causes")[first]
    rivals = _rivals([(total, _best(chances, cause)) for cause, total in causes]) if total < SURE else None
    if rivals:
        return _both(*rivals)
    if total < LIKELY:
        return fill(words["check"], slots)
    level = "sure" if total >= SURE else "likely"
    own = [(chance.probability, chance) for chance in chances if chance.explanation.cause is first]
    rivals = _rivals(own)
    telling = [chance for chance in rivals or () if not chance.is_plain()]
    if rivals and len(telling) != 1:
        return _both(*rivals)
    if telling or own[0][0] >= LIKELY * total:
        told = (telling[0] if telling else own[0][1]).explanation
        return fill(words[level], slots.explained(told)) + _second(told)
    return fill(words[level], slots)  # the cause is known, the way it happened is not


def _second(explanation: Explanation) -> str:
    """Return what else to check where one slip alone does not explain the answer."""
    second = wording("sheet")["second_slip"].get(explanation.facts.get("second", ""))
    return f" {second}" if second else ""


def told_cause(finding: Finding) -> Cause:
    """Return the cause that the sentence names, UNEXPLAINED where it names none or two different ones."""
    chances = _told_apart(finding, Slots(finding))
    causes = _by_cause(chances)
    if not causes or causes[0][1] < LIKELY:
        return Cause.UNEXPLAINED
    if causes[0][1] < SURE and _rivals([(total, _best(chances, cause)) for cause, total in causes]):
        return Cause.UNEXPLAINED
    return causes[0][0]


def _told_apart(finding: Finding, slots: Slots) -> list[_Chance]:
    """Return the explanations that a reader can tell apart, likeliest first; *slots* are those of the finding."""
    if len(finding.explanations) == 1:
        (only,) = finding.explanations
        return [_Chance(probability=only.probability, explanation=only, last=only, slots=slots)]
    alike: dict[str, _Chance] = {}
    for explanation in finding.explanations:
        # A lost bracket and a factor on the wrong side are one sum on the calculator: one explanation.
        key = explanation.facts.get("used") or _alone(slots, explanation)
        known = alike.get(key)
        alike[key] = _Chance(
            probability=explanation.probability + (known.probability if known else 0.0),
            explanation=known.explanation if known else explanation,
            last=explanation,
            slots=slots,
        )
    return sorted(alike.values(), key=lambda chance: -chance.probability)


def _alone(slots: Slots, explanation: Explanation) -> str:
    """Return what is said of an explanation that is sure."""
    return fill(wording("causes")[explanation.cause]["sure"], slots.explained(explanation))


def _by_cause(chances: Sequence[_Chance]) -> list[tuple[Cause, float]]:
    """Return the causes with the probability of all their ways, likeliest first."""
    totals: dict[Cause, float] = {}
    for chance in chances:
        totals[chance.explanation.cause] = totals.get(chance.explanation.cause, 0.0) + chance.probability
    return sorted(totals.items(), key=lambda pair: -pair[1])


def _best(chances: Sequence[_Chance], cause: Cause) -> _Chance:
    return next(chance for chance in chances if chance.explanation.cause is cause)


def _rivals(ranked: Sequence[tuple[float, _Chance]]) -> tuple[_Chance, _Chance] | None:
    """Return the two that share the lead, where exactly two do and both have something to say."""
    if len(ranked) < 2 or Cause.UNEXPLAINED in (ranked[0][1].explanation.cause, ranked[1][1].explanation.cause):
        return None
    floor = NEARLY_EQUAL * ranked[0][0] - _ROUNDING
    third_is_near = len(ranked) > 2 and ranked[2][0] >= floor
    (chance, first), (next_chance, second) = ranked[:2]
    share_the_lead = next_chance >= floor and chance + next_chance >= LIKELY and not third_is_near
    return (first, second) if share_the_lead and first.phrase() != second.phrase() else None


def _both(first: _Chance, second: _Chance) -> str:
    pair = {"first": first.phrase(), "second": second.phrase()}
    size = first.explanation.facts.get("size")
    if size and size == second.explanation.facts.get("size"):
        pair["size"] = one_line(size)
    return fill(wording("sheet")["two_causes"], pair)
