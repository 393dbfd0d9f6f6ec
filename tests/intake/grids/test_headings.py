"""Headings, by what they say."""

from __future__ import annotations

import pytest

from marking.intake.grids.grid import Grid
from marking.intake.grids.headings import Heading, HeadingRow, find_headings, read_headings
from marking.intake.grids.item_names import Vocabulary
from marking.intake.grids.people_words import PEOPLE_WORDS, Meaning
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
        ("mass of the block, m (g)", "m", "g"),
        ("temperature rise, dT (°C)", "dT", "°C"),
        ("Temperature rise (ΔT) / °C", "dT", "°C"),
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


def test_the_name_of_an_item_is_never_the_row_of_another() -> None:
    """v_1 and v_2 are speeds of their own: each keeps its unit column."""
    found = read("v_1", "v_1 unit", "v_2", "v_2 unit", practical="trolley-force")
    assert [(h.item, h.row) for h in found.headings] == [("v_1", None), ("v_1", None), ("v_2", None), ("v_2", None)]


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


@pytest.mark.parametrize(
    ("text", "practical", "wanted"),
    [
        ("L1", WIRE, ("value", "L", 1, "")),
        ("L 2", WIRE, ("value", "L", 2, "")),
        ("V_3 (V)", WIRE, ("value", "V", 3, "V")),
        ("V3 / mV", WIRE, ("value", "V", 3, "mV")),
        ("L0", WIRE, ("", "", None, "")),
        ("L100", WIRE, ("", "", None, "")),
        ("L row 12", WIRE, ("value", "L", 12, "")),
        ("L (row 3)", WIRE, ("value", "L", 3, "")),
        ("L, row_4", WIRE, ("value", "L", 4, "")),
        ("unit of L", WIRE, ("unit", "L", None, "")),
        ("units for L", WIRE, ("unit", "L", None, "")),
        ("L units", WIRE, ("unit", "L", None, "")),
        ("L row 2 unit", WIRE, ("unit", "L", 2, "")),
        ("L2 unit", WIRE, ("unit", "L", 2, "")),
        ("unit of nothing", WIRE, ("", "", None, "")),
        ("gradient 1", WIRE, ("", "", None, "")),
        ("m1", BLOCK, ("", "", None, "")),
        ("t1", "freefall-g", ("value", "t_1", None, "")),
        ("t 2 (s)", "freefall-g", ("value", "t_2", None, "s")),
    ],
)
def test_a_heading_with_a_number(text: str, practical: str, wanted: tuple[str, str, int | None, str]) -> None:
    """L1 is the first row of the column L, t1 the first repeat of t; where neither is there, it is nothing."""
    (heading,) = read(text, practical=practical).headings
    assert (heading.meaning, heading.item, heading.row, heading.unit) == wanted
    assert (heading.column, heading.text) == (1, text)


@pytest.mark.parametrize("word", sorted(PEOPLE_WORDS))
def test_a_word_for_people_is_no_item(word: str) -> None:
    """Every word for a student, a name, a bench and the like is known in capitals and with a colon too."""
    for text in (word, word.upper(), f" {word}: "):
        (heading,) = read(text).headings
        assert (heading.meaning, heading.item, heading.text) == (PEOPLE_WORDS[word], "", text)


@pytest.mark.parametrize(
    ("texts", "doubled"),
    [
        (("L1", "L2", "L1"), ["L1", "L1"]),
        (("L1", "L2"), []),
        (("L", "L1"), []),
        (("notes", "m", "notes"), ["notes", "notes"]),
        (("notes", "remarks"), []),
        (("bench", "bench number"), []),
        (("bench", "bench"), ["bench", "bench"]),
        (("L unit", "unit of L", "L"), ["L unit", "unit of L"]),
    ],
)
def test_which_columns_say_the_same(texts: tuple[str, ...], doubled: list[str]) -> None:
    """Two columns are one and the same where meaning, item and row are; unknown ones where their words are."""
    found = read(*texts, practical=WIRE)
    assert [heading.text for heading in found.doubled] == doubled
    assert not set(found.doubled) & set(found.used)


@pytest.mark.parametrize(
    ("texts", "column"),
    [
        (("name", "student"), 2),
        (("first name", "name"), 2),
        (("surname", "first name"), 2),
        (("m", "surname"), 2),
        (("m", "c"), None),
        (("bench", "m"), None),
    ],
)
def test_by_which_column_a_student_is_known(texts: tuple[str, ...], column: int | None) -> None:
    """A code before a name, a whole name before a part of one."""
    assert read(*texts).code_column == column


