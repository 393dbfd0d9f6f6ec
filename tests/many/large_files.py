"""Large sets for tests: pages of students drawn once, their lines in any order."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from functools import cache
from pathlib import Path

from tests.benchmarks.huge_sets import pool
from tests.commands.running import Run, run_here

HEADINGS = ("student", "bench", "practical", "item", "row", "entry", "unit")
STUDENTS = 520
"""A little over what is marked part by part."""

Rows = list[tuple[str, ...]]


@cache
def pages(practical: str = "specific-heat-block") -> tuple[Rows, ...]:
    """Return pages of one practical, without codes."""
    return tuple(pool(practical, 60))


def lines_of(count: int, practicals: Sequence[str] = ("specific-heat-block",)) -> Rows:
    """Return the lines of *count* students, sorted by student."""
    lines: Rows = []
    for number in range(count):
        who = (f"S{number:05d}", str(number % 12 + 1))
        for practical in practicals:
            own = pages(practical)
            lines += [(*who, *line) for line in own[number % len(own)]]
    return lines


def write_lines(path: Path, lines: Rows, separator: str = ",") -> Path:
    """Write *lines* as tidy CSV; return the path."""
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n", delimiter=separator)
        writer.writerow(HEADINGS)
        writer.writerows(lines)
    return path


def mark(path: Path, out: Path, *more: str) -> Run:
    """Mark a file without paper; return what came of it."""
    return run_here("mark", str(path), "--out", str(out), "--no-paper", *more)


def findings(folder: Path) -> list[list[str]]:
    """Return the findings of a folder without the column that says where an entry stood."""
    with (folder / "findings.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.reader(file))
    place = rows[0].index("source")
    return [row[:place] + row[place + 1 :] for row in rows]
