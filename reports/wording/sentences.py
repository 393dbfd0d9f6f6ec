"""Findings to sentences, from the lists in ``reasons.toml``; what is said of causes stands in ``explaining.py``.

A sentence is picked by what is known, never patched together from what is not: the first template
whose slots are all filled is used, and the last of each list needs no more than the place.
"""

from __future__ import annotations

import string
import tomllib
from collections.abc import Iterable, Mapping
from functools import cache
from importlib import resources
from typing import Any

from marking.findings import Basis, Finding
from reports.lettering import cut, one_line

LONGEST_FACT = 80
"""Characters of one quoted text inside a sentence; more would bury it."""

Slots = Mapping[str, str]
"""What a template may quote.

From every finding: place, quantity, own ('readings' or 'figures'), entry, unit_typed, wrote.
From ``Finding.facts``, where known: symbol, readings (or columns, where it is about whole columns), formula, working,
expected, unit, figures, figures_wanted, rows, rows_wanted, lowest, highest, span, span_wanted, each_way, near,
near_wanted, places_wanted, carried, choice, choice_expected, point.
From ``Explanation.facts``, where known: input, given, needed, given_unit, needed_unit, own_unit, size, used, right,
missing, used_quantity, used_value, right_quantity, right_value, meant, step.
From the sheet: count.
"""


@cache
def wording(name: str) -> Mapping[str, Any]:
    """Return the file *name*.toml of this folder."""
    return tomllib.loads(resources.files("reports.wording").joinpath(f"{name}.toml").read_text(encoding="utf-8"))


@cache
def _slots_of(template: str) -> tuple[str, ...]:
    return tuple(name for _, name, _, _ in string.Formatter().parse(template) if name)


def fill(templates: Iterable[str], slots: Slots) -> str:
    """Return the first of *templates* whose slots are all known, filled; empty where none fits.

    A slot with a capital takes the same fact with its first letter raised.
    """
    for template in templates:
        names = _slots_of(template)
        if all(slots.get(name.lower()) for name in names):
            return template.format_map({name: _as_named(name, slots[name.lower()]) for name in names})
    return ""


def _as_named(name: str, fact: str) -> str:
    """Return *fact*, with a capital where the slot has one and *fact* starts with a word, not with a symbol."""
    if name[0].isupper() and len(fact) > 1 and fact[0].islower() and (fact[1].islower() or fact[1] == "."):
        return fact[0].upper() + fact[1:]
    return fact


def slots_of(finding: Finding) -> dict[str, str]:
    """Return what the sentences about *finding* may quote; every value is on one line and short."""
    known = {key: cut(one_line(fact), LONGEST_FACT) for key, fact in finding.facts.items()}
    slots = {key: _counted(key, fact) for key, fact in known.items() if fact}
    if slots.get("readings", "").startswith("your "):  # 'your columns R and L', not 'V = 3.0 V'
        slots["columns"] = slots.pop("readings")
    slots["place"] = slots.get("quantity") or _place(finding)
    slots.setdefault("quantity", slots["place"])
    slots["own"] = "figures" if finding.basis is Basis.CARRIED_FORWARD else "readings"
    slots["entry"] = cut(one_line(finding.entry), LONGEST_FACT)
    slots["unit_typed"] = cut(one_line(finding.unit), LONGEST_FACT)
    slots.setdefault("wrote", f"{slots['entry']} {slots['unit_typed']}".strip())
    return slots


def _counted(key: str, fact: str) -> str:
    """Return a fact that is a number with its noun, '1 reading' or '8 readings'; any other fact unchanged."""
    nouns = wording("sheet")["counted"].get(key)
    return fill([nouns[0 if fact == "1" else 1]], {"n": fact}) if nouns else fact


def _place(finding: Finding) -> str:
    item = one_line(finding.item)
    if not item:
        return f"criterion {one_line(finding.criterion)}"
    return item if finding.row is None else f"{item}, row {finding.row}"
