"""Kinds of slip over a class's practicals: which grow fewer, which stay."""

from __future__ import annotations

from marking.findings import Cause, MarkedSet
from reports.page import NOTE, Block, Heading, Hung, text
from reports.wording import fill, wording

_MOST_PRACTICALS = 4
_MOST_SLIPS = 6


def trend_blocks(marked: MarkedSet) -> list[Block]:
    """Return the slips of the class, practical by practical; nothing where this is the first."""
    points = marked.trend[-_MOST_PRACTICALS:]
    met = [cause for cause in Cause if any(point.counts.get(cause) for point in points)]
    if len(points) < 2 or not met:
        return []
    words, names = wording("over_time")["summary"], wording("causes")
    met.sort(key=lambda cause: -sum(point.counts.get(cause, 0) for point in points))
    lines = []
    for cause in met[:_MOST_SLIPS]:
        counts = ", ".join(
            fill([words["count"]], {"count": str(point.counts.get(cause, 0)), "handed_in": str(point.handed_in)})
            for point in points
        )
        said = fill([words["line"]], {"name": names[cause.value]["name"], "counts": counts})
        lines.append(Hung("–", text(NOTE, said), left=10, small=True))
    titles = "; ".join(f"{point.title}, {point.day}" if point.day else point.title for point in points)
    order = text(NOTE, fill([words["order"]], {"titles": titles}))
    return [Block(parts=(Heading(words["heading"]), order, *lines), gap=13.0)]
