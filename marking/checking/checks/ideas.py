"""Short answers: what they say is proposed to the teacher, who decides, or decides where the rubric lets it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from marking.checking.case import Case, Line, basic_facts
from marking.checking.checks.choice import find_choice
from marking.findings import Outcome
from marking.reasons import Reason
from marking.write_up import Entry, State
from rubrics.build_questions import way_meant
from rubrics.model import Criterion, Item, Moves, Question

if TYPE_CHECKING:
    from marking.checking.short_answers import Parts

SPLIT = " … "
"""Between two stretches of the words that a proposal rests on."""
BESIDE = 0.02
"""Two own results closer than this share are not told apart: neither is above the other."""


def check_ideas(criterion: Criterion, case: Case) -> Iterator[Line]:
    """Yield one line for each question: for the teacher with a proposal, or awarded where the rubric lets it decide.

    Facts of a proposal: ``proposal`` (awarded, withheld, unsure), ``idea`` (ids found), ``wrong``, ``highlight``
    (the words it rests on), ``spans`` ('0-4 9-13', characters of the entry), ``group`` and ``why`` it is left open.
    """
    for name in criterion.items:
        item = case.item(name)
        if item.question is None:  # named only so that the teacher sees it beside the answer
            continue
        entry = case.entry(item, 1)
        facts = basic_facts(item, None, entry) | {"point": criterion.point}
        if entry is None or entry.state is State.BLANK:
            reason, outcome = _of_blank(criterion, case, entry)
        else:
            reason, outcome, more = _read(criterion, case, item, entry)
            facts |= more
        yield Line(item=name, row=None, outcome=outcome, reason=reason, entry=entry, facts=facts)


def _of_blank(criterion: Criterion, case: Case, entry: Entry | None) -> tuple[Reason, Outcome]:
    """Return what a blank is worth: nothing where the student typed another short answer, for else all are on paper."""
    others = (one for one in case.rubric.items.values() if one.question is not None)
    types = any(each.state is not State.BLANK for one in others for _, each in case.unplaced(one))
    if criterion.decides and entry is not None and types:
        return Reason.NO_WORDS, Outcome.WITHHELD
    return Reason.TEACHER_LOOKS, Outcome.FOR_TEACHER


def _read(criterion: Criterion, case: Case, item: Item, entry: Entry) -> tuple[Reason, Outcome, dict[str, str]]:
    from marking.checking.short_answers import Proposal, Why, read_answer  # loads a stemmer, for short answers only

    question = item.question
    assert question is not None
    parts, own, off = _parts(case, question, entry), _own(case, question), _off(case, question)
    found = read_answer(question, parts, own, off, tested=case.selected)
    facts = {
        "proposal": found.proposal.value,
        "idea": ", ".join(found.ideas),
        "wrong": ", ".join(found.wrong),
        "highlight": SPLIT.join(entry.raw[start:end] for start, end in found.spans),
        "spans": " ".join(f"{start}-{end}" for start, end in found.spans),
        "group": found.group,
        "why": found.why.value,
    }
    if found.proposal is Proposal.AWARDED and criterion.decides:
        return Reason.ANSWER_SURE, Outcome.AWARDED, facts
    if found.proposal is Proposal.WITHHELD and found.why is Why.NOT_FOUND and criterion.decides:
        return Reason.WORDS_EMPTY, Outcome.WITHHELD, facts
    reasons = {
        Proposal.AWARDED: Reason.PROPOSED_AWARDED,
        Proposal.WITHHELD: Reason.PROPOSED_WITHHELD,
        Proposal.UNSURE: Reason.UNSURE,
    }
    return reasons[found.proposal], Outcome.FOR_TEACHER, facts


def _parts(case: Case, question: Question, entry: Entry) -> Parts:
    from marking.checking.short_answers import Parts

    way = None
    written = _text(case, question.way)
    if written:
        choice = find_choice(case.item(question.way), written)
        # A direction that is not understood is one more sentence of the answer.
        if choice is None:
            return Parts(what=f"{entry.raw}. {written}", because=_text(case, question.because))
        way = way_meant(choice.word)
    return Parts(what=entry.raw, way=way, because=_text(case, question.because))


def _text(case: Case, name: str) -> str:
    entry = case.entry(case.item(name), 1) if name in case.rubric.items else None
    return entry.raw.strip() if entry is not None and entry.state is not State.BLANK else ""


def _own(case: Case, question: Question) -> dict[str, list[float]]:
    """Return the columns that figures in the answer are held against, as written, else as the readings lead to them."""
    found = {}
    for name in {column for idea in question.ideas for column in idea.columns}:
        item = case.item(name)
        si = case.board.cells[name].si[case.student]
        if name in case.judged:
            own = case.judged[name].own[case.student]
            si = np.where(np.isfinite(si), si, own) if si.shape == own.shape else own
        values = (si - item.unit.offset) / item.unit.factor
        found[name] = [float(value) for value in values]
    return found


def _off(case: Case, question: Question) -> Moves | None:
    """Return which way the first of the two results that are compared lies from the second; None where unclear."""
    if question.beside is None:
        return None
    one, other = (_value(case, name) for name in question.beside)
    if not (np.isfinite(one) and np.isfinite(other)) or abs(one - other) <= BESIDE * abs(other):
        return None
    return Moves.HIGH if one > other else Moves.LOW


def _value(case: Case, name: str) -> float:
    cells = case.judged[name].own if name in case.judged else case.board.cells[name].si
    return float(cells[case.student, 0])
