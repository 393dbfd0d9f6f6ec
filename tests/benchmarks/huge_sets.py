"""Very large sets as tidy CSV: pages of careful and of spoiled work, drawn anew for a pool and then repeated.

So many pages are drawn as are asked for, and every student after those hands in one of them under a code of their
own. Few pages make a set quicker to mark and smaller in memory than it would be: their texts are known already.
"""

from __future__ import annotations

import csv
from itertools import islice
from pathlib import Path

from tests.apparatus.sheets import HEADINGS
from tests.benchmarks.cohorts import cohort

POOL = 1500
BENCHES = 12


def pool(practical: str, size: int = POOL) -> list[list[tuple[str, ...]]]:
    """Return the lines of *size* pages, without the student's code and bench."""
    pages = cohort(practical, size, "speed", levelled=False)
    return [[tuple(row[2:]) for row in page.sheet.rows()] for page in pages]


def write_huge(path: Path, count: int, practicals: tuple[str, ...] = ("wire-resistance",), size: int = POOL) -> Path:
    """Write *count* students who did all of *practicals* to *path*, sorted by student; return it."""
    pools = [pool(practical, min(size, count)) for practical in practicals]
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(HEADINGS)
        for number in range(count):
            who = (f"S{number:07d}", str(number % BENCHES + 1))
            for pages in pools:
                writer.writerows((*who, *line) for line in pages[number % len(pages)])
    return path


def first_lines(path: Path, count: int) -> list[str]:
    """Return the first *count* lines of a file."""
    with path.open(encoding="utf-8") as file:
        return list(islice(file, count))
