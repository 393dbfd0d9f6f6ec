"""The sheet that goes back to the student: what stands, what to mend, one thing to do next.

Nothing on it compares the student with anyone, and nothing on it is about the person.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from msgspec.structs import replace
from reportlab.pdfgen.canvas import Canvas

from marking.findings import Script
from reports.next_step import Tasks, as_task, what_now
from reports.page import (
    Block,
    Column,
    Heights,
    Page,
    draw,
    fits,
    flow,
    foot,
    head,
    head_bottom,
    later_head,
    look_of,
    packed,
    share_filled,
)
from reports.page import house_style as style
from reports.student.feedback_columns import (
    MarksShown,
    Setting,
    also_blocks,
    caution_blocks,
    changed_blocks,
    comment_blocks,
    data_blocks,
    gives_answer_away,
    marks_blocks,
    reply_blocks,
    since_blocks,
    stands_blocks,
    sure_blocks,
    waiting_blocks,
)
from reports.student.marks_table import table_blocks
from reports.student.missing_sheet import missing_pages
from reports.student.now_frame import now_blocks
from reports.wording import Point, points_to_mend, wording
from rubrics.model import Rubric

_REPLY_LINES = (2, 1, 0)
"""Lines for the student's reply: the more, unless that takes another page."""
_STANDING = (3, 2, 1)
"""Sentences about what stands, likewise."""
_LENGTHS = ((3, 2, 2), (2, 2, 2), (2, 1, 1), (1, 1, 0), (1, 0, 0))
"""Sentences about what stands, lines for the reply and how much is told of the result, fullest first."""
_NEARLY_EMPTY = 0.3
"""Share of a last page: less is not worth a leaf."""
_BELOW_FRAME = 14.0


def write_feedback(
    path: Path,
    scripts: Sequence[Script],
    rubrics: Mapping[str, Rubric],
    *,
    marks: MarksShown = MarksShown.SMALL,
    tasks: Tasks | None = None,
) -> None:
    """Write the sheet of one student, set as the roster asks; several practicals follow one another.

    Args:
        path: The PDF to write.
        scripts: One student's scripts, at least one.
        rubrics: Practical to rubric, for all practicals of *scripts*.
        marks: How much of the marks the sheet shows.
        tasks: What the sheet asks for is put in here.
    """
    canvas = _document(path, scripts, rubrics)
    _draw_student(canvas, scripts, rubrics, marks, tasks)
    canvas.save()


