"""Short answers: what they say is proposed to the teacher, who decides."""

from __future__ import annotations

from collections.abc import Iterator

from marking.checking.case import Case, Line, Reason, basic_facts
from marking.findings import Outcome
from marking.write_up import State
from rubrics.model import Criterion

SPLIT = " … "
"""Between two stretches of the words that a proposal rests on."""


def check_ideas(criterion: Criterion, case: Case) -> Iterator[Line]:
    """Yield one line for each question: always for the teacher, with a proposal where an answer was given.

    Facts of a proposal: ``proposal`` (awarded, withheld, unsure), ``idea`` (ids found), ``wrong``, ``highlight``
    (the words it rests on), ``spans`` ('0-4 9-13', characters of the entry) and ``group``.
    """
    from marking.checking.short_answers import Proposal, read_answer  # loads a stemmer, for short answers only

    reasons = {
        Proposal.AWARDED: Reason.PROPOSED_AWARDED,
        Proposal.WITHHELD: Reason.PROPOSED_WITHHELD,
        Proposal.UNSURE: Reason.UNSURE,
    }
    for name in criterion.items:
        item = case.item(name)
        if item.question is None:  # named only so that the teacher sees it beside the answer
            continue
        entry = case.entry(item, 1)
        facts = basic_facts(item, None, entry) | {"point": criterion.point}
        reason = Reason.TEACHER_LOOKS
        if entry is not None and entry.state is not State.BLANK:
            found = read_answer(item.question, entry.raw)
            reason = reasons[found.proposal]
            facts |= {
                "proposal": found.proposal.value,
                "idea": ", ".join(found.ideas),
                "wrong": ", ".join(found.wrong),
                "highlight": SPLIT.join(entry.raw[start:end] for start, end in found.spans),
                "spans": " ".join(f"{start}-{end}" for start, end in found.spans),
                "group": found.group,
            }
        yield Line(item=name, row=None, outcome=Outcome.FOR_TEACHER, reason=reason, entry=entry, facts=facts)
