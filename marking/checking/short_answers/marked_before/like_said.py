"""How likely each thing that a question takes, or that spoils it, is what an answer says: by the words students use.

The words and pairs of words of an answer are taken as if they came independently of one another (naive Bayes, as in
`like_marked`), each thing as likely as any other beforehand. What the rubric says of it itself counts as one phrase
more. One thing more, ``other``, stands for what is none of them, so that 'the ruler' is not taken for the one source
that has to do with it.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from math import exp, fsum, log

from marking.checking.short_answers.marked_before.counts import Counts, signs_of
from marking.checking.short_answers.words import plain_wording
from rubrics.model import ErrorSource, Idea, Question

TAKEN_AS = 8.0
"""Phrases that are taken to be like those for all things together, for each: what is never said of a thing is not
impossible, and things of which few phrases are known are not thereby the likelier."""


def shares_of(text: str, question: Question, counts: Counts) -> Mapping[str, float]:
    """Return for each thing that may be said how likely it is what *text* says; empty where no phrases are known.

    The shares are of what `Counts.said` holds, and come to 1.
    """
    if not counts.said:
        return {}
    said = _said_of(question)
    whole = sum(one.answers + 1 for one in counts.said.values())
    weights = dict.fromkeys(counts.said, 0.0)
    for sign in signs_of(text):
        seen = {name: one.signs.get(sign, 0) + (sign in said.get(name, _NOTHING)) for name, one in counts.said.items()}
        share = sum(seen.values()) / whole
        if not share:
            continue  # nobody says it of anything
        for name, one in counts.said.items():
            weights[name] += log((seen[name] + TAKEN_AS * share) / (one.answers + 1 + TAKEN_AS))
    most = max(weights.values(), default=0.0)
    every = fsum(exp(weight - most) for weight in weights.values())
    return {name: exp(weight - most) / every for name, weight in weights.items()}


_NOTHING: frozenset[str] = frozenset()


@lru_cache(maxsize=512)
def _said_of(question: Question) -> Mapping[str, frozenset[str]]:
    things: tuple[Idea | ErrorSource, ...] = (*question.ideas, *question.sources, *question.wrong)
    return {one.id: _said_by(one) for one in things}


def _said_by(one: Idea | ErrorSource) -> frozenset[str]:
    because = one.because if isinstance(one, ErrorSource) else ""
    texts = (one.says, because, *map(plain_wording, one.wordings))
    return frozenset(sign for text in texts for sign in signs_of(text))
