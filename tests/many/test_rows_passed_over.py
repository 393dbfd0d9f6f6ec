"""A pass over a file that passes rows over finds what one finds that takes every row apart."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from pathlib import Path

import pytest

from marking.intake.parts import scanning
from marking.intake.parts.scanning import scan
from marking.intake.parts.tidy_files import tidy_file
from rubrics.faults import InputError
from tests.many.large_files import HEADINGS, lines_of
from tests.many.test_lines_as_text import HEADING, ODD

LONG = "x" * 140_000
CASES = {
    "odd": ODD,
    "quote left open": [*ODD[:6], 'A1,1,wire-resistance,L,7,"0.1,m', *["A1,1,wire-resistance,V,2,0.3,V"] * 5],
    "break in a field": ["A1,1,wire-resistance,L,1,0.1,m", "A1,1,wire-resistance,L,2,0.\r1,m"],
    "field too long": ["A1,1,wire-resistance,L,1,0.1,m", f"A1,1,wire-resistance,L,2,{LONG},m"],
    "apart": ["A1,1,wire-resistance,L,1,0.1,m", "A2,1,wire-resistance,L,1,0.1,m", "A1,1,wire-resistance,L,2,0.2,m"],
    "one begins as another": ["A1,1,wire-resistance,L,1,0.1,m", "A1,1,wire-resistance-2,L,1,0.1,m", "A11,1,w,L,,1,m"],
}


def _found(path: Path, size: int) -> object:
    file = tidy_file(path, "class.csv")
    assert file is not None
    try:
        found = scan([file], size)
    except InputError as error:
        return str(error)
    return found.blocks, found.practicals, found.starts, found.rows, found.students, found.is_apart, found.files


def _is_the_same(path: Path, size: int, monkeypatch: pytest.MonkeyPatch, block: int) -> bool:
    monkeypatch.setattr(scanning, "BLOCK", block)
    found = _found(path, size)
    monkeypatch.setattr(scanning, "rows_alike", lambda *_: None)
    return found == _found(path, size)


@pytest.mark.parametrize("block", [1, 60, 65_536])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("lines", CASES.values(), ids=CASES)
def test_odd_lines(lines: Sequence[str], end: str, block: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Quotes, breaks, gaps and what is no row: the same students, places and faults."""
    path = tmp_path / "class.csv"
    path.write_bytes(end.join([HEADING, *lines]).encode())
    assert _is_the_same(path, 1, monkeypatch, block)


@pytest.mark.parametrize("order", [range(7), (1, 2, 3, 4, 5, 6, 0), (3, 4, 5, 6, 0, 1, 2)])
def test_columns_in_any_order(order: Sequence[int], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Wherever student and practical stand; blocks of the file end within a student's rows."""
    path = tmp_path / "class.csv"
    with path.open("w", encoding="utf-8", newline="") as file:
        rows = [[line[at] for at in order] for line in [HEADINGS, *lines_of(70)]]
        csv.writer(file, lineterminator="\n").writerows(rows)
    assert _is_the_same(path, 20, monkeypatch, 500)
