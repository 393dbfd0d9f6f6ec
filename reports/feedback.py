"""The sheet that goes back to the student: what stands, what to mend, one thing to do next.

Nothing on it compares the student with anyone, and nothing on it is about the person.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from reportlab.pdfgen.canvas import Canvas

from marking.findings import Finding, Outcome, Plot, Script
from reports import house_style as style
from reports.charts import ResultScale, Scatter
from reports.figures import printed
from reports.house_style import BODY, NOTE, SMALL, printable, shortened, text, width_of, wrapped
from reports.pages import Block, Column, Page, Space, draw, flow
from reports.points import Point, also_check, points_to_mend, what_stands
from reports.sheet_parts import (
    EntryRow,
    Heading,
    Hung,
    MarksTable,
    PointHead,
    ResultsGrid,
    labelled,
    question_parts,
    ticked,
)
from reports.tasks import task_for
from reports.wording import fill, message, wording
from rubrics.model import Role, Rubric

MOST_POINTS = 3
"""Points to mend on one sheet; more are not acted on."""
MOST_ALSO = 5
MOST_WAITING = 3
_CHART_HEIGHT = 140.0
_GAP = 12.0
"""Air above a section."""
_POINT_GAP = 8.0
_NAME_WIDTH = 236.0
"""Widest name on one line; a longer one is broken."""
_GRID_ROWS = 8
_LATER_TOP = style.TOP - 22.0
"""Where the columns start on a second page."""
_UNTOLD = ("teacher-looks", "method-unclear", "not-handed-in")
"""Reasons that the table of marks tells well enough."""


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
    pages = flow(_main_blocks(script, rubric, points), main, _LATER_TOP)
    data, rest = _data_blocks(script), _marks_blocks(script, rubric, points)
    if len(pages) > 1 and data:
        # A second page is there anyway: the marks go on the reverse, where they are read last.
        aside = flow(data, side, _LATER_TOP) + flow(rest, replace(side, top=_LATER_TOP), _LATER_TOP)
    else:
        aside = flow([*data, *rest], side, _LATER_TOP)
    for number, page in enumerate(aside):
        if number == len(pages):
            pages.append([])
        pages[number].extend(page)
    return pages


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


# ---- the wide column -----------------------------------------------------------------------------------------


def _main_blocks(script: Script, rubric: Rubric, points: Sequence[Point]) -> list[Block]:
    headings = wording("sheet")["headings"]
    blocks = [Block(parts=(Heading(headings["purpose"]), text(BODY, rubric.purpose)))]
    if not script.write_up.is_handed_in:
        return blocks + _missing_blocks(script, rubric)
    stands = [ticked(sentence) for sentence in what_stands(script, rubric)]
    blocks.append(Block(parts=(Heading(headings["stands"]), *stands), gap=_GAP))
    blocks += _mend_blocks(script, rubric, points)
    blocks += _waiting_blocks(script)
    return blocks + _task_blocks(script, rubric)


def _mend_blocks(script: Script, rubric: Rubric, points: Sequence[Point]) -> list[Block]:
    words = wording("sheet")
    heading = Heading(words["headings"]["mend"])
    blocks = []
    for number, point in enumerate(points[:MOST_POINTS], start=1):
        parts = (_point_head(number, point), *(labelled(label, sentence) for label, sentence in point.card))
        blocks.append(Block(parts=(heading, *parts) if number == 1 else parts, gap=_GAP if number == 1 else _POINT_GAP))
    if not points:
        sentences = ("nothing_pending", "nothing") if script.pending else ("nothing",)
        nothing = fill([words["mend"][name] for name in sentences], {"pending": str(script.pending)})
        blocks.append(Block(parts=(heading, text(BODY, nothing)), gap=_GAP))
    also = also_check(script, rubric, points[MOST_POINTS:])[:MOST_ALSO]
    if also:
        line = fill([words["labels"]["also"]], {"points": "; ".join(also)})
        blocks.append(Block(parts=(text(NOTE, line),), gap=_POINT_GAP))
    return blocks


def _point_head(number: int, point: Point) -> PointHead:
    words = wording("sheet")["labels"]
    title = fill(["{Quantity}, {rows}", "{Quantity}"], {"quantity": point.quantity, "rows": point.rows})
    marks = words["mark"] if point.marks_lost == 1 else fill([words["marks"]], {"count": str(point.marks_lost)})
    return PointHead(number, title, marks if point.marks_lost else "")


def _waiting_blocks(script: Script) -> list[Block]:
    """Return what the student should know of entries that wait for the teacher."""
    waiting: dict[tuple[str, str], Finding] = {}
    for finding in script.findings:
        if finding.outcome is Outcome.FOR_TEACHER and finding.reason not in _UNTOLD:
            waiting.setdefault((finding.reason, finding.item), finding)
    if not waiting:
        return []
    told = [Hung("–", text(BODY, message(finding))) for finding in list(waiting.values())[:MOST_WAITING]]
    return [Block(parts=(Heading(wording("sheet")["headings"]["teacher"]), *told), gap=_GAP)]


def _task_blocks(script: Script, rubric: Rubric) -> list[Block]:
    task = task_for(script, rubric)
    if task is None:
        return []
    head = (Heading(wording("sheet")["headings"]["task"]), text(BODY, task.intro), Space(4))
    questions = [question_parts(number, q.text, q.lines) for number, q in enumerate(task.questions, start=1)]
    return [Block(parts=(*head, *(part for parts in questions for part in parts)), gap=_GAP)]


def _missing_blocks(script: Script, rubric: Rubric) -> list[Block]:
    """Return what a student reads who has handed nothing in: what is missing, and what to do about it."""
    words, headings = wording("sheet")["missing"], wording("sheet")["headings"]
    absent = script.write_up.student.absent
    sentences = [words[name] for name in (("absent", "if_away") if absent else ("nothing", "if_done", "if_not"))]
    told = [part for sentence in sentences for part in (text(BODY, sentence), Space(4))]
    blocks = [Block(parts=(Heading(headings["missing"]), *told), gap=_GAP), *_grid_blocks(rubric)]
    rows = [
        EntryRow(
            f"{item.quantity}, {item.symbol}" if item.symbol != item.quantity else item.quantity,
            item.unit.symbol,
            words["answer" if item.role is Role.ANSWER else "reading"],
        )
        for item in sorted(rubric.singles, key=lambda item: item.role is Role.ANSWER)
    ]
    if rows:
        blocks.append(Block(parts=(Heading(headings["collect"]), Space(2), rows[0]), gap=_GAP))
    return blocks + [Block(parts=(row,)) for row in rows[1:]]


def _grid_blocks(rubric: Rubric) -> list[Block]:
    """Return an empty table of readings, where the practical has one."""
    if not rubric.columns:
        return []
    columns = [
        (item.quantity, f"{item.symbol} / {item.unit.symbol}" if item.unit.symbol else item.symbol)
        for item in rubric.columns
    ]
    heading = Heading(wording("sheet")["headings"]["table"])
    return [Block(parts=(heading, ResultsGrid(columns, _GRID_ROWS)), gap=_GAP)]


# ---- the narrow column ---------------------------------------------------------------------------------------


def _data_blocks(script: Script) -> list[Block]:
    """Return the student's graph, or the result beside the accepted value, or nothing."""
    headings = wording("sheet")["headings"]
    if script.plot is not None:
        scatter = Scatter(script.plot, style.SIDE_WIDTH, _CHART_HEIGHT)
        if scatter.is_drawable:
            notes = [text(SMALL, caption) for caption in _plot_captions(script.plot)]
            return [Block(parts=(Heading(headings["data"]), scatter, Space(4), *notes), gap=_GAP)]
    if script.result is not None:
        scale = ResultScale(script.result, style.SIDE_WIDTH)
        if scale.is_drawable:
            notes = [text(SMALL, caption) for caption in _result_captions(script)]
            return [Block(parts=(Heading(headings["result"]), scale, Space(4), *notes), gap=_GAP)]
    return []


