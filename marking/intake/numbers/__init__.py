"""Numbers as students type them: text in, value and last printed place out. Knows no file and no rubric."""

from marking.intake.numbers.compounds import read_compound
from marking.intake.numbers.durations import read_duration
from marking.intake.numbers.statements import Asked, read_statement
from marking.intake.numbers.student_words import in_figures, says_none_found
from marking.intake.numbers.typed_numbers import (
    NumberReading,
    is_bare_unit,
    plain_number,
    read_blank,
    read_number,
    show_text,
)

__all__ = [
    "Asked",
    "NumberReading",
    "in_figures",
    "is_bare_unit",
    "plain_number",
    "read_blank",
    "read_compound",
    "read_duration",
    "read_number",
    "read_statement",
    "says_none_found",
    "show_text",
]
