"""The building blocks of a sheet: headings, points, marks, lines to write on."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from reportlab.pdfgen.canvas import Canvas

from reports.page.blocks import ANY_HEIGHT
from reports.page.flowable import Flowable
from reports.page.house_style import (
    BODY,
    BODY_SIZE,
    BOLD,
    HEADING_SIZE,
    INK,
    LABEL_SIZE,
    LINE,
    NOTE,
    REGULAR,
    SOFT,
    Sentences,
    text,
    width_of,
    wrapped,
)
from reports.page.tagging import grouped_as, tagged

HANG = 18.0
"""How far the text of a point stands to the right of its number."""
LABEL_WIDTH = 68.0


class Part(Flowable):
    """Something that fills the width of its column and knows its own height."""

    role = "P"
    """What it is to a screen reader; empty where it says so itself, piece by piece."""
    alt = ""
    """The same in words, where it is a formula."""

    def __init__(self) -> None:
        """Start without a width; the column gives it."""
        super().__init__()
        self.width, self.height = 0.0, 0.0

    @property
    def page(self) -> Canvas:
        """Return the canvas that is being drawn on."""
        return self.canv

    def wrap(self, width: float, _height: float) -> tuple[float, float]:
        """Return width and height in a column of *width* points."""
        self.width = width
        self.height = self.own_height()
        return width, self.height

    def own_height(self) -> float:
        """Return the height it takes at its present width."""
        raise NotImplementedError

    def draw(self) -> None:
        """Draw everything; all print of the part goes into one text object, which halves the work."""
        if self.role:
            with tagged(self.page, self.role, alt=self.alt):
                self._draw_in()
        else:
            self._draw_in()

    def _draw_in(self) -> None:
        self._start_print()
        self.fill_in()
        self.page.drawText(self._print)

    def _start_print(self) -> None:
        self._print = self.page.beginText()
        self._face: tuple[str, float, bool] | None = None

    @contextmanager
    def piece(self, role: str, *, scope: str = "") -> Iterator[None]:
        """Set the print of one element: a cell of a table, the mark of a list."""
        self._start_print()
        with tagged(self.page, role, scope=scope):
            yield
            self.page.drawText(self._print)
        self._start_print()

    def fill_in(self) -> None:
        """Draw what the part consists of."""

    def put(
        self, string: str, left: float, base: float, size: float, *, font: str = REGULAR, soft: bool = False
    ) -> None:
        """Set one line of print that starts at *left*."""
        if not string:
            return
        face = (font, size, soft)
        if face != self._face:
            self._print.setFont(font, size)
            self._print.setFillGray(SOFT if soft else INK)
            self._face = face
        self._print.setTextOrigin(left, base)
        self._print.textOut(string)

    def put_right(self, string: str, base: float, size: float, *, font: str = REGULAR, soft: bool = False) -> None:
        """Set one line of print that ends at the right edge."""
        self.put(string, self.width - width_of(string, size, font), base, size, font=font, soft=soft)


class Heading(Part):
    """A section's name over a thin line."""

    role = "H2"

    def __init__(self, title: str) -> None:
        """Take the name."""
        super().__init__()
        self.title = title

    def own_height(self) -> float:
        """Return one line, the rule, and the air below it."""
        return 24.0

    def fill_in(self) -> None:
        """Draw the name and the rule."""
        self.put(self.title, 0, 11, HEADING_SIZE, font=BOLD)
        self.page.setLineWidth(0.6)
        self.page.setStrokeGray(LINE)
        self.page.line(0, 5.5, self.width, 5.5)


class Hung(Part):
    """A paragraph with a mark or a short label to its left."""

    role = ""
    is_item = True
    """One of a list, with the items that stand above and below it."""

    def __init__(
        self, mark: str, paragraph: Sentences, *, left: float = HANG, start: float = 0.0, small: bool = False
    ) -> None:
        """Take the mark, the paragraph, where the paragraph starts, and where the mark does."""
        super().__init__()
        self.mark, self.paragraph, self.left, self.start = mark, paragraph, left, start
        self.size = LABEL_SIZE if small else BODY_SIZE

    def own_height(self) -> float:
        """Return the height of the paragraph."""
        return float(self.paragraph.wrap(self.width - self.left, ANY_HEIGHT)[1])

    def draw(self) -> None:
        """Draw the mark, then the paragraph: the order in which a screen reader meets them."""
        with grouped_as(self.page, "LI"):
            if self.mark:
                with self.piece("Lbl"):
                    base = self.height - self.paragraph.style.size
                    self.put(self.mark, self.start, base, self.size, soft=self.size == LABEL_SIZE)
            with tagged(self.page, "LBody"):
                self.paragraph.draw_on(self.page, self.left, 0)


def labelled(label: str, sentence: str, *, is_stacked: bool = False) -> tuple[Hung, ...]:
    """Return one line of a point: a small label, then the sentence beside it or, stacked, below it."""
    if is_stacked:
        return Hung("", text(NOTE, label)), Hung("", text(BODY, sentence))
    return (Hung(label, text(BODY, sentence), left=HANG + LABEL_WIDTH, start=HANG, small=True),)


class PointHead(Part):
    """Number and name of a point to mend, with the marks it cost at the right edge."""

    role = "H3"

    def __init__(self, number: int | str, title: str, marks: str) -> None:
        """Take the number (empty for a name at the left edge), the name, and the marks in words, if it cost any."""
        super().__init__()
        self.number, self.title, self.marks = str(number), title, marks
        self.left = HANG if self.number else 0

    def own_height(self) -> float:
        """Return as many lines as the name needs."""
        room = self.width - self.left - width_of(self.marks, LABEL_SIZE) - 10
        self.lines = wrapped(self.title, room, BODY_SIZE, BOLD)
        return 15.5 * len(self.lines) + 1

    def fill_in(self) -> None:
        """Draw number, name and marks."""
        first = self.height - 11.5
        self.put(self.number, 0, first, BODY_SIZE, font=BOLD)
        for number, line in enumerate(self.lines):
            self.put(line, self.left, first - 15.5 * number, BODY_SIZE, font=BOLD)
        self.put_right(self.marks, first, LABEL_SIZE, soft=True)
