"""Results, moderation and decisions as pandas frames, for a head of department who knows a notebook.

    from marking import frames
    marks = frames.marks({"10A": "results/10A", "10B": "results/10B"})
    marks.groupby(["set", "criterion"]).facility.mean().unstack()

Each function takes what the program has written and gives one frame; nothing is worked out that is not in the files.
Texts stay texts: '0.50' is not turned into 0.5, and 'NA' is not turned into nothing. pandas is loaded here alone.

| function | one row is | columns beside those of the file |
| --- | --- | --- |
| `findings` | a thing that was checked | set |
| `marks` | a student's mark for a criterion | set, facility (marks over out_of, empty while a teacher decides) |
| `totals` | a student and a practical | set, marks, pending, out_of |
| `notes` | what only the whole class shows | set |
| `compared` | a criterion of a script, first and second mark | set, difference |
| `final_marks` | a student after moderation | set, change |
| `decisions` | a line of the record, as exported | none |
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path

import pandas as pd

from rubrics.faults import InputError

Folders = str | Path | Mapping[str, str | Path]
"""One folder of results, or name (of a class, a year) to folder; the names go into the column 'set'."""

_WHOLE = ("marks", "out_of", "row", "first_total", "moderated_total", "first", "second", "stage", "eye", "drawn")
_REAL = ("expected", "confidence", "factor", "chance")
_FORMULA_STARTS = "=+-@＝＋－＠"
"""Before these an apostrophe is not the student's: it keeps spreadsheets from taking the text for a formula."""


def findings(results: Folders) -> pd.DataFrame:
    """Return ``findings.csv`` of one or more folders of ``writeups mark``.

    Raises:
        InputError: A folder holds no such file.
    """
    return _read(results, "findings.csv", "name folders that writeups mark made")


def notes(results: Folders) -> pd.DataFrame:
    """Return ``class-notes.csv``: for teacher and technician only, and never a student's business.

    Raises:
        InputError: A folder holds no such file.
    """
    return _read(results, "class-notes.csv", "name folders that writeups mark made")


def marks(results: Folders) -> pd.DataFrame:
    """Return one row for each mark: set, student, practical, criterion, marks (empty: undecided), out_of, facility.

    Raises:
        InputError: A folder holds no findings.
    """
    # A criterion is counted on one of its lines; the others have nought to be had.
    held = findings(results)
    held = held[held["out_of"] > 0]
    held = held[["set", "student", "practical", "criterion", "marks", "out_of"]].reset_index(drop=True)
    return held.assign(facility=held["marks"].astype("Float64") / held["out_of"].astype("Float64"))


def totals(results: Folders) -> pd.DataFrame:
    """Return one row for each student and practical: marks so far, marks that wait for a teacher, marks to be had.

    Raises:
        InputError: A folder holds no findings.
    """
    held = marks(results)
    held = held.assign(pending=held["out_of"].where(held["marks"].isna(), 0))
    by = held.groupby(["set", "student", "practical"], sort=False, as_index=False)
    return by[["marks", "pending", "out_of"]].sum()


def compared(moderations: Folders) -> pd.DataFrame:
    """Return ``compared.csv`` of one or more folders of ``writeups moderate``, with first less second.

    Raises:
        InputError: A folder holds no such file.
    """
    held = _read(moderations, "compared.csv", "name folders that writeups moderate made")
    return held.assign(difference=held["first"] - held["second"])


def final_marks(moderations: Folders) -> pd.DataFrame:
    """Return ``final-marks.csv`` of one or more folders of ``writeups moderate``, with what moderation changed.

    Raises:
        InputError: A folder holds no such file.
    """
    held = _read(moderations, "final-marks.csv", "name folders that writeups moderate made")
    return held.assign(change=held["moderated_total"] - held["first_total"])


def decisions(export: str | Path) -> pd.DataFrame:
    """Return the decisions of a record, from what ``writeups record export`` wrote: one row a line, in their order.

    What was decided stands as JSON in the column 'becomes'; particulars that were erased are empty.

    Raises:
        InputError: The file is no export of a record.
    """
    path = Path(export)
    try:
        lines = [json.loads(text) for text in path.read_text(encoding="utf-8").splitlines() if text.strip()]
        rows = [line["line"] for line in lines if "line" in line]
        flat = [{**{k: v for k, v in row.items() if k != "particulars"}, **(row["particulars"] or {})} for row in rows]
    except (OSError, ValueError, KeyError, TypeError, AttributeError) as error:
        raise InputError(path.name, "this is no export of a record", "make one with writeups record export") from error
    frame = pd.DataFrame(flat)
    return frame.assign(time=pd.to_datetime(frame["time"], utc=True)) if len(frame) else frame


def _read(folders: Folders, name: str, mend: str) -> pd.DataFrame:
    named = folders if isinstance(folders, Mapping) else {Path(folders).name: folders}
    return pd.concat([_one(label, Path(folder), name, mend) for label, folder in named.items()], ignore_index=True)


def _one(label: str, folder: Path, name: str, mend: str) -> pd.DataFrame:
    try:
        frame = pd.read_csv(folder / name, dtype=str, keep_default_na=False, encoding="utf-8")
    except (OSError, ValueError) as error:
        raise InputError(str(folder), f"there is no {name} here that can be read", mend) from error
    for column in frame.columns:
        if column in _WHOLE:
            frame[column] = pd.to_numeric(frame[column].replace("", None)).astype("Int64")
        elif column in _REAL:
            frame[column] = pd.to_numeric(frame[column].replace("", None)).astype("Float64")
        else:
            frame[column] = frame[column].map(_plain)
    frame.insert(0, "set", label)
    return frame


def _plain(text: str) -> str:
    return text[1:] if text[:1] == "'" and text[1:].lstrip(" ")[:1] in tuple(_FORMULA_STARTS) else text
