"""Honest write-ups at every kind of meter carry no lead."""

from __future__ import annotations

import pytest

from marking.cohort.leads.lead_notes import lead_notes
from marking.write_up import WriteUp
from tests.cohort.honest import cases
from tests.cohort.simulated import Practical, as_marked, simulate, students, write_up

CASES = tuple(cases())


def messages(practical: str, write_ups: tuple[WriteUp, ...]) -> list[str]:
    """Return what is said of a class."""
    return [note.message for note in lead_notes(as_marked(practical, write_ups))]


def test_round_volts_beside_a_coarse_ammeter_are_no_book_values() -> None:
    """Six rows at 0.50 to 3.00 V and 0.05 to 0.29 A: V / I is 10.0 by the last digit alone."""
    volts = [f"{0.5 * row:.2f}" for row in range(1, 7)]
    amps = ["0.05", "0.10", "0.15", "0.20", "0.25", "0.29"]
    (student,) = students(1)
    cells = {"V": [(v, "V") for v in volts], "I": [(i, "A") for i in amps]}
    page = write_up(student, "iv-characteristic", {"component": ("fixed resistor", ""), **cells})
    assert messages("iv-characteristic", (page,)) == []


@pytest.mark.parametrize(("practical", "set_up"), [(one, made) for one, _, made in CASES], ids=[w for _, w, _ in CASES])
def test_honest_readings_are_neither_worked_back_nor_too_even(practical: str, set_up: Practical) -> None:
    """A class, and one student alone."""
    for who in (students(), students(1)):
        said = messages(practical, simulate(practical, 5, set_up=set_up, who=who))
        assert not [one for one in said if "wrote the same figures" not in one]


@pytest.mark.parametrize(
    ("practical", "words", "seed", "together"),
    [
        (
            "resistor-combinations",
            "22 and 33 Ω, V to 1, A to 3 decimals, current set, noise 0.004, parts 0.01",
            500007,
            False,
        ),
        ("wire-resistance", "V to 1, A to 2 decimals, p.d. set, noise 0.0, parts 0.01", 500001, True),
        ("iv-characteristic", "10 Ω, V to 2, A to 2 decimals, current set, noise 0.0, parts 0.01", 500001, True),
        ("wire-resistance", "V to 1, A to 3 decimals, neither set, noise 0.0, parts 0.01", 500005, False),
        ("iv-characteristic", "47 Ω, V to 1, A to 2 decimals, neither set, noise 0.004, parts 0.0", 500001, False),
    ],
)
def test_settings_that_leave_few_readings_open_carry_no_lead(
    practical: str, words: str, seed: int, *, together: bool
) -> None:
    """The same current at two benches leaves one p.d. open, even steps of one current say the same in every row."""
    (set_up,) = (made for one, way, made in CASES if (one, way) == (practical, words))
    assert messages(practical, simulate(practical, seed, set_up=set_up, together=together)) == []
