"""Short answers from the ideas of the rubric: good ones, half ones, wrong ones, in a student's hand."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from random import Random

from msgspec.structs import replace

from rubrics.model import ErrorSource, Idea, Moves, Question

_OPENINGS = ("", "", "because ", "I think ", "Because ", "the reason is ")
_SLIPS = (
    ("heat", "heet"),
    ("resistance", "resistence"),
    ("temperature", "temprature"),
    ("surroundings", "suroundings"),
)
SHARE_FULL = 0.85
"""Of answers, that say all that is needed."""
SHARE_WRONG = 0.06
SHARE_EMPTY_WORDS = 0.03
SHARE_BLANK = 0.02
SHARE_MISSPELT = 0.12
_WORDS = {Moves.HIGH: "too high", Moves.LOW: "too low", Moves.SAME: "no change"}


def as_students_know_it(practical: str, name: str, question: Question) -> Question:
    """Return *question* with the ideas and wordings that the samples were made with; whole where none are told."""
    known = _sayings().get(practical, {}).get(name)
    if known is None:
        return question
    return replace(
        question,
        sources=tuple(
            replace(one, wordings=one.wordings[: known[one.id]]) for one in question.sources if one.id in known
        ),
        ideas=tuple(replace(one, wordings=one.wordings[: known[one.id]]) for one in question.ideas if one.id in known),
        wrong=tuple(replace(one, wordings=one.wordings[: known[one.id]]) for one in question.wrong if one.id in known),
    )


@cache
def _sayings() -> Mapping[str, Mapping[str, Mapping[str, int]]]:
    return tomllib.loads(Path(__file__).with_name("sayings.toml").read_text(encoding="utf-8"))


def answer_in_words(question: Question, chance: Random) -> str:
    """Return what some student writes; empty where nothing was written."""
    kind = chance.random()
    if kind < SHARE_BLANK:
        return ""
    if kind < SHARE_BLANK + SHARE_EMPTY_WORDS and question.ignore:
        return _said(chance.choice(question.ignore), chance)
    if kind < SHARE_BLANK + SHARE_EMPTY_WORDS + SHARE_WRONG and question.wrong:
        return _finished(_said(chance.choice(question.wrong), chance), chance)
    if question.sources and (not question.ideas or chance.random() < 0.5):
        source, way = _source(question, chance)
        if chance.random() >= SHARE_FULL:
            return _finished(_said(source, chance), chance)
        return _finished(f"{_said(source, chance)}, so {question.of[0]} is {_WORDS[way]}", chance)
    needed = min(question.need, len(question.ideas))
    count = needed if chance.random() < SHARE_FULL / (1 - SHARE_WRONG) or needed == 1 else needed - 1
    ideas = chance.sample(question.ideas[: max(needed, 2)] if needed > 1 else question.ideas, count)
    return _finished(" and ".join(_said(idea, chance) for idea in ideas), chance)


def answer_in_parts(question: Question, chance: Random) -> tuple[str, str, str]:
    """Return source, direction and reason as they stand in their boxes; some belong to nothing, some are left out."""
    kind = chance.random()
    if kind < SHARE_BLANK:
        return "", "", ""
    if kind < SHARE_BLANK + SHARE_EMPTY_WORDS and question.ignore:
        return _said(chance.choice(question.ignore), chance), chance.choice(list(_WORDS.values())), ""
    source, way = _source(question, chance)
    if kind > 1 - SHARE_WRONG:
        way = Moves.LOW if way is Moves.HIGH else Moves.HIGH
    because = source.because if chance.random() < 0.5 else ""
    return _said(source, chance), _WORDS[way], because


def _source(question: Question, chance: Random) -> tuple[ErrorSource, Moves]:
    known = [one for one in question.sources if one.moves is not Moves.SAME]
    source = chance.choice(known)
    way = chance.choice((Moves.HIGH, Moves.LOW)) if source.moves is Moves.EITHER else source.moves
    return source, way


def _said(idea: Idea | ErrorSource, chance: Random) -> str:
    """Return an idea in the words of the scheme or in shorter ones."""
    if idea.says and chance.random() < 0.4:
        return idea.says[:1].lower() + idea.says[1:].rstrip(".")
    words = chance.choice(idea.wordings).removeprefix("~").split()
    return " ".join(chance.choice(word.split("/")) for word in words if not word.startswith("-"))


def _finished(text: str, chance: Random) -> str:
    text = chance.choice(_OPENINGS) + text
    if chance.random() < SHARE_MISSPELT:
        for right, wrong in _SLIPS:
            text = text.replace(right, wrong)
    return text[:1].upper() + text[1:] + "." if chance.random() < 0.4 else text
