"""Two pages about a class and one practical, for the teacher: the next lesson in front, the criteria overleaf."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path

from reportlab.pdfgen.canvas import Canvas

from marking.class_notes import ClassNote
from marking.cohort.picture import ClassPicture, picture
from marking.findings import MarkedSet
from reports.charts import CriterionStrips, Histogram
from reports.page import SMALL, Block, Column, Heading, Page, draw, flow, furniture, tagged, text, wrapped
from reports.page import house_style as style
from reports.teacher.class_lesson import bench_blocks, other_blocks, starter_blocks, teach_blocks
from reports.teacher.class_results import result_blocks, with_results
from reports.teacher.class_trend import trend_blocks
from reports.teacher.class_waiting import missing_blocks, remark_blocks, waiting_blocks
from reports.teacher.students_called import People
from reports.wording import class_note, fill, wording
from rubrics.model import Rubric

_LIST_LENGTHS = (16, 12, 9, 6, 4, 2)
"""Notes on the input that are tried, most first, until the second page holds everything."""
_FULLNESS = (
    (4, 30, 3), (4, 30, 2), (3, 30, 3), (3, 30, 2), (2, 30, 3), (2, 30, 2),
    (2, 30, 1), (1, 30, 2), (1, 12, 2), (1, 6, 1), (0, 6, 1),
)  # fmt: skip
"""Shared slips told in full, criteria that wait and questions of the starter, most first, until one page holds them."""
_ORDER = (
    *((by_name, full) for by_name in (True, False) for full in _FULLNESS[:7]),
    *((by_name, full) for by_name in (True, False) for full in _FULLNESS[7:]),
)
"""Names are worth more than a further slip told in full, and that more than the last of the names."""
_GAP = 13.0
_SIDE = 172.0
_MAIN = style.WIDTH - style.GUTTER - _SIDE
_TITLE_LINE = 20.0
_LATER_TOP = style.TOP - 22.0


def write_class_summary(path: Path, marked_sets: Sequence[MarkedSet], notes: Sequence[ClassNote] = ()) -> None:
    """Write the summary of a class, at most two pages a practical.

    Args:
        path: The PDF to write.
        marked_sets: One for each practical, at least one.
        notes: What was found about benches; notes of other kinds are passed over.
    """
    words = wording("summary")
    canvas = style.new_canvas(str(path), words["document"], ", ".join(marked.rubric.title for marked in marked_sets))
    for marked in marked_sets:
        seen = with_results(marked, picture(marked))
        pages = _pages(marked, seen, [note for note in notes if note.practical == marked.rubric.id])
        for number, page in enumerate(pages, start=1):
            if number == 1:
                _head(canvas, marked.rubric, seen)
            else:
                _later_head(canvas, marked.rubric)
            draw(page, canvas)
            _foot(canvas, marked.rubric, number, len(pages))
            canvas.showPage()
    canvas.save()


# ---- pages ---------------------------------------------------------------------------------------------------


def _pages(marked: MarkedSet, seen: ClassPicture, notes: Sequence[ClassNote]) -> list[Page]:
    """Return the class on the first page, criteria and notes on the second."""
    front = next((page for page in _fronts(marked, seen, notes) if page is not None), [])
    wide = Column(left=style.LEFT, width=style.WIDTH, top=_LATER_TOP, bottom=style.BOTTOM)
    fixed = [*_criteria(seen), *trend_blocks(marked), *other_blocks(marked, seen, People(marked))]
    backs = (flow([*fixed, *remark_blocks(marked.remarks, most)], wide, _LATER_TOP) for most in _LIST_LENGTHS)
    fitted = list(itertools.islice((pages for pages in backs if len(pages) == 1), 1))
    return [front, *(fitted[0] if fitted else [])]


def _fronts(marked: MarkedSet, seen: ClassPicture, notes: Sequence[ClassNote]) -> Iterator[Page | None]:
    """Yield the first page in one arrangement after another, the fullest first; None where it does not fit."""
    top = _head_bottom(marked.rubric)
    main = Column(left=style.LEFT, width=_MAIN, top=top, bottom=style.BOTTOM)
    side = Column(left=style.RIGHT - _SIDE, width=_SIDE, top=top, bottom=style.BOTTOM)
    for by_name, (groups, most, asked) in _ORDER:
        people = People(marked, by_name=by_name)
        ruled = class_note(marked)
        first = [Block(parts=(text(SMALL, ruled),), gap=_GAP)] if ruled else []
        taught = [*first, *teach_blocks(marked, seen, people, groups), *starter_blocks(marked, seen, asked)]
        waiting = waiting_blocks(marked.rubric, seen, people, most)
        told = [*missing_blocks(seen, people), *bench_blocks(notes, marked.rubric)]
        results, narrow = (result_blocks(marked, seen, people, width) for width in (_MAIN, _SIDE))
        marks = _marks(seen)
        if not told and not marks:
            whole = Column(left=style.LEFT, width=style.WIDTH, top=top, bottom=style.BOTTOM)
            pages = flow([*taught, *result_blocks(marked, seen, people, style.WIDTH), *waiting], whole, top)
            yield pages[0] if len(pages) == 1 else None
        for wide, beside in (
            ([*taught, *results, *waiting], [*told, *marks]),
            ([*taught, *results], [*told, *waiting, *marks]),
            ([*taught, *waiting], [*told, *narrow, *marks]),
            ([*taught, *results], [*told, *waiting]),
        ):
            left, right = flow(wide, main, top), flow(beside, side, top)
            yield left[0] + right[0] if len(left) == len(right) == 1 else None
    yield flow([*taught, *results], main, top)[0] + flow(told, side, top)[0]


def _criteria(seen: ClassPicture) -> list[Block]:
    if not seen.criteria:
        return []
    strips = CriterionStrips(seen.criteria, style.WIDTH)
    return [Block(parts=(Heading(wording("summary")["headings"]["criteria"]), strips), gap=_GAP)]


def _marks(seen: ClassPicture) -> list[Block]:
    """Return how the marks are spread; nothing for a class of one, whose mark stands in the head."""
    if seen.handed_in < 2 or seen.mean is None:
        return []
    chart = Histogram(seen.distribution, _SIDE, 96.0)
    return [Block(parts=(Heading(wording("summary")["headings"]["marks"]), chart), gap=_GAP)]


# ---- head and foot -------------------------------------------------------------------------------------------


def _title_lines(rubric: Rubric) -> Sequence[str]:
    return wrapped(rubric.title, style.WIDTH, style.TITLE_SIZE, style.BOLD)


def _head_bottom(rubric: Rubric) -> float:
    return style.TOP - 34.0 - _TITLE_LINE * len(_title_lines(rubric))


def _head(canvas: Canvas, rubric: Rubric, seen: ClassPicture) -> None:
    base = style.TOP - 12.0
    with tagged(canvas, "H1"):
        canvas.setFillGray(style.INK)
        canvas.setFont(style.BOLD, style.TITLE_SIZE)
        for line in _title_lines(rubric):
            canvas.drawString(style.LEFT, base, line)
            base -= _TITLE_LINE
    with tagged(canvas, "P"):
        canvas.setFont(style.REGULAR, style.FINE_SIZE)
        canvas.setFillGray(style.SOFT)
        canvas.drawString(style.LEFT, base + 3, " · ".join(_facts(seen)))
    _rule(canvas, base - 8)


def _facts(seen: ClassPicture) -> list[str]:
    words = wording("summary")
    slots = {"students": str(seen.students), "handed_in": str(seen.handed_in), "out_of": str(seen.out_of)}
    said = [fill([words["student" if seen.students == 1 else "students"]], slots)]
    if seen.mean is None or seen.median is None:
        return [*said, words["marks"]["nobody"]]
    if seen.handed_in == 1:
        return [*said, fill([words["so_far_one"]], {**slots, "mean": f"{seen.mean:.0f}"})]
    shown = {"mean": _one_place(seen.mean), "median": _one_place(seen.median)}
    return [*said, fill([words["so_far"]], {**slots, **shown})]


def _one_place(value: float) -> str:
    return str(Decimal(repr(value)).quantize(Decimal("0.1"), rounding=ROUND_HALF_UP))


def _later_head(canvas: Canvas, rubric: Rubric) -> None:
    with furniture(canvas, "Header"):
        canvas.setFillGray(style.SOFT)
        canvas.setFont(style.REGULAR, style.LABEL_SIZE)
        line = wrapped(rubric.title, style.WIDTH, style.LABEL_SIZE)[0]
        canvas.drawString(style.LEFT, style.TOP - 6, line)
    _rule(canvas, style.TOP - 12)


def _rule(canvas: Canvas, base: float) -> None:
    with furniture(canvas):
        canvas.setStrokeGray(style.INK)
        canvas.setLineWidth(1.0)
        canvas.line(style.LEFT, base, style.RIGHT, base)


def _foot(canvas: Canvas, rubric: Rubric, number: int, count: int) -> None:
    words = wording("summary")
    with furniture(canvas, "Footer"):
        canvas.setFont(style.REGULAR, style.FOOT_SIZE)
        canvas.setFillGray(style.SOFT)
        foot = fill([words["foot"]], {"practical": rubric.id, "edition": str(rubric.edition)})
        canvas.drawString(style.LEFT, 30, foot)
        if count > 1:
            canvas.drawRightString(style.RIGHT, 30, fill([words["page"]], {"number": str(number), "count": str(count)}))
