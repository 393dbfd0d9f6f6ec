"""The marks on a sheet: one line on the front, and a table of the criteria for the back."""

from __future__ import annotations

from collections.abc import Sequence

from marking.findings import CriterionMark, Script
from reports.page import (
    BODY,
    BOLD,
    FINE_SIZE,
    GRID,
    Block,
    Flowable,
    Heading,
    Look,
    Part,
    Space,
    furniture,
    grouped_as,
    shortened,
    text,
    wrapped,
)
from reports.wording import fill, wording


def marks_line(script: Script) -> str:
    """Return what the criteria came to in one sentence: '6 of the 7 decided; your teacher looks at 7.'."""
    words = wording("sheet")["marks"]
    decided = script.out_of - script.pending
    slots = {
        "marks": str(script.awarded), "decided": str(decided), "pending": str(script.pending),
        "out_of": str(script.out_of),
    }  # fmt: skip
    if script.moderated is not None and script.moderated.total != script.awarded:
        return fill([words["moderated"]], {**slots, "total": str(script.total)})
    name = "all_decided" if not script.pending else "some_decided" if decided else "none_decided"
    return fill([words[name]], slots)


def table_blocks(script: Script, look: Look) -> list[Block]:
    """Return the table of criteria, in pieces that are never split; one below another with the line that sums it up."""
    lead: list[Flowable] = [Heading(wording("sheet")["headings"]["marks"])]
    if look.is_one_column:
        lead += [text(BODY, marks_line(script)), Space(6)]
    room = look.later_top - look.bottom
    first = room - sum(float(part.wrap(look.width, 0)[1]) for part in lead)
    pieces: list[list[CriterionMark]] = [[]]
    for mark in script.criteria:
        longer = [*pieces[-1], mark]
        left = first if len(pieces) == 1 else room
        if pieces[-1] and MarksTable(longer).wrap(look.width, 0)[1] > left:
            pieces.append([mark])
        else:
            pieces[-1] = longer
    return [
        Block(parts=(*lead, MarksTable(piece)) if number == 0 else (MarksTable(piece),), gap=12.0)
        for number, piece in enumerate(pieces)
    ]


class MarksTable(Part):
    """A row a criterion: code, what earns it, what it came to."""

    role = ""
    _ROW, _PAD = 12.0, 3.2
    _CODE, _MARK = 32.0, 92.0

    def __init__(self, marks: Sequence[CriterionMark]) -> None:
        """Take the criteria with what they came to."""
        super().__init__()
        words = wording("sheet")["marks"]
        self.rows = [(words["head_code"], words["head_point"], words["head_mark"])]
        for mark in marks:
            slots = {"marks": str(mark.marks), "out_of": str(mark.criterion.marks)}
            worth = words["open"] if mark.marks is None else fill([words["of"]], slots)
            self.rows.append((mark.criterion.code, mark.criterion.point, worth))

    def own_height(self) -> float:
        """Return the height of all rows."""
        room = self.width - self._CODE - self._MARK - 8
        self.lines = [wrapped(point, room, FINE_SIZE) for _, point, _ in self.rows]
        self.marks = [wrapped(worth, self._MARK, FINE_SIZE) for _, _, worth in self.rows]
        self.heights = [
            max(len(lines), len(marks)) * self._ROW + 2 * self._PAD
            for lines, marks in zip(self.lines, self.marks, strict=True)
        ]
        return sum(self.heights)

    def draw(self) -> None:
        """Draw the rows as a table with a head."""
        top = self.height
        with grouped_as(self.page, "Table"):
            for number, height in enumerate(self.heights):
                with grouped_as(self.page, "TR"):
                    self._draw_row(number, top)
                top -= height
                with furniture(self.page):
                    self.page.setStrokeGray(GRID)
                    self.page.setLineWidth(0.5)
                    self.page.line(0, top, self.width, top)

    def _draw_row(self, number: int, top: float) -> None:
        code, _, _ = self.rows[number]
        first = top - self._PAD - FINE_SIZE
        is_head = number == 0
        role, scope = ("TH", "Column") if is_head else ("TD", "")
        with self.piece("TH", scope="Column" if is_head else "Row"):
            self.put(shortened(code, self._CODE - 3, FINE_SIZE, BOLD), 0, first, FINE_SIZE, font=BOLD, soft=is_head)
        for left, lines in ((self._CODE, self.lines[number]), (self.width - self._MARK, self.marks[number])):
            with self.piece(role, scope=scope):
                for place, line in enumerate(lines):
                    self.put(line, left, first - self._ROW * place, FINE_SIZE, soft=is_head)
