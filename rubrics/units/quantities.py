"""What arithmetic needs of a unit, put together from its symbols: its factor to SI, its dimension, its offset."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from functools import cache

from rubrics.units.grammar import MAX_POWER, parse
from rubrics.units.scales import TEN, scale_of
from rubrics.units.signs import tidy
from rubrics.units.spellings import spelling_table
from rubrics.units.unit_record import NO_DIMENSION, Unit

Terms = tuple[tuple[str, int], ...]
"""Our own symbols with their powers, in the order they were written; a symbol stands once, no power is 0."""

MAX_TENS = 30
_RAISED = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")


def merge(factors: Iterable[tuple[str, int]]) -> Terms | None:
    """Return *factors* with each symbol once; None where a power grows beyond what any unit has."""
    powers: dict[str, int] = {}
    for symbol, power in factors:
        powers[symbol] = powers.get(symbol, 0) + power
    if any(abs(power) > (MAX_TENS if symbol == TEN else MAX_POWER) for symbol, power in powers.items()):
        return None
    return tuple((symbol, power) for symbol, power in powers.items() if power)


@cache
def terms_of(text: str) -> Terms:
    """Return the terms of a unit in our own symbols: 'mol/dm³', 'J/(kg °C)'.

    Raises:
        ValueError: The text is not in our own symbols.
    """
    table = spelling_table()
    plain = tidy(text)
    expression = parse(plain, table.phrases) if plain else None
    if expression is None or any(factor.word not in table.defined for factor in expression.factors):
        raise ValueError(f"{text!r} is not in our own symbols")
    return merge(((TEN, expression.tens), *((factor.word, factor.power) for factor in expression.factors))) or ()


def compose(terms: Terms) -> Unit:
    """Return the unit of *terms*; a temperature scale standing alone keeps its offset."""
    factor, exponents = Fraction(1), [0] * len(NO_DIMENSION)
    for symbol, power in terms:
        scale = scale_of(symbol)
        factor *= scale.factor**power
        exponents = [total + power * own for total, own in zip(exponents, scale.dimension, strict=True)]
    length, mass, time, current, temperature, amount, luminosity = exponents
    offset = scale_of(terms[0][0]).offset if len(terms) == 1 and terms[0][1] == 1 else Fraction(0)
    return Unit(
        symbol=_print(terms),
        factor=float(factor),
        dimension=(length, mass, time, current, temperature, amount, luminosity),
        offset=float(offset),
    )


def _print(terms: Terms) -> str:
    tens = "".join(_raise(symbol, power) for symbol, power in terms if symbol == TEN)
    rest = _print_units(tuple(term for term in terms if term[0] != TEN))
    return f"{tens}{rest[1:]}" if tens and rest.startswith("1/") else f"{tens} {rest}".strip()


def _print_units(terms: Terms) -> str:
    above = [_raise(symbol, power) for symbol, power in terms if power > 0]
    below = [_raise(symbol, -power) for symbol, power in terms if power < 0]
    if not below:
        return " ".join(above)
    under = f"({' '.join(below)})" if len(below) > 1 else below[0]
    return f"{' '.join(above) or '1'}/{under}"


def _raise(symbol: str, power: int) -> str:
    is_bare = power == 1 and symbol != TEN  # "10 Ω" would be ten of them
    return symbol if is_bare else symbol + str(power).translate(_RAISED)
