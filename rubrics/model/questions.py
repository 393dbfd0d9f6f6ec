"""What a short answer is asked for: ideas, and sources of error with the direction that belongs to each."""

from __future__ import annotations

from enum import StrEnum

from msgspec import Struct

WAY = "_way"
BECAUSE = "_because"
"""Behind the name of a question: its boxes for the direction and for the reason."""


class Moves(StrEnum):
    """Which way a source of error moves what the question asks about."""

    HIGH = "high"
    LOW = "low"
    SAME = "same"
    """Not at all: a zero error that cancels in a difference."""
    EITHER = "either"
    """It depends on how it happened: any one direction that is stated will do."""


class Evidence(StrEnum):
    """What a student's own figures may show, and are held against."""

    CONSTANT = "constant"
    """One column: its values stay the same."""
    PROPORTIONAL = "proportional"
    """Two columns, x and y: twice x, twice y."""
    INVERSE = "inverse"
    """Twice x, half y."""
    INVERSE_SQUARE = "inverse-square"
    """Twice x, a quarter of y."""
    ABOVE = "above"
    """Single items: the first is larger than each of the others."""
    BELOW = "below"
    """The first is smaller than each of the others."""
    ALIKE = "alike"
    """One column: its values are much the same, as counts are that may be trusted."""
    SCATTERED = "scattered"
    """One column: its values differ."""


class Idea(Struct, frozen=True, kw_only=True):
    """Something that a short answer may say, right or wrong."""

    id: str
    says: str
    """In words, for the teacher."""
    wordings: tuple[str, ...]
    """Words in order, '/' between words that will do as well as each other: 'heat/energy lost/escapes'."""
    evidence: Evidence | None = None
    """What own figures may show in place of words; None where they cannot."""
    columns: tuple[str, ...] = ()
    """The columns that they are taken from: y, or x and y."""


class ErrorSource(Struct, frozen=True, kw_only=True):
    """A source of error, the direction that it moves the result in, and why."""

    id: str
    says: str
    moves: Moves
    because: str
    """The reason, in words for the teacher."""
    wordings: tuple[str, ...]
    when: tuple[str, ...] = ()
    """Choices of the rubric's selector that it is one for; empty: always."""


class Question(Struct, frozen=True, kw_only=True, cache_hash=True):
    """What a short answer is asked for."""

    ideas: tuple[Idea, ...]
    wrong: tuple[Idea, ...]
    """Ideas that spoil a right one."""
    ignore: tuple[Idea, ...]
    """Ideas that neither help nor harm; an answer that holds nothing else earns nothing."""
    need: int
    """How many of the ideas earn the marks: 'any two from'."""
    prompt: str = ""
    sources: tuple[ErrorSource, ...] = ()
    """A source with its own direction earns the marks; so do *need* of the ideas, where there are any."""
    cures: tuple[Idea, ...] = ()
    """What another question takes as an improvement: told as done, it says that the error was not made."""
    of: tuple[str, ...] = ()
    """Words for what a source moves: 'density', 'c'."""
    through: tuple[tuple[str, int], ...] = ()
    """Words for what lies between, +1 where it moves the result its own way, -1 where the other: ('volume', -1)."""
    any_of: bool = False
    """Whether the direction of one of these will do as well: 'which way it moves a reading or R'."""
    beside: tuple[str, str] | None = None
    """Two items: the direction must be that of the first beside the second, as the own readings lead to them."""
    tested: tuple[tuple[str, tuple[str, ...]], ...] = ()
    """Choices of the rubric's selector and all words for each, where a source is one for some of them only."""
    way: str = ""
    """Name of the box for the direction; empty where the question has no parts."""
    because: str = ""
    """Name of the box for the reason."""
