"""A workbook into the piles: one of ours, a tidy sheet, or sheets with a row a student."""

from __future__ import annotations

from collections.abc import Iterator

from marking.intake.entries import Batch, Gathered
from marking.intake.files import Book, Container, Kind, read_old_workbook, read_workbook
from marking.intake.forms import own_layout as layout
from marking.intake.forms.own_workbook import Origin, origin_of, read_results_list, read_student_table
from marking.intake.forms.student_sheets import read_student_sheets
from marking.intake.forms.tidy import Line, TidySheet, tidy_columns
from marking.intake.forms.trial_sheet import read_trial_sheet
from marking.intake.forms.wide_forms import fits, read_wide_sheets
from marking.intake.grids import SEARCHED_ROWS, Grid, cell_name
from marking.intake.people import says_graph_is_marked
from marking.intake.remarks import Notebook, quote
from marking.write_up import Place, Weight
from rubrics.faults import InputError


def read_workbook_input(container: Container, batch: Batch, general: Notebook) -> set[str]:
    """Read a workbook into the piles of *batch* and return the practicals that it is about.

    Raises:
        InputError: It cannot be used; nothing of it is in the piles then.
    """
    book = read_old_workbook(container) if container.kind is Kind.OLD_WORKBOOK else read_workbook(container)
    origin = origin_of(book.visible)
    if origin is not None:
        met = _read_own(book, origin, container.name, batch)
    else:
        met = _read_tidy_sheets(book, container.name, batch, general) or _read_wide(book, container.name, batch)
    notebook = batch.gathered(min(met)).notebook
    if book.has_macros:
        notebook.tell(Weight.NOTE, "the workbook holds macros; they were not run", file=container.name)
    if origin is None:
        _tell_hidden_sheets(book, min(met), batch, notebook, container.name)
    return met


def _read_own(book: Book, origin: Origin, file: str, batch: Batch) -> set[str]:
    if origin.practical not in batch.rubrics:
        known = ", ".join(batch.rubrics)
        problem = f'it is for the practical "{origin.practical}", which is not known here'
        raise InputError(file, problem, f"practicals known: {known}")
    if origin.is_for_one:
        _read_for_one(book, origin, file, batch)
    else:
        read_wide_sheets(_results(book), file, batch, practical=origin.practical)
    for grid in book.visible:
        if grid.sheet == layout.TRIALS and batch.trials is not None:
            read_trial_sheet(grid, origin.practical, batch.trials)
    gathered = batch.gathered(origin.practical)
    if origin.graph:
        _read_graph_setting(origin.graph, file, gathered)
    edition = str(gathered.vocabulary.rubric.edition)
    if origin.edition != edition:
        said = f"made for edition {quote(origin.edition)} of {origin.practical}; read as edition {edition}"
        gathered.notebook.tell(Weight.NOTE, said, file=file)
    return {origin.practical}


def _read_graph_setting(words: str, file: str, gathered: Gathered) -> None:
    is_marked = says_graph_is_marked(words)
    place = Place(file=file, sheet=layout.READ_ME, cell=cell_name(*layout.GRAPH))
    if is_marked is None:
        said = f"the graph on paper is {quote(words)}: not understood, so it is marked"
        gathered.notebook.tell(Weight.QUERY, said, f"Write {' or '.join(layout.GRAPH_CHOICES)}", place=place)
    elif not is_marked:
        gathered.notebook.tell(Weight.NOTE, "the graph on paper is not marked, and the total is less", place=place)
    gathered.graph_settings.append(is_marked is not False)


def _results(book: Book) -> list[Grid]:
    return [grid for grid in book.visible if grid.sheet not in (layout.READ_ME, layout.TRIALS)]


def _read_for_one(book: Book, origin: Origin, file: str, batch: Batch) -> None:
    if not origin.student:
        mend = f"write it on the sheet {layout.READ_ME}, beside the word student"
        raise InputError(file, "there is no student's code in this workbook: whose is it?", mend)
    gathered = batch.gathered(origin.practical)
    place = next(grid for grid in book.visible if grid.sheet == layout.READ_ME).place(*layout.STUDENT)
    sheaf = gathered.pile.sheaf(origin.student, place)
    sheaf.add_person(bench=origin.bench)
    for grid in _results(book):
        if not read_results_list(grid, gathered, sheaf):
            read_student_table(grid, gathered, origin.student, batch.index)


def _read_tidy_sheets(book: Book, file: str, batch: Batch, general: Notebook) -> set[str]:
    met: set[str] = set()
    for grid in book.visible:
        for row in list(grid.filled_rows())[:SEARCHED_ROWS]:
            columns = tidy_columns(_line(grid, row)[1], batch.mapped)
            if columns is None:
                continue
            sheet = TidySheet(
                file=file,
                sheet=grid.sheet,
                columns=columns,
                batch=batch,
                notebook=general,
                decimal_habit=grid.decimal_habit,
            )
            sheet.read(_lines_below(grid, row))
            met |= sheet.met
            break
    return met


def _line(grid: Grid, row: int) -> Line:
    return row, [grid.at(row, column) for column in range(1, max(grid.rows[row]) + 1)]


def _lines_below(grid: Grid, top: int) -> Iterator[Line]:
    for row in grid.filled_rows():
        if row > top:
            yield _line(grid, row)


def _read_wide(book: Book, file: str, batch: Batch) -> set[str]:
    try:
        return read_wide_sheets(book.visible, file, batch)
    except InputError as error:
        if met := read_student_sheets(book.visible, file, batch):
            return met
        practical = batch.practical
        hidden = [grid.sheet for grid in book.hidden if practical and fits(grid, batch, practical)]
        if not hidden:
            raise
        problem = f"the only sheet with the headings is hidden ({hidden[0]})"
        raise InputError(file, problem, "show it in the spreadsheet program, save, and run again") from error


def _tell_hidden_sheets(book: Book, practical: str, batch: Batch, notebook: Notebook, file: str) -> None:
    hidden = [grid.sheet for grid in book.hidden if fits(grid, batch, practical)]
    if hidden:
        said = f"hidden sheets with the same headings were not read: {', '.join(map(quote, hidden))}"
        notebook.tell(Weight.NOTE, said, file=file)
