"""The formula language: text in, a tree out that can be worked out, checked for dimensions and printed."""

from rubrics.formulas.dimensions import Kind, kind_of
from rubrics.formulas.formula import (
    PI,
    Call,
    Formula,
    Minus,
    Name,
    Node,
    Number,
    Operation,
    Power,
    factors,
    parse_formula,
    replace_name,
    terms,
    walk,
)
from rubrics.formulas.plain_values import OPERATIONS, plain_value
from rubrics.formulas.printed_numbers import grouped, is_plain, listed, printed, rounded, times_ten_to
from rubrics.formulas.printing import plain_text, printed_equation, printed_text

__all__ = [
    "OPERATIONS",
    "PI",
    "Call",
    "Formula",
    "Kind",
    "Minus",
    "Name",
    "Node",
    "Number",
    "Operation",
    "Power",
    "factors",
    "grouped",
    "is_plain",
    "kind_of",
    "listed",
    "parse_formula",
    "plain_text",
    "plain_value",
    "printed",
    "printed_equation",
    "printed_text",
    "replace_name",
    "rounded",
    "terms",
    "times_ten_to",
    "walk",
]
