"""What an answer says, by the words that students use for each thing; and what is made of blanks and empty words."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marking.checking.short_answers.marked_before import AVOIDED, Marked, counts_of, marked_before, shares_of
from marking.checking.short_answers.matching import read_answer
from marking.checking.short_answers.proposals import Parts, Proposal, Why
from rubrics.load import load_catalogue
from rubrics.model import Idea, Moves, Question

BARE = Question(ideas=(), wrong=(), ignore=(), need=1, prompt="")


def _asked(practical: str, name: str) -> Question:
    question = load_catalogue()[practical].items[name].question
    assert question is not None
    return question


def test_every_thing_that_may_be_said_has_phrases() -> None:
    """For each id phrases of students are known, and for each source of error how they say that it was avoided."""
    for rubric in load_catalogue().values():
        for item in rubric.items.values():
            if item.question is None:
                continue
            counts = marked_before(item.question)
            assert counts is not None
            things = (*item.question.ideas, *item.question.sources, *item.question.wrong)
            wanted = {one.id for one in things} | {AVOIDED + one.id for one in item.question.sources}
            assert wanted <= set(counts.said), (rubric.id, item.name)


@given(st.text(max_size=60), st.lists(st.sampled_from(["wire hot", "dirty clips", "short lead"]), max_size=4))
@settings(deadline=None, max_examples=50)
def test_shares_come_to_one(text: str, phrases: list[str]) -> None:
    """Whatever is written, and however few phrases are known."""
    counts = counts_of(Marked((), (), (("one", tuple(phrases)), ("two", ("wire hot",)))))
    assert sum(shares_of(text, BARE, counts).values()) == pytest.approx(1)
    assert shares_of("zyx wvu", BARE, counts_of(Marked((), ()))) == {}


def test_a_thing_of_which_few_phrases_are_known_is_not_the_likelier() -> None:
    """A word that nobody has used for either tells nothing of them, whichever has more phrases."""
    many = ("one", tuple(f"clip number {at}" for at in range(30)))
    counts = counts_of(Marked((), (), (many, ("two", ("lead",)), ("three", ("wire",)))))
    shares = shares_of("wire", BARE, counts)
    assert shares["three"] > shares["one"]
    assert shares["three"] > shares["two"]


@pytest.mark.parametrize(
    ("practical", "what", "way", "proposal"),
    [
        ("neutralisation-enthalpy", "warmth went out through the sides of the cup", Moves.LOW, Proposal.AWARDED),
        ("neutralisation-enthalpy", "warmth went out through the sides of the cup", Moves.HIGH, Proposal.UNSURE),
        ("neutralisation-enthalpy", "no heat got out because of the foam and the lid", Moves.LOW, Proposal.UNSURE),
        ("wire-resistance", "something was wrong", Moves.HIGH, Proposal.UNSURE),
        ("wire-resistance", "human error", Moves.HIGH, Proposal.WITHHELD),
    ],
)
def test_a_source_in_its_box(practical: str, what: str, way: Moves, proposal: Proposal) -> None:
    """With its direction it is known by its words; with another one, or where it was avoided, the teacher decides."""
    assert read_answer(_asked(practical, "why_off"), Parts(what=what, way=way)).proposal is proposal


def test_words_that_say_nothing_are_told_from_what_is_not_found() -> None:
    """Only the first kind is worth nothing for sure."""
    question = _asked("wire-resistance", "improve")
    empty, other = read_answer(question, "be more careful"), read_answer(question, "put a cushion below the table")
    assert (empty.proposal, empty.why) == (Proposal.WITHHELD, Why.NOT_FOUND)
    assert (other.proposal, other.why) == (Proposal.UNSURE, Why.NOT_FOUND)


def test_one_idea_that_no_wording_fits_is_not_taken_where_something_is_denied() -> None:
    """A denial turns the same words round."""
    wait = Idea(id="wait", says="Wait", wordings=("pause",))
    asked = Question(ideas=(wait,), wrong=(), ignore=(), need=1, prompt="How would you reduce that error?")
    earned = tuple(
        f"stand it by the {thing} until the glow has gone" for thing in ("bench", "wall", "door", "tap", "sink")
    )
    others = tuple(f"take it to the {thing} and shake" for thing in ("bench", "wall", "door", "tap", "sink"))
    marked = Marked(earned, others, (("wait", earned), ("other", others)))
    assert read_answer(asked, "stand it until the glow has gone", marked=marked).proposal is Proposal.AWARDED
    assert read_answer(asked, "do not stand it until the glow has gone", marked=marked).proposal is Proposal.UNSURE
    turned = "stand it until the glow has gone or maybe the other way round"
    assert read_answer(asked, turned, marked=marked).proposal is Proposal.UNSURE
