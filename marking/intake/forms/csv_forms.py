"""A CSV file, tidy or with a row a student, into the piles."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice

from marking.collector import collector_resting
from marking.intake.entries import Batch
from marking.intake.files import Container, CsvFile, Record, csv_grid, open_csv, records
from marking.intake.forms.tidy import TidySheet, tidy_columns
from marking.intake.forms.wide_forms import read_wide_sheets
from marking.intake.grids import SEARCHED_ROWS, fold
from marking.intake.remarks import Notebook, quote
from marking.write_up import Weight
from rubrics.faults import InputError, unknown_name

NO_STUDENTS = "there are no students in this file"
FILL_IN = "fill in at least one row, and run again"


def read_csv(container: Container, batch: Batch, general: Notebook) -> set[str]:
    """Read a CSV file into the piles of *batch* and return the practicals that it is about.

    Raises:
        InputError: It cannot be used; nothing of it is in the piles then.
    """
    file = open_csv(container)
    rows = records(file)
    top = list(islice(rows, SEARCHED_ROWS))
    for position, (_, fields) in enumerate(top):
        columns = tidy_columns(fields, batch.mapped)
        if columns is not None:
            return _read_tidy(file, columns, _rest(top[position + 1 :], rows), batch, general)
    grid = csv_grid(file, _rest(top, rows))
    met = read_wide_sheets([grid], container.name, batch)
    _tell_note(file, batch, met, general)
    return met


def _rest(top: list[Record], rows: Iterator[Record]) -> Iterator[Record]:
    yield from top
    yield from rows


def _read_tidy(
    file: CsvFile, columns: dict[str, int], lines: Iterator[Record], batch: Batch, general: Notebook
) -> set[str]:
    sheet = TidySheet(
        file=file.name,
        sheet="",
        columns=columns,
        batch=batch,
        notebook=general,
        decimal_habit=file.decimal_habit,
    )
    with collector_resting():
        sheet.read(lines)
    if not sheet.met:
        unknown = [written for kind, written in sheet.unknown if kind == "practical"]
        if unknown:
            problem = f"{quote(unknown[0])} is no practical known here"
            raise unknown_name(file.name, problem, "-".join(fold(unknown[0]).split()), batch.rubrics)
        raise InputError(file.name, NO_STUDENTS, FILL_IN)
    _tell_note(file, batch, sheet.met, general)
    return sheet.met


def _tell_note(file: CsvFile, batch: Batch, met: set[str], general: Notebook) -> None:
    if not file.note:
        return
    if file.is_of_comma_country:
        for practical in met:
            batch.gathered(practical).notebook.keep_quiet_about_all("decimal comma", file.name)
    notebook = batch.gathered(next(iter(met))).notebook if len(met) == 1 else general
    notebook.tell(Weight.NOTE, f"{file.note}; read accordingly", file=file.name)
