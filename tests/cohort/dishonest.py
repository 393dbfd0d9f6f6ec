"""Write-ups that were not read off apparatus: copies, and readings worked back from book values."""

from __future__ import annotations

from random import Random

from msgspec.structs import replace

from marking.write_up import Entry, Student, WriteUp
from tests.cohort.simulated import Cell, write_up

FIGURES = "0123456789"


def copied(one: WriteUp, student: Student, chance: Random, *, changed: float = 0.0) -> WriteUp:
    """Return the pages of *one*, handed in by *student*; each digit is another one at a chance of *changed*."""
    return replace(
        one,
        student=student,
        singles={item: _altered(entry, chance, changed) for item, entry in one.singles.items()},
        columns={
            item: {row: _altered(entry, chance, changed) for row, entry in column.items()}
            for item, column in one.columns.items()
        },
    )


def _altered(entry: Entry, chance: Random, changed: float) -> Entry:
    if entry.value is None:
        return entry
    text = "".join(
        chance.choice(FIGURES.replace(sign, "")) if sign in FIGURES and chance.random() < changed else sign
        for sign in entry.raw
    )
    return replace(entry, raw=text, value=float(text))


def worked_back_combinations(student: Student, chance: Random, pair: tuple[float, float] = (10.0, 15.0)) -> WriteUp:
    """Return currents that look right, and the p.d.s that the resistors' labels make of them."""
    first, second = pair
    cells: dict[str, Cell | list[Cell]] = {}
    resistances = {
        "1": first,
        "2": second,
        "series": first + second,
        "parallel": first * second / (first + second),
    }
    for name, resistance in resistances.items():
        current = round(chance.uniform(2.5, 6.0) / resistance, 2)
        cells[f"V_{name}"] = (f"{current * resistance:.2f}", "V")
        cells[f"I_{name}"] = (f"{current:.2f}", "A")
    return write_up(student, "resistor-combinations", cells)


def ruled_wire(student: Student) -> WriteUp:
    """Return a wire whose p.d.s rise by the same step for the same length, to the last digit."""
    lengths = [0.1 * number for number in range(1, 9)]
    currents = [0.40, 0.41, 0.40, 0.39, 0.40, 0.41, 0.39, 0.40]
    resistances = [0.5 + 4.5 * length for length in lengths]
    volts = [current * resistance for current, resistance in zip(currents, resistances, strict=True)]
    return write_up(
        student,
        "wire-resistance",
        {
            "L": [(f"{length:.3f}", "m") for length in lengths],
            "V": [(f"{value:.4f}", "V") for value in volts],
            "I": [(f"{current:.2f}", "A") for current in currents],
        },
    )
