"""The answers of ``answers.toml``, which were marked before, by the question that they answer.

A question is known by its prompt and by the ideas and sources that it takes: where a rubric asks for others, what was
marked for these says nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from importlib import resources

import rtoml
from msgspec import Struct

from rubrics.model import Question


class Marked(Struct, frozen=True):
    """Answers to one question that were marked before."""

    earned: tuple[str, ...]
    """Those that earned the mark."""
    not_earned: tuple[str, ...]
    """Those that earned nothing, or not all that is asked for."""


def asks_for(question: Question) -> str:
    """Return by what *question* is known: its prompt, and the ids of what it takes."""
    return f"{question.prompt} {' '.join(takes(question))}"


def takes(question: Question) -> list[str]:
    """Return the ids of the ideas and sources that *question* takes."""
    return [*(idea.id for idea in question.ideas), *(source.id for source in question.sources)]


@cache
def every_question() -> Mapping[str, Marked]:
    """Return the answers that were marked before, by question."""
    file = resources.files("marking.checking.short_answers.marked_before").joinpath("answers.toml")
    tables = rtoml.loads(file.read_text(encoding="utf-8"))["questions"]
    return {
        f"{table['prompt']} {' '.join(table['takes'])}": Marked(tuple(table["earned"]), tuple(table["not_earned"]))
        for table in tables
    }
