"""What a round leaves on paper and as tables."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Sequence
from pathlib import Path

from marking.decided import ModerationRuled
from marking.file_names import file_names
from marking.moderation.comparing import Comparison
from marking.moderation.decisions import Ruling, Standing, final_totals
from marking.rounds.round_figures import Figures
from reports.moderation import write_marker_page, write_moderation_report
from reports.tables import csv_cell

_COMPARED = (
    "stage",
    "class",
    "student",
    "first_marker",
    "second_marker",
    "criterion",
    "eye",
    "drawn",
    "first",
    "second",
)
_FINAL = ("class", "student", "marker", "first_total", "moderated_total", "out_of", "ruling")


def write_reports(folder: Path, one: Figures, state: Standing) -> None:
    """Write the report for the file, and a page for each marker alone."""
    write_moderation_report(folder / "moderation.pdf", one.found, one.keys, one.proposed, one.effects, state)
    (folder / "markers").mkdir()
    names = file_names(list(one.found.key.markers))
    for marker in one.found.key.markers:
        write_marker_page(folder / "markers" / f"{names[marker]}.pdf", one.found, marker, one.proposed)


def write_compared(path: Path, found: Comparison) -> None:
    """Write first and second marks, a line a script and criterion."""
    _write_rows(path, _COMPARED, list(_compared_rows(found)))


def write_final_marks(path: Path, one: Figures, state: Standing) -> None:
    """Write everybody's total, before and after the rulings that stand; empty where a mark waits for its teacher."""
    ruled = {each.marker: f"{each.number}: {each.who}, {each.when[:10]}" for each in state.rulings if _adjusts(each)}
    ruled = {marker: said for marker, said in ruled.items() if marker in state.adjustments}
    rows: list[tuple[object, ...]] = [
        (p.class_name, p.student, p.marker, p.total, total, p.out_of, ruled.get(p.marker, ""))
        for p, total in final_totals(one.found.key.cohort, state.adjustments)
    ]
    rows += [(each.class_name, each.student, each.marker, "", "", "", "") for each in one.waiting]
    _write_rows(path, _FINAL, sorted(rows, key=lambda row: (str(row[0]), str(row[1]))))


def _adjusts(ruling: ModerationRuled) -> bool:
    return ruling.ruling == Ruling.ADJUST


def _compared_rows(found: Comparison) -> Iterator[tuple[object, ...]]:
    for look in found.looks:
        for code, mark in look.second.items():
            yield (
                look.stage,
                look.line.class_name,
                look.line.student,
                look.line.first_marker,
                look.line.second_marker,
                code,
                int(code in look.line.eye),
                int(look.line.is_drawn),
                look.line.first[code],
                mark,
            )


def _write_rows(path: Path, head: Sequence[str], rows: Sequence[Sequence[object]]) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(head)
        writer.writerows([csv_cell(cell) if isinstance(cell, str) else cell for cell in row] for row in rows)
