"""Rounding rules of standards and textbooks: either way to treat a half stands, and counting figures is theirs.

Sources: ``data/rounding.csv``, ``data/significant-figures.csv``; the tables name them row by row.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import ROUND_DOWN, ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal

import pytest

from marking.findings import Outcome
from tests.published.main_path import Row, marked, table, value_finding

ROUNDING = table("rounding.csv")
FIGURES = table("significant-figures.csv")


def last_place(line: Mapping[str, str]) -> int:
    """Return the position to which a line of the table rounds: -1 for tenths, 1 for tens."""
    if line["kind"] == "unit":
        return Decimal(line["digits_or_unit"]).adjusted()
    return Decimal(line["input"]).adjusted() - int(line["digits_or_unit"]) + 1


def in_plain_figures(value: Decimal) -> str:
    """Return *value* without a power of ten."""
    return f"{value:f}"


def outcome(number: str, rounded: str) -> Outcome:
    """Return what becomes of *number* given as *rounded*."""
    return value_finding("as-it-is", [("a", "", number, ""), ("x", "", rounded, "")], "x").outcome


each = pytest.mark.parametrize("line", ROUNDING, ids=lambda line: f"{line['input']}-{line['expected']}")


@each
def test_rounded_as_the_source_rounds(line: Mapping[str, str]) -> None:
    """The value that the standard or the textbook rounds to is awarded."""
    assert outcome(line["input"], line["expected"]) is Outcome.AWARDED


@each
@pytest.mark.parametrize("way", [ROUND_HALF_UP, ROUND_HALF_EVEN, ROUND_DOWN])
def test_rounded_any_way_in_use(line: Mapping[str, str], way: str) -> None:
    """Halves up, halves to even (SP 811 B.7.1, ISO 80000-1 rules A and B), or the rest cut off: all are awarded."""
    exact = Decimal(line["input"])
    unit = Decimal((0, (1,), last_place(line)))
    rounded = (exact / unit).quantize(Decimal(1), rounding=way) * unit
    assert outcome(line["input"], in_plain_figures(rounded)) is Outcome.AWARDED


@each
@pytest.mark.parametrize("units", [-2, 2])
def test_rounded_to_another_value(line: Mapping[str, str], units: int) -> None:
    """Two units of the last place off is no way of rounding, and is never awarded: 30 for 31.57 is the teacher's."""
    unit = Decimal((0, (1,), last_place(line)))
    wrong = in_plain_figures(Decimal(line["expected"]) + units * unit)
    assert outcome(line["input"], wrong) is not Outcome.AWARDED


@pytest.mark.parametrize("line", table("rounding-with-uncertainty.csv"), ids=lambda line: line["expected_value"])
def test_value_rounded_to_its_uncertainty(line: Mapping[str, str]) -> None:
    """A value kept to the place of its uncertainty, both printed, is awarded as the source rounds it.

    GUM (JCGM 100:2008) 7.2.6 and the rule of the Particle Data Group; the table says how each was verified.
    """
    assert outcome(line["value"], f"{line['expected_value']} ± {line['expected_uncertainty']}") is Outcome.AWARDED
    wrong = Decimal(line["expected_value"]) * Decimal("1.5")
    assert outcome(line["value"], f"{wrong} ± {line['expected_uncertainty']}") is Outcome.WITHHELD


COUNTS = [(line["expression"], line["expected"]) for line in FIGURES if line["kind"] == "count"]


@pytest.mark.parametrize(("number", "published"), COUNTS, ids=[case[0] for case in COUNTS])
def test_significant_figures_are_counted_as_published(number: str, published: str) -> None:
    """A number as written has the published count of figures; 1300 may have two, three or four."""
    entry = marked("as-it-is", [("a", "", number, ""), ("x", "", number, "")]).write_up.singles["a"]
    assert entry.last_place is not None
    finest, coarsest = entry.last_place
    first = Decimal(number).adjusted()
    counts = {first - place + 1 for place in range(finest, coarsest + 1)}
    assert counts == {int(count) for count in published.replace(" or ", ",").split(",")}


def rows_and_answer(expression: str) -> tuple[list[Row], str]:
    """Return an expression of the table as readings, and the answer that works it out."""
    words = expression.replace("^2", "").split()
    numbers, signs = words[::2], "".join(words[1::2])
    if numbers[0] == "pi":
        return [("a", "", numbers[1], "")], "circle"
    answer = {"+": "plus", "-": "minus", "-+": "both", "x": "times", "/": "over", "xx": "thrice"}[signs]
    return [(item, "", number, "") for item, number in zip("abc", numbers, strict=False)], answer


RESULTS = [(line["expression"], line["expected"]) for line in FIGURES if line["kind"] != "count"]


@pytest.mark.parametrize(("expression", "published"), RESULTS, ids=[case[0] for case in RESULTS])
def test_results_kept_to_the_published_figures(expression: str, published: str) -> None:
    """A sum or product given to the figures that the textbook keeps is awarded; a fifth more is not."""
    readings, answer = rows_and_answer(expression)
    assert value_finding("sums", [*readings, (answer, "", published, "")], answer).outcome is Outcome.AWARDED
    places = max(0, -int(Decimal(published).as_tuple().exponent))
    wrong = f"{Decimal(published) * Decimal('1.2'):.{places}f}"
    assert value_finding("sums", [*readings, (answer, "", wrong, "")], answer).outcome is Outcome.WITHHELD
