"""Headings that may be a row of a table, a tick, a unit or a person: which of them, by what stands beside them."""

from __future__ import annotations

import pytest

from marking.intake.entries.typed_ticks import with_ticks
from marking.intake.grids.headings import read_headings
from marking.intake.grids.item_names import Vocabulary
from rubrics.load import load_catalogue
from tests.intake.class_files import BLOCK, WIRE


def understood(*texts: str, practical: str = WIRE, ticks: bool = False) -> list[str]:
    """Return 'meaning item row unit' of each heading, what is empty left out; *ticks*: with the teacher's columns."""
    rubric = load_catalogue()[practical]
    vocabulary = Vocabulary(with_ticks(rubric) if ticks else rubric)
    found = read_headings(dict(enumerate(texts, 1)), 1, vocabulary, {}).headings
    assert [(one.column, one.text) for one in found] == list(enumerate(texts, 1))
    return [
        " ".join(part for part in (one.meaning.value, one.item, str(one.row or ""), one.unit) if part) for one in found
    ]


@pytest.mark.parametrize(
    ("texts", "wanted"),
    [
        (("V1", "V2"), ["value tick V1", "value tick V2"]),
        (("L1", "V1"), ["value L 1", "value V 1"]),
        (("L1", "V1", "V2"), ["value L 1", "value V 1", "value tick V2"]),
        (("L1", "L2", "V2 / mV", "V1 (V)"), ["value L 1", "value L 2", "value V 2 mV", "value V 1 V"]),
        (("L1", "G1", "V1"), ["value L 1", "value tick G1", "value V 1"]),
        (("L", "V1"), ["value L", "value tick V1"]),
        (("L1", "V", " V1 "), ["value L 1", "value V", "value V 1"]),
        (("L2", "L1", "tick V1", "V1"), ["value L 2", "value L 1", "value tick V1", "value V 1"]),
    ],
)
def test_a_code_is_a_row_where_rows_stand_beside_it(texts: tuple[str, ...], wanted: list[str]) -> None:
    """V1 alone is the tick of the criterion V1; beside L1 it is the first p.d., with the unit that it names."""
    assert understood(*texts, ticks=True) == wanted


@pytest.mark.parametrize(
    ("text", "practical", "wanted"),
    [
        ("V reading 1", WIRE, "value V 1"),
        ("Reading 1 V", WIRE, "value V 1"),
        ("Reading 2: V (mV)", WIRE, "value V 2 mV"),
        ("trial 3 - L / cm", WIRE, "value L 3 cm"),
        ("V #1", WIRE, "value V 1"),
        ("V (mV) #3", WIRE, "value V 3 mV"),
        ("V / mV reading 2", WIRE, "value V 2 mV"),
        ("V (1)", WIRE, "value V 1"),
        ("V[2]", WIRE, "value V 2"),
        ("V / V (1)", WIRE, "value V 1 V"),
        ("gradient reading 1", WIRE, ""),
        ("gradient (1)", WIRE, ""),
        ("notes (1)", WIRE, ""),
        ("t reading 1", "freefall-g", "value t_1"),
        ("reading 1 t (ms)", "freefall-g", "value t_1 ms"),
        ("t / s (2)", "freefall-g", "value t_2 s"),
        ("v (1)", "trolley-force", "value v_1"),
        ("V1 (V)", "resistor-combinations", "value V_1 V"),
        ("v1 (mV)", "resistor-combinations", "value V_1 mV"),
        ("v2", "resistor-combinations", "value V_2"),
    ],
)
def test_a_row_said_in_words(text: str, practical: str, wanted: str) -> None:
    """Before or behind the name, beside its unit, in brackets: the row is that of a column, or a repeat's own name."""
    assert understood(text, practical=practical) == [wanted]
    unit = f"{text} unit"
    assert understood(text, unit, practical=practical)[0] == wanted


@pytest.mark.parametrize(
    ("texts", "wanted"),
    [
        (("initials", "m"), ["student", "value m"]),
        (("initials", "student", "m"), ["", "student", "value m"]),
        (("email", "name", "m"), ["", "name", "value m"]),
        (("surname", "initials"), ["surname", ""]),
        (("initials", "user", "m"), ["student", "", "value m"]),
        (("student", "code", "pupil"), ["student", "", ""]),
        (("bench", "station", "m"), ["bench", "", "value m"]),
        (("initials", "bench"), ["student", "bench"]),
    ],
)
def test_the_plainest_word_counts(texts: tuple[str, ...], wanted: list[str]) -> None:
    """Initials and addresses say who it is where nothing plainer does; of two alike the plainer one counts."""
    assert understood(*texts, practical=BLOCK) == wanted


@pytest.mark.parametrize(
    ("texts", "wanted"),
    [
        (("unit", "m", "unit", "c", "unit"), ["", "value m", "unit m", "value c", "unit c"]),
        (("m", "unit", "unit", "c"), ["value m", "unit m", "", "value c"]),
        (("notes", "unit", "m", "unit"), ["", "", "value m", "unit m"]),
        (("student", "m", "unit"), ["student", "value m", "unit m"]),
        (("c", "m", "unit", "E"), ["value c", "value m", "unit c", "value E"]),
    ],
)
def test_a_bare_unit_between_others(texts: tuple[str, ...], wanted: list[str]) -> None:
    """One that goes with nothing hides none of those behind it."""
    assert understood(*texts, practical=BLOCK) == wanted
