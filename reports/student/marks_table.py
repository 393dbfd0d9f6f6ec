"""The marks on a sheet, small: what was given and for what, and in one line each what a teacher still decides."""

from __future__ import annotations

from marking.findings import Script
from reports.page import BOLD, GRID, LABEL_SIZE, TABLE_SIZE, Part, shortened, wrapped
from reports.wording import fill, wording


class MarksTotal(Part):
    """The marks so far in one line; below it, how many a teacher still decides."""

    _LINE = 10.5

    def __init__(self, script: Script) -> None:
        """Take the script."""
        super().__init__()
        words = wording("sheet")["marks"]
        name = words["so_far"] if script.pending else words["total"]
        self.total = (name, fill([words["of"]], {"marks": str(script.awarded), "out_of": str(script.out_of)}))
        self.pending = fill([words["pending"]], {"pending": str(script.pending)}) if script.pending else ""

    def own_height(self) -> float:
        """Return one line, or two."""
        return 18.0 + (self._LINE if self.pending else 0.0)

    def fill_in(self) -> None:
        """Draw the total."""
        name, worth = self.total
        self.put(name, 0, self.height - 12, LABEL_SIZE, font=BOLD)
        self.put_right(worth, self.height - 12, LABEL_SIZE, font=BOLD)
        self.put(self.pending, 0, self.height - 12 - self._LINE, TABLE_SIZE, soft=True)


class GivenMarks(Part):
    """The criteria that are decided, each with its mark."""

    _ROW, _PAD = 9.5, 2.8
    _CODE, _MARK = 26.0, 30.0

    def __init__(self, script: Script) -> None:
        """Take the script."""
        super().__init__()
        of = wording("sheet")["marks"]["of"]
        self.rows = [
            (
                mark.criterion.code,
                mark.criterion.point,
                fill([of], {"marks": str(mark.marks), "out_of": str(mark.criterion.marks)}),
            )
            for mark in script.criteria
            if mark.marks is not None
        ]

    def own_height(self) -> float:
        """Return the height of all rows."""
        room = self.width - self._CODE - self._MARK - 4
        self.lines = [wrapped(point, room, TABLE_SIZE) for _, point, _ in self.rows]
        self.heights = [len(lines) * self._ROW + 2 * self._PAD for lines in self.lines]
        return sum(self.heights)

    def fill_in(self) -> None:
        """Draw a row a criterion."""
        top = self.height
        self.page.setStrokeGray(GRID)
        self.page.setLineWidth(0.5)
        rules = []
        for (code, _, worth), lines, height in zip(self.rows, self.lines, self.heights, strict=True):
            first = top - self._PAD - 7.2
            self.put(shortened(code, self._CODE - 3, TABLE_SIZE, BOLD), 0, first, TABLE_SIZE, font=BOLD)
            for number, line in enumerate(lines):
                self.put(line, self._CODE, first - self._ROW * number, TABLE_SIZE)
            self.put_right(worth, first, TABLE_SIZE)
            top -= height
            rules.append((0, top, self.width, top))
        self.page.lines(rules)


class OpenMarks(Part):
    """The criteria that a teacher still decides: a line each, with the first words of what earns it."""

    _LINE, _CODE = 11.0, 26.0

    def __init__(self, script: Script) -> None:
        """Take the script."""
        super().__init__()
        self.rows = [(mark.criterion.code, mark.criterion.point) for mark in script.criteria if mark.marks is None]

    def own_height(self) -> float:
        """Return the height of all lines and their heading."""
        return self._LINE * (len(self.rows) + 1) + 6 if self.rows else 0.0

    def fill_in(self) -> None:
        """Draw the heading and a line a criterion."""
        if not self.rows:
            return
        base = self.height - 12
        self.put(wording("sheet")["marks"]["open"], 0, base, TABLE_SIZE, soft=True)
        for code, point in self.rows:
            base -= self._LINE
            self.put(shortened(code, self._CODE - 3, TABLE_SIZE, BOLD), 0, base, TABLE_SIZE, font=BOLD)
            self.put(shortened(point, self.width - self._CODE, TABLE_SIZE), self._CODE, base, TABLE_SIZE)
