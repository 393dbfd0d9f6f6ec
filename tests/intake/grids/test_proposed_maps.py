"""The map that is offered where a form's questions are not the names of items."""

from __future__ import annotations

import tomllib

import pytest

from rubrics.faults.errors import InputError
from tests.intake.class_files import BLOCK, csv_text, read_files

QUESTIONS = [
    "Timestamp",
    "What is your student code?",
    "Which bench did you work at?",
    "Mass of the block (g)",
    "Temperature at the start in °C",
    "Highest temperature reached at the end (°C)",
    "Energy supplied (J)",
    "Your specific heat capacity",
    "Its unit",
]
ANSWERS = ["2026-05-04 10:12", "A01", "3", "998", "20.5", "41.5", "20400", "973", "J/(kg °C)"]


def refusal(questions: list[str], answers: list[str]) -> str:
    """Return what is said of a form's export that cannot be read."""
    with pytest.raises(InputError) as error:
        read_files({"form.csv": csv_text([questions, answers])}, practical=BLOCK)
    return str(error.value)


def proposal(said: str) -> str:
    """Return the lines of a map in a message."""
    return "\n".join(line.strip() for line in said.partition("map.toml:\n")[2].splitlines())


def test_the_map_that_is_offered_reads_the_form() -> None:
    """Saved as it stands it reads every question that is about an item."""
    lines = proposal(refusal(QUESTIONS, ANSWERS))
    files = {"form.csv": csv_text([QUESTIONS, ANSWERS]), "map.toml": lines}
    (found,) = read_files(files, ["form.csv"], columns="map.toml", practical=BLOCK)
    (work,) = found.write_ups
    assert (work.student.code, work.student.bench) == ("A01", "3")
    assert {name: entry.raw for name, entry in work.singles.items()} == {
        "m": "998",
        "T_start": "20.5",
        "T_end": "41.5",
        "E": "20400",
        "c": "973",
    }
    assert work.singles["c"].unit_raw == "J/(kg °C)"


def test_what_is_like_no_item_is_left_out() -> None:
    """A question about nothing of the practical is a comment, not a guess."""
    lines = proposal(refusal(QUESTIONS, ANSWERS))
    assert '# "Timestamp" is not used' in lines
    assert set(tomllib.loads(lines)) == set(QUESTIONS[1:])


def test_nothing_is_offered_where_nothing_is_like_an_item() -> None:
    """A shopping list has no map."""
    assert "map.toml" not in refusal(["Student", "Apples", "Pears"], ["A01", "1", "2"])


def test_quotes_and_line_ends_in_a_question_are_still_a_map() -> None:
    """Whatever the question holds, the lines are TOML."""
    odd = ['Your "code"', 'Mass of\nthe "block" \\ (g)', "Something else"]
    assert tomllib.loads(proposal(refusal(odd, ["A01", "998", "x"])))['Mass of the "block" \\ (g)'] == "m / g"
