"""From the bytes of a file to cells with the text, number and format that stood in them. Knows no practical."""

from marking.intake.files.containers import SPREADSHEET_SUFFIXES, Container, Kind, open_container
from marking.intake.files.csv_cells import (
    CsvFile,
    Record,
    check_quotes,
    csv_grid,
    open_csv,
    open_quote,
    records,
    separator_of,
)
from marking.intake.files.old_formats import read_old_workbook
from marking.intake.files.workbook_cells import Book, read_workbook

__all__ = [
    "SPREADSHEET_SUFFIXES",
    "Book",
    "Container",
    "CsvFile",
    "Kind",
    "Record",
    "check_quotes",
    "csv_grid",
    "open_container",
    "open_csv",
    "open_quote",
    "read_old_workbook",
    "read_workbook",
    "records",
    "separator_of",
]
