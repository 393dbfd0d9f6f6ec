"""How much of a thing a bench needs and how much the lesson: volumes, masses and lengths, not only pieces."""

from __future__ import annotations

import re
from decimal import Decimal

from rubrics.formulas import printed
from rubrics.model import Apparatus

_USED_UP = re.compile(r"(?:(?P<pieces>\d+) of them, )?(?P<size>\d+(?:\.\d+)?) (?P<unit>cm³|dm³|kg|g|m)(?![\w/])")
"""'0.100 mol/dm³, 120 cm³', '6 of them, 20 cm³ each': the amount, never the concentration before it."""
_SET = re.compile(r"(?P<size>\d+(?:\.\d+)?) (?P<unit>kg|g), (?P<pieces>\d+) in all")
"""A set of equal masses, '100 g, 7 in all'."""
_LARGER = {"cm³": "dm³", "g": "kg"}
"""Units that a thousand of are told in the next one."""


def amounts(one: Apparatus, benches: int) -> tuple[str, str]:
    """Return what a bench needs and what is needed in all: ('120 cm³', '1.44 dm³'), ('2', '24')."""
    lots = 1 if one.shared else benches
    found = _USED_UP.search(one.range) if one.consumable else None
    if found is not None:
        each = Decimal(found["size"]) * int(found["pieces"] or 1) * one.each
        return _sized(each, found["unit"]), _sized(each * lots, found["unit"])
    found = None if one.consumable else _SET.search(one.range)
    if found is not None:
        pieces = int(found["pieces"]) * one.each
        size = f"{found['size']} {found['unit']}"
        return f"{pieces} × {size}", f"{pieces * lots} × {size}"
    return str(one.each), str(one.each * lots)


def _sized(amount: Decimal, unit: str) -> str:
    if unit in _LARGER and amount >= 1000:
        amount, unit = amount / 1000, _LARGER[unit]
    plain = amount.normalize()
    return f"{printed(plain.quantize(Decimal(1)) if plain == plain.to_integral_value() else plain)} {unit}"
