"""What flows into columns: a thing that knows its size in a given width and draws itself from its lower left corner.

The library of PDFs has a class of this kind too; with it comes a whole typesetter that is not needed here, and that
takes longer to load than three sheets to draw.
"""

from __future__ import annotations

from reportlab.pdfgen.canvas import Canvas


class Flowable:
    """A piece of print."""

    canv: Canvas
    """Where it is being drawn, as long as it is."""

    def __init__(self) -> None:
        """Start without a size."""
        self.width = 0.0
        self.height = 0.0

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        """Return width and height, in points, in a column of that width."""
        return self.width, self.height

    def draw(self) -> None:
        """Draw it on ``canv``, its lower left corner at the origin."""
        raise NotImplementedError

    def draw_on(self, canvas: Canvas, left: float, bottom: float) -> None:
        """Draw it on *canvas*, its lower left corner at a place in points."""
        canvas.saveState()
        canvas.translate(left, bottom)
        self.canv = canvas
        self.draw()
        del self.canv
        canvas.restoreState()
