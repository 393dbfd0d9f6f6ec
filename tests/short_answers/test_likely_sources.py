from __future__ import annotations

import pytest

from marking.checking.short_answers import read_as_one_word
from marking.checking.short_answers.matching import read_answer
from marking.checking.short_answers.proposals import Parts, Proposal
from rubrics.model import ErrorSource, Idea, Moves, Question

HOSE = ErrorSource(
    id="tube",
    says="Air in the tube is not counted",
    moves=Moves.LOW,
    because="the volume is bigger than it is read",
    wordings=("dead space", "air tube -out forgotten"),
)
LEAK = ErrorSource(
    id="leak",
    says="Air leaks out",
    moves=Moves.LOW,
    because="there is less air",
    wordings=("air leaks past plunger",),
)
FAST = ErrorSource(
    id="fast",
    says="The plunger was pushed in quickly",
    moves=Moves.HIGH,
    because="warm air has a higher pressure",
    wordings=("squeezed in one go",),
)
PARALLAX = ErrorSource(
    id="parallax",
    says="The scale was read at an angle",
    moves=Moves.EITHER,
    because="the reading is off",
    wordings=("parallax", "scale from below"),
)
ASKED = Question(
    ideas=(), wrong=(), ignore=(), need=1, prompt="Name a source of error.", sources=(HOSE, LEAK, FAST, PARALLAX),
    of=("product",), way="w_way", because="w_because",
)  # fmt: skip
GREASE = Idea(id="grease", says="Grease on the plunger", wordings=("grease plunger", "seal"))


@pytest.mark.parametrize(
    ("answer", "proposal"),
    [
        pytest.param(
            "gas sneaks past the piston so the product is too low", Proposal.AWARDED, id="two words of its own"
        ),
        pytest.param("gas sneaks about so the product is too low", Proposal.UNSURE, id="one word"),
        pytest.param("gas sneaks past the piston so the product is too high", Proposal.UNSURE, id="the other way"),
        pytest.param("gas sneaks past the piston", Proposal.UNSURE, id="no direction"),
        pytest.param("no gas sneaks past the piston so the product is too low", Proposal.UNSURE, id="denied"),
        pytest.param("the stone was wet so the product is too low", Proposal.UNSURE, id="words of nobody"),
    ],
)
def test_a_source_is_told_by_its_own_words(answer: str, proposal: Proposal) -> None:
    """Two of its words will do where the direction fits; one, or a 'not', will not."""
    assert read_answer(ASKED, answer).proposal is proposal


@pytest.mark.parametrize(
    ("answer", "proposal"),
    [
        pytest.param("parallax, so the product could be too high or too low", Proposal.AWARDED, id="both ways"),
        pytest.param("parallax, so the product is off either way", Proposal.AWARDED, id="either way"),
        pytest.param("parallax, I am not sure which way", Proposal.UNSURE, id="not sure"),
        pytest.param(
            "air leaks past the plunger so the product is too high or too low", Proposal.UNSURE, id="of one way"
        ),
        pytest.param("parallax makes the product higher and also lower", Proposal.UNSURE, id="at once"),
    ],
)
def test_both_ways_are_right_of_a_source_that_goes_both_ways(answer: str, proposal: Proposal) -> None:
    """'Too high or too low' is the direction of a source that depends on how it happened, and of no other."""
    assert read_answer(ASKED, answer).proposal is proposal


def test_the_box_for_the_reason_helps_to_tell_the_source() -> None:
    """In parts, a word in each box is enough; not where a source of the other way is as likely by them."""
    parts = Parts(what="gas sneaks about", way=Moves.LOW, because="it leaks past the piston")
    assert read_answer(ASKED, parts).proposal is Proposal.AWARDED
    as_likely = Parts(what="gas sneaks about", way=Moves.LOW, because="the piston was loose")
    assert read_answer(ASKED, as_likely).proposal is Proposal.UNSURE


@pytest.mark.parametrize(
    ("answer", "proposal"),
    [
        pytest.param("grease the plunger", Proposal.AWARDED, id="nothing but the idea"),
        pytest.param("smear grease on the plunger to seal it", Proposal.AWARDED, id="three words of its own"),
        pytest.param(
            "wash the grease of the last group off both hands near the plunger", Proposal.UNSURE, id="by chance"
        ),
    ],
)
def test_an_idea_rests_on_enough_words(answer: str, proposal: Proposal) -> None:
    """Two words in a long sentence may fit a wording by chance."""
    asked = Question(ideas=(GREASE,), wrong=(), ignore=(), need=1, prompt="How would you reduce that error?")
    assert read_answer(asked, answer).proposal is proposal


@pytest.mark.parametrize(
    ("wording", "word"),
    [
        pytest.param("lid on", "lid", id="small word"),
        pytest.param("~bit of string/thread", "string/thread", id="alternatives"),
        pytest.param("lid", None, id="one word as written"),
        pytest.param("heat lost", None, id="two"),
        pytest.param("not on the lid", None, id="a not with it"),
        pytest.param("lid -off", None, id="one word and a barred one"),
    ],
)
def test_a_wording_that_is_read_as_one_word_is_known(wording: str, word: str | None) -> None:
    """Small words are passed over, so that 'lid on' is any lid."""
    assert read_as_one_word(wording) == word
