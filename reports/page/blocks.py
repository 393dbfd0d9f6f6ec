"""Blocks to pages: what stays together, what moves to the next column, and where it stands."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import nullcontext
from itertools import groupby

from msgspec import Struct
from msgspec.structs import replace
from reportlab.pdfgen.canvas import Canvas

from reports.page.flowable import Flowable
from reports.page.tagging import grouped_as, tagged

_HAIR = 1e-6
"""Points by which sums of heights may differ for the order in which they were added."""
ANY_HEIGHT = 10_000.0
"""Offered to a flowable that is asked for its height."""


class Column(Struct, frozen=True, kw_only=True):
    """A place that blocks flow into, in points from the lower left corner of the page."""

    left: float
    width: float
    top: float
    bottom: float


class Block(Struct, frozen=True, kw_only=True):
    """What must not be torn apart: a heading and its first line, a point and its steps."""

    parts: tuple[Flowable, ...]
    gap: float = 0.0
    """Space above it, unless it starts a column."""


class Placed(Struct, frozen=True, kw_only=True):
    """A flowable and the lower left corner it is drawn at."""

    flowable: Flowable
    left: float
    bottom: float


Page = list[Placed]


class Space(Flowable):
    """Air between two parts of a block."""

    def __init__(self, points: float) -> None:
        """Take the height in points."""
        super().__init__()
        self.points = points

    def wrap(self, width: float, _height: float) -> tuple[float, float]:
        """Return the height it was given."""
        return width, self.points

    def draw(self) -> None:
        """Draw nothing."""


def flow(blocks: Sequence[Block], column: Column, later_top: float) -> list[Page]:
    """Return *blocks* on as many pages as they need.

    A block that fits no column whole is torn between its parts.

    Args:
        blocks: In reading order.
        column: Where they go on the first page.
        later_top: Where the same column starts on the pages after it.
    """
    pages: list[Page] = [[]]
    cursor = column.top
    for block in blocks:
        heights = [float(part.wrap(column.width, ANY_HEIGHT)[1]) for part in block.parts]
        whole = sum(heights)
        if pages[-1] and whole > cursor - block.gap - column.bottom and whole <= later_top - column.bottom:
            pages.append([])
            cursor = later_top
        elif pages[-1]:
            cursor -= block.gap
        for part, height in zip(block.parts, heights, strict=True):
            if pages[-1] and cursor - height < column.bottom:
                pages.append([])
                cursor = later_top
            cursor -= height
            if not isinstance(part, Space):
                pages[-1].append(Placed(flowable=part, left=column.left, bottom=cursor))
    return pages


def packed(blocks: Sequence[Block], column: Column, later_top: float, *, in_order: int) -> list[Page]:
    """Return *blocks* on few pages: where one does not fit, the next that does takes its room.

    Args:
        blocks: In reading order.
        column: Where they go on the first page.
        later_top: Where the same column starts on the pages after it.
        in_order: So many of the first blocks are never overtaken.
    """
    pages: list[Page] = []
    left = list(blocks)
    while left:
        top = later_top if pages else column.top
        page, left, in_order = _filled(left, replace(column, top=top), in_order)
        if not page:  # it fits no page whole, so it is torn
            torn = flow(left[:1], replace(column, top=top), later_top)
            pages, left = [*pages, *torn[:-1]], left[1:]
            page = torn[-1]
        pages.append(page)
    return pages or [[]]


def _filled(blocks: Sequence[Block], column: Column, in_order: int) -> tuple[Page, list[Block], int]:
    """Return one page, what is left of *blocks*, and how many of them are still not to be overtaken."""
    page: Page = []
    left: list[Block] = []
    cursor, waits = column.top, False
    for number, block in enumerate(blocks):
        heights = [float(part.wrap(column.width, ANY_HEIGHT)[1]) for part in block.parts]
        gap = block.gap if page else 0.0
        if waits or sum(heights) + gap > cursor - column.bottom + _HAIR:
            left.append(block)
            waits = waits or number < in_order
            continue
        cursor -= gap
        for part, height in zip(block.parts, heights, strict=True):
            cursor -= height
            if not isinstance(part, Space):
                page.append(Placed(flowable=part, left=column.left, bottom=cursor))
    return page, left, max(0, in_order - (len(blocks) - len(left)))


def share_filled(page: Page, column: Column) -> float:
    """Return how much of a column a page fills, 0 to 1."""
    if not page:
        return 0.0
    return (column.top - min(placed.bottom for placed in page)) / (column.top - column.bottom)


Heights = dict[tuple[int, float], float]
"""Block, by its identity, and width of a column to the block's height there."""


def fits(blocks: Sequence[Block], column: Column, heights: Heights) -> bool:
    """Tell whether *blocks* fit *column* on one page, as `flow` would set them.

    Args:
        blocks: In reading order.
        column: Where they are to go.
        heights: What was measured before; filled as it goes, so that many arrangements of the same blocks cost little.
    """
    needed = -blocks[0].gap if blocks else 0.0
    for block in blocks:
        key = (id(block), column.width)
        if key not in heights:
            heights[key] = sum(float(part.wrap(column.width, ANY_HEIGHT)[1]) for part in block.parts)
        needed += block.gap + heights[key]
    return needed <= column.top - column.bottom + _HAIR


def draw(page: Page, canvas: Canvas) -> None:
    """Draw everything on *page*, in order: the order in which a screen reader meets it."""
    for is_list, run in groupby(page, lambda placed: bool(getattr(placed.flowable, "is_item", False))):
        with grouped_as(canvas, "L") if is_list else nullcontext():
            for placed in run:
                _draw_placed(placed, canvas)


def _draw_placed(placed: Placed, canvas: Canvas) -> None:
    words = getattr(placed.flowable, "figure", "")
    if words:
        with tagged(canvas, "Figure", alt=words):
            placed.flowable.draw_on(canvas, placed.left, placed.bottom)
    else:
        placed.flowable.draw_on(canvas, placed.left, placed.bottom)
