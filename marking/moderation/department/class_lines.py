"""Which class was marked by whom: the list of a department, a CSV file with a line a class.

    marker,class,set,results,sample
    T. Okoro,10A,10A.csv,results/10A,

``set`` is what ``writeups mark`` was given, ``results`` (may be empty) the folder that it made, from the list's own
folder, with slashes of either kind; ``sample`` says ``all`` where every script of the class is wanted.
"""

from __future__ import annotations

from pathlib import Path

from msgspec import Struct

from marking.intake import path_here
from marking.intake.files import open_container, open_csv, records
from rubrics.faults import InputError

_NEEDED = ("marker", "class", "set")


class ClassLine(Struct, frozen=True, kw_only=True):
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
    found = list(records(open_csv(open_container(path_here(path), path.name))))
    heads = [head.strip() for head in found[0][1]] if found else []
    rows = [(number, dict(zip(heads, map(str.strip, fields), strict=False))) for number, fields in found[1:]]
    if missing := [name for name in _NEEDED if name not in heads]:
        mend = "give it the columns marker,class,set and, where there is one, results"
        raise InputError(path.name, f"the column {missing[0]} is not there", mend)
    lines = tuple(_line(path, number, row) for number, row in rows if any(row.values()))
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
    given = _from(path.parent, row["set"])
    if not given.exists():
        raise InputError(path.name, f"line {number}: there is no {row['set']}", "give its path from the list's folder")
    results = _from(path.parent, row["results"]) if row.get("results") else None
    return ClassLine(
        marker=row["marker"],
        class_name=row["class"],
        set=given,
        results=results,
        is_whole=row.get("sample", "").casefold() == "all",
    )


def _from(folder: Path, said: str) -> Path:
    """Return what the list says, from its own folder; a path with a drive stands for itself."""
    inside = path_here(folder / said)
    alone = path_here(Path(said))
    return alone if not inside.exists() and alone.is_absolute() else inside
