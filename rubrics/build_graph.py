"""The boxes of a graph on paper that can be typed: two points read off the line, and the scales of the axes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rubrics.model import Blank, GraphInfo, Item, Role

if TYPE_CHECKING:
    from rubrics.documents import GraphTable

_POINTS = (
    ("line_x1", "{x} at the first point read off your line"),
    ("line_y1", "{y} at the first point"),
    ("line_x2", "{x} at a second point, far from the first"),
    ("line_y2", "{y} at the second point"),
)
_AXES = (
    ("x_from", "axis of {x}: where it starts"),
    ("x_to", "axis of {x}: where it ends"),
    ("x_square", "axis of {x}: what one large square stands for"),
    ("y_from", "axis of {y}: where it starts"),
    ("y_to", "axis of {y}: where it ends"),
    ("y_square", "axis of {y}: what one large square stands for"),
)
"""(name, words of the box)."""


def build_graph(table: GraphTable, items: dict[str, Item]) -> GraphInfo:
    """Return the graph of *table*; the boxes that it asks for are added to *items*."""
    read_off = tuple(table.read_off or ())
    both = table.x in items and table.y in items  # else told by rubrics/soundness
    if table.points and not read_off and both:
        read_off = _add(_POINTS, table, items)
    axes = _add(_AXES, table, items) if table.axes and both else ()
    return GraphInfo(x=table.x, y=table.y, fit=table.fit, read_off=read_off, axes=axes, is_straight_part=table.straight)


def _add(boxes: tuple[tuple[str, str], ...], table: GraphTable, items: dict[str, Item]) -> tuple[str, ...]:
    for name, words in boxes:
        of = items[table.x if name.startswith(("x_", "line_x")) else table.y]
        told = {"x": items[table.x].symbol, "y": items[table.y].symbol}
        # What a square stands for is a difference: of a temperature, too.
        unit = of.unit.as_change() if name.endswith("square") else of.unit
        recorded = tuple(one.as_change() for one in of.recorded_in) if name.endswith("square") else of.recorded_in
        items[name] = Item(
            name=name,
            symbol=name,
            quantity=words.format(**told),
            role=Role.ANSWER,
            unit=unit,
            recorded_in=recorded,
            table=None,
            limits=None,
            instrument="",
            resolution=None,
            headings=(),
            formula=None,
            also=(),
            figures=(1, 9),
            choices=(),
            curve=None,
            blank=Blank.TEACHER,
            is_read_off=True,
            counted=of.counted,
        )
    return tuple(name for name, _ in boxes)
