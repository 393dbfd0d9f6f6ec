"""Pages to show to the class: a starter and the spread of results, in type for the back row, and nobody named."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from reportlab.lib.pagesizes import A4, landscape
from reportlab.pdfgen.canvas import Canvas

from marking.cohort.picture import ClassPicture, picture
from marking.findings import MarkedSet
from reports.charts import DotPlot, names_of
from reports.page import Block, Column, Heading, Hung, Page, Space, Type, draw, flow, furniture, tagged, text, wrapped
from reports.page import house_style as style
from reports.teacher.class_lesson import class_starter
from reports.teacher.class_results import class_points, result_item, result_label, with_results
from reports.wording import fill, wording
from rubrics.formulas import printed

_SCALE = 2.4
"""Makes running text 24 points on a page across: a twenty-fifth of its height, the least that a back row reads."""
_SAID = Type(10, 13.5, style.INK)
_FIGURES = 9.0
"""Points of figures on the number line, before they are scaled."""
_TITLE_SIZE, _TITLE_LINE = 14.0, 17.0
_WIDTH = (style.PAGE_HEIGHT - 2 * style.MARGIN) / _SCALE
_LEFT, _TOP, _BOTTOM = style.MARGIN / _SCALE, (style.PAGE_WIDTH - 36) / _SCALE, 30 / _SCALE


def write_projector_pages(path: Path, marked_sets: Sequence[MarkedSet]) -> None:
    """Write what is shown to the class: a starter and the spread of results of each practical, no name and no code."""
    canvas = style.new_canvas(str(path), wording("summary")["projector"]["document"], "")
    canvas.setPageSize(landscape(A4))
    for marked in marked_sets:
        lines = wrapped(marked.rubric.title, _WIDTH, _TITLE_SIZE, style.BOLD)
        below = _TOP - _TITLE_LINE * len(lines) - 10
        column = Column(left=_LEFT, width=_WIDTH, top=below, bottom=_BOTTOM)
        for page in _pages(marked, column):
            canvas.scale(_SCALE, _SCALE)
            _title(canvas, lines)
            draw(page, canvas)
            canvas.showPage()
    canvas.save()


def _title(canvas: Canvas, lines: tuple[str, ...]) -> None:
    base = _TOP - _TITLE_SIZE
    with tagged(canvas, "H1"):
        canvas.setFillGray(style.INK)
        canvas.setFont(style.BOLD, _TITLE_SIZE)
        for line in lines:
            canvas.drawString(_LEFT, base, line)
            base -= _TITLE_LINE
    with furniture(canvas):
        canvas.setStrokeGray(style.INK)
        canvas.setLineWidth(0.7)
        canvas.line(_LEFT, base + 9, _LEFT + _WIDTH, base + 9)


def _pages(marked: MarkedSet, column: Column) -> list[Page]:
    seen = with_results(marked, picture(marked))
    pages = flow([*_starter(marked, seen), *_results(marked, seen, column)], column, column.top)
    return pages if pages[0] else [[]]


def _starter(marked: MarkedSet, seen: ClassPicture) -> list[Block]:
    if not seen.handed_in:
        return []
    _, task = class_starter(marked, seen)
    heading = Heading(wording("summary")["projector"]["starter"])
    asked = [Hung(f"{number}.", text(_SAID, one.text)) for number, one in enumerate(task.questions, start=1)]
    # A question a block: what does not fit goes to the next page whole.
    first = Block(parts=(heading, text(_SAID, task.intro), Space(3), asked[0]))
    return [first, *(Block(parts=(one,), gap=4.0) for one in asked[1:])]


def _results(marked: MarkedSet, seen: ClassPicture, column: Column) -> list[Block]:
    if not seen.results:
        return _points(marked, column)
    if len(seen.results) < 2:
        return []  # one result would be one person's
    values = [result.value for result in seen.results]
    plot = DotPlot(
        values,
        seen.accepted,
        column.width,
        result_label(seen, result_item(marked.rubric, marked)),
        _FIGURES,
    )
    heading = Heading(wording("summary")["projector"]["results"])
    said = [text(_SAID, sentence) for sentence in _accepted(seen)]
    return [Block(parts=(heading, plot, *said), gap=10.0)]


def _points(marked: MarkedSet, column: Column) -> list[Block]:
    chart = class_points(marked, column.width, _FIGURES)
    heading = Heading(wording("summary")["projector"]["results"])
    return [Block(parts=(heading, chart), gap=10.0)] if chart is not None else []


def _accepted(seen: ClassPicture) -> list[str]:
    """Return the accepted values in words, by the letters of the chart where there are several."""
    ordered = sorted(seen.accepted, key=lambda one: one.value)
    templates = wording("summary")["projector"]["accepted"]
    said = [
        fill(templates, {"name": one.name, "value": printed(one.value), "unit": seen.result_unit}) for one in ordered
    ]
    if len(said) < 2:
        return said
    return [f"{letter}: {sentence}" for letter, sentence in zip(names_of(seen.accepted), said, strict=True)]
