"""The labelled answers, in two halves, and how well proposals fit their labels."""

from __future__ import annotations

import csv
import hashlib
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from marking.checking.short_answers.matching import read_answer
from marking.checking.short_answers.proposals import Proposal, Reading, Why
from rubrics.load import load_catalogue
from rubrics.model import Question

FILE = Path(__file__).parent / "labelled.csv"


@dataclass(frozen=True, slots=True, kw_only=True)
class Labelled:
    """One answer, with the ideas that a marker gives it."""

    practical: str
    question: str
    kind: str
    ideas: frozenset[str]
    answer: str

    @property
    def is_for_report(self) -> bool:
        """Tell which half it belongs to: by the first hexadecimal digit of the answer's SHA-256."""
        key = f"{self.question}: {self.answer}".encode()
        return int(hashlib.sha256(key).hexdigest()[0], 16) % 2 == 1

    @property
    def asked(self) -> Question:
        """Return the question of the catalogue that it answers."""
        question = load_catalogue()[self.practical].items[self.question].question
        assert question is not None
        return question

    @property
    def is_earned(self) -> bool:
        """Tell whether the marker gives the mark: for a source of error it takes its direction too."""
        need = 2 if self.asked.sources else self.asked.need
        return len(self.ideas) >= need and self.kind != "contradictory"

    def read(self) -> Reading:
        """Return what the program reads."""
        return read_answer(self.asked, self.answer)


@dataclass(frozen=True, slots=True)
class Score:
    """How well 'awarded' fits the labels."""

    precision: float
    recall: float


@cache
def labelled() -> tuple[Labelled, ...]:
    """Return all answers of the file."""
    with FILE.open(encoding="utf-8", newline="") as file:
        return tuple(
            Labelled(
                practical=row["practical"],
                question=row["question"],
                kind=row["kind"],
                ideas=frozenset(row["ideas"].split()),
                answer=row["answer"],
            )
            for row in csv.DictReader(file)
        )


def half(*, for_report: bool) -> list[Labelled]:
    """Return one half of the answers."""
    return [one for one in labelled() if one.is_for_report is for_report]


def score(answers: Iterable[Labelled]) -> Score:
    """Return precision and recall of the marks proposed."""
    pairs = [(one.read().proposal is Proposal.AWARDED, one.is_earned) for one in answers]
    return _score(pairs)


def score_ideas(answers: Iterable[Labelled]) -> Score:
    """Return precision and recall of single ideas; in a contradictory answer none is taken for found."""
    pairs = []
    for one in answers:
        found = one.read()
        ideas = found.ideas if found.why in (Why.NONE, Why.PARTLY, Why.NOT_FOUND, Why.UNLIKE) else ()
        named = {"source" if idea == "loss" else idea for idea in one.ideas}
        sought = ("source", "direction") if one.asked.sources else [idea.id for idea in one.asked.ideas]
        pairs += [(idea in ideas, idea in named) for idea in sought]
    return _score(pairs)


def _score(pairs: list[tuple[bool, bool]]) -> Score:
    both = sum(proposed and earned for proposed, earned in pairs)
    return Score(both / sum(proposed for proposed, _ in pairs), both / sum(earned for _, earned in pairs))
