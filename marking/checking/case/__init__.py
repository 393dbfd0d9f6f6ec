"""One student before the checks, and the lines that a check yields about them.

In: what was judged of one student. Out: lines with facts ready to print, never a sentence.
"""

from marking.checking.case.class_batch import PLACES_COMPARED, RIGHT_IN_ANOTHER_UNIT, Batch
from marking.checking.case.lazy_facts import Facts
from marking.checking.case.slips_printed import slips_printed
from marking.checking.case.student_case import Case, Line
from marking.checking.case.unit_of_slip import belongs_to_slip, is_inverted_gradient
from marking.checking.case.wording_facts import (
    basic_facts,
    number_text,
    place_name,
    symbols,
    unshortened_text,
    with_unit,
    written,
)

__all__ = [
    "PLACES_COMPARED",
    "RIGHT_IN_ANOTHER_UNIT",
    "Batch",
    "Case",
    "Facts",
    "Line",
    "basic_facts",
    "belongs_to_slip",
    "is_inverted_gradient",
    "number_text",
    "place_name",
    "slips_printed",
    "symbols",
    "unshortened_text",
    "with_unit",
    "written",
]
