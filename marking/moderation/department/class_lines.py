"""Which class was marked by whom: the list of a department, a CSV file with a line a class.

    marker,class,set,results,sample
    T. Okoro,10A,10A.csv,results/10A,

``set`` is what ``writeups mark`` was given, ``results`` (may be empty) the folder that it made, from the list's own
folder; ``sample`` says ``all`` where every script of the class is wanted.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from pathlib import Path

from rubrics.faults import InputError

_NEEDED = ("marker", "class", "set")


@dataclass(frozen=True, slots=True, kw_only=True)
class ClassLine:
    """One class of the list."""

    marker: str
    class_name: str
    set: Path
    results: Path | None
    is_whole: bool


def read_department(path: Path, *, fewest_markers: int = 2) -> tuple[ClassLine, ...]:
    """Return the classes of a department, in the order of the list.

    Args:
        path: The list.
        fewest_markers: Second marking takes two; to mark takes one.

    Raises:
        InputError: The list cannot be read, lacks a column, names a class twice, or has too few markers.
    """
    try:
        with path.open(encoding="utf-8-sig", newline="") as file:
            reader = csv.DictReader(file)
            heads = [str(head).strip() for head in reader.fieldnames or ()]
            rows = [{str(key).strip(): (value or "").strip() for key, value in row.items() if key} for row in reader]
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise InputError(path.name, "the list of the department cannot be read", "save it as CSV, UTF-8") from error
    if missing := [name for name in _NEEDED if name not in heads]:
        mend = "give it the columns marker,class,set and, where there is one, results"
        raise InputError(path.name, f"the column {missing[0]} is not there", mend)
    lines = tuple(_line(path, number, row) for number, row in enumerate(rows, start=2) if any(row.values()))
    names = [one.class_name for one in lines]
    if twice := next((name for name in names if names.count(name) > 1), None):
        raise InputError(path.name, f"class {twice} stands there twice", "leave one line for each class")
    if not lines:
        raise InputError(path.name, "no class stands in the list", "write a line for each class")
    if len({one.marker for one in lines}) < fewest_markers:
        raise InputError(path.name, "fewer than two people mark", "second marking takes another marker")
    return lines


def _line(path: Path, number: int, row: dict[str, str]) -> ClassLine:
    if empty := [name for name in _NEEDED if not row.get(name)]:
        raise InputError(path.name, f"line {number} has no {empty[0]}", "fill it in")
    given = path.parent / row["set"]
    if not given.exists():
        raise InputError(path.name, f"line {number}: there is no {row['set']}", "give its path from the list's folder")
    results = path.parent / row["results"] if row.get("results") else None
    return ClassLine(
        marker=row["marker"],
        class_name=row["class"],
        set=given,
        results=results,
        is_whole=row.get("sample", "").casefold() == "all",
    )
