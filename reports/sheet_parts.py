"""The building blocks of a sheet: headings, points, marks, lines to write on."""

from __future__ import annotations

from collections.abc import Sequence

from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable

from marking.findings import Script
from reports.house_style import (
    BODY,
    BODY_SIZE,
    BOLD,
    GRID,
    HEADING_SIZE,
    INK,
    LABEL_SIZE,
    LINE,
    MAIN_WIDTH,
    REGULAR,
    SOFT,
    TABLE_SIZE,
    Sentences,
    printable,
    shortened,
    text,
    width_of,
    wrapped,
)
from reports.pages import ANY_HEIGHT, Space
from reports.wording import fill, wording

HANG = 18.0
"""How far the text of a point stands to the right of its number."""
LABEL_WIDTH = 68.0
SHORT_QUESTION = 0.62
"""A question that takes at most this share of its line has room for the answer beside it."""
WRITING_STEP = 21.0
"""Between two lines to write on by hand."""
_TICK = "✓"


class Part(Flowable):
    """Something that fills the width of its column and knows its own height."""

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
        self._print = self.page.beginText()
        self._face: tuple[str, float, bool] | None = None
        self.fill_in()
        self.page.drawText(self._print)

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
        super().draw()
        self.paragraph.drawOn(self.page, self.left, 0)

    def fill_in(self) -> None:
        """Draw the mark on the paragraph's first line."""
        base = self.height - self.paragraph.style.fontSize
        self.put(self.mark, self.start, base, self.size, soft=self.size == LABEL_SIZE)


def ticked(sentence: str) -> Hung:
    """Return a sentence about something that stands."""
    return Hung(_TICK, text(BODY, sentence))


def labelled(label: str, sentence: str) -> Hung:
    """Return one line of a point: a small label, then the sentence."""
    return Hung(label, text(BODY, sentence), left=HANG + LABEL_WIDTH, start=HANG, small=True)


class PointHead(Part):
    """Number and name of a point to mend, with the marks it cost at the right edge."""

    def __init__(self, number: int | str, title: str, marks: str) -> None:
        """Take the number, the name, and the marks in words (empty where it cost none)."""
        super().__init__()
        self.number, self.title, self.marks = str(number), title, marks

    def own_height(self) -> float:
        """Return as many lines as the name needs."""
        room = self.width - HANG - width_of(self.marks, LABEL_SIZE) - 10
        self.lines = wrapped(self.title, room, BODY_SIZE, BOLD)
        return 15.5 * len(self.lines) + 1

    def fill_in(self) -> None:
        """Draw number, name and marks."""
        first = self.height - 11.5
        self.put(self.number, 0, first, BODY_SIZE, font=BOLD)
        for number, line in enumerate(self.lines):
            self.put(line, HANG, first - 15.5 * number, BODY_SIZE, font=BOLD)
        self.put_right(self.marks, first, LABEL_SIZE, soft=True)


class WritingLines(Part):
    """Empty lines for the student's hand."""

    def __init__(self, count: int) -> None:
        """Take how many."""
        super().__init__()
        self.count = count

    def own_height(self) -> float:
        """Return the height of all lines."""
        return self.count * WRITING_STEP

    def fill_in(self) -> None:
        """Draw the lines."""
        self.page.setLineWidth(0.5)
        self.page.setStrokeGray(LINE)
        steps = [WRITING_STEP * number + 3 for number in range(self.count)]
        self.page.lines([(HANG, step, self.width, step) for step in steps])


class MarksTable(Part):
    """Marks by criterion, small; what a teacher still decides says so."""

    _ROW, _PAD = 9.5, 3.5
    _CODE, _MARK = 26.0, 32.0

    def __init__(self, script: Script) -> None:
        """Take the script."""
        super().__init__()
        words = wording("sheet")["marks"]
        self.rows: list[tuple[str, str, str, str]] = []
        for mark in script.criteria:
            criterion = mark.criterion
            worth = fill(
                [words["of"]], {"marks": "…" if mark.marks is None else str(mark.marks), "out_of": str(criterion.marks)}
            )
            self.rows.append((criterion.code, criterion.point, worth, words["pending"] if mark.marks is None else ""))
        name = words["so_far"] if script.pending else words["total"]
        self.total = (name, fill([words["of"]], {"marks": str(script.awarded), "out_of": str(script.out_of)}))
        self.pending = fill([words["pending_total"]], {"pending": str(script.pending)}) if script.pending else ""

    def own_height(self) -> float:
        """Return the height of all rows and the total."""
        room = self.width - self._CODE - self._MARK - 4
        self.lines = [wrapped(point, room, TABLE_SIZE) for _, point, _, _ in self.rows]
        counts = [len(lines) + bool(note) for lines, (_, _, _, note) in zip(self.lines, self.rows, strict=True)]
        self.heights = [count * self._ROW + 2 * self._PAD for count in counts]
        return sum(self.heights) + 20.0 + (self._ROW if self.pending else 0.0)

    def fill_in(self) -> None:
        """Draw a row a criterion, then the total."""
        top = self.height
        self.page.setStrokeGray(GRID)
        self.page.setLineWidth(0.5)
        rules = []
        for (code, _, worth, note), lines, height in zip(self.rows, self.lines, self.heights, strict=True):
            first = top - self._PAD - 7.2
            self.put(shortened(code, self._CODE - 3, TABLE_SIZE, BOLD), 0, first, TABLE_SIZE, font=BOLD)
            for number, line in enumerate(lines):
                self.put(line, self._CODE, first - self._ROW * number, TABLE_SIZE)
            self.put_right(worth, first, TABLE_SIZE)
            self.put(note, self._CODE, first - self._ROW * len(lines), TABLE_SIZE, soft=True)
            top -= height
            rules.append((0, top, self.width, top))
        self.page.lines(rules)
        name, worth = self.total
        self.put(name, 0, top - 14, LABEL_SIZE, font=BOLD)
        self.put_right(worth, top - 14, LABEL_SIZE, font=BOLD)
        self.put(self.pending, 0, top - 14 - self._ROW - 1.5, TABLE_SIZE, soft=True)


