"""Figures that an answer quotes with their names, 'R1 10.0, parallel 12.4', held against what it says of them."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping, Sequence

from rubrics.model import Evidence, Idea, Moves, Question
from rubrics.patterns import late_pattern

_PAIR = late_pattern(
    r"(?<![\w.])([^\W\d][\w/]*)\s*(?:=|:|is|was|of|about|came to|came out as|came out at|which is|which was)?\s*"
    r"(?:about |around )?(\d+(?:\.\d+)?)(?![\w]*\d)",
    re.IGNORECASE,
)
OWN = frozenset({"mine", "my", "got", "i", "we", "ours"})
"""Words in front of a figure that is the student's own result."""
MEASURED = frozenset({"timing", "timed", "measured", "experiment", "graph", "gradient", "slope", "stopwatch"})
"""Words beside a figure that came out of the experiment."""
THEIRS = frozenset({"theory", "formula", "expected", "predicted", "ideal", "theoretical"})
"""Words beside a figure that it is compared with."""
_OWN_FIRST = frozenset({("own", "other"), ("own", ""), ("", "other")})
_PART = late_pattern(r"[,;](?!\d)|\b(?:and|but|while|whereas)\b")
_FIGURE = late_pattern(r"(?<![\w.])\d+(?:\.\d+)?(?![\w]*\d)")
SAME_SHARE = 0.02
"""Closer than this two figures are taken for equal, and show neither way."""


def named_figures(text: str) -> Iterator[tuple[str, float]]:
    """Yield (name in small letters, figure) for each figure of *text* that has a word in front of it."""
    for found in _PAIR.finditer(text):
        yield found[1].casefold(), float(found[2])


def is_ordered_otherwise(idea: Idea, text: str, own: Mapping[str, Sequence[float]]) -> bool:
    """Tell whether figures say that the first of an idea's items is not above, or below, all others."""
    if idea.evidence not in (Evidence.ABOVE, Evidence.BELOW):
        return False
    quoted = {name: value for word, value in named_figures(text) for name in idea.columns if word in _aliases(name)}
    values = {name: next(iter(own[name])) for name in idea.columns if len(own.get(name, ())) == 1}
    return any(_disagrees(idea, known) for known in (quoted, values))


def _disagrees(idea: Idea, known: Mapping[str, float]) -> bool:
    first, *others = idea.columns
    if first not in known:
        return False
    sign = 1 if idea.evidence is Evidence.ABOVE else -1
    return any(sign * (known[first] - known[other]) <= 0 for other in others if other in known)


def _aliases(name: str) -> frozenset[str]:
    # R_parallel is 'parallel' in a sentence, and R_1 is 'R1'.
    small = name.casefold()
    tail = small.rpartition("_")[2]
    return frozenset({small, small.replace("_", "")} | ({tail} if len(tail) > 1 else set()))


def quoted_way(question: Question, text: str) -> Moves | None:
    """Return which way the own figure lies from the one that *question* compares it with; None where it is not told.

    The own one has a name of the result in front of it (``a = 1.32``), the other letters of the prompt (``gh/D``).
    """
    if question.beside is None:
        return None
    letters = set(re.findall(r"(?<!\w)[^\W\d_](?!\w)", question.prompt.casefold()))
    names = {name.casefold() for name in question.of} | OWN
    own = other = None
    for word, value in named_figures(text):
        if word in names:
            own = value
        elif len(word) > 1 and letters >= set(word) - {"/"}:
            other = value
    if own is None or other is None:
        own, other = _by_parts(text, names, letters)
    if own is None or other is None or abs(own - other) <= SAME_SHARE * abs(other):
        return None
    return Moves.HIGH if own > other else Moves.LOW


def _by_parts(text: str, names: Collection[str], letters: Collection[str]) -> tuple[float, float] | tuple[None, None]:
    """Return the own figure and the other of two that stand in a part each: '0.62 from the timing, 0.55 from gh/D'."""
    parts = [part for part in _PART.split(text) if _FIGURE.search(part)]
    figures = [_FIGURE.findall(part) for part in parts]
    if len(parts) != 2 or any(len(found) != 1 for found in figures):
        return None, None
    kinds = tuple(_kind(part.casefold(), names, letters) for part in parts)
    first, second = (float(found[0]) for found in figures)
    if kinds in _OWN_FIRST:
        return first, second
    return (second, first) if kinds[::-1] in _OWN_FIRST else (None, None)


def _kind(part: str, names: Collection[str], letters: Collection[str]) -> str:
    words = re.findall(r"[^\W\d_]+", part)
    symbols = {sign for word in words for sign in word if set(word) <= set(letters)} - set(names)
    is_other = len(symbols) > 1 or any(word in THEIRS for word in words)
    is_own = any(word in MEASURED or (word in names and len(word) > 1) for word in words)
    if is_own == is_other:
        return ""
    return "own" if is_own else "other"
