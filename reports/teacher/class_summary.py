"""At most two pages about a class and one practical, for the teacher: what to do in the next lesson, and what waits."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path

from reportlab.pdfgen.canvas import Canvas

from marking.class_notes import ClassNote
from marking.cohort.picture import Band, ClassPicture, SharedCause, Waiting, picture
from marking.findings import Agrees, MarkedSet
from marking.write_up import Remark, Weight
from reports.charts import CriterionStrips, DotPlot, Histogram, names_of
from reports.page import (
    BODY,
    NOTE,
    SMALL,
    Block,
    Column,
    Heading,
    Hung,
    Page,
    PointHead,
    Space,
    draw,
    flow,
    labelled,
    shortened,
    text,
)
from reports.page import house_style as style
from reports.teacher.class_lesson import CauseWords, bench_blocks, cause_words, learned_sentence, starter_blocks
from reports.wording import fill, listed, printed, wording
from rubrics.model import Rubric

_LIST_LENGTHS = (16, 12, 9, 6, 4)
"""Lines of a list that are tried, longest first, until the second page holds everything."""
_GROUP_COUNTS = (6, 5, 4, 3, 2, 1)
"""Shared causes told in full, most first, until the first page holds everything; the others are named in a line."""
_MOST_CODES = 14
_WHOLE_GROUP = 36
"""Codes of a group to call together: all of them, in any class of a school."""
_GAP = 13.0
_TOP = style.TOP - 54.0
_LATER_TOP = style.TOP - 22.0
_QUERIES_FIRST = (Weight.REFUSED, Weight.QUERY, Weight.NOTE)


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
        seen = picture(marked)
        pages = _pages(marked, seen, [note for note in notes if note.practical == marked.rubric.id])
        for number, page in enumerate(pages, start=1):
            _head(canvas, marked.rubric, seen, first=number == 1)
            draw(page, canvas)
            _foot(canvas, marked.rubric, number, len(pages))
            canvas.showPage()
    canvas.save()


def _pages(marked: MarkedSet, seen: ClassPicture, notes: Sequence[ClassNote]) -> list[Page]:
    """Return one page where everything fits on it, else two: the class on the first, what waits on the second."""
    main = Column(left=style.LEFT, width=style.MAIN_WIDTH, top=_TOP, bottom=style.BOTTOM)
    side_left = style.LEFT + style.MAIN_WIDTH + style.GUTTER
    side = Column(left=side_left, width=style.SIDE_WIDTH, top=_TOP, bottom=style.BOTTOM)
    wide = Column(left=style.LEFT, width=style.WIDTH, top=_LATER_TOP, bottom=style.BOTTOM)
    taught, results = _class_blocks(marked, seen, _GROUP_COUNTS[0]), _result_blocks(marked.rubric, seen, main.width)
    lesson = [*bench_blocks(notes), *starter_blocks(marked, seen)]
    told, waiting = _side_blocks(seen), _open_blocks(marked, seen, _LIST_LENGTHS[0])
    for blocks, beside in (
        ([*taught, *results, *lesson, *waiting], told),
        ([*taught, *results, *lesson], [*told, *waiting]),
    ):
        pages, aside = flow(blocks, main, _LATER_TOP), flow(beside, side, _LATER_TOP)
        if len(pages) == len(aside) == 1:
            return [pages[0] + aside[0]]
    aside = flow(told, side, _LATER_TOP)
    first = _fitted([flow(_class_blocks(marked, seen, most), main, _LATER_TOP) for most in _GROUP_COUNTS])
    results = _result_blocks(marked.rubric, seen, wide.width)
    second = _fitted(
        [flow([*results, *lesson, *_open_blocks(marked, seen, most)], wide, _LATER_TOP) for most in _LIST_LENGTHS]
    )
    return [first[0] + aside[0], *first[1:], *aside[1:], *second]


def _fitted(attempts: Sequence[list[Page]]) -> list[Page]:
    """Return the first attempt that takes one page, or the last."""
    return next((pages for pages in attempts if len(pages) == 1), attempts[-1])


def _head(canvas: Canvas, rubric: Rubric, seen: ClassPicture, *, first: bool) -> None:
    words = wording("summary")
    slots = {"students": str(seen.students), "handed_in": str(seen.handed_in)}
    size = style.TITLE_SIZE if first else style.LABEL_SIZE
    canvas.setFillGray(style.INK if first else style.SOFT)
    canvas.setFont(style.BOLD if first else style.REGULAR, size)
    base = style.TOP - (12 if first else 6)
    canvas.drawString(style.LEFT, base, shortened(rubric.title, style.WIDTH - 20, size, style.BOLD))
    if first:
        canvas.setFont(style.REGULAR, style.LABEL_SIZE)
        canvas.setFillGray(style.SOFT)
        canvas.drawString(
            style.LEFT, style.TOP - 28, fill([words["student" if seen.students == 1 else "students"]], slots)
        )
    rule = style.TOP - (38 if first else 12)
    canvas.setStrokeGray(style.INK)
    canvas.setLineWidth(1.0)
    canvas.line(style.LEFT, rule, style.RIGHT, rule)


def _foot(canvas: Canvas, rubric: Rubric, number: int, count: int) -> None:
    words = wording("summary")
    canvas.setFont(style.REGULAR, style.FOOT_SIZE)
    canvas.setFillGray(style.SOFT)
    foot = fill([words["foot"]], {"practical": rubric.id, "edition": str(rubric.edition)})
    canvas.drawString(style.LEFT, 30, foot)
    if count > 1:
        canvas.drawRightString(style.RIGHT, 30, fill([words["page"]], {"number": str(number), "count": str(count)}))


def _class_blocks(marked: MarkedSet, seen: ClassPicture, groups: int) -> list[Block]:
    """Return what the class did, and what to teach again."""
    blocks = _next_blocks(marked, seen, groups)
    if seen.criteria:
        strips = CriterionStrips(seen.criteria, style.MAIN_WIDTH)
        blocks.append(Block(parts=(Heading(wording("summary")["headings"]["criteria"]), strips), gap=_GAP))
    return blocks


def _open_blocks(marked: MarkedSet, seen: ClassPicture, most: int) -> list[Block]:
    """Return what is for the teacher to decide or to read."""
    return [*_waiting_blocks(marked.rubric, seen, most), *_remark_blocks(marked.remarks, most)]


# ---- for the next lesson --------------------------------------------------------------------------------------


def _next_blocks(marked: MarkedSet, seen: ClassPicture, groups: int) -> list[Block]:
    words = wording("summary")
    told_as = cause_words(marked)
    heading = Heading(words["headings"]["next"])
    shared = [cause for cause in seen.causes if cause.band is not Band.SHEET]
    blocks = [_group_block(cause, told_as[cause.cause], marked.rubric, seen) for cause in shared[:groups]]
    if blocks:
        blocks[0] = Block(parts=(heading, *blocks[0].parts), gap=_GAP)
    else:
        blocks = [Block(parts=(heading, text(BODY, words["next"]["nothing"])), gap=_GAP)]
    rest = [cause for cause in seen.causes if cause.band is Band.SHEET]
    told = {
        "further": [_cause_name(told_as[cause.cause], str(len(cause.students))) for cause in shared[groups:]],
        "sheet": [_cause_name(told_as[cause.cause], _codes(cause.students)) for cause in rest],
    }
    for name, causes in told.items():
        if causes:
            line = fill([words["next"][name]], {"causes": "; ".join(causes)})
            blocks.append(Block(parts=(text(NOTE, line),), gap=8))
    learned = learned_sentence(marked.learned)
    return [*blocks, Block(parts=(text(NOTE, learned),), gap=8)] if learned else blocks


def _cause_name(told: CauseWords, who: str) -> str:
    slots = {"name": told.name, "who": who}
    return fill([wording("summary")["next"]["cause"]], slots)


def _group_block(shared: SharedCause, told: CauseWords, rubric: Rubric, seen: ClassPicture) -> Block:
    words = wording("summary")["next"]
    items = [rubric.items[item].quantity if item in rubric.items else item for item in shared.items]
    title = fill(words["head"], {"name": told.name, "items": listed(items)})
    slots = {"count": str(len(shared.students)), "handed_in": str(seen.handed_in), "percent": _percent(shared.share)}
    parts = (
        PointHead("•", title, fill([words["share"]], slots)),
        *labelled(words["who"], _codes(shared.students, _WHOLE_GROUP)),
        *labelled(words["do"], fill([words[shared.band.value]], {"reteach": told.reteach})),
    )
    return Block(parts=parts, gap=8)


def _percent(share: float) -> str:
    return str((Decimal(repr(share)) * 100).quantize(Decimal(1), rounding=ROUND_HALF_UP))


def _codes(codes: Sequence[str], most: int = _MOST_CODES) -> str:
    return listed(list(codes), most=most)


# ---- results --------------------------------------------------------------------------------------------------


def _result_blocks(rubric: Rubric, seen: ClassPicture, width: float) -> list[Block]:
    if not seen.results:
        return []
    words, headings = wording("summary")["results"], wording("summary")["headings"]
    values = [result.value for result in seen.results]
    plot = DotPlot(values, seen.accepted, width)
    notes = [text(SMALL, sentence) for sentence in _result_sentences(rubric, seen, values)]
    beyond = [result.student for result in seen.results if result.value in (*plot.low, *plot.high)]
    if beyond:
        notes.append(text(SMALL, fill([words["beyond"]], {"codes": _codes(beyond)})))
    heading = Heading(headings["results" if seen.accepted else "results_only"])
    return [Block(parts=(heading, plot, Space(3), *notes), gap=_GAP)]


def _result_sentences(rubric: Rubric, seen: ClassPicture, values: Sequence[float]) -> list[str]:
    words = wording("summary")["results"]
    slots = {"count": str(len(values)), "lowest": printed(min(values), 3), "highest": printed(max(values), 3)}
    sentences = [fill([words["spread"]], {**slots, "unit": seen.result_unit or " "})]
    for one in sorted(seen.accepted, key=lambda one: one.value):
        facts = {"name": one.name, "value": printed(one.value), "unit": seen.result_unit or " ", "source": one.source}
        sentences.append(fill([words["source"]], facts))
    if len(seen.accepted) > 1:
        named = zip(names_of(seen.accepted), sentences[1:], strict=True)
        sentences[1:] = [f"{name}: {sentence}" for name, sentence in named]
    told = [result for result in seen.results if result.agrees is not Agrees.UNKNOWN]
    if told:
        count = sum(result.agrees is not Agrees.NO for result in told)
        sentences.append(fill([words["agree"]], {"count": str(count), "all": str(len(told))}))
    if len(seen.accepted) == 1 and rubric.result is not None:
        low, high = (seen.accepted[0].value + side * seen.accepted[0].uncertainty for side in (-1, 1))
        above, below = sum(value > high for value in values), sum(value < low for value in values)
        # Only a clear lean is worth a sentence: two in three on one side.
        for name, count, why in (("above", above, rubric.result.too_high), ("below", below, rubric.result.too_low)):
            if 3 * count > 2 * len(values):
                sentences.append(fill([words[name]], {"count": str(count), "all": str(len(values)), "why": why or " "}))
    return sentences


# ---- what waits -----------------------------------------------------------------------------------------------


def _waiting_blocks(rubric: Rubric, seen: ClassPicture, most: int) -> list[Block]:
    words = wording("summary")
    heading = Heading(words["headings"]["waiting"])
    lines = [_waiting_line(one, rubric, seen) for one in seen.waiting[:most]]
    if len(seen.waiting) > most:
        more = fill([words["waiting"]["more"]], {"count": str(len(seen.waiting) - most)})
        lines.append(Hung("", text(NOTE, more), left=10))
    if not lines:
        lines = [Hung("", text(BODY, words["waiting"]["nothing"]), left=0)]
    return [Block(parts=(heading, lines[0]), gap=_GAP), *(Block(parts=(line,), gap=2) for line in lines[1:])]


def _waiting_line(one: Waiting, rubric: Rubric, seen: ClassPicture) -> Hung:
    words = wording("summary")["waiting"]
    points = {criterion.code: criterion.point for criterion in rubric.criteria}
    reason = wording("reasons")[one.reason]
    names_quantity = one.item in rubric.items and not reason.get("about_point")
    slots = {
        "reason": reason.get("teacher", one.reason),
        "quantity": rubric.items[one.item].quantity if names_quantity else "",
        "criterion": one.criterion,
        "point": points.get(one.criterion, ""),
    }
    everyone = len(one.students) == seen.handed_in
    who = fill([words["everyone"]], {"count": str(len(one.students))}) if everyone else _codes(one.students)
    return Hung("–", text(NOTE, f"{fill(words['line'], slots)}: {who}"), left=10, small=True)


def _remark_blocks(remarks: Sequence[Remark], most: int) -> list[Block]:
    words = wording("summary")
    heading = Heading(words["headings"]["remarks"])
    ordered = sorted(remarks, key=lambda remark: _QUERIES_FIRST.index(remark.weight))
    lines = [Hung("–", text(NOTE, remark.message), left=10, small=True) for remark in ordered[:most]]
    if len(ordered) > most:
        lines.append(
            Hung("", text(NOTE, fill([words["remarks"]["more"]], {"count": str(len(ordered) - most)})), left=10)
        )
    if not lines:
        lines = [Hung("", text(BODY, words["remarks"]["nothing"]), left=0)]
    return [Block(parts=(heading, lines[0]), gap=_GAP), *(Block(parts=(line,), gap=2) for line in lines[1:])]


# ---- the narrow column ----------------------------------------------------------------------------------------


def _side_blocks(seen: ClassPicture) -> list[Block]:
    words = wording("summary")
    sentences = [words["marks"]["nobody"]]
    chart: tuple[Histogram, ...] = ()
    if seen.mean is not None and seen.median is not None:
        chart = (Histogram(seen.distribution, style.SIDE_WIDTH, 110.0),)
        slots = {"mean": _one_place(seen.mean), "median": _one_place(seen.median), "out_of": str(seen.out_of)}
        sentences = [fill([words["marks"]["summary"]], slots)]
    if seen.pending:
        sentences.append(fill([words["marks"]["pending"]], {"pending": str(seen.pending)}))
    marks = (Heading(words["headings"]["marks"]), *chart, Space(3), *(text(SMALL, line) for line in sentences))
    absent = [(name, codes) for name, codes in (("missing", seen.missing), ("absent", seen.absent)) if codes]
    told = [fill([words["missing"][name]], {"codes": _codes(codes, _WHOLE_GROUP)}) for name, codes in absent]
    told = told or [words["missing"]["nobody"]]
    told += [
        fill([words["missing"]["mark_code"]], {"code": code, "codes": _codes(students, _WHOLE_GROUP)})
        for code, students in seen.codes
    ]
    lines = [text(NOTE, line) for line in told]
    return [Block(parts=marks), Block(parts=(Heading(words["headings"]["missing"]), *lines), gap=_GAP)]


def _one_place(value: float) -> str:
    return str(Decimal(repr(value)).quantize(Decimal("0.1"), rounding=ROUND_HALF_UP))