def _plot_captions(plot: Plot) -> list[str]:
    words = wording("sheet")["data"]
    captions = []
    if plot.line is not None or plot.curve:
        captions.append(words["fitted_line" if plot.line is not None else "fitted_curve"])
    if plot.odd_rows:
        trend = words["line" if plot.line is not None else "curve"]
        captions.append(fill([words["ringed_one" if len(plot.odd_rows) == 1 else "ringed_many"]], {"line": trend}))
    return captions


def _result_captions(script: Script) -> list[str]:
    result = script.result
    if result is None or result.accepted is None:
        return []
    accepted = result.accepted
    slots = {"name": accepted.name, "value": printed(accepted.value), "unit": result.unit, "source": accepted.source}
    return [fill([wording("sheet")["data"]["source"]], slots)]


def _marks_blocks(script: Script, rubric: Rubric, points: Sequence[Point]) -> list[Block]:
    words = wording("sheet")
    blocks = []
    if script.criteria:
        blocks.append(Block(parts=(Heading(words["headings"]["marks"]), MarksTable(script)), gap=_GAP))
    if rubric.cautions and _would_repeat(script, points):
        cautions = list(rubric.cautions)
        if not any("risk assessment" in caution for caution in cautions):
            cautions.append(words["cautions"]["rule"])
        parts = [Hung("–", text(NOTE, caution), left=10, small=True) for caution in cautions]
        name = "cautions" if script.write_up.is_handed_in else "cautions_first"
        blocks.append(Block(parts=(Heading(words["headings"][name]), *parts), gap=_GAP))
    return blocks


def _would_repeat(script: Script, points: Sequence[Point]) -> bool:
    """Tell whether the practical, or a part of it, would be done again."""
    reasons = wording("reasons")
    waiting = (finding for finding in script.findings if finding.outcome is Outcome.FOR_TEACHER)
    return (
        not script.write_up.is_handed_in
        or any(point.repeats for point in points)
        or any(reasons[finding.reason].get("repeat") for finding in waiting)
    )
