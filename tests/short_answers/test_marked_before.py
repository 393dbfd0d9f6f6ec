from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marking.checking.short_answers.marked_before import Marked, counts_of, kept_counts, marked_before, weight_against
from marking.checking.short_answers.matching import read_answer
from marking.checking.short_answers.proposals import Proposal, Why
from rubrics.load import load_catalogue
from rubrics.model import Idea, Question
from tests.short_answers.marked_hands import COUNTS

WAIT = Idea(id="wait", says="Wait for the heat to go", wordings=("wait/leave minute settle",))
ASKED = Question(ideas=(WAIT,), wrong=(), ignore=(), need=1, prompt="How would you reduce that error?")
THINGS = ("air", "gas", "syringe", "tube", "glass")
EARNED = (
    "wait a minute so it settles",
    "leave it a minute to settle",
    *(f"give it a moment so the heat of the {thing} can go" for thing in THINGS),
)
NOT_EARNED = (
    "wait a minute to settle down for the bell",
    "leave it a minute by the tap",
    "let the tap run by the tube",
    "let it run",
    "by the tap",
)
MARKED = Marked(EARNED, NOT_EARNED, (("wait", EARNED), ("other", NOT_EARNED)))


def test_every_question_of_the_catalogue_has_answers_of_both_kinds() -> None:
    """The program goes by answers that earned the mark and by others, for whatever the catalogue asks."""
    for rubric in load_catalogue().values():
        for item in rubric.items.values():
            if item.question is not None:
                marked = marked_before(item.question)
                assert marked is not None
                assert marked.earned.answers
                assert marked.not_earned.answers


def test_the_counts_that_are_kept_are_those_of_the_answers(monkeypatch: pytest.MonkeyPatch) -> None:
    """After a change to the answers or to how words are read: ``python -m tests.short_answers.marked_hands``."""
    assert COUNTS.read_text(encoding="utf-8") == kept_counts.kept_text(), (
        "run python -m tests.short_answers.marked_hands"
    )
    questions = [one.question for rubric in load_catalogue().values() for one in rubric.items.values() if one.question]
    kept = [marked_before(question) for question in questions]
    monkeypatch.setattr(kept_counts, "stamp_now", lambda: "another")
    for cached in (kept_counts._kept, kept_counts._counts):
        cached.cache_clear()
    anew = [marked_before(question) for question in questions]
    for one, other in zip(kept, anew, strict=True):
        assert one is not None
        assert other is not None
        assert (one.earned.answers, one.earned.signs) == (other.earned.answers, other.earned.signs)
        assert (one.not_earned.answers, one.not_earned.signs) == (other.not_earned.answers, other.not_earned.signs)
        assert {name: (each.answers, each.signs) for name, each in one.said.items()} == {
            name: (each.answers, each.signs) for name, each in other.said.items()
        }
    for cached in (kept_counts._kept, kept_counts._counts):
        cached.cache_clear()


def test_a_question_that_takes_other_ideas_is_another() -> None:
    """What was marked for one rubric says nothing of another."""
    assert marked_before(ASKED) is None


@pytest.mark.parametrize(
    ("answer", "proposal", "why"),
    [
        pytest.param(
            "wait a moment so it settles and the heat can go",
            Proposal.AWARDED,
            Why.NONE,
            id="like those that earned it",
        ),
        pytest.param("leave it a minute to settle by the tap", Proposal.UNSURE, Why.UNLIKE, id="like one that did not"),
        pytest.param("give it a moment so the heat of it can go", Proposal.AWARDED, Why.NONE, id="no wording fits"),
        pytest.param(
            "give it no moment so the heat of it can go", Proposal.UNSURE, Why.NOT_FOUND, id="nothing is denied"
        ),
    ],
)
def test_what_is_proposed_is_like_what_earned_the_mark(answer: str, proposal: Proposal, why: Why) -> None:
    """The same wording, beside words of either kind; and the words of a right answer without its wording."""
    found = read_answer(ASKED, answer, marked=MARKED)
    assert (found.proposal, found.why) == (proposal, why)


@given(st.text(max_size=80))
@settings(deadline=None, max_examples=50)
def test_words_that_nobody_has_used_weigh_nothing(text: str) -> None:
    """A weight is a number, and turns its sign where both kinds of answers are exchanged."""
    bare = Question(ideas=(), wrong=(), ignore=(), need=1, prompt="")
    known, turned = counts_of(MARKED), counts_of(Marked(MARKED.not_earned, MARKED.earned))
    assert weight_against(text, bare, known) == pytest.approx(-weight_against(text, bare, turned))
    assert weight_against("zyx wvu", bare, known) == 0


@pytest.mark.parametrize("answer", ["heat was lost so c is too high", "heat lost to the room so c is too big"])
def test_the_plainest_answer_is_proposed_whatever_traps_are_made_of_its_words(answer: str) -> None:
    """Where the direction is worked out, likeness only speaks against what is far from right."""
    question = load_catalogue()["specific-heat-block"].items["why_off"].question
    assert question is not None
    assert read_answer(question, answer).proposal is Proposal.AWARDED
