"""Questions of a rubric file: what is sound, and what is told with its line."""

from __future__ import annotations

import pytest

from rubrics.model.practical import CheckKind
from tests.rubrics.small_rubric import SOUND, faults, read

QUESTION = """
[questions.why]
prompt = "Why?"
need = 1
ideas = [
    { id = "loss", says = "Energy escapes", wordings = ["heat lost"] },
    { id = "high", says = "Too high", wordings = ["value high"] },
]
wrong = [{ id = "used", says = "Used up", wordings = ["used up"] }]
ignore = ["human error"]

[[criteria]]
code = "V1"
point = "A reason"
check = "ideas"
items = ["why"]
"""


def test_a_question_is_read() -> None:
    """Prompt, ideas, wrong ideas and what is ignored are in the item; the criterion's check is ideas."""
    rubric = read(SOUND + QUESTION)
    question = rubric.items["why"].question
    assert question is not None
    assert [idea.id for idea in (*question.ideas, *question.wrong)] == ["loss", "high", "used"]
    assert (rubric.items["why"].is_words, rubric.criteria[-1].check) == (True, CheckKind.IDEAS)


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        pytest.param("need = 1", "need = 3", "why needs more ideas than it lists", id="needs too many"),
        pytest.param('id = "high"', 'id = "loss"', "the idea loss of why stands twice", id="an id twice"),
        pytest.param('items = ["why"]', 'items = ["m"]', "V1 needs questions with ideas", id="no question"),
        pytest.param("questions.why", "questions.m", "m stands twice in the file", id="a name twice"),
    ],
)
def test_a_faulty_question_is_told(old: str, new: str, told: str) -> None:
    """Each fault is told in words."""
    assert any(told in fault for fault in faults(SOUND + QUESTION.replace(old, new)))


def test_a_source_is_for_a_choice_that_the_selector_offers() -> None:
    """The wind of an echo is no source where nothing is chosen."""
    source = '{ id = "w", says = "W", moves = "same", because = "b", wordings = ["wind"], when = ["echo"] }'
    text = SOUND + QUESTION.replace("need = 1\n", f"sources = [{source}]\n")
    assert any("the source w is for 'echo', which the selector does not offer" in told for told in faults(text))
