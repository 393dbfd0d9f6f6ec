"""Short answers from the ideas of the rubric: good ones, half ones, wrong ones, in a student's hand."""

from __future__ import annotations

from random import Random

from rubrics.model import Idea, Question

_OPENINGS = ("", "", "because ", "I think ", "Because ", "the reason is ")
_SLIPS = (
    ("heat", "heet"),
    ("resistance", "resistence"),
    ("temperature", "temprature"),
    ("surroundings", "suroundings"),
)
SHARE_FULL = 0.5
"""Of answers, that say all that is needed."""
SHARE_WRONG = 0.12
SHARE_EMPTY_WORDS = 0.08
SHARE_BLANK = 0.06
SHARE_MISSPELT = 0.12


def answer_in_words(question: Question, chance: Random) -> str:
    """Return what some student writes; empty where nothing was written."""
    kind = chance.random()
    if kind < SHARE_BLANK:
        return ""
    if kind < SHARE_BLANK + SHARE_EMPTY_WORDS and question.ignore:
        return _said(chance.choice(question.ignore), chance)
    if kind < SHARE_BLANK + SHARE_EMPTY_WORDS + SHARE_WRONG and question.wrong:
        return _finished(_said(chance.choice(question.wrong), chance), chance)
    needed = min(question.need, len(question.ideas))
    count = needed if chance.random() < SHARE_FULL / (1 - SHARE_WRONG) or needed == 1 else needed - 1
    ideas = chance.sample(question.ideas, count)
    return _finished(" and ".join(_said(idea, chance) for idea in ideas), chance)


def _said(idea: Idea, chance: Random) -> str:
    """Return an idea in the words of the scheme or in shorter ones."""
    if idea.says and chance.random() < 0.6:
        return idea.says[:1].lower() + idea.says[1:].rstrip(".")
    words = chance.choice(idea.wordings).split()
    return " ".join(chance.choice(word.split("/")) for word in words)


def _finished(text: str, chance: Random) -> str:
    text = chance.choice(_OPENINGS) + text
    if chance.random() < SHARE_MISSPELT:
        for right, wrong in _SLIPS:
            text = text.replace(right, wrong)
    return text[:1].upper() + text[1:] + "." if chance.random() < 0.4 else text
