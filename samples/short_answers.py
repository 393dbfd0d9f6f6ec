"""Short answers of the sample classes: whole sentences of ``sentences.toml``, good ones, half ones and wrong ones.

Another hand than the rubrics' wrote them, and no marked answer that the program goes by is among them: what is proposed
for them is what would be proposed for a class that nobody has seen.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from random import Random

from msgspec import Struct, convert

from rubrics.model import Question

_SLIPS = (
    ("heat", "heet"),
    ("resistance", "resistence"),
    ("temperature", "temprature"),
    ("surroundings", "suroundings"),
)
SHARE_FULL = 0.82
"""Of answers, that say all that is needed."""
SHARE_HALF = 0.07
SHARE_WRONG = 0.06
SHARE_EMPTY_WORDS = 0.03
"""Of answers that anybody can give to anything; the rest is left blank."""
SHARE_MISSPELT = 0.12

InParts = tuple[str, str, str]
"""A source of error, its direction, and why."""


class Sentences(Struct, frozen=True, forbid_unknown_fields=True):
    """What a class answers to one question."""

    full: tuple[str, ...]
    """Each earns the mark."""
    half: tuple[str, ...]
    """Each says some of what is asked for."""
    none: tuple[str, ...]
    """Each was well meant."""
    parts: tuple[InParts, ...] = ()
    """Each earns the mark; only of questions about sources of error."""
    parts_wrong: tuple[InParts, ...] = ()


@cache
def sentences() -> Mapping[str, Mapping[str, Sentences]]:
    """Return what students answer, by practical and question.

    Raises:
        msgspec.ValidationError: the file is not as it should be.
    """
    text = Path(__file__).with_name("sentences.toml").read_text(encoding="utf-8")
    return convert(tomllib.loads(text), dict[str, dict[str, Sentences]])


def answer_in_words(practical: str, name: str, question: Question, chance: Random) -> str:
    """Return what some student writes to the question *name*; empty where nothing was written."""
    said = sentences()[practical][name]
    kinds = (said.full, said.half or said.none, said.none, _empty_words(question) or said.none, ("",))
    shares = (SHARE_FULL, SHARE_HALF, SHARE_WRONG, SHARE_EMPTY_WORDS)
    (kind,) = chance.choices(kinds, (*shares, 1 - sum(shares)))
    return _misspelt(chance.choice(kind), chance)


def answer_in_parts(practical: str, name: str, question: Question, chance: Random) -> InParts:
    """Return source, direction and reason as they stand in their boxes; some belong to nothing, some are left out."""
    said = sentences()[practical][name]
    empty_words = tuple((one, way, "") for one in _empty_words(question) for way in ("too high", "too low"))
    kinds = (said.parts, said.parts_wrong, empty_words or said.parts_wrong, (("", "", ""),))
    shares = (SHARE_FULL + SHARE_HALF, SHARE_WRONG, SHARE_EMPTY_WORDS)
    (kind,) = chance.choices(kinds, (*shares, 1 - sum(shares)))
    what, way, because = chance.choice(kind)
    return _misspelt(what, chance), way, _misspelt(because, chance)


def _empty_words(question: Question) -> tuple[str, ...]:
    return tuple(wording for idea in question.ignore for wording in idea.wordings)


def _misspelt(text: str, chance: Random) -> str:
    if chance.random() >= SHARE_MISSPELT:
        return text
    for right, wrong in _SLIPS:
        text = text.replace(right, wrong)
    return text
