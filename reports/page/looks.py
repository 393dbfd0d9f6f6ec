"""How a sheet is set for its reader: the usual page, large print, or a cream ground.

A look is a page of its own measure that is drawn larger: words, lines and charts grow together, and everything is
set anew for the width that is left, in one column.
"""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace
from reportlab.pdfgen.canvas import Canvas

from reports.page import house_style as style
from reports.page.tagging import furniture

_LARGE_SCALE = 2.12
"""Makes labels and notes 18 points, running text 21, the figures along an axis 15; a chart's lines grow as much."""
_LARGE_TITLE = 12.5
"""Before it is drawn larger: 26 points, and most titles on one line."""
_SIDE_WIDTH = 186.0
"""Of the narrow column below the framed part, in points."""
_CREAM_SCALE = 1.2
"""Makes running text 12 points, the least that is asked for."""
_CREAM = (0.988, 0.965, 0.894)
"""Pale enough for 7 : 1 against the softer grey, and still white enough on a grey printer."""


class Look(Struct, frozen=True, kw_only=True):
    """The measure of a sheet, in points before it is drawn larger."""

    scale: float = 1.0
    ground: tuple[float, float, float] | None = None
    """Colour of the paper; None for the paper itself."""
    is_one_column: bool = False
    is_stacked: bool = False
    """True where a label stands above its sentence, for want of width."""
    margin: float = style.MARGIN
    """On the paper."""
    chart_height: float = 165.0
    title_size: float = style.TITLE_SIZE

    @property
    def left(self) -> float:
        """Return the left edge of the print."""
        return self.margin / self.scale

    @property
    def right(self) -> float:
        """Return the right edge of the print."""
        return (style.PAGE_WIDTH - self.margin) / self.scale

    @property
    def width(self) -> float:
        """Return the width of the print."""
        return self.right - self.left

    @property
    def top(self) -> float:
        """Return where the print starts."""
        return style.TOP / self.scale

    @property
    def bottom(self) -> float:
        """Return where the print ends."""
        return style.BOTTOM / self.scale

    @property
    def foot(self) -> float:
        """Return the base of the line at the foot."""
        return 30.0 / self.scale

    @property
    def later_top(self) -> float:
        """Return where the columns start on a second page."""
        return self.top - 22.0

    @property
    def main_width(self) -> float:
        """Return the width of the column of words."""
        return self.width if self.is_one_column else style.WIDTH - style.GUTTER - _SIDE_WIDTH

    @property
    def side_width(self) -> float:
        """Return the width of the column of charts and marks."""
        return self.width if self.is_one_column else _SIDE_WIDTH

    def start(self, canvas: Canvas) -> None:
        """Lay the ground of a new page and set its measure."""
        if self.ground is not None:
            with furniture(canvas):
                canvas.setFillColorRGB(*self.ground)
                canvas.rect(0, 0, style.PAGE_WIDTH, style.PAGE_HEIGHT, stroke=0, fill=1)
        if self.scale != 1.0:
            canvas.scale(self.scale, self.scale)


USUAL = Look()
LARGE = Look(
    scale=_LARGE_SCALE, is_one_column=True, is_stacked=True, margin=36.0, chart_height=132.0, title_size=_LARGE_TITLE
)
CREAM = Look(scale=_CREAM_SCALE, ground=_CREAM, is_one_column=True, margin=60.0, chart_height=170.0)
LARGE_ON_CREAM = replace(LARGE, ground=_CREAM)


def look_of(paper: str) -> Look:
    """Return the look that the roster's word asks for; the usual one where it asks for none that is known."""
    said = paper.casefold()
    if "large" in said:
        return LARGE_ON_CREAM if "cream" in said else LARGE
    return CREAM if "cream" in said else USUAL
