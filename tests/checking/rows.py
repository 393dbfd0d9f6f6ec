"""A few lines of tidy CSV in, short rows out: how every check is tried by the same road as a class's file."""

from __future__ import annotations

import csv
import io
import tempfile
from collections.abc import Mapping
from functools import cache
from pathlib import Path

from marking.checking.marking_set import mark_set
from marking.decided import ticked
from marking.findings import Finding, MarkedSet, Script
from marking.intake.read_inputs import read_inputs
from marking.write_up import ClassSet
from rubrics.load import load_catalogue, read_rubric
from rubrics.model.practical import Rubric

HEADINGS = ("student", "bench", "practical", "item", "row", "entry", "unit")

Row = tuple[str, str, str, str]
"""(item, with its row where it has one; criterion; outcome; cause)"""


@cache
def rubric_of(text: str) -> Rubric:
    """Return the rubric with the TOML *text*."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "own.toml"
        file.write_text(text, encoding="utf-8")
        return read_rubric(file)


def read_class(practical: str | Rubric, write_ups: Mapping[str, str]) -> tuple[Rubric, ClassSet]:
    """Return a rubric and a class of it as intake reads it.

    Args:
        practical: Id of a practical of the catalogue, or a rubric.
        write_ups: Student code to lines ``item,row,entry,unit``.
    """
    rubrics = load_catalogue() if isinstance(practical, str) else {practical.id: practical}
    rubric = rubrics[practical] if isinstance(practical, str) else practical
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(HEADINGS)
    for student, lines in write_ups.items():
        for item, row, entry, unit in split(lines):
            writer.writerow([student, "", rubric.id, item, row, entry, unit])
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "class.csv"
        file.write_text(text.getvalue(), encoding="utf-8")
        (class_set,) = read_inputs([file], rubrics)
    return rubric, class_set


def mark_class(practical: str | Rubric, write_ups: Mapping[str, str]) -> MarkedSet:
    """Return a class, read and marked, its ticks decided; see ``read_class``."""
    return ticked(mark_set(*read_class(practical, write_ups)))


def mark(practical: str | Rubric, lines: str) -> Script:
    """Return one student's script, read and marked."""
    (script,) = mark_class(practical, {"S001": lines}).scripts
    return script


def short(finding: Finding) -> Row:
    """Return a finding as a short row."""
    item = finding.item if finding.row is None else f"{finding.item} {finding.row}"
    return item, finding.criterion, finding.outcome.value, finding.cause.value


def rows(practical: str | Rubric, lines: str, *criteria: str) -> list[Row]:
    """Return the findings of some criteria (all, where none is named) as short rows."""
    return [short(one) for one in found(practical, lines, *criteria)]


def found(practical: str | Rubric, lines: str, *criteria: str) -> list[Finding]:
    """Return the findings of some criteria (all, where none is named)."""
    return [one for one in mark(practical, lines).findings if not criteria or one.criterion in criteria]


def changed(lines: str, **entries: str) -> str:
    """Return *lines* with other entries: ``c="950"``, ``c="0.95|kJ/(kg °C)"`` with its unit, ``c=""`` for no such line.

    A row of a table is named with an underscore: ``R_3="7.5"``.
    """
    kept = []
    for item, row, entry, unit in split(lines):
        new = entries.pop(f"{item}_{row}" if row else item, f"{entry}|{unit}")
        text, bar, other = new.partition("|")
        if new:
            kept.append(line(item, row, text, other if bar else unit))
    assert not entries, f"no such line: {', '.join(entries)}"
    return "\n".join(kept)


def split(lines: str) -> list[list[str]]:
    """Return the cells of some lines."""
    return list(csv.reader(one.strip() for one in lines.split("\n") if one.strip()))


def line(item: str, row: str, entry: str, unit: str) -> str:
    """Return one line, quoted where it has to be."""
    text = io.StringIO()
    csv.writer(text, lineterminator="").writerow([item, row, entry, unit])
    return text.getvalue()


def in_table(**columns: str) -> str:
    """Return lines of a table: ``in_table(V="1.00 2.00 3.00 V")``, entries by spaces, the last word the unit."""
    lines = []
    for item, text in columns.items():
        *entries, unit = text.split(" ")
        unit = "" if unit == "-" else unit
        lines += [line(item, str(row), entry, unit) for row, entry in enumerate(entries, 1) if entry != "_"]
    return "\n".join(lines)


def marks(script: Script) -> dict[str, int | None]:
    """Return the marks of each criterion, None where a teacher decides."""
    return {mark.criterion.code: mark.marks for mark in script.criteria}


HEAT = """
    m,,0.998,kg
    T_start,,20.5,°C
    T_end,,41.5,°C
    E,,20400,J
    dT,,21.0,°C
    c,,973,J/(kg °C)
"""
"""A block warmed: 20400 ÷ (0.998 × 21.0) = 973.4."""

CUBOID = """
    l,,4.05,cm
    w,,3.02,cm
    h,,1.98,cm
    m,,65.4,g
    V,,24.2,cm³
    rho,,2.70,g/cm³
    rho_si,,2700,kg/m³
"""
"""A block of aluminium: 4.05 × 3.02 × 1.98 = 24.22; 65.4 ÷ 24.22 = 2.700."""

WIRE = in_table(
    L="0.200 0.300 0.400 0.500 0.600 0.700 0.800 m",
    V="0.45 0.66 0.88 1.08 1.32 1.51 1.74 V",
    I="0.50 0.50 0.50 0.50 0.50 0.50 0.50 A",
    R="0.90 1.32 1.76 2.16 2.64 3.02 3.48 Ω",
)
"""A wire of about 4.3 Ω/m."""
