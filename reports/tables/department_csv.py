"""What a department's classes came to, as plain CSV: criterion by criterion, and one criterion marked again for all."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from reports.tables.findings_csv import cell_text, write_lines

if TYPE_CHECKING:  # one class needs nothing of what goes from practical to practical
    from marking.compared import MarkedAgain
    from marking.over_time import Practical

CLASS_COLUMNS = ("class", "marker", "practical", "criterion", "handed_in", "awarded", "decided", "waiting")
AGAIN_COLUMNS = ("class", "marker", "student", "practical", "criterion", "before", "now", "out_of")


def write_class_marks_csv(path: Path, told: Iterable[Practical], markers: Mapping[str, str]) -> None:
    """Write what each criterion came to in each class: marks given, of those that are decided, and how many wait.

    Args:
        path: The file to write.
        told: The practicals of all classes.
        markers: Who marks each class.
    """
    write_lines(path, CLASS_COLUMNS, (line for one in told for line in _class_lines(one, markers)))


def _class_lines(one: Practical, markers: Mapping[str, str]) -> Iterator[tuple[str, ...]]:
    name = one.name.class_name
    codes = dict.fromkeys(mark.criterion for work in one.works.values() for mark in work.marks)
    for code in codes:
        given = [mark for work in one.works.values() for mark in work.marks if mark.criterion == code]
        decided = [mark for mark in given if mark.marks is not None]
        out_of = sum(mark.out_of for mark in decided)
        figures = (
            len(given),
            sum(mark.marks or 0 for mark in decided),
            out_of,
            sum(mark.out_of for mark in given) - out_of,
        )
        yield cell_text(name), cell_text(markers[name]), one.name.practical, code, *map(str, figures)


def write_marked_again_csv(path: Path, lines: Iterable[MarkedAgain]) -> None:
    """Write one criterion for everybody, marks before and now; empty where a teacher decides or none is known."""
    rows = (
        (
            *(cell_text(text) for text in (one.class_name, one.marker, one.student)),
            one.practical,
            one.criterion,
            *("" if marks is None else str(marks) for marks in (one.before, one.now)),
            str(one.out_of),
        )
        for one in lines
    )
    write_lines(path, AGAIN_COLUMNS, rows)