class EntryRow(Part):
    """A quantity, its unit, and an empty box: one line of a sheet to fill in."""

    def __init__(self, quantity: str, unit: str, note: str) -> None:
        """Take what is asked for, the unit, and a word about what kind of entry it is."""
        super().__init__()
        self.quantity, self.unit, self.note = quantity, unit, note

    def own_height(self) -> float:
        """Return the height of the box and the air around it."""
        return 23.0

    def fill_in(self) -> None:
        """Draw the line."""
        self.put(shortened(self.quantity, self.width * 0.45, LABEL_SIZE), 0, 7, LABEL_SIZE)
        self.put(shortened(self.note, self.width * 0.14, TABLE_SIZE), self.width * 0.47, 7, TABLE_SIZE, soft=True)
        self.put(shortened(self.unit, self.width * 0.17, LABEL_SIZE), self.width * 0.84, 7, LABEL_SIZE)
        self.page.setStrokeGray(LINE)
        self.page.setLineWidth(0.5)
        self.page.rect(self.width * 0.62, 2, self.width * 0.2, 18, stroke=1, fill=0)


class ShortQuestion(Part):
    """A question of a few words with the line for its answer beside it."""

    def __init__(self, number: str, question: str) -> None:
        """Take the number and the question, ready to print."""
        super().__init__()
        self.number, self.question = number, question

    def own_height(self) -> float:
        """Return the height of one line to write on."""
        return WRITING_STEP

    def fill_in(self) -> None:
        """Draw question and line."""
        self.put(self.number, 0, 4, BODY_SIZE)
        self.put(self.question, HANG, 4, BODY_SIZE)
        self.page.setLineWidth(0.5)
        self.page.setStrokeGray(LINE)
        self.page.line(HANG + width_of(self.question, BODY_SIZE) + 10, 2, self.width, 2)


def question_parts(number: int, question: str, lines: int) -> Sequence[Flowable]:
    """Return one question of a task with room to write: beside it where it is short, else below it."""
    shown = printable(question)
    if lines == 1 and width_of(shown, BODY_SIZE) <= SHORT_QUESTION * (MAIN_WIDTH - HANG):
        return (ShortQuestion(f"{number}.", shown), Space(3))
    return (Space(4), Hung(f"{number}.", text(BODY, question)), WritingLines(lines), Space(4))


class ResultsGrid(Part):
    """An empty table of readings to fill in: one column an item, quantity and unit at the head."""

    _HEAD, _ROW = 34.0, 20.0

    def __init__(self, columns: Sequence[tuple[str, str]], rows: int) -> None:
        """Take (quantity, symbol / unit) of each column, and how many rows to draw."""
        super().__init__()
        self.columns, self.rows = columns, rows

    def own_height(self) -> float:
        """Return the height of head and rows."""
        return self._HEAD + self._ROW * self.rows

    def fill_in(self) -> None:
        """Draw the grid and its head."""
        wide = self.width / len(self.columns)
        self.page.setStrokeGray(LINE)
        self.page.setLineWidth(0.5)
        self.page.grid(
            [wide * number for number in range(len(self.columns) + 1)],
            [self._ROW * number for number in range(self.rows + 1)],
        )
        for number, (quantity, unit) in enumerate(self.columns):
            left = wide * number + 3
            self.put(shortened(quantity, wide - 6, TABLE_SIZE), left, self.height - 12, TABLE_SIZE, soft=True)
            self.put(shortened(unit, wide - 6, LABEL_SIZE), left, self.height - 24, LABEL_SIZE, font=BOLD)
