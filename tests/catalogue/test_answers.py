"""Every question of the catalogue: each idea is found in a sentence as students write it, what is beside it is not.

The sentences were written for this test, in the manner of students of 14 to 18, without a look at the wordings.
The seven questions with hundreds of labelled answers are measured in ``tests/short_answers``.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from marking.checking.short_answers.matching import read_answer
from marking.checking.short_answers.proposals import Proposal, Reading
from rubrics.load import load_catalogue
from rubrics.model import Question

EARNED, NOT_EARNED = "+", "-"
"""In the column ``says``: an answer that earns the marks, or one that must not; else the id of the idea it holds."""
OFF_TOPIC = (
    "We tidied the bench and then it was break.",
    "My partner wrote the title and I drew the table.",
    "I like science because the teacher is nice.",
)
ANSWERS = list(csv.DictReader((Path(__file__).parent / "answers.csv").open(encoding="utf-8", newline="")))
QUESTIONS = [
    pytest.param(item.question, id=f"{rubric.id} {item.name}")
    for rubric in load_catalogue().values()
    for item in rubric.items.values()
    if item.question is not None
]
LABELLED = Path(__file__).parents[1] / "short_answers" / "labelled.csv"


def _read(row: dict[str, str]) -> Reading:
    question = load_catalogue()[row["practical"]].items[row["question"]].question
    assert question is not None
    return read_answer(question, row["answer"])


@pytest.mark.parametrize("row", ANSWERS, ids=lambda row: f"{row['practical']}: {row['answer'][:40]}")
def test_answer_is_read_as_meant(row: dict[str, str]) -> None:
    """An idea or a source is found, a whole answer is proposed as earned, and a wrong or empty one is not."""
    found = _read(row)
    if row["says"] in (EARNED, NOT_EARNED):
        assert (found.proposal is Proposal.AWARDED) == (row["says"] == EARNED)
    else:
        assert row["says"] in {*found.ideas, *found.group.split()}


def test_every_idea_has_its_sentence() -> None:
    """No idea of the catalogue goes without an answer that holds it, here or among the labelled answers."""
    said = {(row["practical"], row["question"], row["says"]) for row in ANSWERS}
    with LABELLED.open(encoding="utf-8", newline="") as file:
        labelled = {(row["practical"], row["question"]) for row in csv.DictReader(file)}
    missing = {
        (rubric.id, item.name, idea.id)
        for rubric in load_catalogue().values()
        for item in rubric.items.values()
        if item.question is not None and (rubric.id, item.name) not in labelled
        for idea in item.question.ideas
    } - said
    assert not missing


@pytest.mark.parametrize("question", QUESTIONS)
def test_what_is_beside_the_point_earns_nothing(question: Question) -> None:
    """An answer about something else, or one that every scheme ignores, is never proposed as earned."""
    for answer in OFF_TOPIC:
        assert read_answer(question, answer).ideas == ()
    assert read_answer(question, "human error").proposal is Proposal.WITHHELD
    assert read_answer(question, "idk").proposal is Proposal.WITHHELD
