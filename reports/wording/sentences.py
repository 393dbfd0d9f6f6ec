"""Findings to sentences, from the lists in ``reasons.toml`` and ``causes.toml``.

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

from marking.findings import Basis, Cause, Explanation, Finding, Outcome
from reports.lettering import cut, one_line

SURE = 0.8
"""From this probability on, the sentence names the cause."""
LIKELY = 0.5
"""From this probability on, it says what the answer looks like."""
NEARLY_EQUAL = 0.75
"""A second explanation of at least this share of the first is named beside it."""
_ROUNDING = 1e-9
"""So that 0.30 counts as three quarters of 0.40."""
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


def _with_explanation(slots: Slots, explanation: Explanation) -> dict[str, str]:
    """Return *slots* and the facts of one explanation."""
    facts = {key: cut(one_line(fact), LONGEST_FACT) for key, fact in explanation.facts.items() if one_line(fact)}
    symbol = facts.get("input_symbol")
    if symbol and symbol == slots.get("symbol") and "given_unit" in facts:
        # The slip is in the answer's own unit, not in a value that was put in.
        facts["own_unit"] = facts["given_unit"]
    return {**slots, **facts}


def message(finding: Finding) -> str:
    """Return what *finding* tells the student: place, what was written, what it should follow from, how to mend it."""
    reason = wording("reasons")[finding.reason]
    sentences = [fill(reason["message"], slots_of(finding))]
    if reason.get("names_cause") and finding.outcome is Outcome.WITHHELD:
        sentences.append(explain(finding))
    if finding.outcome is Outcome.FOR_TEACHER and not reason.get("says_teacher"):
        sentences.append(wording("sheet")["teacher_decides"])
    return " ".join(sentence for sentence in sentences if sentence)


def explain(finding: Finding) -> str:
    """Return what to do about a wrong answer, worded as surely as its likeliest explanations allow."""
    slots = slots_of(finding)
    causes = wording("causes")
    ranked = _told_apart(finding.explanations, slots)
    if not ranked:
        return fill(causes[Cause.UNEXPLAINED]["check"], slots)
    chance, first = ranked[0]
    facts = _with_explanation(slots, first)
    if chance >= SURE:
        return fill(causes[first.cause]["sure"], facts)
    if _is_pair(ranked):
        return _both(slots, first, ranked[1][1])
    return fill(causes[first.cause]["likely" if chance >= LIKELY else "check"], facts)


def told_cause(finding: Finding) -> Cause:
    """Return the cause that the sentence names, UNEXPLAINED where it names none or two different ones."""
    ranked = _told_apart(finding.explanations, slots_of(finding))
    if not ranked:
        return Cause.UNEXPLAINED
    chance, first = ranked[0]
    if chance < SURE and _is_pair(ranked):
        return first.cause if ranked[1][1].cause is first.cause else Cause.UNEXPLAINED
    return first.cause if chance >= LIKELY else Cause.UNEXPLAINED


def _told_apart(explanations: tuple[Explanation, ...], slots: Slots) -> list[tuple[float, Explanation]]:
    """Return the explanations that a reader can tell apart, each with the probability of all that read alike."""
    alike: dict[str, tuple[float, Explanation]] = {}
    for explanation in explanations:
        facts = _with_explanation(slots, explanation)
        reading = explanation.facts.get("used") or fill(wording("causes")[explanation.cause]["pair"], facts)
        chance, first = alike.get(reading, (0.0, explanation))
        alike[reading] = (chance + explanation.probability, first)
    return sorted(alike.values(), key=lambda pair: -pair[0])


def _is_pair(ranked: list[tuple[float, Explanation]]) -> bool:
    """Tell whether exactly two explanations share the lead, both of them with something to say."""
    if len(ranked) < 2 or Cause.UNEXPLAINED in (ranked[0][1].cause, ranked[1][1].cause):
        return False
    floor = NEARLY_EQUAL * ranked[0][0] - _ROUNDING
    third_is_near = len(ranked) > 2 and ranked[2][0] >= floor
    return ranked[1][0] >= floor and ranked[0][0] + ranked[1][0] >= LIKELY and not third_is_near


def _both(slots: Slots, first: Explanation, second: Explanation) -> str:
    causes = wording("causes")
    pair = {
        "first": fill(causes[first.cause]["pair"], _with_explanation(slots, first)),
        "second": fill(causes[second.cause]["pair"], _with_explanation(slots, second)),
    }
    if first.facts.get("size") and first.facts.get("size") == second.facts.get("size"):
        pair["size"] = first.facts["size"]
    return fill(wording("sheet")["two_causes"], pair)
