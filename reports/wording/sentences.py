"""Findings to sentences, from the lists in ``reasons.toml``; what is said of causes stands in ``cause_sentences.py``.

A sentence is picked by what is known, never patched together from what is not: the first template
whose slots are all filled is used, and the last of each list needs no more than the place.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cache
from typing import NamedTuple

from msgspec import Struct

from marking.findings import Explanation, Finding, Outcome
from marking.reasons import Reason
from reports.wording.finding_slots import OF_FINDING, OPERATIONS, quoted, slot_of
from reports.wording.templates import joined, parts_of, raised, wording
from rubrics.faults import UnitError
from rubrics.units import define_unit

_ANSWERS = frozenset(("meant", "expected", "choice_expected"))
"""Facts that would tell a student the answer they are asked to work out."""
_CHANGE = ("given_unit", "needed_unit", "own_unit", "needed", "change")
_ROW = re.compile(r", row \d+$")
_ASIDE = re.compile(r" \([^()]* [^()]*\)")
"""What a results sheet explains of a quantity in brackets, which no sentence has room for."""


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
    used_quantity, used_value, right_quantity, right_value, meant, step, rule, angle, taken, prefix.
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
            found = slot_of(name)(self._finding) if self._of_finding is None else self._of_finding[name]
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
            return quoted(right) if right and right == _ROW.sub("", self["quantity"]) else ""
        if name == "own_unit":
            # The slip is in the answer's own unit, not in a value that was put in.
            symbol = facts.get("input_symbol")
            name = "given_unit" if symbol and symbol == self["symbol"] else "own_unit"
        if name in _DERIVED:
            return _DERIVED[name](quoted(facts.get("used", "")), quoted(facts.get("right", "")))
        if name == "missing" and facts.get(name) == facts.get("right"):
            return ""  # a square that is the whole formula: what was done in its place says more
        if name == "missing" and (left_out := facts.get(name, "")).isdigit():
            return f"the {left_out}"
        fact = quoted(facts.get(name, ""))
        return _ASIDE.sub("", fact) if name.endswith("_quantity") else fact


class _Part(NamedTuple):
    """A text of a template, with what makes the slot behind it."""

    text: str
    make: Callable[[Finding], str] | None
    """None where no slot is behind it."""
    is_raised: bool
    is_number: bool
    """Whether hardly two students have the same in that slot."""


_Made = tuple[_Part, ...]


@cache
def _made(reason: Reason) -> tuple[_Made, ...]:
    return tuple(
        tuple(
            _Part(text=text, make=slot_of(name) if name else None, is_raised=is_raised, is_number=name in _OF_NUMBERS)
            for text, name, is_raised in parts_of(template)
        )
        for template in wording("reasons")[reason]["message"]
    )


def said(finding: Finding) -> str:
    """Return what the reason of a finding says, as ``fill`` does with its slots, each of which is asked for once."""
    return _filled(_made(finding.reason), finding)


def _filled(templates: Iterable[_Made], finding: Finding) -> str:
    for parts in templates:
        found: list[str] = []
        for text, make, is_raised, _ in parts:
            found.append(text)
            if make is None:
                continue
            fact = make(finding)
            if not fact:
                break
            found.append(raised(fact) if is_raised else fact)
        else:
            return joined(found)
    return ""


_OF_FACTS = frozenset(("place", "quantity", "places_wanted"))


@cache
def facts_quoted(reason: Reason) -> tuple[str, ...] | None:
    """Return the facts that the sentence of a reason may quote; None where it may quote what the student wrote."""
    slots = _slots_of(reason)
    return None if slots & (OF_FINDING.keys() - _OF_FACTS) else tuple(sorted({*slots, "quantity"} - {"place"}))


class Quoted(Struct, frozen=True, kw_only=True):
    """All that the sentence of a reason depends on, beside what it is about and its outcome."""

    facts: tuple[str, ...]
    unit: bool
    """Whether the unit that was typed is quoted."""
    basis: bool
    """Whether it tells readings from figures that were carried forward."""

    def of(self, finding: Finding) -> object:
        """Return all of it in one finding, to tell it from others."""
        get = finding.facts.get
        key: object = get("quantity") if self.facts == _PLACE else tuple([get(name) for name in self.facts])
        if self.unit or self.basis:
            key = key, finding.unit if self.unit else "", finding.basis if self.basis else ""
        return key


_PLACE = ("quantity",)


@cache
def little_quoted(reason: Reason, outcome: Outcome) -> Quoted | None:
    """Return what a sentence may quote that many students get; None where it quotes numbers, or names a cause."""
    words = wording("reasons")[reason]
    if _slots_of(reason) & _OF_NUMBERS or (outcome is Outcome.WITHHELD and words.get("names_cause")):
        return None
    return _quoted_beside_numbers(reason)


@cache
def _quoted_beside_numbers(reason: Reason) -> Quoted:
    slots = _slots_of(reason)
    facts = ((slots - _OF_NUMBERS) | {"quantity"}) - {"place", "unit_typed", "own"}
    return Quoted(facts=tuple(sorted(facts)), unit="unit_typed" in slots, basis="own" in slots)


@cache
def _slots_of(reason: Reason) -> frozenset[str]:
    return frozenset(name for one in wording("reasons")[reason]["message"] for _, name, _ in parts_of(one) if name)


_OF_NUMBERS = frozenset(("entry", "wrote", "readings", "columns", "working", "carried", "expected"))
"""Slots that hold what hardly two students have in common."""


class Frames:
    """What a reason says of one thing with one outcome, with all put in but the numbers of a student."""

    __slots__ = ("_kept", "_quoted", "_reason")

    def __init__(self, reason: Reason) -> None:
        """Know no frame yet."""
        self._reason, self._quoted = reason, _quoted_beside_numbers(reason)
        self._kept: dict[object, tuple[_Made, ...]] = {}

    def said(self, finding: Finding) -> str:
        """Return what ``said`` does, of a finding about that thing."""
        key = self._quoted.of(finding)
        frames = self._kept.get(key)
        if frames is None:
            if len(self._kept) >= MOST_KEPT:
                self._kept.clear()
            frames = self._kept[key] = tuple(_framed(_made(self._reason), finding))
        return _filled(frames, finding)


MOST_KEPT = 512
"""Frames, or whole sentences, on one thing with one outcome; most have a handful."""


def _framed(templates: Iterable[_Made], finding: Finding) -> Iterator[_Made]:
    """Yield the templates that may fit, with what is no number put in."""
    for parts in templates:
        frame: list[_Part] = []
        before = ""
        for part in parts:
            before += part.text
            if part.make is None:
                continue
            if part.is_number:
                frame.append(part._replace(text=before))
                before = ""
                continue
            fact = part.make(finding)
            if not fact:
                break
            before += raised(fact) if part.is_raised else fact
        else:
            yield (*frame, _Part(text=before, make=None, is_raised=False, is_number=False))


@cache
def _is_one_quantity(unit: str, other: str) -> bool:
    """Tell whether two units measure one quantity; so they do where one of them is none of ours."""
    try:
        return define_unit(unit).dimension == define_unit(other).dimension
    except UnitError:
        return True


def _gave(used: str, _right: str) -> str:
    """Return what was done where it is no step: who wrote down L for L − L₀ did nothing to it."""
    return used if used and " " not in used and not OPERATIONS.intersection(used) else ""


def _lost_minus(used: str, right: str) -> str:
    return "minus sign" if used and right == f"−{used}" else ""


def _added_minus(used: str, right: str) -> str:
    return right if right and used == f"−{right}" and right[0].isdigit() else ""


_DERIVED = {"gave": _gave, "lost_minus": _lost_minus, "without_minus": _added_minus}
"""Slots that are worked out from what was done and what is right."""
