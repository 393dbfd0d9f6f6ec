"""The sheet that goes back to the student: what stands, what to mend, one thing to do next.

Nothing on it compares the student with anyone, and nothing on it is about the person.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from reportlab.pdfgen.canvas import Canvas

from marking.findings import Script
from reports.page import Block, Column, Heights, Page, draw, fits, flow, foot, head, head_bottom, later_head, look_of
from reports.page import house_style as style
from reports.student.feedback_columns import (
    MarksShown,
    Setting,
    caution_blocks,
    comment_blocks,
    data_blocks,
    main_blocks,
    marks_blocks,
    reply_blocks,
    sure_blocks,
    task_blocks,
    waiting_blocks,
)
from reports.wording import points_to_mend, wording
from rubrics.model import Rubric

_REPLY_LINES = (3, 2)
"""Lines for the student's reply: the more, unless that takes another page."""


def write_feedback(
    path: Path, scripts: Sequence[Script], rubrics: Mapping[str, Rubric], *, marks: MarksShown = MarksShown.SHOWN
) -> None:
    """Write the sheet of one student, set as the roster asks; several practicals follow one another.

    Args:
        path: The PDF to write.
        scripts: One student's scripts, at least one.
        rubrics: Practical to rubric, for all practicals of *scripts*.
        marks: How much of the marks the sheet shows.
    """
    canvas = _document(path, scripts, rubrics)
    _draw_student(canvas, scripts, rubrics, marks)
    canvas.save()


def write_feedback_print(
    path: Path,
    students: Iterable[Sequence[Script]],
    rubrics: Mapping[str, Rubric],
    *,
    marks: MarksShown = MarksShown.SHOWN,
    double_sided: bool = False,
) -> None:
    """Write the sheets of a whole class into one file, which shares its fonts and prints in one go.

    Args:
        path: The PDF to write.
        students: For each student the scripts, as in `write_feedback`.
        rubrics: Practical to rubric.
        marks: How much of the marks the sheets show.
        double_sided: Add an empty page after an odd last one, so that every student starts on a new leaf.
    """
    canvas = style.new_canvas(str(path), wording("sheet")["document"]["class"], "")
    count = 0
    for scripts in students:
        pages = _draw_student(canvas, scripts, rubrics, marks)
        if double_sided and pages % 2:
            canvas.showPage()
        count += pages
    if not count:
        canvas.showPage()  # a PDF without a page is no PDF
    canvas.save()


def _document(path: Path, scripts: Sequence[Script], rubrics: Mapping[str, Rubric]) -> Canvas:
    titles = ", ".join(rubrics[script.write_up.practical].title for script in scripts)
    return style.new_canvas(str(path), f"{titles}: {scripts[0].write_up.student.code}", titles)


def _draw_student(canvas: Canvas, scripts: Sequence[Script], rubrics: Mapping[str, Rubric], marks: MarksShown) -> int:
    """Draw all pages of one student and return how many there are."""
    setting = Setting(look=look_of(scripts[0].write_up.student.reader), marks=marks)
    sheets = [(script, rubrics[script.write_up.practical]) for script in scripts]
    laid_out = [(script, rubric, _pages(script, rubric, setting)) for script, rubric in sheets]
    count = sum(len(pages) for _, _, pages in laid_out)
    number = 0
    for script, rubric, pages in laid_out:
        for first, page in enumerate(pages):
            number += 1
            setting.look.start(canvas)
            if first == 0:
                head(canvas, script, rubric, setting.look)
            else:
                later_head(canvas, script, rubric, setting.look)
            draw(page, canvas)
            foot(canvas, script, rubric, setting.look, (number, count))
            canvas.showPage()
    return number


# ---- the page ------------------------------------------------------------------------------------------------


def _pages(script: Script, rubric: Rubric, setting: Setting) -> list[Page]:
    """Return the pages of one practical, drawn in the order in which they are read."""
    look = setting.look
    points = points_to_mend(script, rubric)
    said, task = main_blocks(script, rubric, points, setting), task_blocks(script, points, look.main_width)
    waiting = waiting_blocks(script)
    said = [*comment_blocks(script), *said]
    told = [*said, *waiting]
    data, marks = data_blocks(script, look), marks_blocks(script, setting.marks)
    sure = sure_blocks(script, look)
    middle = sure_blocks(script, look, is_short=True)
    short = sure_blocks(script, look, is_short=True, with_cause=False)
    cautions = caution_blocks(script, rubric, points)
    top = head_bottom(script, rubric, look)
    if look.is_one_column:
        column = Column(left=look.left, width=look.width, top=top, bottom=look.bottom)
        reply = reply_blocks(script, _REPLY_LINES[1 if look.is_stacked else 0])
        return flow([*told, *data, *sure, *task, *cautions, *reply, *marks], column, look.later_top)
    main = Column(left=look.left, width=look.main_width, top=top, bottom=look.bottom)
    side = Column(left=look.right - look.side_width, width=look.side_width, top=top, bottom=look.bottom)
    heights: Heights = {}
    replies = [reply_blocks(script, lines) for lines in _REPLY_LINES]
    for reply, sure_of in itertools.product(replies, (sure, middle, short)):
        for wide, narrow in (
            ([*told, *task, *reply], [*data, *sure_of, *marks, *cautions]),
            ([*told, *task, *cautions, *reply], [*data, *sure_of, *marks]),
            ([*told, *sure_of, *task, *reply], [*data, *marks, *cautions]),
            ([*told, *sure_of, *task, *cautions, *reply], [*data, *marks]),
            ([*told, *task], [*data, *sure_of, *marks, *cautions, *reply]),
            ([*told, *sure_of, *task], [*data, *marks, *cautions, *reply]),
            ([*said, *task, *reply], [*data, *sure_of, *waiting, *marks, *cautions]),
            ([*said, *task], [*data, *sure_of, *waiting, *marks, *cautions, *reply]),
        ):
            if not (fits(wide, main, heights) and fits(narrow, side, heights)):
                continue
            pages, aside = flow(wide, main, look.later_top), flow(narrow, side, look.later_top)
            if len(pages) == len(aside) == 1:
                read = _ranks([*told, *data, *sure_of, *task, *reply, *marks, *cautions])
                return [sorted(pages[0] + aside[0], key=lambda placed: read[id(placed.flowable)])]
    # A second page is needed: task and marks go on the reverse, where they are read last.
    reverse, reverse_side = replace(main, top=look.later_top), replace(side, top=look.later_top)
    front = flow(told, main, look.later_top)
    last = [*task, *reply]
    pages = (
        front + flow(last, reverse, look.later_top) if len(front) == 1 else flow([*told, *last], main, look.later_top)
    )
    under = [*marks, *cautions]
    aside = (
        flow([*data, *sure], side, look.later_top) + flow(under, reverse_side, look.later_top)
        if data
        else flow(under, side, look.later_top)
    )
    nothing: Page = []
    return [left + right for left, right in itertools.zip_longest(pages, aside, fillvalue=nothing)]


def _ranks(blocks: Sequence[Block]) -> dict[int, int]:
    """Return the place of each part in reading order, by its identity."""
    return {id(part): rank for rank, part in enumerate(part for block in blocks for part in block.parts)}
