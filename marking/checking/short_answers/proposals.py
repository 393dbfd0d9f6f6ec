"""What is proposed of an answer, and why an answer is left to the teacher."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum

from msgspec import Struct

from marking.checking.short_answers.words import Match, Word
from rubrics.model import Moves

MOST_BESIDE = 4
"""Words beside what neither helps nor harms in an answer that says nothing else."""


class Proposal(StrEnum):
    """What is proposed to the teacher."""

    AWARDED = "awarded"
    WITHHELD = "withheld"
    UNSURE = "unsure"


class Why(StrEnum):
    """Why an answer is left to the teacher."""

    NONE = ""
    PARTLY = "partly"
    """Some of what is asked for is there."""
    NOT_FOUND = "not-found"
    TURN = "turn"
    """Something is denied, or said to be wrong."""
    DIRECTION = "direction"
    """The direction is not the one that belongs to the source, or goes both ways."""
    WRONG = "wrong"
    """A wrong idea stands beside it."""
    COPIED = "copied"
    """The words of the question, or a circle."""
    FIGURES = "figures"
    """The figures quoted do not show it."""
    UNLIKE = "unlike"
    """It is not like enough to the answers that earned the mark before."""


HARMLESS = (Why.NONE, Why.NOT_FOUND, Why.PARTLY)
"""Reasons that speak against nothing that is found."""


class Reading(Struct, frozen=True, kw_only=True):
    """What an answer was read as."""

    proposal: Proposal
    ideas: tuple[str, ...]
    """Ids of the ideas found, in the order of the question; those that a contradiction spoils among them."""
    wrong: tuple[str, ...]
    """Ids of wrong ideas found."""
    spans: tuple[tuple[int, int], ...]
    """What it rests on, in order."""
    group: str
    """Same for answers that mean the same."""
    why: Why = Why.NONE


class Parts(Struct, frozen=True, kw_only=True):
    """An answer in its boxes."""

    what: str
    way: Moves | None = None
    because: str = ""


class Found(Struct, frozen=True, kw_only=True):
    """What stands in a text."""

    text: str
    words: tuple[Word, ...]
    right: tuple[Match, ...]
    denied: tuple[Match, ...]
    wrong: tuple[Match, ...]
    ignored: tuple[Match, ...]
    why: Why
    """What speaks against taking it for sure."""


def as_read(
    found: Found,
    ideas: tuple[str, ...],
    rests: Sequence[Match],
    *,
    enough: bool,
    why: Why,
    group: str = "",
) -> Reading:
    """Return the proposal for what was found: *enough* or not, and *why* not where something speaks against it."""
    wrong = tuple(dict.fromkeys(one.idea for one in found.wrong))
    spoilt = why not in HARMLESS
    if spoilt:
        proposal = Proposal.WITHHELD if wrong and not ideas else Proposal.UNSURE
    elif enough:
        proposal = Proposal.AWARDED
    else:
        why = Why.PARTLY if ideas else Why.NOT_FOUND
        proposal = Proposal.WITHHELD if not ideas and says_nothing(found) else Proposal.UNSURE
    spans = {span for one in (*rests, *found.wrong, *found.denied) for span in one.spans}
    return Reading(
        proposal=proposal,
        ideas=ideas,
        wrong=wrong,
        spans=tuple(sorted(spans)),
        group=_group(found, ideas, wrong, group, why if spoilt else Why.NONE),
        why=why,
    )


def says_nothing(found: Found) -> bool:
    """Tell whether an answer says little beside what neither helps nor harms: 'human error when measuring'."""
    at = {at for one in found.ignored for at in one.at}
    others = [word for number, word in enumerate(found.words) if number not in at and not word.is_passed_over]
    return bool(found.ignored) and len(others) <= MOST_BESIDE


def _group(found: Found, ideas: Sequence[str], wrong: Sequence[str], named: str, why: Why) -> str:
    denied = sorted({one.idea for one in found.denied})
    if named.strip() or ideas or wrong or denied:
        said = [
            named.strip() or " ".join(ideas),
            *(f"wrong:{one}" for one in wrong),
            *(f"denied:{one}" for one in denied),
        ]
        return " ".join([*said, f"({why})"] if why else said).strip()
    return "other: " + " ".join(sorted({word.stem for word in found.words if not word.is_passed_over}))