def write_feedback_print(
    path: Path,
    students: Iterable[Sequence[Script]],
    rubrics: Mapping[str, Rubric],
    *,
    marks: MarksShown = MarksShown.SMALL,
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
        _bookmark(canvas, scripts, count)
        pages = _draw_student(canvas, scripts, rubrics, marks)
        if double_sided and pages % 2:
            canvas.showPage()
        count += pages
    if not count:
        canvas.showPage()  # a PDF without a page is no PDF
    canvas.save()


def _bookmark(canvas: Canvas, scripts: Sequence[Script], count: int) -> None:
    """Name the page that comes next in the list beside the pages: the student's code, and the name if known."""
    student = scripts[0].write_up.student
    key = f"sheet-{count}"
    canvas.bookmarkPage(key)
    title = " ".join(part for part in (student.code, student.name) if part)
    canvas.addOutlineEntry(style.printable(title, 120, "…"), key, 0)


def _document(path: Path, scripts: Sequence[Script], rubrics: Mapping[str, Rubric]) -> Canvas:
    titles = ", ".join(rubrics[script.write_up.practical].title for script in scripts)
    return style.new_canvas(str(path), f"{titles}: {scripts[0].write_up.student.code}", titles)


def _draw_student(
    canvas: Canvas,
    scripts: Sequence[Script],
    rubrics: Mapping[str, Rubric],
    marks: MarksShown,
    tasks: Tasks | None = None,
) -> int:
    """Draw all pages of one student and return how many there are."""
    look = look_of(scripts[0].write_up.student.paper)
    setting = Setting(look=look, marks=marks, tasks={} if tasks is None else tasks)
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
    top = head_bottom(script, rubric, look)
    whole = Column(left=look.left, width=look.width, top=top, bottom=look.bottom)
    if not script.write_up.is_handed_in:
        cautions = caution_blocks(script, rubric, ())
        return missing_pages(script, rubric, look, whole, comment_blocks(script), cautions)
    points = points_to_mend(script, rubric)
    first = what_now(script, rubric, points)
    setting.tasks[script.write_up.student.code, rubric.id] = as_task(points, first)
    now = now_blocks(first, look, top - look.bottom)
    table = table_blocks(script, look) if setting.marks is MarksShown.SHOWN and script.criteria else []
    parts = _Parts(script, rubric, points, setting)
    if look.is_one_column:
        pages = _one_below_another(parts, now, whole, has_back=bool(table))
        back = replace(whole, top=look.later_top)
        return pages + (flow(table, back, look.later_top) if table else [])
    frame = flow(now, whole, look.later_top)
    heights: Heights = {}
    taken = sum(float(part.wrap(look.width, 0)[1]) for block in now for part in block.parts)
    below = top - taken - _BELOW_FRAME - sum(block.gap for block in now[1:])
    main = Column(left=look.left, width=look.main_width, top=below, bottom=look.bottom)
    side = Column(left=look.right - look.side_width, width=look.side_width, top=below, bottom=look.bottom)
    front = _fitting(parts, main, side, heights, has_back=bool(table))
    back = replace(whole, top=look.later_top)
    if front is not None:
        frame[-1] += front
        rest = [*parts.cautions, *table]
        return frame + (flow(rest, back, look.later_top) if table else [])
    # The words do not fit below the frame: what is read last goes overleaf, and enough of it for a page of its own.
    wide = [*parts.also, *parts.waiting, *parts.changed]
    narrow = parts.data
    frame[-1] += flow(wide, main, look.later_top)[0] if fits(wide, main, heights) else []
    frame[-1] += flow(narrow, side, look.later_top)[0] if narrow and fits(narrow, side, heights) else []
    placed = {id(one.flowable) for page in frame for one in page}
    told = [*wide, *narrow, *parts.stands(3), *parts.sure(2), *parts.marks, *parts.reply(2), *parts.cautions, *table]
    left = [block for block in told if not any(id(part) in placed for part in block.parts)]
    return frame + flow(left, back, look.later_top)


def _one_below_another(parts: _Parts, now: Sequence[Block], whole: Column, *, has_back: bool) -> list[Page]:
    """Return one column on as few pages as may be, the last of them not nearly empty, and as full as that allows."""
    later = replace(whole, top=parts.look.later_top)
    marks = [] if has_back else parts.marks
    best: tuple[int, int, list[Page]] | None = None
    for number, (most, lines, length) in enumerate(_LENGTHS):
        words = [*parts.also, *parts.stands(most), *parts.waiting, *parts.changed]
        data, sure, reply = parts.data, parts.sure(length), parts.reply(lines)
        orders = (
            [*words, *data, *sure, *marks, *parts.cautions, *reply],
            [*words, *marks, *parts.cautions, *reply, *sure, *data],
        )
        for turned, rest in enumerate(orders):
            pages = packed([*now, *rest], whole, later.top, in_order=len(now))
            is_bare = len(pages) > 1 and share_filled(pages[-1], later) < _NEARLY_EMPTY
            # Without room for a reply only where that saves a page that would be nearly empty.
            rank = (len(pages) + is_bare + (not lines), 2 * number + turned)
            if best is None or rank < best[:2]:
                best = (*rank, pages)
    return best[2] if best is not None else []


class _Parts:
    """The sections of one sheet below its frame, in the lengths that they come in."""

    def __init__(self, script: Script, rubric: Rubric, points: Sequence[Point], setting: Setting) -> None:
        """Make those that come in one length."""
        self.script, self.rubric, self.points, self.look = script, rubric, points, setting.look
        self.also, self.waiting = also_blocks(points), [*comment_blocks(script), *waiting_blocks(script)]
        is_open = gives_answer_away(rubric, points)
        self.changed = [*changed_blocks(script), *since_blocks(script)]
        self.data = data_blocks(script, setting.look, hides_result=is_open)
        self.marks = marks_blocks(script, setting.marks)
        self.cautions = caution_blocks(script, rubric, points)
        self._sure = [
            [],
            [] if is_open else sure_blocks(script, with_cause=False),
            [] if is_open else sure_blocks(script),
        ]
        self._stands: dict[int, list[Block]] = {}
        self._reply = {lines: reply_blocks(lines if points else 0) for lines in _REPLY_LINES}

    def sure(self, length: int) -> list[Block]:
        """Return how sure the result is: 2 with a usual reason, 1 without, 0 not at all."""
        return self._sure[length]

    def stands(self, most: int) -> list[Block]:
        """Return what stands, in at most so many sentences; most sheets have room for the most."""
        if most not in self._stands:
            self._stands[most] = stands_blocks(self.script, self.rubric, most)
        return self._stands[most]

    def reply(self, lines: int) -> list[Block]:
        """Return room for a reply; none where nothing was to change."""
        return self._reply[lines]


def _fitting(parts: _Parts, main: Column, side: Column, heights: Heights, *, has_back: bool) -> Page | None:
    """Return what stands below the frame, as fully as one page allows; None where it does not fit at all."""
    cautions = [] if has_back else parts.cautions
    for length, (lines, most) in itertools.product((2, 1, 0), zip(_REPLY_LINES, _STANDING, strict=True)):
        words = [*parts.also, *parts.stands(most), *parts.waiting, *parts.changed]
        reply, sure = parts.reply(lines), parts.sure(length)
        for wide, narrow in (
            ([*words, *reply], [*parts.data, *sure, *cautions, *parts.marks]),
            ([*words, *cautions, *reply], [*parts.data, *sure, *parts.marks]),
            ([*words, *sure, *reply], [*parts.data, *cautions, *parts.marks]),
            ([*words, *sure, *cautions, *reply], [*parts.data, *parts.marks]),
            ([*words, *cautions, *parts.marks, *reply], [*parts.data, *sure]),
            ([*words, *sure, *parts.marks, *reply], [*parts.data, *cautions]),
            (words, [*parts.data, *sure, *cautions, *parts.marks, *reply]),
        ):
            if fits(wide, main, heights) and fits(narrow, side, heights):
                left, right = flow(wide, main, main.top), flow(narrow, side, side.top)
                if len(left) == len(right) == 1:
                    return left[0] + right[0]
    return None
