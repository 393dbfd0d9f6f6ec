"""A sheet as it was found, and which column is which: cells in, headings matched to items out."""

from marking.intake.grids.column_maps import read_column_map
from marking.intake.grids.decimal_marks import NO_HABIT, DecimalHabit, DecimalMarks, SheetMarks, habit_of
from marking.intake.grids.grid import (
    MAX_FIELDS,
    STORED,
    Field,
    Grid,
    Merge,
    SheetValue,
    Stored,
    cell_name,
    column_letters,
    is_empty,
    text_of,
)
from marking.intake.grids.headings import MAX_COLUMNS, SEARCHED_ROWS, Heading, HeadingRow, find_headings
from marking.intake.grids.item_names import (
    MAX_HEADING,
    MAX_UNIT_LENGTH,
    Named,
    Vocabulary,
    fold,
    is_count,
    strip_hidden,
    without_counted,
)
from marking.intake.grids.people_words import PEOPLE_WORDS, Meaning, names_student, person_called
from marking.intake.grids.proposed_maps import proposed_map

__all__ = [
    "MAX_COLUMNS",
    "MAX_FIELDS",
    "MAX_HEADING",
    "MAX_UNIT_LENGTH",
    "NO_HABIT",
    "PEOPLE_WORDS",
    "SEARCHED_ROWS",
    "STORED",
    "DecimalHabit",
    "DecimalMarks",
    "Field",
    "Grid",
    "Heading",
    "HeadingRow",
    "Meaning",
    "Merge",
    "Named",
    "SheetMarks",
    "SheetValue",
    "Stored",
    "Vocabulary",
    "cell_name",
    "column_letters",
    "find_headings",
    "fold",
    "habit_of",
    "is_count",
    "is_empty",
    "names_student",
    "person_called",
    "proposed_map",
    "read_column_map",
    "strip_hidden",
    "text_of",
    "without_counted",
]