def test_a_row_of_headings_knows_its_columns() -> None:
    """Values, their units and the last column, doubled and unknown ones left out of what is used."""
    found = read("student", "L1", "L1 unit", "L2", "unit of L2", "notes", "V1", practical=WIRE)
    assert [(one.item, one.row, found.unit_column(one)) for one in found.values] == [
        ("L", 1, 3),
        ("L", 2, 5),
        ("V", 1, None),
    ]
    assert found.column_of(Meaning.STUDENT) == 1
    assert found.column_of(Meaning.BENCH) is None
    assert [one.text for one in found.used] == ["student", "L1", "L1 unit", "L2", "unit of L2", "V1"]
    assert (found.last_column, found.row) == (7, 1)


@pytest.mark.parametrize(
    ("text", "is_untidy"), [("m", False), (" m", True), ("m\u200b", True), ("mass\n(g)", True), ("mass (g)", False)]
)
def test_stray_signs_are_noticed(text: str, is_untidy: bool) -> None:
    """Spaces at the ends, line ends and signs that show nothing are read over, and known to have been there."""
    (heading,) = read(text).headings
    assert heading.item == "m"
    assert heading.is_untidy is is_untidy


def test_several_units_each_belong_to_the_left() -> None:
    """Of two bare units each goes with the value before it, with its row; one behind no value is nobody's."""
    found = read("L1", "unit", "L2", "unit", "notes", "units", practical=WIRE)
    assert [(h.meaning, h.item, h.row) for h in found.headings] == [
        (Meaning.VALUE, "L", 1),
        (Meaning.UNIT, "L", 1),
        (Meaning.VALUE, "L", 2),
        (Meaning.UNIT, "L", 2),
        (Meaning.UNKNOWN, "", None),
        (Meaning.UNKNOWN, "", None),
    ]


def sheet(*lines: tuple[str, ...]) -> Grid:
    """Return a sheet of texts."""
    return Grid(
        file="class.csv",
        sheet="",
        rows={row: {column: text for column, text in enumerate(line, 1) if text} for row, line in enumerate(lines, 1)},
    )


TITLE, HEADS, LINE = ("Mass of the block",), ("student", "m", "E", "c"), ("A01", "0.998", "20400", "973")


@pytest.mark.parametrize(
    ("lines", "row"),
    [
        ((HEADS, LINE), 1),
        ((TITLE, HEADS, LINE), 2),
        ((("student", "m"), HEADS, LINE), 2),
        ((HEADS, ("student", "m"), LINE), 1),
        ((HEADS, HEADS, LINE), 1),
        ((("student", "name"), LINE), None),
        ((("m", "E"), LINE), None),
        ((*[("x",)] * 19, HEADS, LINE), 20),
        ((*[("x",)] * 20, HEADS, LINE), None),
    ],
    ids=[
        "first",
        "below-a-title",
        "more-columns-named",
        "fewer-below",
        "as-many-below",
        "no-item",
        "no-student",
        "twentieth",
        "twenty-first",
    ],
)
def test_the_heading_row_is_the_one_that_names_most(lines: tuple[tuple[str, ...], ...], row: int | None) -> None:
    """Of the first twenty rows that name student and item, the one with most columns; the first of equals."""
    found = find_headings(sheet(*lines), Vocabulary(load_catalogue()[BLOCK]), {})
    assert (found.row if found is not None else None) == row


def test_a_sheet_of_one_student_needs_no_word_for_them() -> None:
    """Where no student is asked for, items alone make a heading row; a mapped word for the student counts as one."""
    vocabulary = Vocabulary(load_catalogue()[BLOCK])
    grid = sheet(("who", "m", "E"), LINE)
    assert find_headings(grid, vocabulary, {}) is None
    alone = find_headings(grid, vocabulary, {}, needs_student=False)
    assert alone is not None
    assert [one.item for one in alone.values] == ["m", "E"]
    mapped = find_headings(grid, vocabulary, {"who": "student"})
    assert mapped is not None
    assert mapped.column_of(Meaning.STUDENT) == 1


@pytest.mark.parametrize(("before", "is_found"), [(298, True), (299, True), (300, False)])
def test_columns_far_out_are_no_headings(before: int, is_found: bool) -> None:
    """Three hundred columns are read, what stands beyond is not."""
    grid = sheet(("student", *[f"x{number}" for number in range(before - 1)], "m"))
    assert (find_headings(grid, Vocabulary(load_catalogue()[BLOCK]), {}) is not None) is is_found
