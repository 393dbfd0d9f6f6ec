"""Findings to sentences, from the lists in ``reasons.toml``; what is said of causes stands in ``explaining.py``.

A sentence is picked by what is known, never patched together from what is not: the first template
whose slots are all filled is used, and the last of each list needs no more than the place.
"""

from __future__ import annotations

import re
import string
from collections.abc import Callable, Iterable, Mapping
from functools import cache, lru_cache
from importlib import resources
from typing import Any

import rtoml
from msgspec import Struct

from marking.findings import Basis, Explanation, Finding, Outcome
from marking.reasons import Reason
from reports.wording.lettering import as_print, cut, one_line
from rubrics.faults import UnitError
from rubrics.units import define_unit

LONGEST_FACT = 80
"""Characters of one quoted text inside a sentence; more would bury it."""


MOST_PLACES = "4"
"""Decimal places that are asked for by number."""

_QUESTION = re.compile(r"\?: (.)")
"""Where a quantity is a question, the sentence after it starts afresh: 'Is it proportional? You wrote ...'."""
_ANSWERS = frozenset(("meant", "expected", "choice_expected"))
"""Facts that would tell a student the answer they are asked to work out."""
_CHANGE = ("given_unit", "needed_unit", "own_unit", "needed", "change")
_ROW = re.compile(r", row \d+$")
_ASIDE = re.compile(r" \([^()]* [^()]*\)")
"""What a results sheet explains of a quantity in brackets, which no sentence has room for."""
_OPERATIONS = frozenset("÷×+−√⁻²³")


@cache
def wording(name: str) -> Mapping[str, Any]:
    """Return the file *name*.toml of this folder."""
    return rtoml.loads(resources.files("reports.wording").joinpath(f"{name}.toml").read_text(encoding="utf-8"))


@cache
def _parts_of(template: str) -> tuple[tuple[str, str, bool], ...]:
    """Return a template as texts, each with the slot behind it and whether it is raised; the last may have none."""
    parts = ((text, name or "") for text, name, _, _ in string.Formatter().parse(template))
    return tuple((text, name.lower(), name[:1].isupper()) for text, name in parts)


def fill(templates: Iterable[str], slots: Mapping[str, str]) -> str:
    """Return the first of *templates* whose slots are all known, filled; empty where none fits.

    A slot with a capital takes the same fact with its first letter raised.
    """
    for template in templates:
        parts: list[str] = []
        for text, name, is_raised in _parts_of(template):
            parts.append(text)
            if not name:
                continue
            try:
                fact = slots[name]  # not get(): Slots are made on the first look
            except KeyError:
                break
            if not fact:
                break
            parts.append(_raised(fact) if is_raised else fact)
        else:
            filled = "".join(parts)
            return _QUESTION.sub(lambda found: f"? {found[1].upper()}", filled) if "?: " in filled else filled
    return ""


@lru_cache(maxsize=1024)
def _raised(fact: str) -> str:
    """Return *fact* with a capital where it starts with a word, not with a symbol."""
    if len(fact) > 1 and fact[0].islower() and (fact[1].islower() or fact[1] == "."):
        return fact[0].upper() + fact[1:]
    return fact


