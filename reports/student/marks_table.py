"""The marks on a sheet: one line on the front, and a table of the criteria for the back."""

from __future__ import annotations

from collections.abc import Sequence

from marking.findings import CriterionMark, Script
from reports.page import BODY, Block, Flowable, Heading, Look, RuleTable, Space, text
from reports.wording import fill, wording

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
        if pieces[-1] and _table(longer).wrap(look.width, 0)[1] > left:
            pieces.append([mark])
        else:
            pieces[-1] = longer
    return [
        Block(parts=(*lead, _table(piece)) if number == 0 else (_table(piece),), gap=12.0)
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
