"""The worked checks of the practicals: readings, right answers, and slips with what may be said of them."""

from __future__ import annotations

import csv
import tempfile
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from marking.checking.marking_set import mark_set
from marking.findings import Cause, Finding, MarkedSet, Outcome, Script
from marking.intake.read_inputs import read_inputs
from rubrics.load import load_catalogue
from rubrics.model.practical import CheckKind, Rubric

_HEADINGS = ("student", "bench", "practical", "item", "row", "entry", "unit")
_EMPTY = "_"
_JUDGED = (CheckKind.VALUE, CheckKind.METHOD)
"""Checks of what an answer comes to; a slip is looked up under the first of these that its item has."""
COMPUTED = (
    *_JUDGED,
    CheckKind.READING,
    CheckKind.PLACES,
    CheckKind.ROWS,
    CheckKind.UNIT,
    CheckKind.FIGURES,
    CheckKind.CHOICE,
)
"""Checks that the program settles; the others wait for a teacher."""

Boxes = dict[tuple[str, int | None], tuple[str, str]]
"""(item, row from 1; None for a single item) to (entry, unit)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """A worked check in which one box was filled in another way."""

    name: str
    item: str
    rows: tuple[int | None, ...]
    """Rows in which it stands; (None,) for a single item."""
    boxes: Boxes
    outcome: Outcome
    causes: frozenset[Cause]
    """What may be named as the likeliest."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Worked:
    """A write-up without a fault, and what becomes of it with one slip each."""

    name: str
    practical: str
    boxes: Boxes
    slips: tuple[Slip, ...]

    @property
    def rubric(self) -> Rubric:
        """Return the practical."""
        return load_catalogue()[self.practical]


@cache
def worked_checks() -> Mapping[str, Worked]:
    """Return every worked check of ``worked.toml`` by its name."""
    text = Path(__file__).with_name("worked.toml").read_text(encoding="utf-8")
    checks = [_worked(table) for table in tomllib.loads(text)["worked"]]
    return {one.name: one for one in checks}


def _worked(table: Mapping[str, Any]) -> Worked:
    boxes = _boxes(table)
    return Worked(
        name=f"{table['practical']} {table.get('case', '')}".strip(),
        practical=table["practical"],
        boxes=boxes,
        slips=tuple(_slip(slip, boxes) for slip in table.get("slips", ())),
    )


def _boxes(table: Mapping[str, Any]) -> Boxes:
    boxes: Boxes = {(item, None): (entry, unit) for item, (entry, unit) in table.get("singles", {}).items()}
    for item, (entries, unit) in table.get("columns", {}).items():
        boxes |= {(item, row): (entry, unit) for row, entry in enumerate(entries.split(), 1) if entry != _EMPTY}
    return boxes


def _slip(table: Mapping[str, Any], worked: Boxes) -> Slip:
    """Return the worked check with the boxes of *table* in place of its own, and those of ``without`` left empty."""
    item = table["item"]
    left_out = set(table.get("without", ()))
    boxes = {box: written for box, written in worked.items() if box[0] not in left_out}
    new = _written(table, [box for box in worked if box[0] == item], worked)
    return Slip(
        name=table["name"],
        item=item,
        rows=tuple(row for _, row in new) or tuple(row for name, row in worked if name == item),
        boxes=boxes | _boxes(table.get("with", {})) | new,
        outcome=Outcome(table.get("outcome", "withheld")),
        causes=frozenset(Cause(word) for word in table.get("causes", ("none",))),
    )


def _written(table: Mapping[str, Any], own: list[tuple[str, int | None]], worked: Boxes) -> Boxes:
    """Return what the slip writes: one box, a whole column, or nothing where only other boxes are left empty."""
    if "entry" not in table:
        return {}
    unit = table.get("unit", worked[own[0]][1])
    if "row" in table or own[0][1] is None:
        return {(table["item"], table.get("row")): (table["entry"], unit)}
    return {
        (table["item"], row): (entry, unit) for row, entry in enumerate(table["entry"].split(), 1) if entry != _EMPTY
    }


@cache
def marked(name: str) -> tuple[Script, Mapping[str, Script]]:
    """Return the script of a worked check, and those with a slip by the slip's name: one class, read and marked."""
    worked = worked_checks()[name]
    class_set = _mark(worked)
    faultless, *others = class_set.scripts
    return faultless, {slip.name: script for slip, script in zip(worked.slips, others, strict=True)}


def _mark(worked: Worked) -> MarkedSet:
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "class.csv"
        with file.open("w", encoding="utf-8", newline="") as opened:
            writer = csv.writer(opened, lineterminator="\n")
            writer.writerow(_HEADINGS)
            for number, boxes in enumerate([worked.boxes, *(slip.boxes for slip in worked.slips)]):
                writer.writerows(_lines(f"S{number:03}", worked.practical, boxes))
        (class_set,) = read_inputs([file], load_catalogue())
    return mark_set(worked.rubric, class_set)


def _lines(student: str, practical: str, boxes: Boxes) -> Iterator[tuple[str, ...]]:
    for (item, row), (entry, unit) in boxes.items():
        yield (student, "", practical, item, "" if row is None else str(row), entry, unit)


def finding_of(script: Script, rubric: Rubric, item: str, row: int | None) -> Finding:
    """Return what was found about one answer, under the first kind of check that looks at it."""
    checks = {criterion.code: criterion.check for criterion in rubric.criteria}
    for kind in _JUDGED:
        for finding in script.findings:
            if checks.get(finding.criterion) is kind and finding.item == item and finding.row in (row, None):
                return finding
    raise AssertionError(f"nothing was found about {item}, row {row}")
