"""A small class as tidy CSV, for tests that need no more than a few write-ups."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from pathlib import Path

HEADINGS = ("student", "bench", "practical", "item", "row", "entry", "unit")
WRITE_UP = (
    ("m", "998", "g"),
    ("T_start", "19.5", "°C"),
    ("T_end", "40.0", "°C"),
    ("E", "20.4", "kJ"),
    ("dT", "20.5", "°C"),
    ("c", "997", "J/kg°C"),
)
"""Right in everything."""


def write_class(path: Path, codes: Sequence[str]) -> Path:
    """Write a class of students with the same sound write-up to *path*; return the path."""
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(HEADINGS)
        for code in codes:
            for item, entry, unit in WRITE_UP:
                writer.writerow((code, "1", "specific-heat-block", item, "", entry, unit))
    return path
