"""Whether a constant in °C is a temperature or a change: only the formulas that use it tell."""

from __future__ import annotations

from msgspec.structs import replace

from rubrics.faults import FormulaError
from rubrics.formulas import Formula, Kind, kind_of
from rubrics.model import Constant, Item


def settle_constants(items: dict[str, Item], constants: dict[str, Constant]) -> None:
    """Make each constant in °C a change where a formula takes it as an amount; else it stays a temperature.

    ``T_2 - T_0`` with a constant T_0 of 0 °C is a difference of two temperatures; ``k * d`` with a d of 5 °C is not.
    """
    for name, constant in constants.items():
        if not constant.unit.offset:
            continue
        formulas = [
            f for item in items.values() for f in (item.formula, *item.also) if f is not None and name in f.names
        ]
        if not all(_fits(formula, items, constants) for formula in formulas):
            constants[name] = replace(constant, unit=constant.unit.as_change())


def _fits(formula: Formula, items: dict[str, Item], constants: dict[str, Constant]) -> bool:
    kinds = {n: Kind(i.unit.dimension, bool(i.unit.offset)) for n, i in items.items()}
    kinds |= {n: Kind(c.unit.dimension, bool(c.unit.offset)) for n, c in constants.items()}
    try:
        kind_of(formula.tree, kinds)
    except (FormulaError, KeyError):
        return False
    return True
