"""Headings, by what they say."""

from __future__ import annotations

import pytest

from marking.intake.grids.headings import Heading, HeadingRow, Meaning, read_headings
from marking.intake.grids.item_names import Vocabulary
from rubrics.load import load_catalogue
from tests.intake.class_files import BLOCK, WIRE


def read(*texts: str, practical: str = BLOCK, **mapped: str) -> HeadingRow:
    """Return a row of headings, understood."""
    vocabulary = Vocabulary(load_catalogue()[practical])
    return read_headings(dict(enumerate(texts, 1)), 1, vocabulary, mapped)


@pytest.mark.parametrize(
    ("text", "item", "unit"),
    [
        ("m", "m", ""),
        ("mass_g", "m", "g"),
        ("Mass (g)", "m", "g"),
        ("mass / kg", "m", "kg"),
        ("mass in g", "m", "g"),
        ("mass [g]", "m", "g"),
        ("Mass of the block", "m", ""),
        ("Mass of the block (g)", "m", "g"),
        ("T_start", "T_start", ""),
        ("t_start", "T_start", ""),
        ("T_start /°C", "T_start", "°C"),
        ("T_start (°C)", "T_start", "°C"),
        ("T₁ / °C", "T_start", "°C"),
        ("temp_start_C", "T_start", "C"),
        ("temp_end_C", "T_end", "C"),
        ("energy_J", "E", "J"),
        ("ENERGY (kJ):", "E", "kJ"),
        ("c / J/(kg °C)", "c", "J/(kg °C)"),
        ("c (J/kg°C)", "c", "J/kg°C"),
        ("Answer:", "c", ""),
        ("final answer", "c", ""),
        ("answer (J/(kg °C))", "c", "J/(kg °C)"),
    ],
)
def test_a_heading_names_an_item_with_or_without_a_unit(text: str, item: str, unit: str) -> None:
    """Names, symbols, quantities and the rubric's other headings are known; case and spaces do not count."""
    (heading,) = read(text).headings
    assert (heading.meaning, heading.item, heading.unit) == (Meaning.VALUE, item, unit)


@pytest.mark.parametrize(
    "text", ["", "comments", "mass_s", "mass / °C", "temp", "temp_C", "notes on mass", "g", "/", "m" * 500, "_", "()"]
)
def test_a_heading_that_names_no_item_is_not_guessed_at(text: str) -> None:
    """A name with a unit of another quantity, half a name and no name at all are nobody's column."""
    (heading,) = read(text).headings
    assert heading.meaning is Meaning.UNKNOWN


@pytest.mark.parametrize(
    ("texts", "owner"),
    [
        (("student", "m", "c", "unit"), "c"),
        (("unit", "m", "c", "student"), "c"),  # one unit column goes with the answer, wherever it stands
        (("m", "unit", "c", "unit"), "m c"),  # several go each with the column to the left
        (("m", "m unit", "c", "unit of c"), "m c"),
        (("m", "m_unit", "c", "c (unit)"), "m c"),
        (("m", "unit"), "m"),
        (("unit", "m"), ""),  # to the left of it there is nothing
        (("student", "unit"), ""),
    ],
)
def test_a_unit_column_has_one_owner(texts: tuple[str, ...], owner: str) -> None:
    """The unit of an item is never looked for under another."""
    units = [heading.item for heading in read(*texts).headings if heading.meaning is Meaning.UNIT]
    assert " ".join(units) == owner


def test_a_heading_may_say_which_row_of_the_table_it_is() -> None:
    """A form that asks for a table cell by cell is read into its rows."""
    found = read("L row 1 / m", "L row 2", "V (row 1)", "V row 1 unit", "gradient row 1", practical=WIRE)
    assert [(h.meaning, h.item, h.row) for h in found.headings] == [
        (Meaning.UNKNOWN, "", None),  # the unit stands behind the row, which is no way to head a column
        (Meaning.VALUE, "L", 2),
        (Meaning.VALUE, "V", 1),
        (Meaning.UNIT, "V", 1),
        (Meaning.UNKNOWN, "", None),  # a gradient has no rows
    ]


def test_neither_of_two_columns_of_one_item_is_used() -> None:
    """Which of the two counts is for the teacher to say."""
    found = read("student", "m / g", "mass (g)", "E")
    assert [heading.text for heading in found.doubled] == ["m / g", "mass (g)"]
    assert [heading.text for heading in found.values] == ["E"]


def test_the_plainest_word_for_the_student_is_the_code() -> None:
    """Beside a column 'student', a candidate number is a column like any other."""
    found = read("candidate number", "student", "m")
    assert found.column_of(Meaning.STUDENT) == 2
    assert found.doubled == ()


def test_a_name_that_two_items_share_is_neither() -> None:
    """A folded name counts only where it means one item: 'R' is the column, 'r_component' the single item."""
    found = read("R", "R_component", "resistance", practical="iv-characteristic")
    assert [heading.item for heading in found.headings] == ["R", "R_component", "R"]


def test_a_mapped_heading_means_what_the_teacher_said() -> None:
    """The map of a form's columns goes before anything that the heading itself seems to say."""
    vocabulary = Vocabulary(load_catalogue()[BLOCK])
    mapped = {"question 1": "m / g", "who are you": "student", "energy": "comments"}
    found = read_headings({1: "Who are you?", 2: "Question 1", 3: "Energy"}, 1, vocabulary, mapped)
    assert [(h.meaning, h.item, h.unit) for h in found.headings] == [
        (Meaning.STUDENT, "", ""),
        (Meaning.VALUE, "m", "g"),
        (Meaning.UNKNOWN, "", ""),
    ]


def test_every_item_of_the_catalogue_is_known_by_its_names() -> None:
    """Name, symbol and quantity of an item lead back to it, unless another item has the same."""
    for rubric in load_catalogue().values():
        vocabulary = Vocabulary(rubric)
        for item in rubric.items.values():
            named = vocabulary.item_called(item.name)
            assert named is not None
            assert named.item is item
            (heading,) = read_headings({1: f"{item.name} / {item.unit.symbol}"}, 1, vocabulary, {}).headings
            if item.unit.symbol:
                assert heading == Heading(
                    column=1,
                    text=f"{item.name} / {item.unit.symbol}",
                    meaning=Meaning.VALUE,
                    item=item.name,
                    unit=item.unit.symbol,
                )
