"""Sentences put together once: the same words as when each is put together anew."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from marking.findings import Basis, Outcome
from marking.reasons import Reason
from reports.wording import ToldAgain, message
from reports.wording.sentences import MOST_KEPT, Frames, little_quoted, said
from tests.reports.invented import GRAMS, a_finding
from tests.reports.wording.test_wording import MESSAGES


@pytest.mark.parametrize("outcome", Outcome)
@pytest.mark.parametrize("reason", MESSAGES)
def test_each_says_what_a_single_one_says(reason: str, outcome: Outcome) -> None:
    """Whatever differs between two findings on one thing: a fact, entry, unit, cause, figures carried forward."""
    case = MESSAGES[reason]
    one = a_finding(reason, outcome, facts=case["facts"], entry=case.get("entry", ""), unit=case.get("unit", ""))
    others = [
        replace(one, facts={name: text for name, text in one.facts.items() if name != left_out})
        for left_out in one.facts
    ]
    others += [replace(one, facts={**one.facts, name: f"{text} or so"}) for name, text in one.facts.items()]
    others += [replace(one, unit="furlong"), replace(one, entry="7 or 8"), replace(one, basis=Basis.CARRIED_FORWARD)]
    others += [replace(one, explanations=(GRAMS,)), replace(one, explanations=()), replace(one, told="See me.")]
    others += [replace(one, student="S9", expected=2.5, source=None)]
    again = ToldAgain(one, str.upper)
    for finding in (one, *others, *reversed(others), one):
        assert again.of(finding) == message(finding).upper()


@pytest.mark.parametrize("reason", MESSAGES)
def test_a_frame_is_filled_with_numbers_alone(reason: str) -> None:
    """The same frame, whatever the numbers are, and another for each other place, unit and basis."""
    case = MESSAGES[reason]
    one = a_finding(reason, Outcome.AWARDED, facts=case["facts"], entry=case.get("entry", ""))
    frames = Frames(one.reason)
    wrote = [
        replace(one, facts={**one.facts, "wrote": text, "readings": text}) for text in ("1 V", "", "2 V", "your I")
    ]
    others = [replace(one, facts={**one.facts, "quantity": f"place {number}"}) for number in range(MOST_KEPT + 2)]
    for finding in (one, *wrote, replace(one, unit="m"), replace(one, basis=Basis.CARRIED_FORWARD), *others, one):
        assert frames.said(finding) == said(finding)


def test_only_what_hardly_differs_is_kept() -> None:
    """A sentence with a student's own number, or with a cause, is put together each time."""
    assert little_quoted(Reason.RIGHT, Outcome.AWARDED) is None
    assert little_quoted(Reason.WRONG_VALUE, Outcome.WITHHELD) is None
    unit = little_quoted(Reason.UNIT_RIGHT, Outcome.AWARDED)
    assert unit is not None
    assert (unit.facts, unit.unit, unit.basis) == (("quantity",), True, False)
    step = little_quoted(Reason.METHOD_SHOWN, Outcome.AWARDED)
    assert step is not None
    assert (step.facts, step.unit) == (("formula", "quantity"), False)
