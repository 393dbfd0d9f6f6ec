"""What a teacher typed in a marks.xlsx, whichever of its columns was taken for it."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from openpyxl import Workbook

from marking.intake.ours.typed_marks import read_typed_marks
from rubrics.load import load_catalogue

BLOCK = "specific-heat-block"
HEAD = ("student", "practical", "item", "out of", "mark", "decided by", "entry", "why")


def _ticks(tmp_path: Path, line: tuple[object, ...], *, before: str | None = "") -> list[tuple[str, int | None, str]]:
    """Return the ticks of a workbook with one line for R1: where, how much, why."""
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "Ticks"
    sheet.append(HEAD)
    sheet.append(line)
    book.save(tmp_path / "marks.xlsx")
    if before is not None:
        with (tmp_path / "findings.csv").open("w", encoding="utf-8", newline="") as file:
            csv.writer(file).writerows(
                [("student", "practical", "criterion", "marks", "out_of"), ("A01", BLOCK, "R1", before, "1")]
            )
    found = read_typed_marks(tmp_path / "marks.xlsx", "marks.xlsx", load_catalogue())
    return [(one.entry.place.cell, one.marks, one.why) for ticks in found.ticks.values() for one in ticks]


@pytest.mark.parametrize(
    ("mark", "entry", "before", "wanted"),
    [
        (None, "✓", "", [("G2", 1, "clear")]),
        ("✓", None, "", [("E2", 1, "clear")]),
        ("x", None, "", [("E2", 0, "clear")]),
        (0, None, "1", [("E2", 0, "clear")]),
        (1, None, "1", []),
        (1, "✓", "1", [("G2", 1, "clear")]),
        (0, "✓", "1", [("G2", 1, "clear"), ("E2", 0, "clear")]),
        (1, None, None, []),
        (None, None, "", []),
    ],
    ids=[
        *("as-meant", "beside", "beside-a-cross", "against-a-mark", "as-written", "a-tick-kept"),
        *("both-and-not-alike", "nothing-to-go-by", "undecided"),
    ],
)
def test_a_tick_under_mark_is_a_tick(
    mark: object, entry: object, before: str | None, wanted: list[tuple[str, int, str]], tmp_path: Path
) -> None:
    """Only what was written there by the program is no tick of a teacher's; two that differ are both handed on."""
    line = ("A01", BLOCK, "tick R1", 1, mark, "", entry, "clear")
    assert _ticks(tmp_path, line, before=before) == wanted