class Slots(dict[str, str]):
    """What a template may quote, made ready only when a template asks for it; an unknown name is empty.

    From every finding: place, quantity, own ('readings' or 'figures'), entry, unit_typed, wrote.
    From ``Finding.facts``, where known: symbol, readings (or columns, where it is about whole columns), formula,
    working, expected, unit, figures, figures_wanted, rows, rows_wanted, lowest, highest, span, span_wanted, each_way,
    near, near_wanted, places_wanted, carried, choice, choice_expected, point,
    range_low, range_high, whose, rises, odd, triangle, from_points.
    From ``Explanation.facts``, where known: input, changed, given, needed, change, given_unit, needed_unit, own_unit,
    size, used, right, gave ('used' where nothing was done to it), lost_minus (where 'right' is minus 'used'),
    without_minus (where 'used' is minus 'right'), box_for, missing,
    used_quantity, used_value, right_quantity, right_value, meant, step, rule, angle.
    From the sheet: count.
    """

    __slots__ = ("_explanation", "_finding", "_hides_answer", "_of_finding")

    def __init__(
        self,
        finding: Finding,
        explanation: Explanation | None = None,
        *,
        hides_answer: bool = False,
        of_finding: Slots | None = None,
    ) -> None:
        """Take the finding, the explanation whose facts may be quoted, and whether the answer is kept back.

        *of_finding*, the slots of the same finding without an explanation, spares making those of the finding anew.
        """
        self._finding, self._explanation, self._hides_answer = finding, explanation, hides_answer
        self._of_finding = of_finding

    def __missing__(self, name: str) -> str:
        if self._hides_answer and (name in _ANSWERS or (name == "needed" and self["own_unit"])):
            return ""
        found = "" if self._explanation is None else self._explained(name, self._explanation.facts)
        if not found:
            found = self._told(name) if self._of_finding is None else self._of_finding[name]
        self[name] = found
        return found

    def explained(self, explanation: Explanation) -> Slots:
        """Return these slots with what is known of one explanation."""
        return Slots(self._finding, explanation, hides_answer=self._hides_answer, of_finding=self)

    def _explained(self, name: str, facts: Mapping[str, str]) -> str:
        if name in _CHANGE and not _is_one_quantity(facts.get("given_unit", ""), facts.get("needed_unit", "")):
            return ""  # from mol/dm³ to mol is no change of unit that anybody could make
        if name == "box_for":
            # Another answer stands in this box, rather than in the formula.
            right = facts.get("right_quantity", "")
            return _quoted(right) if right and right == _ROW.sub("", self["quantity"]) else ""
        if name == "own_unit":
            # The slip is in the answer's own unit, not in a value that was put in.
            symbol = facts.get("input_symbol")
            name = "given_unit" if symbol and symbol == self["symbol"] else "own_unit"
        if name in _DERIVED:
            return _DERIVED[name](_quoted(facts.get("used", "")), _quoted(facts.get("right", "")))
        if name == "missing" and facts.get(name) == facts.get("right"):
            return ""  # a square that is the whole formula: what was done in its place says more
        if name == "missing" and (left_out := facts.get(name, "")).isdigit():
            return f"the {left_out}"
        fact = _quoted(facts.get(name, ""))
        return _ASIDE.sub("", fact) if name.endswith("_quantity") else fact

    def _told(self, name: str) -> str:
        special = _OF_FINDING.get(name)
        if special is not None:
            return special(self)
        return _counted(name, found) if (found := self.fact(name)) else ""

    def place(self) -> str:
        """Return what the finding is about, with its row."""
        return self.fact("quantity") or _place(self._finding)

    def own(self) -> str:
        """Return what an answer has to follow from."""
        return "figures" if self._finding.basis is Basis.CARRIED_FORWARD else "readings"

    def entry(self) -> str:
        """Return what was typed in the cell."""
        return self._typed(self._finding.entry)

    def unit_typed(self) -> str:
        """Return what was typed as the unit."""
        return self._typed(self._finding.unit)

    def wrote(self) -> str:
        """Return what was written, with its unit."""
        return self.fact("wrote") or f"{self['entry']} {self['unit_typed']}".strip()

    def readings(self) -> str:
        """Return the readings behind an answer where they are single figures."""
        found = self._finding.facts.get("readings", "")  # 'your columns R and L' reads otherwise than 'V = 3.0 V'
        return "" if found.startswith("your ") else _shown(found)

    def columns(self) -> str:
        """Return the readings behind an answer where they are whole columns."""
        found = self.fact("readings")
        return found if found.startswith("your ") else ""

    def formula(self) -> str:
        """Return the formula as a sentence names it."""
        return _named_formula(self.fact("formula"))

    def working(self) -> str:
        """Return the working; a number alone is no step, as where only the unit changes."""
        return found if _OPERATIONS.intersection(found := self.fact("working")) else ""

    def places_wanted(self) -> str:
        """Return how many decimal places are wanted; the eight of a spreadsheet are asked of nobody."""
        found = self.fact("places_wanted")
        return "" if len(found) > 1 or found > MOST_PLACES else _counted("places_wanted", found)

    def _typed(self, text: str) -> str:
        """Return what was typed: as print, or sign by sign where a teacher has to see how it was meant."""
        is_unclear = self._finding.outcome is Outcome.FOR_TEACHER
        return cut(one_line(text), LONGEST_FACT) if is_unclear else _quoted(text)

    def fact(self, name: str) -> str:
        """Return a fact of the finding as it is quoted; empty where it is not known."""
        found = self._finding.facts.get(name, "")
        return _quoted(found) if found else ""


