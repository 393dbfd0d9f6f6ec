"""Answers to simulated readings of a wire, worked out with care in plain arithmetic."""

from __future__ import annotations

from msgspec.structs import replace

from marking.write_up import WriteUp
from tests.cohort.simulated import written


def answered(one: WriteUp) -> WriteUp:
    """Return a wire's write-up with resistances and gradient to three figures."""
    lengths, volts, currents = ([_value(one, item, row) for row in one.columns[item]] for item in ("L", "V", "I"))
    resistances = [volt / current for volt, current in zip(volts, currents, strict=True)]
    middle_x, middle_y = sum(lengths) / len(lengths), sum(resistances) / len(resistances)
    gradient = sum((x - middle_x) * (y - middle_y) for x, y in zip(lengths, resistances, strict=True)) / sum(
        (x - middle_x) ** 2 for x in lengths
    )
    column = {row: written((f"{value:.3g}", "Ω")) for row, value in enumerate(resistances, 1)}
    return replace(
        one,
        columns={**one.columns, "R": column},
        singles={**one.singles, "gradient": written((f"{gradient:.3g}", "Ω/m"))},
    )


def _value(one: WriteUp, item: str, row: int) -> float:
    value = one.columns[item][row].value
    assert value is not None
    return value
