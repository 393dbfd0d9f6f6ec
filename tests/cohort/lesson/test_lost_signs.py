"""Minus signs that a whole column lost are told; a diode that lets nothing back is not."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from marking.cohort.lesson import lesson_notes
from marking.write_up import WriteUp
from tests.cohort.simulated import rubric_of, simulate, students, write_up, written

PRACTICAL = "iv-characteristic"


def told(write_ups: list[WriteUp]) -> list[tuple[tuple[str, ...], tuple[str, ...]]]:
    """Return students and items of the notes on lost signs."""
    notes = lesson_notes(rubric_of(PRACTICAL), write_ups)
    return [(note.students, note.items) for note in notes if "no minus signs" in note.message]


@pytest.mark.parametrize("lost", [("V",), ("I",), ("V", "I")])
def test_a_column_without_its_minus_signs_is_told(lost: tuple[str, ...]) -> None:
    """Of p.d.s, of currents, or of both."""
    write_ups = list(simulate(PRACTICAL, 3))
    columns = {
        name: {row: written((entry.raw.lstrip("-"), entry.unit_raw)) for row, entry in column.items()}
        if name in lost
        else column
        for name, column in write_ups[4].columns.items()
    }
    write_ups[4] = replace(write_ups[4], columns=columns)
    assert told(write_ups) == [(("S05",), lost)]


@pytest.mark.parametrize("seed", range(5))
def test_sound_classes_are_not_told(seed: int) -> None:
    """Thirty sheets with readings both ways."""
    assert told(list(simulate(PRACTICAL, seed))) == []


def test_a_diode_that_lets_nothing_back_has_lost_no_sign() -> None:
    """P.d.s of both signs and no current backwards."""
    (student,) = students(1)
    volts = ("-5.00", "-2.00", "-1.00", "0.60", "0.70", "0.75")
    amps = ("0.0000", "0.0000", "0.0001", "0.0010", "0.0100", "0.0400")
    cells = {"V": [(v, "V") for v in volts], "I": [(i, "A") for i in amps]}
    assert told([write_up(student, PRACTICAL, {"component": ("diode", ""), **cells})]) == []


def test_a_diode_without_its_minus_signs_is_told_alone() -> None:
    """No current at 5 V and 2 V where 0.7 V drives one: those were the other way round. One such row is a slip."""
    (student,) = students(1)
    amps = ("0.0000", "0.0000", "0.0000", "0.0010", "0.0100", "0.0400")
    for volts, wanted in (
        (("5.00", "2.00", "1.00", "0.60", "0.70", "0.75"), [(("S01",), ("V",))]),
        (("5.00", "0.20", "0.40", "0.60", "0.70", "0.75"), []),
        (("0.00", "0.20", "0.40", "0.60", "0.70", "0.75"), []),
    ):
        cells = {"V": [(v, "V") for v in volts], "I": [(i, "A") for i in amps]}
        assert told([write_up(student, PRACTICAL, {"component": ("diode", ""), **cells})]) == wanted
