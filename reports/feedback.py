"""The sheet that goes back to the student: what stands, what to mend, one thing to do next.

Nothing on it compares the student with anyone, and nothing on it is about the person.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import zip_longest
from pathlib import Path

from reportlab.pdfgen.canvas import Canvas

from marking.findings import Script
from reports import house_style as style
from reports.feedback_columns import caution_blocks, data_blocks, main_blocks, marks_blocks, task_blocks
from reports.house_style import printable, shortened, width_of, wrapped
from reports.pages import Column, Page, draw, flow
from reports.points import points_to_mend
from reports.wording import fill, wording
from rubrics.model import Rubric

_NAME_WIDTH = 236.0
"""Widest name on one line; a longer one is broken."""
_LATER_TOP = style.TOP - 22.0
"""Where the columns start on a second page."""


def write_feedback(path: Path, scripts: Sequence[Script], rubrics: Mapping[str, Rubric]) -> None:
    """Write the sheet of one student; several practicals follow one another.

    Args:
        path: The PDF to write.
        scripts: One student's scripts, at least one.
        rubrics: Practical to rubric, for all practicals of *scripts*.
    """
    canvas = _document(path, scripts, rubrics)
    _draw_student(canvas, scripts, rubrics)
    canvas.save()


def write_feedback_print(
    path: Path, students: Iterable[Sequence[Script]], rubrics: Mapping[str, Rubric], *, double_sided: bool = False
) -> None:
    """Write the sheets of a whole class into one file, which shares its fonts and prints in one go.

    Args:
        path: The PDF to write.
        students: For each student the scripts, as in `write_feedback`.
        rubrics: Practical to rubric.
        double_sided: Add an empty page after an odd last one, so that every student starts on a new leaf.
    """
    canvas = style.new_canvas(str(path), wording("sheet")["document"]["class"], "")
    count = 0
    for scripts in students:
        pages = _draw_student(canvas, scripts, rubrics)
        if double_sided and pages % 2:
            canvas.showPage()
        count += pages
    if not count:
        canvas.showPage()  # a PDF without a page is no PDF
    canvas.save()


def _document(path: Path, scripts: Sequence[Script], rubrics: Mapping[str, Rubric]) -> Canvas:
    titles = ", ".join(rubrics[script.write_up.practical].title for script in scripts)
    return style.new_canvas(str(path), f"{titles}: {scripts[0].write_up.student.code}", titles)


def _draw_student(canvas: Canvas, scripts: Sequence[Script], rubrics: Mapping[str, Rubric]) -> int:
    """Draw all pages of one student and return how many there are."""
    sheets = [(script, rubrics[script.write_up.practical]) for script in scripts]
    laid_out = [(script, rubric, _pages(script, rubric)) for script, rubric in sheets]
    count = sum(len(pages) for _, _, pages in laid_out)
    number = 0
    for script, rubric, pages in laid_out:
        for first, page in enumerate(pages):
            number += 1
            if first == 0:
                _head(canvas, script, rubric)
            else:
                _small_head(canvas, script, rubric)
            draw(page, canvas)
            _foot(canvas, script, rubric, number, count)
            canvas.showPage()
    return number


# ---- the page ------------------------------------------------------------------------------------------------


def _pages(script: Script, rubric: Rubric) -> list[Page]:
    """Return the pages of one practical, the wide column before the narrow one on each."""
    top = _head_bottom(script, rubric)
    main = Column(left=style.LEFT, width=style.MAIN_WIDTH, top=top, bottom=style.BOTTOM)
    side_left = style.LEFT + style.MAIN_WIDTH + style.GUTTER
    side = Column(left=side_left, width=style.SIDE_WIDTH, top=top, bottom=style.BOTTOM)
    points = points_to_mend(script, rubric)
    told, task = main_blocks(script, rubric, points), task_blocks(script, points)
    data, marks, cautions = data_blocks(script), marks_blocks(script), caution_blocks(script, rubric, points)
    for wide, narrow in (
        ([*told, *task], [*data, *marks, *cautions]),
        ([*told, *task, *cautions], [*data, *marks]),
    ):
        pages, aside = flow(wide, main, _LATER_TOP), flow(narrow, side, _LATER_TOP)
        if len(pages) == len(aside) == 1:
            return [pages[0] + aside[0]]
    # A second page is needed: task and marks go on the reverse, where they are read last.
    reverse, reverse_side = replace(main, top=_LATER_TOP), replace(side, top=_LATER_TOP)
    front = flow(told, main, _LATER_TOP)
    pages = front + flow(task, reverse, _LATER_TOP) if len(front) == 1 else flow([*told, *task], main, _LATER_TOP)
    last = [*marks, *cautions]
    aside = (
        flow(data, side, _LATER_TOP) + flow(last, reverse_side, _LATER_TOP) if data else flow(last, side, _LATER_TOP)
    )
    nothing: Page = []
    return [left + right for left, right in zip_longest(pages, aside, fillvalue=nothing)]


def _names(script: Script) -> tuple[tuple[str, ...], str]:
    """Return the student's name, broken into lines, and the code."""
    student = script.write_up.student
    name = printable(student.name, 120, "…")
    return wrapped(name, _NAME_WIDTH, style.NAME_SIZE, style.BOLD) if name else (), printable(student.code, 40, "…")


