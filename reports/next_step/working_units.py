"""In which units a formula's numbers are put in, so that the sum gives the answer in the unit asked for.

0.100 mol/dm³ × 25.0 cm³ is no number of moles; 0.100 mol/dm³ × 0.0250 dm³ is. Nothing here knows of a practical: a
choice of units works out where the formula gives the same on plain numbers as it does in SI.
"""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Mapping, Sequence
from functools import lru_cache

from msgspec import Struct

from rubrics.formulas import Call, Name, Node, plain_value, walk
from rubrics.units import NO_DIMENSION, Unit, define_unit

_DEGREE = "°"
_COMMON = (
    "m", "cm", "mm", "m²", "cm²", "mm²", "m³", "dm³", "cm³", "kg", "g", "s", "min", "J", "kJ", "A", "V", "Ω", "mol",
    "1/m", "1/cm", "N", "Pa", "m/s", "kg/m³", "g/cm³",
)  # fmt: skip
"""Units a school works in, beside those that the rubric names."""
_MOST_WAYS = 4000
_PROBES = (0.37, 0.53, 0.71, 0.83, 0.59, 0.41, 0.67)
"""Any numbers will do to see whether units work out; these stay inside what sin and ln take."""
_TOLERANCE = 1e-9
_TOKEN = re.compile(r"[^\s/()·]+")
_OTHER_NAMES = {"ml": "cm³", "mL": "cm³", "l": "dm³", "L": "dm³", "litre": "dm³"}
_NEW_TOKEN, _OTHER_ANSWER = 10, 5


class WorkingUnits(Struct, frozen=True, kw_only=True):
    """The unit of each number that goes in, and of the number that comes out."""

    inputs: Mapping[str, Unit]
    answer: Unit


def usual_symbol(symbol: str) -> str:
    """Return the symbol that the formulas of a school use: a millilitre is a cm³."""
    return _OTHER_NAMES.get(symbol, symbol)


def is_angle(unit: Unit) -> bool:
    """Tell whether *unit* is the degree, which a calculator turns into a number by itself."""
    return unit.symbol == _DEGREE


def as_put_in(number: float, unit: Unit) -> float:
    """Return a number as a formula takes it: as it stands, an angle in radians."""
    return number * unit.factor if is_angle(unit) else number


def working_units(
    tree: Node, written: Mapping[str, Unit], usual: Mapping[str, Sequence[Unit]], wanted: Unit, others: Sequence[Unit]
) -> WorkingUnits | None:
    """Return the units to work in, with the fewest conversions and the fewest kinds of unit; None where none fit.

    Args:
        tree: The formula, without functions of columns.
        written: Name to the unit that its number was written in.
        usual: Name to the units that it may be changed to; empty for a constant.
        wanted: The unit that the answer is asked for in.
        others: Units that the sum may give instead, for a last change into *wanted*.
    """
    if any(isinstance(node, Call) and node.function not in ("sin", "cos", "tan", "sqrt", "ln") for node in walk(tree)):
        return None
    frozen = tuple((name, unit, tuple(usual.get(name, ()))) for name, unit in written.items())
    return _chosen(tree, frozen, wanted, tuple(others))


@lru_cache(maxsize=4096)
def _chosen(
    tree: Node, written: tuple[tuple[str, Unit, tuple[Unit, ...]], ...], wanted: Unit, others: tuple[Unit, ...]
) -> WorkingUnits | None:
    names = [name for name, _, _ in written]
    choices = [_choices(unit, usual) for _, unit, usual in written]
    if math.prod(map(len, choices)) > _MOST_WAYS:
        choices = [_choices(unit, usual, common=False) for _, unit, usual in written]
    if math.prod(map(len, choices)) > _MOST_WAYS:
        return None
    bare = (Unit(symbol="", factor=1.0, dimension=NO_DIMENSION),) if wanted.dimension == NO_DIMENSION else ()
    answers = [unit for unit in (wanted, *others, *bare) if unit.dimension == wanted.dimension]
    best: tuple[int, WorkingUnits] | None = None
    for units in itertools.product(*choices):
        for answer in answers:
            cost = _cost(units, [unit for _, unit, _ in written], answer, wanted)
            if (best is None or cost < best[0]) and _works_out(tree, names, units, answer):
                best = (cost, WorkingUnits(inputs=dict(zip(names, units, strict=True)), answer=answer))
    return best[1] if best else None


def _choices(unit: Unit, usual: Sequence[Unit], *, common: bool = True) -> list[Unit]:
    """Return the written unit first, then what it may be changed to, each size once."""
    if not usual:
        return [unit]  # a constant stands as the rubric gives it
    near = [one for one in usual if one.dimension == unit.dimension and one.offset == unit.offset]
    if common and unit.offset == 0.0:
        near += [one for one in _common() if one.dimension == unit.dimension]
    found = {unit.factor: unit}
    for one in near:
        found.setdefault(one.factor, one)
    return list(found.values())


@lru_cache(maxsize=1)
def _common() -> tuple[Unit, ...]:
    return tuple(define_unit(symbol) for symbol in _COMMON)


def _cost(units: Sequence[Unit], written: Sequence[Unit], answer: Unit, wanted: Unit) -> int:
    tokens = {usual_symbol(token) for unit in (*units, answer) for token in _TOKEN.findall(unit.symbol)}
    changed = sum(one.factor != other.factor for one, other in zip(units, written, strict=True))
    return _NEW_TOKEN * len(tokens) + changed + (_OTHER_ANSWER if answer.factor != wanted.factor else 0)


def _works_out(tree: Node, names: Sequence[str], units: Sequence[Unit], answer: Unit) -> bool:
    """Tell whether plain numbers in *units* give the number that SI gives, read in *answer*."""
    probes = dict(zip(names, itertools.cycle(_PROBES), strict=False))
    plain = {name: as_put_in(probes[name], unit) for name, unit in zip(names, units, strict=True)}
    in_si = {name: probes[name] * unit.factor + unit.offset for name, unit in zip(names, units, strict=True)}
    came_out = plain_value(tree, plain)
    right = (plain_value(tree, in_si) - answer.offset) / answer.factor
    return math.isfinite(came_out) and math.isclose(came_out, right, rel_tol=_TOLERANCE)


@lru_cache(maxsize=1024)
def uses_columns(tree: Node) -> bool:
    """Tell whether a formula asks for whole columns."""
    return any(isinstance(node, Call) and node.columns for node in walk(tree))


@lru_cache(maxsize=1024)
def names_of(tree: Node) -> tuple[str, ...]:
    """Return the names that a formula uses, pi left out, in order."""
    return tuple(dict.fromkeys(node.name for node in walk(tree) if isinstance(node, Name) and node.name != "pi"))
