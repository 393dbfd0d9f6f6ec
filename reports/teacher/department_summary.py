"""One paper for a department: classes beside each other in each practical, what was lost most, what to teach again."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from marking.findings import Cause
from reports.page import NOTE, SMALL, Block, Heading, Hung, RuleTable, text
from reports.teacher.staff_papers import write_staff_pages
from reports.wording import fill, wording
from rubrics.formulas import listed
from rubrics.model import Rubric

if TYPE_CHECKING:
    from marking.over_time import ClassRow, Practical

_GAP = 13.0
_WIDTHS = (54.0, 96.0, 62.0, 92.0, 40.0, None)
"""Of the columns, in points."""
_ROWS_TOGETHER = 20
"""Rows of one table; a longer one goes on below a head of its own."""
_MOST_LOST, _LOST_BELOW = 3, 0.7
"""Criteria named in a practical, of those for which less than this share was given."""
_MOST_SLIPS, _MOST_CLASSES = 8, 12


def write_department_summary(
    path: Path,
    told: Sequence[Practical],
    markers: Mapping[str, str],
    rubrics: Mapping[str, Rubric],
    unread: Mapping[str, str],
) -> None:
    """Write the summary.

    Args:
        path: The PDF to write.
        told: What each practical of each class came to.
        markers: Who marks each class of the department.
        rubrics: The practicals, by id.
        unread: Class that could not be marked to why.
    """
    from marking.over_time import class_rows  # one class needs nothing of what goes from practical to practical

    words = wording("summary")["department"]
    rows = class_rows(told)
    slots = {"classes": str(len(markers)), "marked": str(sum(row.handed_in for row in rows))}
    about = words["about" if len(markers) > 1 else "about_one"]
    blocks = [Block(parts=(text(SMALL, fill([about], slots)),))]
    if unread:
        lines = [
            text(NOTE, fill([words["not_read_line"]], {"class_name": name, "marker": markers[name], "said": said}))
            for name, said in unread.items()
        ]
        blocks.append(Block(parts=(Heading(words["not_read"]), *lines), gap=_GAP))
    for practical in dict.fromkeys(row.practical for row in rows):
        own = [row for row in rows if row.practical == practical]
        blocks += _practical_blocks(rubrics[practical], own, _shares(told, practical), markers)
    blocks += _slip_blocks(told)
    write_staff_pages(path, words["document"], words["title"], blocks)


def _practical_blocks(
    rubric: Rubric, rows: Sequence[ClassRow], shares: Mapping[str, float], markers: Mapping[str, str]
) -> list[Block]:
    words = wording("summary")["department"]
    cells = [_cells(row, markers) for row in rows]
    tables = [
        RuleTable([words["columns"], *cells[first : first + _ROWS_TOGETHER]], _WIDTHS)
        for first in range(0, len(cells), _ROWS_TOGETHER)
    ]
    points = {one.code: one.point for one in rubric.criteria}
    low = sorted((share, code) for code, share in shares.items() if share < _LOST_BELOW and code in points)
    lost = [
        fill([words["criterion"]], {"code": code, "point": points[code], "percent": f"{100 * share:.0f}"})
        for share, code in low[:_MOST_LOST]
    ]
    more = [Block(parts=(table,), gap=4.0) for table in tables[1:]]
    if lost:
        more.append(Block(parts=(text(NOTE, fill([words["lost"]], {"lost": "; ".join(lost)})),), gap=4.0))
    return [Block(parts=(Heading(rubric.title), tables[0]), gap=_GAP), *more]


def _cells(row: ClassRow, markers: Mapping[str, str]) -> list[str]:
    words = wording("summary")["department"]
    share = fill([words["share"]], {"percent": f"{100 * row.share:.0f}"}) if row.share is not None else words["none"]
    slip = words["none"]
    if row.slip is not None:
        cause, count = row.slip
        slip = fill([words["slip"]], {"name": wording("causes")[cause.value]["name"], "count": str(count)})
    return [row.class_name, markers[row.class_name], str(row.handed_in), share, str(row.pending), slip]


def _shares(told: Sequence[Practical], practical: str) -> Mapping[str, float]:
    """Return the part of its decided marks that was given for each criterion of a practical, over all classes."""
    given, decided = Counter[str](), Counter[str]()
    for one in told:
        if one.name.practical != practical:
            continue
        for work in one.works.values():
            for mark in work.marks:
                if mark.marks is not None:
                    given[mark.criterion] += mark.marks
                    decided[mark.criterion] += mark.out_of
    return {code: given[code] / out_of for code, out_of in decided.items() if out_of}


def _slip_blocks(told: Sequence[Practical]) -> list[Block]:
    from marking.over_time import slip_counts, works_by_class  # as above

    words = wording("summary")["department"]
    classes = works_by_class(told)
    handed_in = sum(len(works) for works in classes.values())
    counts = slip_counts(list(classes.values()))
    shared = {cause: found for cause, found in counts.items() if max(found) > 1 and cause is not Cause.UNEXPLAINED}
    lines = []
    for cause, found in sorted(shared.items(), key=lambda pair: -sum(pair[1]))[:_MOST_SLIPS]:
        met = sorted(((count, name) for count, name in zip(found, classes, strict=True) if count), reverse=True)
        named = [fill([words["slip_class"]], {"class_name": name, "count": str(count)}) for count, name in met]
        slots = {
            "name": wording("causes")[cause.value]["name"],
            "count": str(sum(found)),
            "handed_in": str(handed_in),
            "classes": listed(named, most=_MOST_CLASSES),
        }
        lines.append(Hung("–", text(NOTE, fill([words["slip_line"]], slots)), left=10, small=True))
    head = Heading(words["slips"])
    if not lines:
        return [Block(parts=(head, text(NOTE, words["no_slips"])), gap=_GAP)]
    return [Block(parts=(head, lines[0]), gap=_GAP), *(Block(parts=(line,), gap=2.0) for line in lines[1:])]