def _title_lines(script: Script, rubric: Rubric) -> tuple[str, ...]:
    names, _ = _names(script)
    taken = max((width_of(line, style.NAME_SIZE, style.BOLD) for line in names), default=0.0)
    return wrapped(rubric.title, style.WIDTH - max(taken, 60.0) - style.GUTTER, style.TITLE_SIZE, style.BOLD)


def _head_bottom(script: Script, rubric: Rubric) -> float:
    names, _ = _names(script)
    height = max(20.0 * len(_title_lines(script, rubric)), 13.5 * (len(names) + 1))
    return style.TOP - height - 20.0


def _head(canvas: Canvas, script: Script, rubric: Rubric) -> None:
    """Draw the title at the left, name and code at the right, and a rule below."""
    canvas.setFillGray(style.INK)
    canvas.setFont(style.BOLD, style.TITLE_SIZE)
    base = style.TOP - 12.0
    for line in _title_lines(script, rubric):
        canvas.drawString(style.LEFT, base, line)
        base -= 20.0
    names, code = _names(script)
    canvas.setFont(style.BOLD, style.NAME_SIZE)
    base = style.TOP - 8.0
    for line in names:
        canvas.drawRightString(style.RIGHT, base, line)
        base -= 13.5
    canvas.setFont(style.REGULAR, style.LABEL_SIZE)
    canvas.setFillGray(style.SOFT)
    canvas.drawRightString(style.RIGHT, base, code)
    canvas.setStrokeGray(style.INK)
    canvas.setLineWidth(1.0)
    rule = _head_bottom(script, rubric) + 13.0
    canvas.line(style.LEFT, rule, style.RIGHT, rule)


def _small_head(canvas: Canvas, script: Script, rubric: Rubric) -> None:
    code = printable(script.write_up.student.code, 40, "…")
    canvas.setFont(style.REGULAR, style.LABEL_SIZE)
    canvas.setFillGray(style.SOFT)
    canvas.drawString(style.LEFT, style.TOP - 6, shortened(rubric.title, style.MAIN_WIDTH, style.LABEL_SIZE))
    canvas.drawRightString(style.RIGHT, style.TOP - 6, code)
    canvas.setStrokeGray(style.INK)
    canvas.setLineWidth(1.0)
    canvas.line(style.LEFT, style.TOP - 12, style.RIGHT, style.TOP - 12)


def _foot(canvas: Canvas, script: Script, rubric: Rubric, number: int, count: int) -> None:
    words = wording("sheet")["labels"]
    code = printable(script.write_up.student.code, 40, "…")
    canvas.setFont(style.REGULAR, style.FOOT_SIZE)
    canvas.setFillGray(style.SOFT)
    canvas.drawString(
        style.LEFT, 30, fill([words["edition"]], {"practical": rubric.id, "edition": str(rubric.edition)})
    )
    page = fill([words["page"]], {"code": code, "number": str(number), "count": str(count)})
    canvas.drawRightString(style.RIGHT, 30, page if count > 1 else code)
