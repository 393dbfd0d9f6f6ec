"""The marks of a set as a CSV file for the mark book: a line a student, a column a criterion."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from pathlib import Path

from marking.findings import MarkedSet
from reports.tables.findings_csv import csv_cell
from reports.wording import ruling_note, wording


def write_mark_book_csv(path: Path, marked_sets: Sequence[MarkedSet]) -> None:
    """Write the marks; a mark that waits is empty, and so is all of a student who handed nothing in.

    Args:
        path: The file to write.
        marked_sets: One for each practical.
    """
    words = wording("workbook")["columns"]
    codes = list(dict.fromkeys(criterion.code for one in marked_sets for criterion in one.rubric.criteria))
    head = [words["student"], words["name"], words["practical"], *codes, words["awarded"], words["pending"]]
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        ruled = any(script.moderated for one in marked_sets for script in one.scripts)
        writer.writerow([*head, words["out_of"], words["mark_code"], *([words["ruling"]] if ruled else [])])
        for one in marked_sets:
            for script in one.scripts:
                student = script.write_up.student
                marks = {mark.criterion.code: mark.marks for mark in script.criteria}
                shown = ["" if marks.get(code) is None else str(marks[code]) for code in codes]
                totals = [str(script.total), str(script.pending), str(script.out_of)] if script.criteria else [""] * 3
                row = [student.code, student.name, one.rubric.id, *shown, *totals, " ".join(student.codes)]
                if ruled:
                    row.append(ruling_note(script.moderated) if script.moderated else "")
                writer.writerow([csv_cell(cell) for cell in row])
