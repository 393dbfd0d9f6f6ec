"""What is printed, worked out a second time: by pint and plain arithmetic on the printed text alone."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from functools import cache

import pint

from rubrics.formulas import Call, Formula, Name
from rubrics.model import Rubric

UNITS: pint.UnitRegistry = pint.UnitRegistry()  # type: ignore[type-arg]
SIGNS = str.maketrans({"×": "*", "÷": "/", "−": "-", "\u202f": "", "\u00a0": "", "[": "(", "]": ")"})
POWERS = str.maketrans("⁻⁰¹²³⁴⁵⁶⁷⁸⁹", "-0123456789")
NUMBER = r"−?\d[\d\u202f]*(?:\.\d+)?(?: × 10[⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+)?"
NAMES = {
    "pi": math.pi, "radians": math.radians, "sin": math.sin, "sqrt": math.sqrt, "ln": math.log, "cos": math.cos,
    "abs": abs, "min": min, "max": max, "exp": math.exp, "log10": math.log10, "tan": math.tan,
    "asin": math.asin,
}  # fmt: skip


@cache
def factor(symbol: str) -> float:
    """Return how many SI units one of *symbol* is, by pint; a change of temperature for a temperature."""
    plain = symbol.replace("°C", "delta_degC").replace(" ", "*").replace("count", "dimensionless")
    plain = re.sub(r"[⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+", lambda found: f"**{found[0].translate(POWERS)}", plain)
    plain = plain.replace("°", "degree").replace("%", "percent").replace("Ω", "ohm").replace("µ", "u")
    return float(UNITS.Quantity(1, plain).to_base_units().magnitude) if plain else 1.0


def worked(text: str, **names: float) -> float:
    """Return what a printed sum comes to; *names* are words that stand in it for a number."""
    plain = re.sub(r"10([⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+)", lambda found: f"10**({found[1].translate(POWERS)})", text)
    plain = re.sub(r"([⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+)", lambda found: f"**({found[1].translate(POWERS)})", plain)
    plain = re.sub(r"\((-?[\d.]+)°\)|([\d.]+)°", lambda found: f"(radians({found[1] or found[2]}))", plain)
    return float(eval(plain.translate(SIGNS).replace("π", "pi"), {"__builtins__": {}}, {**NAMES, **names}))


def valued(text: str) -> tuple[float, str]:
    """Return number and unit of '24.6 kJ' or '1.2 × 10⁻³ m'."""
    found = re.fullmatch(rf"({NUMBER})(.*)", text.strip())
    assert found, text
    return worked(found[1]), found[2].strip()


def in_si(text: str) -> float:
    """Return a printed value in SI units."""
    number, unit = valued(text)
    return number * factor(unit)


def changes_of_unit(text: str) -> Iterator[tuple[str, str]]:
    """Yield both sides of every 'm = 998 g = 0.998 kg' or '998 g = 0.998 kg' in a text."""
    unit = r"[^\W\d_°%][^\s,;:.=()]*(?:/\([^)]*\))?"
    for found in re.finditer(rf"({NUMBER} {unit}) = ({NUMBER} {unit})(?![\w⁻²³])", text):
        if all(_is_known(valued(side)[1]) for side in found.groups()):  # a student may have written 'Cm' or 'grams'
            yield found[1], found[2]


def _is_known(symbol: str) -> bool:
    try:
        factor(symbol)
    except pint.UndefinedUnitError:
        return False
    return True


def given_in(text: str) -> dict[str, str]:
    """Return symbol to value of 'm = 640 g, V = 20 cm³ and t = 1 s'; several values of one symbol stay together."""
    parts = re.split(r"(?:, | and )(?=[^,=]+ = )", text)
    return dict(part.split(" = ", 1) for part in parts)


def from_given(rubric: Rubric, formula: Formula, given: Mapping[str, str]) -> float:
    """Return a rubric's formula on printed values, in SI; an answer that is not given follows from its own formula.

    Raises:
        KeyError: A reading is not given, or two items share a symbol.
    """
    by_symbol: dict[str, list[str]] = {}
    for item in rubric.items.values():
        by_symbol.setdefault(item.symbol.replace("_", " "), []).append(item.name)
    known = {name: text for symbol, text in given.items() for name in by_symbol.get(symbol, [])}

    def value(name: str) -> float:
        if name in known:
            return in_si(known[name])
        if name in rubric.constants:
            one = rubric.constants[name]
            return one.values[0] * factor(one.unit.symbol)
        inner = rubric.items[name].formula
        if inner is None:
            raise KeyError(name)
        return evaluate(inner)

    def evaluate(one: Formula) -> float:
        tree = one.tree
        if isinstance(tree, Call) and tree.function == "mean":
            first = tree.arguments[0]
            if not tree.is_along_row and isinstance(first, Name) and first.name not in known:
                return value(first.name)  # the first row of a column that is missing
            if not tree.is_along_row and isinstance(first, Name):
                *texts, last = re.split(r", ", known[first.name])
                number, unit = valued(last)
                return (sum(map(worked, texts)) + number) / (len(texts) + 1) * factor(unit)
            values = [value(name.name) for name in tree.arguments if isinstance(name, Name) and name.name in known]
            return sum(values) / len(values)
        names = {name: value(name) for name in one.names}
        return float(eval(one.text, {"__builtins__": {}}, {**NAMES, **names}))

    return evaluate(formula)


def printed_to(number: float) -> float:
    """Return how far, as a share, a printed number may lie from what it was rounded from."""
    text = f"{number:.12g}"
    places = len(text.partition(".")[2]) if "." in text else 0
    half = 0.51 * 10.0**-places
    return max(0.006 if places else 0.05, half / max(abs(number) - half, half))
