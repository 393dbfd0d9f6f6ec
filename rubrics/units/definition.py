"""The units that the author of a rubric names."""

from __future__ import annotations

from functools import cache

from rubrics.faults import UnitError
from rubrics.units.grammar import MAX_POWER, parse
from rubrics.units.quantities import Terms, compose, merge, terms_of
from rubrics.units.scales import TEN
from rubrics.units.signs import tidy
from rubrics.units.spellings import spelling_table
from rubrics.units.unit_names import Context, candidates
from rubrics.units.unit_record import Unit

_SHOWN = 40
"""Signs of a faulty unit that the message repeats."""


@cache
def define_unit(text: str) -> Unit:
    """Return the unit that *text* names, its symbol in our own spelling: J/(kg °C), cm³, Ω/m.

    An author is held to more than a student: spellings that would cost a student a note are refused. A
    single °C is a reading, with its offset; inside J/(kg °C) it is a change.

    Raises:
        UnitError: A word in it is no unit of ours, or it can be read two ways; the text says which and how
            to mend it.
    """
    plain = tidy(text)
    if plain is not None and spelling_table().says_no_unit(plain):
        return compose(())
    shown = repr(text if len(text) <= _SHOWN else text[:_SHOWN] + "…")
    expression = parse(plain, spelling_table().phrases) if plain else None
    if expression is None:
        raise UnitError(f"{shown} has not the shape of a unit: write it like J/(kg °C), cm³ or Ω/m")
    if expression.is_unclear:
        raise UnitError(f"{shown} has a slash and a negative power behind it: write m/s or m s⁻¹, not m/s⁻¹")
    factors: list[tuple[str, int]] = [(TEN, expression.tens)] if expression.tens else []
    for factor in expression.factors:
        factors.extend((symbol, power * factor.power) for symbol, power in _terms(factor.word, shown))
    terms = merge(factors)
    if terms is None:
        raise UnitError(f"{shown} has a power beyond {MAX_POWER}: split the unit or mend the power")
    return compose(terms)


def _terms(word: str, shown: str) -> Terms:
    spelling = spelling_table().exact.get(word)
    if spelling is not None and not spelling.is_noted:
        return terms_of(spelling.meaning)
    near = candidates(word, Context(), is_bare=False)
    if near:
        proposal = compose(merge((*near[0].run_in, *near[0].terms)) or ()).symbol
        raise UnitError(f"{shown}: {word} is not how the unit is written: write {proposal}")
    raise UnitError(f"{shown}: {word} is not a unit we know: mend it, or add it to rubrics/units/spellings.toml")
