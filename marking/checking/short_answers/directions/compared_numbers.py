"""Two figures of an answer that are set side by side: '0.76 instead of 0.79', '1020, which is higher than 900'."""

from __future__ import annotations

import re
from collections.abc import Iterator

from marking.checking.short_answers.words import Direction, direction_of

_COMPARED = re.compile(
    r"(?<![\w.])(\d+(?:\.\d+)?)\s*[^\s\d]{0,12}\s*"
    r"(?:which is |and |but )?"
    r"(?:instead of|rather than|compared (?:to|with)|against|when it should be|it should be|should be|not)\s+"
    r"(?:the |a |about |around )?(\d+(?:\.\d+)?)(?![\w.])",
    re.IGNORECASE,
)
"""Two numbers, the own one first: '0.76 instead of 0.79'."""


_BESIDE = re.compile(
    r"(?<![\w.])(\d+(?:\.\d+)?)\s*[^\s\d]{0,12}\s*(?:which |this |and that |it )?(?:is |was )"
    r"(higher|more|bigger|larger|greater|above|over|lower|less|smaller|below|under)\s+(?:than )?(?:the )?"
    r"(?:real |true |actual |book |accepted )?(?:value )?(?:of )?(\d+(?:\.\d+)?)(?![\w.])",
    re.IGNORECASE,
)
"""An own number said to be above or below another: '1020, which is higher than 900'."""


_EARLY = frozenset({"early", "earlier", "sooner"})
_ARRIVAL = re.compile(
    r"(?:comes|came|arrives|arrived|gets there|got there) (?:too |a bit |much )?(early|earlier|sooner|late|later)\b",
    re.IGNORECASE,
)
"""What comes early or late has taken a short or a long time: 'it blows the sound on to us so it comes early'."""


_ZERO_ERROR = re.compile(r"zero[ -]?error[^\d+\-−–]{0,12}([+\-−–])\s?\d", re.IGNORECASE)
"""A zero error with its sign: 'a zero error of +0.02 A'."""


_SHOWS = r"(?:show(?:s|ed|ing)?|reads?|reading|sa(?:ys|id)|display(?:s|ed)|gave|had|was at|is at)"
_UNUSED = (
    r"(?:nothing|empty|closed|shut|disconnected|unconnected|switched off|no (?:load|current|mass|object|weight)"
    r"|before (?:i|we|anything|it was|putting))"
)
_SHOWN_UNUSED = re.compile(
    rf"\b{_SHOWS}\s(?:[^\d.,;]{{0,20}})?(?P<after>[+\-−–]?\d+(?:\.\d+)?)[^\d.;]{{0,25}}\b{_UNUSED}\b"
    rf"|\b{_UNUSED}\b[^\d.;]{{0,40}}\b{_SHOWS}\s(?:[^\d.,;]{{0,20}})?(?P<before>[+\-−–]?\d+(?:\.\d+)?)",
    re.IGNORECASE,
)
"""What an instrument shows that measures nothing: 'the balance showed 0.4 g with nothing on it'."""


def way_of_zero_error(text: str) -> Direction:
    """Return which way a zero error moves what is read, told with its sign or shown unused; NONE where none is told."""
    found = _ZERO_ERROR.search(text)
    if found is not None:
        return Direction.UP if found[1] == "+" else Direction.DOWN
    shown = _SHOWN_UNUSED.search(text)
    figure = (shown["after"] or shown["before"]) if shown is not None else ""
    if not figure or not float(figure.lstrip("+-−–")):
        return Direction.NONE
    return Direction.DOWN if figure[0] in "-−–" else Direction.UP


def way_of_arrival(text: str) -> Direction:
    """Return which way a time goes where something is said to come early or late; NONE where both or neither is."""
    ways = {Direction.DOWN if found[1].casefold() in _EARLY else Direction.UP for found in _ARRIVAL.finditer(text)}
    return ways.pop() if len(ways) == 1 else Direction.NONE


def compared_spans(text: str) -> list[tuple[int, int]]:
    """Return (start, end) of each place of *text* where two figures are compared."""
    return [found.span() for pattern in (_COMPARED, _BESIDE) for found in pattern.finditer(text)]


def ways_of_numbers(text: str) -> Iterator[Direction]:
    """Yield which way the first figure of each pair lies from the second, by its words and by the figures."""
    for found in _COMPARED.finditer(text):
        own, other = float(found[1]), float(found[2])
        if own != other:
            yield _way(own, other)
    for found in _BESIDE.finditer(text):
        own, other = float(found[1]), float(found[3])
        said = direction_of(found[2].casefold())
        if said and own != other:
            # '1020, which is lower than 900' goes both ways.
            yield from (said, _way(own, other))


def _way(own: float, other: float) -> Direction:
    return Direction.UP if own > other else Direction.DOWN
