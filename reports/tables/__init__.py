"""Workbook and CSV files: marks and findings in, rows out."""

from reports.tables.findings_csv import write_changes_csv, write_class_notes_csv, write_findings_csv
from reports.tables.mark_book_csv import write_mark_book_csv
from reports.tables.marks_workbook import write_marks_workbook

__all__ = [
    "write_changes_csv",
    "write_class_notes_csv",
    "write_findings_csv",
    "write_mark_book_csv",
    "write_marks_workbook",
]
