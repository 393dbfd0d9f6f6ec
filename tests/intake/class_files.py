"""A few lines in, short rows out: how the reader is tried without a file by hand each time."""

from __future__ import annotations

import csv
import io
import tempfile
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from marking.intake.read_inputs import read_inputs
from marking.write_up import ClassSet, Entry, Remark, WriteUp
from rubrics.load import load_catalogue

TIDY = ("student", "bench", "practical", "item", "row", "entry", "unit")
BLOCK = "specific-heat-block"
WIRE = "wire-resistance"

Row = tuple[str, ...]


def csv_text(lines: Iterable[Sequence[str]], separator: str = ",") -> str:
    """Return *lines* as the text of a CSV file."""
    text = io.StringIO()
    csv.writer(text, delimiter=separator, lineterminator="\r\n").writerows(lines)
    return text.getvalue()


def read_files(files: Mapping[str, str | bytes], inputs: Sequence[str] = (), **options: str) -> tuple[ClassSet, ...]:
    """Return the sets in files that are written to a folder first.

    Args:
        files: Name, with folders where wanted, to content.
        inputs: What to read; all files by default, "." for the folder itself.
        options: practical, and names of files for columns and roster.
    """
    with tempfile.TemporaryDirectory() as top:
        folder = Path(top)
        for name, content in files.items():
            path = folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return read_inputs(
            [folder / name for name in (inputs or files)],
            load_catalogue(),
            practical=options.get("practical"),
            columns=folder / options["columns"] if "columns" in options else None,
            roster=folder / options["roster"] if "roster" in options else None,
        )


def read_tidy(lines: Iterable[Sequence[str]], practical: str = BLOCK) -> ClassSet:
    """Return the set of tidy lines (student, item, row, entry, unit), no bench."""
    full = [(student, "", practical, item, row, entry, unit) for student, item, row, entry, unit in lines]
    (found,) = read_files({"class.csv": csv_text([TIDY, *full])})
    return found


def read_wide(lines: Sequence[Sequence[str]], practical: str = BLOCK) -> ClassSet:
    """Return the set of a CSV sheet whose first line names the columns."""
    (found,) = read_files({"class.csv": csv_text(lines)}, practical=practical)
    return found


def work_of(found: ClassSet, code: str) -> WriteUp:
    """Return one student's write-up."""
    (work,) = [work for work in found.write_ups if work.student.code == code]
    return work


def entry_of(found: ClassSet, code: str, item: str, row: int | None = None) -> Entry:
    """Return one entry."""
    work = work_of(found, code)
    return work.singles[item] if row is None else work.columns[item][row]


def codes(found: ClassSet) -> list[str]:
    """Return the students' codes in order."""
    return [work.student.code for work in found.write_ups]


def told(found: ClassSet) -> list[tuple[str, str]]:
    """Return (weight, message) of every remark."""
    return [(remark.weight.value, remark.message) for remark in found.remarks]


def remarks_on(found: ClassSet, code: str) -> list[Remark]:
    """Return the remarks on one student."""
    return [remark for remark in found.remarks if remark.student == code]


def unit_of(entry: Entry) -> str:
    """Return the symbol of an entry's unit; empty where it has none."""
    return entry.unit.unit.symbol if entry.unit is not None and entry.unit.unit is not None else ""
