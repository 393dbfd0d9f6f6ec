"""The marks on a sheet: one line on the front, and a table of the criteria for the back."""

from __future__ import annotations

from collections.abc import Sequence

from marking.findings import CriterionMark, Script
from reports.page import Block, Heading, RuleTable
from reports.wording import fill, wording

_ROWS_TOGETHER = 14
"""Rows of one table; a longer one starts anew with its head, so that a page never splits it."""
_CODE, _MARK = 32.0, 92.0
"""Widths of columns, in points."""


def marks_line(script: Script) -> str:
    """Return what the criteria came to in one sentence: '6 of the 7 decided; your teacher looks at 7.'."""
    words = wording("sheet")["marks"]
    decided = script.out_of - script.pending
    slots = {
        "marks": str(script.awarded), "decided": str(decided), "pending": str(script.pending),
        "out_of": str(script.out_of),
    }  # fmt: skip
    if script.moderated is not None and script.moderated.total != script.awarded:
        ruling = script.moderated
        named = {"who": ruling.who, "day": ruling.when[:10], "number": str(ruling.number)}
        return fill([words["moderated"]], {**slots, **named, "total": str(script.total)})
    name = "all_decided" if not script.pending else "some_decided" if decided else "none_decided"
    return fill([words[name]], slots)


def table_blocks(script: Script) -> list[Block]:
    """Return the table of criteria, in pieces that are never split."""
    rows = list(script.criteria)
    pieces = [rows[first : first + _ROWS_TOGETHER] for first in range(0, len(rows), _ROWS_TOGETHER)]
    heading = Heading(wording("sheet")["headings"]["marks"])
    return [
        Block(parts=(heading, _table(piece)) if number == 0 else (_table(piece),), gap=12.0)
        for number, piece in enumerate(pieces)
    ]


def _table(marks: Sequence[CriterionMark]) -> RuleTable:
    """Return a row a criterion: code, what earns it, what it came to."""
    words = wording("sheet")["marks"]
    rows = [(words["head_code"], words["head_point"], words["head_mark"])]
    for mark in marks:
        slots = {"marks": str(mark.marks), "out_of": str(mark.criterion.marks)}
        worth = words["open"] if mark.marks is None else fill([words["of"]], slots)
        rows.append((mark.criterion.code, mark.criterion.point, worth))
    return RuleTable(rows, (_CODE, None, _MARK))
