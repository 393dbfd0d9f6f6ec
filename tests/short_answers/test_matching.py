from __future__ import annotations

import time

import pytest

from marking.checking.short_answers.claimed_same import denies_factor
from marking.checking.short_answers.matching import read_answer
from marking.checking.short_answers.proposals import Parts, Proposal
from marking.checking.short_answers.words.reading_words import LONGEST_ANSWER
from rubrics.load import load_catalogue
from rubrics.model import Idea, Moves, Question

LOSS = Idea(id="loss", says="Energy escapes", wordings=("heat lost", "not insulated"))
HIGH = Idea(id="high", says="c is too high", wordings=("value/c high",))
USED = Idea(id="used", says="Energy is used up", wordings=("used up",))
IGNORED = Idea(id="ignore", says="", wordings=("human error",))


def question(*ideas: Idea, need: int = 1) -> Question:
    """Return a question with some ideas."""
    return Question(ideas=ideas, wrong=(USED,), ignore=(IGNORED,), need=need)


@pytest.mark.parametrize(
    ("answer", "proposal"),
    [
        pytest.param("heat is lost", Proposal.AWARDED, id="as worded"),
        pytest.param("HEAT ESCAPES", Proposal.AWARDED, id="capitals, another word"),
        pytest.param("enrgy is dissapated", Proposal.AWARDED, id="misspelt"),
        pytest.param("no heat was lost", Proposal.UNSURE, id="negated"),
        pytest.param("heat was not lost", Proposal.UNSURE, id="negated between"),
        pytest.param("not only was heat lost", Proposal.AWARDED, id="not only"),
        pytest.param("it was not insulated", Proposal.AWARDED, id="the idea itself is a not"),
        pytest.param("it was well insulated", Proposal.UNSURE, id="without its not"),
        pytest.param("lost the heat", Proposal.UNSURE, id="words in another order"),
        pytest.param("heat. We lost a thermometer", Proposal.UNSURE, id="in two sentences"),
        pytest.param("heat is lost, it is used up", Proposal.UNSURE, id="with a wrong idea"),
        pytest.param("it is used up", Proposal.WITHHELD, id="wrong idea alone"),
        pytest.param("human error", Proposal.WITHHELD, id="nothing but what is ignored"),
        pytest.param("human error, and heat was lost", Proposal.AWARDED, id="ignored beside a right one"),
        pytest.param("", Proposal.UNSURE, id="empty"),
        pytest.param("???", Proposal.UNSURE, id="no words"),
    ],
)
def test_an_idea_is_found_or_not(answer: str, proposal: Proposal) -> None:
    """Negation, order, sentences and wrong ideas count; spelling and other words for the same do not."""
    assert read_answer(question(LOSS), answer).proposal is proposal


@pytest.mark.parametrize(
    ("answer", "proposal"),
    [
        pytest.param("c is too high", Proposal.AWARDED, id="as worded"),
        pytest.param("the value is bigger", Proposal.AWARDED, id="same way"),
        pytest.param("c is too low", Proposal.UNSURE, id="other way"),
        pytest.param("c is not too low", Proposal.AWARDED, id="other way, negated"),
        pytest.param("c is too high and too low", Proposal.UNSURE, id="both ways"),
        pytest.param("c goes up", Proposal.AWARDED, id="goes up"),
    ],
)
def test_direction_is_seen(answer: str, proposal: Proposal) -> None:
    """'Too high' and 'too low' are not one idea."""
    assert read_answer(question(HIGH), answer).proposal is proposal


def test_any_two_need_two() -> None:
    """With two needed, one is not enough and both are."""
    asked = question(LOSS, HIGH, need=2)
    assert read_answer(asked, "heat is lost").proposal is Proposal.UNSURE
    assert read_answer(asked, "heat is lost so c is too high").proposal is Proposal.AWARDED


def test_highlights_are_the_words_it_rests_on() -> None:
    """The spans cut the words out of the answer as typed."""
    text = "Some HEAT was lost."
    found = read_answer(question(LOSS), text)
    assert [text[start:end] for start, end in found.spans] == ["HEAT", "lost"]


