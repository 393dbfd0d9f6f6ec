"""Are the results of a class those of its set as it is now? Marks that were given back are the marks to moderate."""

from __future__ import annotations

import csv
import json
from collections import Counter
from collections.abc import Mapping
from pathlib import Path

from marking.findings import MarkedSet
from rubrics.faults import InputError

_AGAIN = "mark the class again with writeups mark, or mend the list"


def check_results(folder: Path, marked: MarkedSet) -> None:
    """See that the folder of results *folder* is what *marked* comes to.

    Raises:
        InputError: Another file was read, another edition used, or a student's marks are others.
    """
    try:
        account = json.loads((folder / "run.json").read_text(encoding="utf-8"))
        hashes = {one["sha256"] for one in account["read"]}
        rubrics = {one["id"]: one["sha256"] for one in account["rubrics"]}
        totals = _totals(folder / "findings.csv", marked.rubric.id)
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise InputError(str(folder), "these are no results of writeups mark", _AGAIN) from error
    changed = [source.name for source in marked.sources if source.sha256 not in hashes]
    if changed:
        raise InputError(str(folder), f"{changed[0]} was changed since these results were made", _AGAIN)
    if rubrics.get(marked.rubric.id) != marked.rubric.sha256:
        raise InputError(str(folder), f"these results are of another edition of {marked.rubric.id}", _AGAIN)
    for script in marked.scripts:
        code = script.write_up.student.code
        if script.criteria and totals[code] != script.awarded:
            problem = f"{code} has {totals[code]} marks there, and {script.awarded} by the set and its decisions now"
            raise InputError(str(folder), problem, _AGAIN)


def marks_before(folder: Path, practical: str, criterion: str) -> Mapping[str, int]:
    """Return what one criterion came to for each student in a folder of results; whose mark waits is not there.

    Raises:
        InputError: These are no results.
    """
    try:
        return _totals(folder / "findings.csv", practical, criterion)
    except (OSError, ValueError, KeyError) as error:
        raise InputError(str(folder), "these are no results of writeups mark", _AGAIN) from error


def _totals(path: Path, practical: str, criterion: str = "") -> Counter[str]:
    found: Counter[str] = Counter()
    with path.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            if row["practical"] == practical and row["marks"] and criterion in ("", row["criterion"]):
                # A code that a spreadsheet would take for a formula stands behind an apostrophe.
                found[row["student"].removeprefix("'")] += int(row["marks"])
    return found
