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
