"""The answers of ``answers.toml``, which were marked before, and ``phrases.toml``: how students say each single thing.

A question is known by its prompt and by the ideas and sources that it takes: where a rubric asks for others, what was
marked for these says nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from importlib import resources
from typing import Any

import rtoml
from msgspec import Struct

from rubrics.model import Question

AVOIDED = "avoided "
"""Stands before the id of a source of error where it was not so, or was done well."""
OTHER = "other"
"""Stands for what is none of the things that a question names."""


class Marked(Struct, frozen=True):
    """Answers to one question that were marked before."""

    earned: tuple[str, ...]
    """Those that earned the mark."""
    not_earned: tuple[str, ...]
    """Those that earned nothing, or not all that is asked for."""
    said: tuple[tuple[str, tuple[str, ...]], ...] = ()
    """How students say what the question takes, what spoils it, and (other) what is none of these: id, and phrases."""


def asks_for(question: Question) -> str:
    """Return by what *question* is known: its prompt, and the ids of what it takes."""
    return f"{question.prompt} {' '.join(takes(question))}"


def takes(question: Question) -> list[str]:
    """Return the ids of the ideas and sources that *question* takes."""
    return [*(idea.id for idea in question.ideas), *(source.id for source in question.sources)]


@cache
def every_question() -> Mapping[str, Marked]:
    """Return the answers that were marked before, and the phrases for each thing, by question."""
    said = {asked: _said(table) for asked, table in _tables("phrases.toml")}
    return {
        asked: Marked(tuple(table["earned"]), tuple(table["not_earned"]), said.get(asked, ()))
        for asked, table in _tables("answers.toml")
    }


def _said(table: Mapping[str, Any]) -> tuple[tuple[str, tuple[str, ...]], ...]:
    avoided = {AVOIDED + name: phrases for name, phrases in table.get("avoided", {}).items()}
    return tuple((name, tuple(phrases)) for name, phrases in (table["said"] | avoided).items())


def _tables(name: str) -> Iterator[tuple[str, Mapping[str, Any]]]:
    file = resources.files("marking.checking.short_answers.marked_before").joinpath(name)
    for table in rtoml.loads(file.read_text(encoding="utf-8"))["questions"]:
        yield f"{table['prompt']} {' '.join(table['takes'])}", table
