"""The sheets of one file with a row a student: which of them to read, as which practical."""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set

from marking.intake.entries import PREFIX, WHY, Batch, Gathered
from marking.intake.forms import own_layout as layout
from marking.intake.forms.wide import WideSheet
from marking.intake.grids import (
    MAX_COLUMNS,
    MAX_HEADING,
    SEARCHED_ROWS,
    Field,
    Grid,
    HeadingRow,
    Meaning,
    Vocabulary,
    find_headings,
    fold,
    names_student,
    proposed_map,
    text_of,
)
from marking.intake.remarks import quote, tell_headings, tell_hidden, tell_strays
from marking.write_up import Weight
from rubrics.faults import InputError
from rubrics.model import Item, Role

_LISTED = 15
_SAY_WHICH = "run again with --practical and one of these"


def read_wide_sheets(grids: Sequence[Grid], file: str, batch: Batch, *, practical: str = "") -> set[str]:
    """Read every sheet that has a heading row into the piles and return the practicals that they are about.

    Args:
        grids: The visible sheets.
        file: Name of the file.
        batch: Where the entries go.
        practical: What the file says that it is about, where it is a workbook that we handed out.

    Raises:
        InputError: No sheet has the headings, nobody says which practical this is, or there are no students.
    """
    said = practical or _practical_column(grids, batch) or batch.practical or ""
    if not said:
        raise _which_practical(grids, file, batch)
    vocabulary = batch.vocabulary(said)
    fitting = [(grid, headings) for grid in grids if (headings := find_headings(grid, vocabulary, batch.mapped))]
    if not fitting:
        raise _no_headings(grids, file, vocabulary)
    if twice := _all_doubled(fitting):
        problem = f"the headings {twice} stand twice, and which of the two tables counts, is not sure"
        raise InputError(file, problem, "take one of the two out, and run again")
    if not any(_has_students(grid, headings) for grid, headings in fitting):
        raise InputError(file, "there are no students in this file", "fill in at least one row, and run again")
    for _, headings in fitting:
        _check_for_form(headings, file, vocabulary)
    gathered = batch.gathered(said)
    for grid, headings in fitting:
        _read_sheet(grid, headings, gathered, batch, is_ours=bool(practical))
    return {said}


def fits(grid: Grid, batch: Batch, practical: str) -> bool:
    """Tell whether a sheet has a heading row for *practical*."""
    return find_headings(grid, batch.vocabulary(practical), batch.mapped) is not None


def _read_sheet(grid: Grid, headings: HeadingRow, gathered: Gathered, batch: Batch, *, is_ours: bool) -> None:
    tell_headings(grid, headings, gathered.notebook, expected_row=layout.HEADING_ROW if is_ours else 1)
    tell_strays(grid, headings, gathered.notebook)
    tell_hidden(grid, headings, gathered.notebook)
    left = _answers_left(grid, headings, gathered)
    sheet = WideSheet(grid=grid, headings=headings, gathered=gathered, index=batch.index, is_ours=is_ours, left=left)
    sheet.read()


def _all_doubled(fitting: Sequence[tuple[Grid, HeadingRow]]) -> str:
    # A table pasted beside itself: every heading stands twice, and none can be used.
    doubled = [headings.doubled for _, headings in fitting if not headings.values and headings.doubled]
    named = dict.fromkeys(heading.text.strip() for heading in doubled[0]) if len(doubled) == len(fitting) else {}
    return ", ".join(list(named)[:_LISTED])


def _has_students(grid: Grid, headings: HeadingRow) -> bool:
    columns = [headings.code_column]
    values = [heading.column for heading in headings.values]
    return any(
        text_of(grid.at(row, column)).strip()
        for row in grid.filled_rows()
        if row > headings.row
        for column in (*columns, *values)
        if column is not None
    )


def _practical_column(grids: Sequence[Grid], batch: Batch) -> str:
    # A column 'practical' counts where all its rows name the same one.
    tops = [grid.rows[row] for grid in grids for row in list(grid.filled_rows())[:SEARCHED_ROWS]]
    words = (fold(text) for fields in tops for text in map(text_of, fields.values()) if len(text) <= MAX_HEADING)
    if Meaning.PRACTICAL not in words:
        return ""
    for practical in batch.rubrics:
        for grid in grids:
            headings = find_headings(grid, batch.vocabulary(practical), batch.mapped)
            column = headings.column_of(Meaning.PRACTICAL) if headings is not None else None
            if headings is None or column is None:
                continue
            named = {text_of(grid.at(row, column)).strip() for row in grid.filled_rows() if row > headings.row}
            if len(named - {""}) == 1 and (only := (named - {""}).pop()) in batch.rubrics:
                return only
    return ""


def _which_practical(grids: Sequence[Grid], file: str, batch: Batch) -> InputError:
    fitting = [name for name in batch.rubrics if any(fits(grid, batch, name) for grid in grids)]
    problem = "the file does not say which practical it is about"
    if fitting:
        return InputError(file, f"{problem}; its headings fit {', '.join(fitting)}", _SAY_WHICH)
    return InputError(file, f"{problem}, and its headings fit none", f"practicals known: {', '.join(batch.rubrics)}")


