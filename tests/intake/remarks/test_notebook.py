"""What the teacher is told: place, what was written, what it was taken for, how to mend it."""

from __future__ import annotations

import pytest

from marking.intake.remarks.notebook import MAX_ALIKE
from tests.intake.class_files import read_tidy, told


def message(item: str, entry: str, unit: str = "") -> tuple[str, str]:
    """Return the one remark on an entry."""
    (one,) = told(read_tidy([("A01", item, "", entry, unit)]))
    return one


@pytest.mark.parametrize(
    ("item", "entry", "unit", "wanted"),
    [
        (
            "T_start",
            "20,5",
            "°C",
            ("note", 'class.csv, F2, A01: "20,5" read as 20.5 (decimal comma). To avoid this, type 20.5.'),
        ),
        (
            "m",
            "0.998 kg",
            "g",
            (
                "note",
                'class.csv, F2, A01: "0.998 kg" read as 0.998 kg, that is 998 g in the unit of the column. '
                "To avoid this, keep to the unit of the column.",
            ),
        ),
        (
            "m",
            "998 g",
            "g",
            ("note", 'class.csv, F2, A01: "998 g": unit g typed with the number. To avoid this, type 998.'),
        ),
        (
            "m",
            "998 ml",
            "g",
            (
                "query",
                'class.csv, F2, A01: "998 ml" cannot be used (the unit "ml" does not fit "g" of the column). '
                "Correct the cell, or leave it and the answer goes to you.",
            ),
        ),
        (
            "c",
            "99O",
            "J/(kg °C)",
            (
                "query",
                'class.csv, F2, A01: "99O" cannot be used (its last character is the letter O; likely 990). '
                "Correct the cell, or leave it and the answer goes to you.",
            ),
        ),
        (
            "c",
            "997",
            "J/kg-1 K-1",
            (
                "query",
                'class.csv, F2, A01: "997": unit "J/kg-1 K-1": may stand for J/(kg K): use a slash or negative '
                "powers, not both. Ask which unit was meant.",
            ),
        ),
        ("m", "-", "g", ("query", 'class.csv, F2, A01: taken as not given: m (F2, "-").')),
        ("c", "-", "", ("note", 'class.csv, F2, A01: taken as not given: c (F2, "-").')),
        (
            "m",
            "998",
            "",
            (
                "note",
                'class.csv, F2, A01: "998": no unit; taken as g, for kg would be out of range (unit from range).',
            ),
        ),
    ],
    ids=["comma", "scale", "unit with it", "quantity", "letter", "unclear unit", "reading", "answer", "no unit"],
)
def test_a_remark_is_one_line_that_can_be_acted_on(item: str, entry: str, unit: str, wanted: tuple[str, str]) -> None:
    """Each kind of remark, whole."""
    assert message(item, entry, unit) == wanted


@pytest.mark.parametrize(("count", "remarks"), [(MAX_ALIKE, MAX_ALIKE), (MAX_ALIKE + 1, 1)])
def test_many_notes_alike_become_one(count: int, remarks: int) -> None:
    """Up to a handful each stands for itself; beyond it one note names the first and the other cells."""
    lines = [(f"A{number:02}", "T_start", "", f"2{number % 10},5", "°C") for number in range(1, count + 1)]
    said = told(read_tidy(lines))
    assert len(said) == remarks
    if remarks == 1:
        assert said[0][1] == (
            'class.csv, F2, A01: "21,5" read as 21.5 (decimal comma). To avoid this, type 21.5. '
            "The same 8 more times: F3, F4, F5, F6, F7, F8, F9, F10."
        )


def test_questions_are_never_put_together() -> None:
    """What a person has to decide stands by itself, however many there are."""
    lines = [(f"A{number:02}", "T_start", "", "warm", "°C") for number in range(MAX_ALIKE + 2)]
    assert [weight for weight, _ in told(read_tidy(lines))] == ["query"] * (MAX_ALIKE + 2)


def test_hidden_signs_are_made_visible_and_long_texts_cut() -> None:
    """A message fits a line and shows what cannot be seen."""
    _, said = message("c", "9\u200b97 J" + "x" * 500, "")
    assert "[U+200B]" in said
    assert len(said) < 300
