"""Workbook and CSV files: marks and findings in, rows out."""

from reports.tables.department_csv import write_class_marks_csv, write_marked_again_csv
from reports.tables.findings_csv import (
    FINDING_COLUMNS,
    csv_cell,
    write_changes_csv,
    write_class_notes_csv,
    write_findings_csv,
)
from reports.tables.findings_of_many import FindingLines
from reports.tables.mark_book_csv import write_mark_book_csv
from reports.tables.marks_of_many import (
    MARK_COLUMNS,
    MOST_ROWS,
    REMARK_COLUMNS,
    CriterionTally,
    ManyMarks,
    MarkLines,
    codes_of,
    heading,
    kept_ticks,
    remarks_text,
)
from reports.tables.marks_workbook import write_marks_workbook

__all__ = [
    "FINDING_COLUMNS",
    "MARK_COLUMNS",
    "MOST_ROWS",
    "REMARK_COLUMNS",
    "CriterionTally",
    "FindingLines",
    "ManyMarks",
    "MarkLines",
    "codes_of",
    "csv_cell",
    "heading",
    "kept_ticks",
    "remarks_text",
    "write_changes_csv",
    "write_class_marks_csv",
    "write_class_notes_csv",
    "write_findings_csv",
    "write_mark_book_csv",
    "write_marked_again_csv",
    "write_marks_workbook",
]
