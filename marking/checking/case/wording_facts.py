"""What a sentence may quote from one finding: the student's own figures, ready to print.

Only facts are made here; every sentence stands in ``reports/wording``.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import lru_cache

from marking.write_up import Entry
from rubrics.formulas import printed
from rubrics.model import Item, Rubric

SHOWN_FIGURES = 3
"""Figures of a value that we work out and print; a school answer has two or three."""
MOST_FIGURES = 6
"""Of a reading, or a sum of readings, that is quoted; more are those of a mean."""
MOST_PLACES = 6
"""Decimal places of a student's number beyond which a power of ten is easier to read."""


@lru_cache(maxsize=4096)  # the same few hundred numbers stand in most lines of a class
def number_text(value: float, figures: int = SHOWN_FIGURES) -> str:
    """Return *value* to *figures* significant figures, halves away from zero, as a person would write it."""
    return printed(value, figures)


def unshortened_text(value: float) -> str:
    """Return *value* with all its figures, where it has six at the most; to the usual ones where it has more."""
    every = range(SHOWN_FIGURES, MOST_FIGURES + 1)
    enough = (figures for figures in every if math.isclose(float(f"{value:.{figures}g}"), value, rel_tol=1e-9))
    return number_text(value, next(enough, SHOWN_FIGURES))


def with_unit(number: str, unit: str) -> str:
    """Return a number and its unit, with the space that a unit takes."""
    return f"{number} {unit}" if unit else number


def written(item: Item, entry: Entry) -> str:
    """Return what stands in *entry*, exactly as written, with the unit beside it where it had a cell of its own."""
    raw, beside = entry.raw.strip(), entry.unit_raw
    if beside:
        beside = beside.strip()
    return raw if not beside or raw.endswith(beside) or item.is_words else f"{raw} {beside}"


def symbols(rubric: Rubric) -> Mapping[str, str]:
    """Return the printed symbol of every item and constant."""
    return {name: item.symbol for name, item in rubric.items.items()} | {
        name: constant.symbol for name, constant in rubric.constants.items()
    }


def place_name(item: Item, row: int | None) -> str:
    """Return the quantity, with its row where it stands in a table: 'resistance, row 3'."""
    return item.quantity if row is None else f"{item.quantity}, row {row}"


def basic_facts(item: Item, row: int | None, entry: Entry | None) -> dict[str, str]:
    """Return the facts that every sentence about one item may quote."""
    facts = {"quantity": place_name(item, row), "symbol": item.symbol, "unit": item.unit.symbol}
    if entry is not None and entry.raw.strip():
        facts["wrote"] = written(item, entry)
    return facts