def test_answers_that_mean_the_same_are_one_group() -> None:
    """Other words for the same idea make the same group; another idea makes another."""
    asked = question(LOSS, HIGH)
    one, two, other = (read_answer(asked, text).group for text in ("heat is lost", "energy escaped", "c is too high"))
    assert one == two != other


def test_nothing_behind_the_limit_is_read() -> None:
    """The last word within the limit counts, the first one behind it does not."""
    start = "heat " + "." * (LONGEST_ANSWER - 14) + "heat "
    assert read_answer(question(LOSS), (start + "lost")[-LONGEST_ANSWER:]).proposal is Proposal.AWARDED
    assert read_answer(question(LOSS), "x" * LONGEST_ANSWER + " heat lost").proposal is Proposal.UNSURE


@pytest.mark.parametrize("text", ["heat " * 20_000, "a" * 100_000, "not " * 30_000, "'" * 50_000, "heat lost " * 9_000])
def test_long_answers_take_no_time(text: str) -> None:
    """Whatever is pasted into a cell is read within a second."""
    start = time.perf_counter()
    read_answer(question(LOSS, HIGH), text)
    assert time.perf_counter() - start < 1.0


@pytest.mark.parametrize(
    ("text", "is_denied"),
    [
        ("10 cm gave 400 and 20 cm gave 205, so double the distance means a quarter", True),
        ("10 cm gave 400 and 20 cm gave 98, so double the distance means a quarter", False),
        ("it fell from 400 to 205 when the distance was doubled", False),
        ("pV was 1815, 1820, 1812 and 1818, all within half a percent", False),
        ("my mass of 2.4 kg agrees well with 1.1 kg on the balance", True),
        ("0.98 kg fits with the 1.05 kg of the balance", False),
    ],
)
def test_figures_that_deny_a_factor_or_an_agreement(text: str, is_denied: bool) -> None:
    """A quotient that is claimed is there between two of the figures, where two pairs are quoted."""
    assert denies_factor(text) is is_denied


@pytest.mark.parametrize(
    ("practical", "tested", "what", "way", "proposal"),
    [
        ("sound-speed", "two microphones", "the wind", Moves.HIGH, Proposal.AWARDED),
        ("sound-speed", "echo", "the wind", Moves.HIGH, Proposal.UNSURE),
        ("sound-speed", "echo", "the wind", Moves.SAME, Proposal.AWARDED),
        ("sound-speed", None, "the wind", Moves.HIGH, Proposal.AWARDED),
        ("density-cylinder-sphere", "cylinder", "calipers tilted", Moves.LOW, Proposal.AWARDED),
        ("density-cylinder-sphere", "sphere", "calipers tilted", Moves.LOW, Proposal.UNSURE),
    ],
)
def test_a_source_may_belong_to_what_was_tested(
    practical: str, tested: str | None, what: str, way: Moves, proposal: Proposal
) -> None:
    """Wind cancels on the way of an echo, and tilted jaws that touch a ball are still one diameter apart."""
    asked = load_catalogue()[practical].items["why_off"].question
    assert asked is not None
    assert read_answer(asked, Parts(what=what, way=way), tested=tested).proposal is proposal


@pytest.mark.parametrize(
    ("answer", "counts", "proposal"),
    [
        ("The counts are all similar so it can be trusted.", (6, 7, 5, 6, 8), Proposal.AWARDED),
        ("The counts are all similar so it can be trusted.", (0, 0, 14, 1, 9), Proposal.UNSURE),
        ("The counts vary so much that the mean is not very certain.", (0, 0, 14, 1, 9), Proposal.AWARDED),
        ("The counts vary a lot from quadrat to quadrat so the mean is uncertain.", (9, 9, 9, 9), Proposal.UNSURE),
        ("The counts are all similar so it can be trusted.", (6, 7), Proposal.AWARDED),
        ("The counts are all similar so it can be trusted.", (0, 0, 0), Proposal.AWARDED),
    ],
)
def test_counts_speak_for_themselves(answer: str, counts: tuple[float, ...], proposal: Proposal) -> None:
    """Counts that are said to be alike, or to scatter, are held against the student's own."""
    asked = load_catalogue()["quadrat"].items["trust"].question
    assert asked is not None
    assert read_answer(asked, answer, {"plants": counts}).proposal is proposal