_OF_FINDING: Mapping[str, Callable[[Slots], str]] = {
    "place": Slots.place,
    "quantity": Slots.place,
    "own": Slots.own,
    "entry": Slots.entry,
    "unit_typed": Slots.unit_typed,
    "wrote": Slots.wrote,
    "readings": Slots.readings,
    "columns": Slots.columns,
    "formula": Slots.formula,
    "working": Slots.working,
    "places_wanted": Slots.places_wanted,
}
"""Slots that are made in a way of their own; any other is the fact of that name."""


_OF_FACTS = frozenset(("place", "quantity", "places_wanted"))


@cache
def facts_quoted(reason: Reason) -> tuple[str, ...] | None:
    """Return the facts that the sentence of a reason may quote; None where it may quote what the student wrote."""
    slots = {name for template in wording("reasons")[reason]["message"] for _, name, _ in _parts_of(template) if name}
    return None if slots & (_OF_FINDING.keys() - _OF_FACTS) else tuple(sorted({*slots, "quantity"} - {"place"}))


class Quoted(Struct, frozen=True, kw_only=True):
    """All that the sentence of a reason depends on, beside what it is about and its outcome."""

    facts: tuple[str, ...]
    unit: bool
    """Whether the unit that was typed is quoted."""
    basis: bool
    """Whether it tells readings from figures that were carried forward."""


@cache
def little_quoted(reason: Reason, outcome: Outcome) -> Quoted | None:
    """Return what a sentence may quote that many students get; None where it quotes numbers, or names a cause."""
    words = wording("reasons")[reason]
    slots = {name for template in words["message"] for _, name, _ in _parts_of(template) if name}
    if slots & _OF_NUMBERS or (outcome is Outcome.WITHHELD and words.get("names_cause")):
        return None
    facts = (slots | {"quantity"}) - {"place", "unit_typed", "own"}
    return Quoted(facts=tuple(sorted(facts)), unit="unit_typed" in slots, basis="own" in slots)


_OF_NUMBERS = frozenset(("entry", "wrote", "readings", "columns", "working", "carried", "expected"))
"""Slots that hold what hardly two students have in common."""


@cache
def _is_one_quantity(unit: str, other: str) -> bool:
    """Tell whether two units measure one quantity; so they do where one of them is none of ours."""
    try:
        return define_unit(unit).dimension == define_unit(other).dimension
    except UnitError:
        return True


_NO_BRACKETS = str.maketrans("", "", "() ")


def _letters(text: str) -> str:
    return text.translate(_NO_BRACKETS)


def _gave(used: str, _right: str) -> str:
    """Return what was done where it is no step: who wrote down L for L − L₀ did nothing to it."""
    return used if used and " " not in used and not _OPERATIONS.intersection(used) else ""


def _lost_minus(used: str, right: str) -> str:
    return "minus sign" if used and right == f"−{used}" else ""


def _added_minus(used: str, right: str) -> str:
    return right if right and used == f"−{right}" and right[0].isdigit() else ""


_DERIVED = {"gave": _gave, "lost_minus": _lost_minus, "without_minus": _added_minus}
"""Slots that are worked out from what was done and what is right."""


@lru_cache(maxsize=1024)  # a practical has a handful
def _named_formula(equation: str) -> str:
    """Return a formula as a sentence names it; empty where it holds no step, as in 'ρ in kg/m³ = ρ' or 't² = t²'."""
    left, _, right = equation.partition(" = ")
    if _letters(left) == _letters(right):
        return ""
    if right.startswith(("gradient ", "intercept ", "mean of ", "constant term ", "linear term ", "square term ")):
        return f"the {right}"
    return equation if _OPERATIONS.intersection(right) or "(" in right else ""


@lru_cache(maxsize=4096)  # a class is told the same formula, and the same units, again and again
def _quoted(text: str) -> str:
    return _shown(text)


def _shown(text: str) -> str:
    """Return *text* on one line and short enough to stand inside a sentence."""
    return cut(as_print(one_line(text)), LONGEST_FACT)


def places_words(count: int) -> str:
    """Return '1 decimal place', '2 decimal places'."""
    return _counted("places_wanted", str(count))


@lru_cache(maxsize=4096)
def _counted(key: str, fact: str) -> str:
    """Return a fact that is a number with its noun, '1 reading' or '8 readings'; any other fact unchanged."""
    nouns = wording("sheet")["counted"].get(key)
    return fill([nouns[0 if fact == "1" else 1]], {"n": fact}) if nouns and fact else fact


def _place(finding: Finding) -> str:
    item = one_line(finding.item)
    if not item:
        return f"criterion {one_line(finding.criterion)}"
    return item if finding.row is None else f"{item}, row {finding.row}"
