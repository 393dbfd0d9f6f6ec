"""Entries with words, brackets and ticks round one number: read where they agree, asked about where they do not."""

from __future__ import annotations

import pytest

from marking.intake.entries import WrittenUnit, read_entry
from marking.intake.grids import Vocabulary
from marking.write_up import Entry, Place, State
from rubrics.load import load_catalogue

_PLACE = Place(file="class.csv", sheet="", cell="B2")


def _read(text: str, practical: str, item: str, box: str = "") -> Entry:
    rubric = load_catalogue()[practical]
    return read_entry(text, WrittenUnit(field=box, cell="C2"), rubric.items[item], _PLACE, Vocabulary(rubric))


@pytest.mark.parametrize(
    ("text", "item", "value"),
    [
        ("80.0 g (142.6 g - 62.6 g)", "m", 80.0),
        ("80.0 g (142.6 - 62.6)", "m", 80.0),
        ("80.0 g used (from 20.0 to 100.0)", "m", 80.0),
        ("80.0 g ✓", "m", 80.0),
        ("80 g, rounded from 80.3", "m", 80.0),
        ("80 g (rounded from 80.3 g)", "m", 80.0),
        ("0.080 kg (= 80 g)", "m", 0.08),
        ("20 °C (293 K)", "T_start", 20.0),
        ("293 K (20 °C)", "T_start", 20.0),
        ("2 ¾ kg", "m", 2.75),
        ("8.82 × ten to the three J", "E", 8820.0),
        ("8820 J or N m", "E", 8820.0),
        ("8.82 J × 10³", "E", 8820.0),
        ("8.82 x 1O^3 J", "E", 8820.0),
    ],
)
def test_what_agrees_with_itself_is_read(text: str, item: str, value: float) -> None:
    """A sum, a conversion or a rounding that comes to the number takes nothing from it."""
    entry = _read(text, "specific-heat-block", item)
    assert (entry.state, entry.value) == (State.NUMBER, pytest.approx(value))


@pytest.mark.parametrize(
    ("text", "item"),
    [
        ("80.0 g (142.6 g - 60.6 g)", "m"),
        ("80.0 g used (from 20.0 to 101.0)", "m"),
        ("80.0 g ✗", "m"),
        ("80.0 g, rounded from 81.3", "m"),
        ("0.080 kg (= 800 g)", "m"),
        ("1.5 (2)", "m"),
        ("20 °C / 295 K", "T_start"),
        ("295 K (20 °C)", "T_start"),
        ("20 °C (295 K)", "T_start"),
    ],
)
def test_what_does_not_agree_is_asked_about(text: str, item: str) -> None:
    """Two readings that differ are never taken for one."""
    assert _read(text, "specific-heat-block", item).state is State.UNREADABLE


@pytest.mark.parametrize(
    "text", ["N/A - heater broke", "not done: no time", "did not get to 5", "didn't get to question 5", "to do later"]
)
def test_a_reason_for_no_answer_is_no_answer(text: str) -> None:
    """Whoever says why there is no value has not given one."""
    entry = _read(text, "specific-heat-block", "c")
    assert (entry.state, entry.is_declined) == (State.BLANK, True)


@pytest.mark.parametrize("text", ["N/A - got 5", "it did not get to 50 °C, 45 °C", "did not get to 5 V", "later 20"])
def test_a_figure_among_such_words_is_no_blank(text: str) -> None:
    """A number that may be the answer is not passed over."""
    assert _read(text, "specific-heat-block", "c").state is not State.BLANK


@pytest.mark.parametrize(
    ("text", "is_read"),
    [
        ("57.1 kJ/mol given out", False),
        ("57.1 kJ/mol, exothermic", False),
        ("-57.1 kJ/mol absorbed", False),
        ("-57.1 kJ/mol given out", True),
        ("57.1 kJ/mol", True),
    ],
)
def test_a_word_for_the_sign_has_to_agree_with_it(text: str, *, is_read: bool) -> None:
    """Heat given out is negative, and whether the student meant that only a person can say."""
    entry = _read(text, "neutralisation-enthalpy", "ref")
    assert (entry.state is State.NUMBER) == is_read


@pytest.mark.parametrize(
    ("text", "box", "value"), [("330R", "Ω", 330.0), ("4.7R", "ohms", 4.7), ("330R", "kΩ", None), ("330R", "", None)]
)
def test_the_letter_on_a_resistor_is_the_ohm_of_its_box(text: str, box: str, value: float | None) -> None:
    """Beside ohms, R says ohms once more; alone, or beside kilohms, it is asked about."""
    entry = _read(text, "resistor-combinations", "R_1", box)
    is_read = entry.state is State.NUMBER and entry.unit is not None and entry.unit.unit is not None
    assert (entry.value if is_read else None) == value


def test_minutes_of_arc_are_sixtieths_of_a_degree() -> None:
    """34° 30' is 34.5°."""
    catalogue = load_catalogue()
    practical, name = next(
        (key, item.name)
        for key, rubric in catalogue.items()
        for item in rubric.items.values()
        if item.unit.symbol == "°"
    )
    entry = _read("34° 30'", practical, name)
    assert (entry.state, entry.value) == (State.NUMBER, 34.5)


@pytest.mark.parametrize(
    "text",
    [
        "Energy was lost because the block cannot be insulated",
        "It cooled later",
        "We did not wait, so heat was lost",
        "nothing was lost",
        "not measured: the heat lost to the air",
    ],
)
def test_an_explanation_with_a_no_in_it_is_an_answer(text: str) -> None:
    """Whoever explains in words with 'cannot' has written something."""
    assert _read(text, "specific-heat-block", "why_off").state is State.WORDS


@pytest.mark.parametrize(
    "text", ["I don't know", "idk lol", "sorry, no idea", "not sure", "ran out of time", "n/a", "?"]
)
def test_an_explanation_that_only_declines_is_none(text: str) -> None:
    """Nothing but that there is no answer."""
    assert _read(text, "specific-heat-block", "why_off").state is State.BLANK
