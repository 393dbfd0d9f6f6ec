"""What a sentence may quote of a finding, each made as it is printed: place, entry, readings, formula, any fact."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache, lru_cache, partial

from marking.findings import Basis, Finding, Outcome
from reports.wording.lettering import as_print, cut, one_line
from reports.wording.templates import fill, wording

LONGEST_FACT = 80
"""Characters of one quoted text inside a sentence; more would bury it."""
MOST_PLACES = "4"
"""Decimal places that are asked for by number."""
OPERATIONS = frozenset("÷×+−√⁻²³")


def _place(finding: Finding) -> str:
    """Return what a finding is about, with its row."""
    return _fact(finding, "quantity") or _named_place(finding)


def _own(finding: Finding) -> str:
    """Return what an answer has to follow from."""
    return "figures" if finding.basis is Basis.CARRIED_FORWARD else "readings"


def _entry(finding: Finding) -> str:
    """Return what was typed in the cell."""
    return _typed(finding, finding.entry)


def _unit_typed(finding: Finding) -> str:
    """Return what was typed as the unit."""
    return _typed(finding, finding.unit)


def _wrote(finding: Finding) -> str:
    """Return what was written, with its unit."""
    found = finding.facts.get("wrote", "")
    # Not kept, as other facts are: hardly two students wrote the same.
    return _shown(found) if found else f"{_entry(finding)} {_unit_typed(finding)}".strip()


def _readings(finding: Finding) -> str:
    """Return the readings behind an answer where they are single figures."""
    found = finding.facts.get("readings", "")  # 'your columns R and L' reads otherwise than 'V = 3.0 V'
    return "" if found.startswith("your ") else _shown(found)


def _columns(finding: Finding) -> str:
    """Return the readings behind an answer where they are whole columns."""
    found = _fact(finding, "readings")
    return found if found.startswith("your ") else ""


def _formula(finding: Finding) -> str:
    """Return the formula as a sentence names it."""
    return _named_formula(_fact(finding, "formula"))


def _working(finding: Finding) -> str:
    """Return the working; a number alone is no step, as where only the unit changes."""
    return found if OPERATIONS.intersection(found := _fact(finding, "working")) else ""


def _places_wanted(finding: Finding) -> str:
    """Return how many decimal places are wanted; the eight of a spreadsheet are asked of nobody."""
    found = _fact(finding, "places_wanted")
    return "" if len(found) > 1 or found > MOST_PLACES else _counted("places_wanted", found)


def _typed(finding: Finding, text: str) -> str:
    """Return what was typed: as print, or sign by sign where a teacher has to see how it was meant."""
    is_unclear = finding.outcome is Outcome.FOR_TEACHER
    return cut(one_line(text), LONGEST_FACT) if is_unclear else quoted(text)


def _fact(finding: Finding, name: str) -> str:
    """Return a fact of a finding as it is quoted; empty where it is not known."""
    found = finding.facts.get(name, "")
    return quoted(found) if found else ""


def _fact_counted(name: str, finding: Finding) -> str:
    return _counted(name, found) if (found := _fact(finding, name)) else ""


OF_FINDING: Mapping[str, Callable[[Finding], str]] = {
    "place": _place,
    "quantity": _place,
    "own": _own,
    "entry": _entry,
    "unit_typed": _unit_typed,
    "wrote": _wrote,
    "readings": _readings,
    "columns": _columns,
    "formula": _formula,
    "working": _working,
    "places_wanted": _places_wanted,
}
"""Slots that are made in a way of their own; any other is the fact of that name."""


@cache
def slot_of(name: str) -> Callable[[Finding], str]:
    """Return what makes a slot of a finding."""
    return OF_FINDING.get(name) or partial(_fact_counted, name)


_NO_BRACKETS = str.maketrans("", "", "() ")


def _letters(text: str) -> str:
    return text.translate(_NO_BRACKETS)


@lru_cache(maxsize=1024)  # a practical has a handful
def _named_formula(equation: str) -> str:
    """Return a formula as a sentence names it; empty where it holds no step, as in 'ρ in kg/m³ = ρ' or 't² = t²'."""
    left, _, right = equation.partition(" = ")
    if _letters(left) == _letters(right):
        return ""
    if right.startswith(("gradient ", "intercept ", "mean of ", "constant term ", "linear term ", "square term ")):
        return f"the {right}"
    return equation if OPERATIONS.intersection(right) or "(" in right else ""


@lru_cache(maxsize=4096)  # a class is told the same formula, and the same units, again and again
def quoted(text: str) -> str:
    """Return *text* as it stands inside a sentence."""
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


def _named_place(finding: Finding) -> str:
    item = one_line(finding.item)
    if not item:
        return f"criterion {one_line(finding.criterion)}"
    return item if finding.row is None else f"{item}, row {finding.row}"
