"""Rows of tidy CSV in, findings out: the main job as the command does it, for checks against published values."""

from __future__ import annotations

import csv
import tempfile
import tomllib
from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any

from marking.checking.marking_set import mark_set
from marking.findings import Finding, Script
from marking.intake.read_inputs import read_inputs
from rubrics.load import load_catalogue, read_rubric
from rubrics.model.practical import CheckKind, Rubric

HERE = Path(__file__).parent
DATA = HERE / "data"
HEADINGS = ("student", "bench", "practical", "item", "row", "entry", "unit")
STUDENT = "S001"

Row = Sequence[str]
"""(item, row, entry, unit), as in tidy CSV."""


@cache
def rubric_named(name: str) -> Rubric:
    """Return one of the small rubrics of this folder, or else a practical of the catalogue."""
    file = HERE / "rubrics" / f"{name}.toml"
    return read_rubric(file) if file.is_file() else load_catalogue()[name]


def marked(name: str, rows: Iterable[Row]) -> Script:
    """Return one student's script: *rows* written to a file, read by intake and marked."""
    rubric = rubric_named(name)
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "class.csv"
        with file.open("w", encoding="utf-8", newline="") as stream:
            writer = csv.writer(stream)
            writer.writerow(HEADINGS)
            writer.writerows([STUDENT, "", rubric.id, item, row, entry, unit] for item, row, entry, unit in rows)
        (class_set,) = read_inputs([file], {rubric.id: rubric})
    (script,) = mark_set(rubric, class_set).scripts
    return script


def value_finding(name: str, rows: Iterable[Row], answer: str) -> Finding:
    """Return the finding about the value of one answer."""
    rubric = rubric_named(name)
    codes = {one.code for one in rubric.criteria if one.check is CheckKind.VALUE and answer in one.items}
    (finding,) = (one for one in marked(name, rows).findings if one.criterion in codes and one.item == answer)
    return finding


def split(lines: Iterable[str]) -> list[Row]:
    """Return lines ``item,row,entry,unit`` as rows."""
    return list(csv.reader(lines))


def column(item: str, entries: Iterable[str], unit: str = "") -> list[Row]:
    """Return a column of readings as rows, numbered from 1."""
    return [(item, str(number), entry, unit) for number, entry in enumerate(entries, 1)]


def table(file: str) -> list[Mapping[str, str]]:
    """Return a data file's lines by heading; the source stands in its first lines, behind '#'."""
    with (DATA / file).open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(line for line in stream if not line.startswith("#")))


def examples(file: str) -> list[dict[str, Any]]:
    """Return the examples of a data file in TOML."""
    with (DATA / file).open("rb") as stream:
        found: list[dict[str, Any]] = tomllib.load(stream)["example"]
    return found