def _no_headings(grids: Sequence[Grid], file: str, vocabulary: Vocabulary) -> InputError:
    first = next((grid for grid in grids if grid.rows), None)
    found = [text_of(field).strip()[:40] for field in first.rows[min(first.rows)].values()] if first else []
    wanted = ", ".join(("student", *(name for name in vocabulary.rubric.items if not name.startswith((PREFIX, WHY)))))
    problem = "no row of headings that names the student and the items"
    if first is not None and _stands_across(first, vocabulary):
        mend = "turn the table round (copy it, and paste it transposed), so that each student has a row, and run again"
        return InputError(file, "the items stand below each other and the students across", mend)
    if found:
        problem += f"; the first row says: {', '.join(found[:_LISTED])}"
    return InputError(file, problem, f"head the columns {wanted}{_proposal(first, vocabulary)}")


def _stands_across(grid: Grid, vocabulary: Vocabulary) -> bool:
    # The first filled column reads like a row of headings.
    left = min(min(fields) for fields in grid.rows.values())
    names = [text_of(grid.at(row, left)) for row in list(grid.filled_rows())[:MAX_COLUMNS]]
    items = [name for name in names if len(name) <= MAX_HEADING and vocabulary.item_called(name) is not None]
    return len(items) > 1 and any(names_student(fold(name[:MAX_HEADING])) for name in names)


def _check_for_form(headings: HeadingRow, file: str, vocabulary: Vocabulary) -> None:
    """Refuse a form's export, of whose questions only some happen to be called like items, and offer the map.

    Raises:
        InputError: Readings are missing, and columns that nobody knows look like them.
    """
    covered = {heading.item for heading in headings.used}
    items = vocabulary.rubric.items
    wanted = {name for name, item in items.items() if item.role is Role.READING and name not in covered}
    if not wanted or all(heading.meaning is not Meaning.UNKNOWN for heading in headings.headings):
        return
    lines = proposed_map([heading.text for heading in headings.headings], vocabulary, _asked_for(vocabulary))
    meant = {says[0] for says in _read_back(lines).values()} & wanted
    if meant:
        problem = f"no column is headed {', '.join(name for name in items if name in meant)}, but some look like it"
        raise InputError(file, problem, f"head them so{_as_offer(lines)}")


def _answers_left(grid: Grid, headings: HeadingRow, gathered: Gathered) -> dict[int, str]:
    """Ask about a column that looks like an answer and is headed otherwise, Your answer for c; return its item.

    What stands in it is not used, but it was given: nobody loses a mark as for a blank.
    """
    items = gathered.vocabulary.rubric.items
    covered = {heading.item for heading in headings.used}
    answers = [item for item in _asked_for(gathered.vocabulary) if item.role is not Role.READING]
    left = [heading for heading in headings.headings if heading.meaning is Meaning.UNKNOWN]
    lines = proposed_map([heading.text for heading in left], gathered.vocabulary, answers) if left else ""
    found = {heading: says[0] for heading, says in _read_back(lines).items() if _is_open(says, items, covered)}
    if found:
        like = [f"{quote(heading)} like {item}" for heading, item in found.items()]
        said = f"columns that are not used, and look like answers: {', '.join(like)}"
        mend = "Head them by the name of the item, or give a map with --columns"
        gathered.notebook.tell(Weight.QUERY, said, mend, file=grid.file, sheet=grid.sheet)
    said_as = {heading.column: " ".join(heading.text.split()) for heading in left}
    return {column: found[text] for column, text in said_as.items() if text in found}


def _read_back(lines: str) -> dict[str, list[str]]:
    """Return heading to the words of what it is, from the *lines* of a map."""
    if not lines:
        return {}
    import tomllib  # only where a heading is like something and is not its name

    return {heading: str(says).split(" ") for heading, says in tomllib.loads(lines).items()}


def _is_open(says: Sequence[str], items: Mapping[str, Item], covered: Set[str | None]) -> bool:
    # 'c unit' is the unit of an answer, which goes with it.
    return says[0] in items and says[0] not in covered and says[1:2] != ["unit"]


def _asked_for(vocabulary: Vocabulary) -> list[Item]:
    return [item for name, item in vocabulary.rubric.items.items() if not name.startswith((PREFIX, WHY))]


def _as_offer(lines: str) -> str:
    indented = lines.replace("\n", "\n    ")
    return (
        ". Or is it a form's export? Then save these lines as map.toml, correct what is not right, and run again with "
        f"--columns map.toml:\n    {indented}"
    )


def _proposal(grid: Grid | None, vocabulary: Vocabulary) -> str:
    # A form's questions are its headings, and nobody can head them anew: offer the map that would read it.
    if grid is None:
        return ""
    fields = max((grid.rows[row] for row in list(grid.filled_rows())[:SEARCHED_ROWS]), key=_count_texts)
    lines = proposed_map(
        [text_of(fields[column]) for column in sorted(fields)[:MAX_COLUMNS]], vocabulary, _asked_for(vocabulary)
    )
    return _as_offer(lines) if lines else ""


def _count_texts(fields: Mapping[int, Field]) -> int:
    return sum(
        isinstance(value, str) and any(map(str.isalpha, value)) and not value[:1].isdigit() for value in fields.values()
    )
