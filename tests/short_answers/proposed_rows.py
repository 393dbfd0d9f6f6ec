"""Which rows of the files of marked answers are proposed for award, each by the answers of all hands but its own."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from marking.checking.short_answers.matching import read_answer
from marking.checking.short_answers.proposals import Parts, Proposal
from rubrics.model import Moves
from tests.short_answers.marked_hands import asked, rows, without_own_hand

HANDS = ("other_hand.csv", "third_hand.csv", "fourth_hand.csv", "fifth_hand.csv")
"""The first four, which the wordings were made on."""
BY_HAND = ("watch", "reaction", "press", "click", "stop", "slow", "clap", "echo", "wall")
"""Words of answers about the speed of sound that are about the echo: no hand works the timer of two microphones."""
WAYS = {"too high": Moves.HIGH, "too low": Moves.LOW, "no change": Moves.SAME, "": None}


def is_proposed(name: str, row: Mapping[str, str]) -> bool:
    """Tell whether a line of the file *name* is proposed for award, by the answers of all hands but its own."""
    parts = Parts(what=row["what"], way=WAYS[row["way"]], because=row["because"]) if "what" in row else None
    marked = without_own_hand(name, row)
    reading = read_answer(asked(row), parts or row["text"], marked=marked, tested=_tested(row))
    return reading.proposal is Proposal.AWARDED


def _tested(row: Mapping[str, str]) -> str | None:
    """Return the way of measuring that an answer is about; the hands that wrote them were told of both."""
    said = (row["what"] if "what" in row else row["text"]).casefold()
    is_by_hand = row["practical"] == "sound-speed" and any(word in said for word in BY_HAND) and "wind" not in said
    return "echo" if is_by_hand and "mic" not in said else None


@cache
def proposed() -> tuple[Mapping[str, str], ...]:
    """Return a line each of the answers of several hands that are proposed as they stand."""
    return tuple(row for name in (*HANDS, "near_misses.csv") for row in rows(name) if is_proposed(name, row))
