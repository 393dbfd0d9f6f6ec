"""From the table of a question to its boxes: one for the whole answer, and with parts two more."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING

import rtoml

from rubrics.model import BECAUSE, WAY, Blank, Choice, ErrorSource, Evidence, Idea, Item, Moves, Question, Role
from rubrics.units import define_unit

if TYPE_CHECKING:
    from rubrics.documents import IdeaTable, QuestionTable, SourceTable

_WAYS = (
    (Moves.HIGH, "too high", ("high", "higher", "too big", "bigger", "too large", "larger", "up", "more", "increase")),
    (Moves.LOW, "too low", ("low", "lower", "too small", "smaller", "down", "less", "decrease")),
    (Moves.SAME, "no change", ("none", "not at all", "same", "stays the same", "no effect", "no difference")),
)
"""(direction, word to choose, other wordings)."""


_ASKS_FOR_CURE = ("reduce", "improve")
"""Words in the prompt of a question that asks what would make an error smaller."""


def cures_beside(name: str, questions: Mapping[str, QuestionTable]) -> tuple[Idea, ...]:
    """Return the improvements that other questions than *name* ask for: what an error is that was not made."""
    return tuple(
        _idea(idea)
        for other, table in questions.items()
        if other != name and not table.sources and any(word in table.prompt for word in _ASKS_FOR_CURE)
        for idea in table.ideas
    )


def question_items(name: str, table: QuestionTable, cures: tuple[Idea, ...] = ()) -> dict[str, Item]:
    """Return the boxes of the question *name*, in the order in which they are filled in.

    Args:
        name: Its name in the file.
        table: What stands there.
        cures: The improvements that are asked for beside it.
    """
    way, because = (name + WAY, name + BECAUSE) if table.parts else ("", "")
    question = Question(
        ideas=tuple(_idea(one) for one in table.ideas),
        wrong=tuple(_idea(one) for one in table.wrong),
        ignore=(Idea(id="ignore", says="", wordings=(*always_ignored(), *table.ignore)),),
        need=table.need,
        prompt=table.prompt,
        sources=tuple(_source(one) for one in table.sources),
        cures=cures if table.sources else (),
        of=tuple(table.of),
        through=tuple(table.through.items()),
        any_of=table.any_of,
        beside=(table.beside[0], table.beside[1]) if table.beside else None,
        way=way,
        because=because,
    )
    boxes = {name: box_of_words(name, table.prompt, headings=tuple(table.headings), question=question)}
    if table.parts:
        of = f" ({table.of[0]})" if table.of else ""
        boxes[way] = box_of_words(
            way,
            f"Which way does that move it{of}: too high, too low or no change?",
            part_of=name,
            choices=tuple(Choice(word=word, means=(), also=also) for _, word, also in _WAYS),
        )
        boxes[because] = box_of_words(because, "Because (a few words)", part_of=name)
    return boxes


def way_meant(word: str) -> Moves | None:
    """Return the direction that a word of the choice stands for."""
    return next((moves for moves, known, _ in _WAYS if known == word), None)


def box_of_words(
    name: str,
    quantity: str,
    *,
    headings: tuple[str, ...] = (),
    question: Question | None = None,
    part_of: str | None = None,
    choices: tuple[Choice, ...] = (),
) -> Item:
    """Return a box that is filled in with words: a part of a question, a tick, a reason.

    Args:
        name: Its item name, and its symbol.
        quantity: What is asked for, as it stands beside the box.
        headings: Other headings of its column.
        question: What the words are read for; None where they are only kept.
        part_of: The question whose part it is.
        choices: The words to choose from, where there are any.
    """
    number = define_unit("")
    return Item(
        name=name,
        symbol=name,
        quantity=quantity,
        role=Role.ANSWER,
        unit=number,
        recorded_in=(number,),
        table=None,
        limits=None,
        instrument="",
        resolution=None,
        headings=headings,
        formula=None,
        also=(),
        figures=(1, 9),
        choices=choices,
        curve=None,
        blank=Blank.TEACHER,
        question=question,
        part_of=part_of,
    )


@cache
def always_ignored() -> tuple[str, ...]:
    """Return the wordings that earn nothing and spoil nothing, whatever the question."""
    text = (resources.files("rubrics") / "ignored.toml").read_text(encoding="utf-8")
    return tuple(rtoml.loads(text)["ignore"])


def _idea(table: IdeaTable) -> Idea:
    return Idea(
        id=table.id,
        says=table.says,
        wordings=tuple(table.wordings),
        evidence=Evidence(table.evidence) if table.evidence else None,
        columns=tuple(table.columns),
    )


def _source(table: SourceTable) -> ErrorSource:
    return ErrorSource(
        id=table.id,
        says=table.says,
        moves=Moves(table.moves),
        because=table.because,
        wordings=tuple(table.wordings),
        when=tuple(table.when),
    )
