"""Where things stand in the workbooks that we hand out; the writer and the reader both look here.

A class workbook has three sheets: words to read first, a results sheet with one row a student, and a
readings sheet with one line for each row of a table. A student's own workbook has the same three, but
its results run down the page, one item a line.
"""

from __future__ import annotations

from rubrics.model import Item, Rubric

READ_ME = "Read me first"
RESULTS = "Results"
READINGS = "Readings"
TICKS = "Ticks"
"""In a class workbook: one column for each criterion that a teacher decides."""
TRIALS = "Trial values"
"""In a class workbook made for a number of benches: what the technician finds at each bench before the lesson."""

# Fixed cells of the first sheet, (row, column) from 1: what the reader needs to know.
TITLE = (1, 1)
PRACTICAL_LABEL = (2, 1)
PRACTICAL = (2, 2)
EDITION_LABEL = (3, 1)
EDITION = (3, 2)
STUDENT_LABEL = (4, 1)
STUDENT = (4, 2)
BENCH_LABEL = (5, 1)
BENCH = (5, 2)
GRAPH_LABEL = (4, 1)
GRAPH = (4, 2)
GRAPH_HINT = (4, 3)
GRAPH_WORDS = "graph on paper"
GRAPH_CHOICES = ("marked", "not marked")
"""Of a class workbook only, in the place of a student's code; the first is what it says when it is handed out."""
GRAPH_TOLD = "marked, or not marked: what only the graph on paper shows then has no marks, and the total is less"
LABELS = {PRACTICAL_LABEL: "practical", EDITION_LABEL: "edition"}
"""A first sheet with these two labels in place is one of ours."""
STUDENT_LABELS = {STUDENT_LABEL: "student", BENCH_LABEL: "bench"}
"""Only a student's own workbook has these too."""

WORDS_ROW = 1
"""Row of the results and readings sheets that says each column in words."""
HEADING_ROW = 2
FIRST_ROW = 3
PEOPLE_COLUMNS = ("student", "name", "bench", "absent")
MARK_CODE = "mark code"
"""Last column of the results in a blank class workbook: see mark_codes.py."""
MARK_CODE_WORDS = "EXC excused, LATE, GIVEN readings, FAULT of apparatus"
TICK_COLUMNS = ("student", "name")
TABLE_COLUMNS = ("student", "bench", "row")
STUDENT_TABLE_COLUMNS = ("row",)
LIST_COLUMNS = ("item", "quantity", "instrument", "value", "unit")
"""Headings of the results sheet in a student's own workbook."""

SPARE_ROWS = 2
"""Lines of a table beyond the fewest that the mark scheme asks for."""
USUAL_ROWS = 8
"""Lines of a table where the mark scheme asks for no number."""


def unit_heading(item: Item) -> str:
    """Return the heading of an item's unit column."""
    return f"{item.name} unit"


def value_headings(items: tuple[Item, ...]) -> tuple[str, ...]:
    """Return the headings of the value and unit columns of *items*; words have no unit."""
    headings: list[str] = []
    for item in items:
        headings.append(item.name)
        if not item.is_words:
            headings.append(unit_heading(item))
    return tuple(headings)


def words_for(item: Item) -> str:
    """Return an item in words, with its symbol where that is not its name."""
    return item.quantity if item.symbol == item.name else f"{item.quantity} ({item.symbol})"


def marks_words(marks: int) -> str:
    """Return a number of marks in words: '1 mark', '2 marks'."""
    return f"{marks} mark" if marks == 1 else f"{marks} marks"


def table_rows(rubric: Rubric) -> int:
    """Return how many lines of the readings sheet each student gets."""
    asked = [criterion.rows for criterion in rubric.criteria if criterion.rows is not None]
    return max(asked, default=USUAL_ROWS - SPARE_ROWS) + SPARE_ROWS


SAFETY_CLOSE = "Before you start, follow your school's own risk assessment and local rules."


def instructions(rubric: Rubric, *, is_class: bool) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Return the words of the first sheet: (heading, lines) in order."""
    where = "Fill in one row for each student on the sheet Results." if is_class else "Fill in the sheet Results."
    lines = [
        where,
        "Write each number as it was read, with all its figures: 0.50, not 0.5. Use a point for decimals.",
        "Write the unit in the column beside it; the list offers the usual ones, and others may be typed.",
        "Leave a cell empty where nothing was measured. Do not use formulas.",
    ]
    if rubric.columns:
        lines.insert(1, "Fill in the table on the sheet Readings, one line for each row of the table.")
    if is_class:
        lines.append("Write yes in the column absent for a student who was not there.")
    cautions = rubric.cautions
    if not any("risk assessment" in caution for caution in cautions[-1:]):
        cautions = (*cautions, SAFETY_CLOSE)
    return (
        ("What it is for", (rubric.purpose,)),
        ("How to fill it in", tuple(lines)),
        ("Take care", cautions),
    )


def item_lines(rubric: Rubric) -> tuple[tuple[str, ...], ...]:
    """Return the list of items on the first sheet, its heading line first."""
    lines = [("Column", "What it is", "Usual units, or words to choose from", "Instrument")]
    for item in rubric.items.values():
        offered = [choice.word for choice in item.choices] or [unit.symbol for unit in item.recorded_in]
        lines.append((item.name, words_for(item), "; ".join(offered), item.instrument))
    return tuple(lines)
