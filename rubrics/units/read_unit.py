"""How a unit that a student typed stands beside the unit that is wanted.

The rules in short: a known spelling is accepted; a slip that can mean nothing else is accepted with a
note; another scale of the same quantity is accepted with a note, for value and unit are judged together;
another quantity is wrong; where two readings are reasonable a person is asked.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import lru_cache

from msgspec.structs import replace

from rubrics.patterns import late_pattern
from rubrics.units.comparison import ANGLES, is_same_quantity, is_same_scale, relation
from rubrics.units.counted_things import says_number_of, without_thing
from rubrics.units.grammar import Expression, Remark, parse
from rubrics.units.quantities import compose, terms_of
from rubrics.units.scales import scale_of
from rubrics.units.signs import MAX_LENGTH, tidy, with_for_each, with_per, without_kind_of_current
from rubrics.units.spellings import spelling_table
from rubrics.units.unit_names import AS_TYPED, OTHER_CASE, Context
from rubrics.units.unit_record import NO_DIMENSION, TEMPERATURE, Unit, UnitReading, Verdict
from rubrics.units.ways import Way, ways_to_read

_PERSON = "?"
"""In the table of spellings: ask a person."""
_KELVIN = "K"
_UNDERSTOOD = (Verdict.ACCEPT, Verdict.NOTE)
_UNKNOWN = "not a unit we know"
_BROKEN = "no space inside a symbol"
_BRACKET = "brackets come in pairs"
_OPEN_BRACKET = "a bracket is not closed"
_GAP = "leave a space between words"
_POWER_GLUED = late_pattern(r"(?<=[A-Za-z])(?:sq|squared|cubed)(?![A-Za-z])", re.IGNORECASE)
_GLUED_POWER = late_pattern(
    r"(?<![A-Za-z])(?:sq(?!u)|square(?!d|s)|cubic|kubik|quadrat(?!i|o)|cu(?!a|b))(?=[A-Za-z])", re.IGNORECASE
)
_PER_GLUED = late_pattern("(?:^|(?<=[A-Za-z]))per(?=[a-z])")
_ELECTRICAL = frozenset(compose(terms_of(symbol)).dimension for symbol in ("V", "A"))
_HYPHEN = late_pattern("(?<=[A-Za-z])-(?=[A-Za-z])")
_TWICE = late_pattern(r"([^()]+?) ?\(([^()]+)\)")
_TWICE_SLASHED = late_pattern("([^/]+)/([^/]+)")
_TWICE_SPACED = late_pattern("([^ ]+) ([^ ]+)")
_STROKE_FIRST = late_pattern("/ ?([^/]+)")
_TWICE_SAID = late_pattern("(.+?)(?: or | ?= ?)(.+)")
_TWICE_IN_WORDS = late_pattern("([^0-9].*?) or ([^0-9].*)")
_SAID_TWICE = "one unit is enough"
_LOST_MINUS = "the minus of its power may be lost"
_BROKEN_SYMBOL = late_pattern(r"(?<=[A-Za-zµ])[ .]+(?=[A-Za-zΩ])(?!s\b)")  # but A s is no plural of A


_LONGEST_KEPT = 10 * MAX_LENGTH
"""Longer texts are refused before they could fill the memory of what was read."""


def read_unit(typed: str, wanted: Unit, also: tuple[Unit, ...] = ()) -> UnitReading:
    """Return how *typed* stands beside the unit that is wanted.

    Args:
        typed: The unit exactly as written; empty where none was.
        wanted: Fixes the quantity. A temperature without an offset is a change, so that °C and K then
            carry no offset either; with one it is a reading, and °C carries its own.
        also: Other units of the quantity that need no note, for the item lists them.
    """
    if len(typed) > _LONGEST_KEPT:
        return UnitReading(typed=typed, verdict=Verdict.WRONG, unit=None, note=_UNKNOWN)
    return _read(typed, wanted, also)


def knows_unit(typed: str) -> bool:
    """Tell whether *typed* can be read as a unit of some quantity, if need be with a slip in it."""
    return len(typed) <= _LONGEST_KEPT and _is_known(typed)


@lru_cache(maxsize=1024)
def _is_known(typed: str) -> bool:
    text = tidy(typed)
    if text and text.casefold() in spelling_table().noted_texts:
        return True
    if text and (twice := _TWICE.fullmatch(text)) and all(_is_known(part) for part in twice.groups()):
        return True
    if text and (twice := _TWICE_IN_WORDS.fullmatch(text)) and all(_is_known(part) for part in twice.groups()):
        return True
    if text and (bare := with_for_each(text)) != text and _is_known(bare):
        return True
    if text and (bare := without_kind_of_current(text)) != text and _is_known(bare):
        return True
    expression = parse(text, spelling_table().phrases) if text else None
    if expression is None:
        return False
    ways = ways_to_read(expression, Context(has_temperature=True, has_change=True))
    # Words in a row are no unit because letters of theirs are symbols; a power or a slash says that they are.
    has_shape = any(factor.power != 1 for factor in expression.factors)
    return any(has_shape or not way.is_far_fetched for way in ways)


@lru_cache(maxsize=8192)
def _read(typed: str, wanted: Unit, also: tuple[Unit, ...]) -> UnitReading:
    text = tidy(typed)
    if text is None:
        return UnitReading(typed=typed, verdict=Verdict.WRONG, unit=None, note=_UNKNOWN)
    if text in spelling_table().not_known:
        note = f"{text} says that the unit is not known"
        verdict = Verdict.AMBIGUOUS if wanted.is_pure_number else Verdict.MISSING
        return UnitReading(typed=typed, verdict=verdict, unit=None, note=note)
    if spelling_table().says_no_unit(text):
        return _without_unit(typed, text, wanted)
    whole = _by_whole_text(typed, text, wanted, also)
    if whole is not None:
        return whole
    twice = next(filter(None, (pattern.fullmatch(text) for pattern in (_TWICE, _TWICE_SAID))), None)
    if twice is not None and (reading := _said_twice(typed, twice, wanted, also)) is not None:
        return reading
    reading = _judge(typed, text, wanted, also)
    if reading.verdict is not Verdict.WRONG:
        return reading
    for pattern in (_TWICE_SLASHED, _TWICE_SPACED):
        again = pattern.fullmatch(text)
        if reading.verdict is Verdict.WRONG and again is not None and again[1].strip() != again[2].strip():
            reading = _said_twice(typed, again, wanted, also) or reading
    if (headed := _STROKE_FIRST.fullmatch(text)) and read_unit(headed[1], wanted, also).verdict in _UNDERSTOOD:
        note = f"may be {headed[1]} with a stroke in front, as in a heading"
        return UnitReading(typed=typed, verdict=Verdict.AMBIGUOUS, unit=None, note=note)
    return reading if reading.verdict is not Verdict.WRONG else _of_things(typed, text, wanted, also) or reading


def _of_things(typed: str, text: str, wanted: Unit, also: tuple[Unit, ...]) -> UnitReading | None:
    """Return the reading of a number of things, or of so many a minute; None where nothing is counted."""
    if wanted.is_pure_number and wanted.symbol not in ANGLES and says_number_of(text):
        return UnitReading(typed=typed, verdict=Verdict.NOTE, unit=wanted, note="read as a number of things")
    bare = without_thing(text)
    if not bare or wanted.dimension == NO_DIMENSION:
        return None
    reading = read_unit(bare, wanted, also)
    if reading.unit is None or reading.verdict not in (Verdict.ACCEPT, Verdict.NOTE):
        return None
    note = f"read as {reading.unit.symbol}, a number of things"
    return UnitReading(typed=typed, verdict=Verdict.NOTE, unit=reading.unit, note=note)


def _said_twice(typed: str, match: re.Match[str], wanted: Unit, also: tuple[Unit, ...]) -> UnitReading | None:
    """Return the reading of 'seconds (s)' and 'volts/V', one unit written twice; None for any other text."""
    readings = [read_unit(part, wanted, also) for part in match.groups()]
    understood = [reading.unit for reading in readings if reading.verdict in (Verdict.ACCEPT, Verdict.NOTE)]
    units = [unit for unit in understood if unit is not None]
    if len(units) + sum(reading.unit is None for reading in readings) < len(readings):
        return None
    if not units or not all(is_same_scale(unit, units[0]) for unit in units):
        return None
    # Beside 'seconds' the capital of (S) is in no doubt.
    symbol = units[0].symbol.casefold()
    others = [reading for reading in readings if reading.unit is None]
    if any(r.verdict is not Verdict.AMBIGUOUS or r.typed.strip().casefold() != symbol for r in others):
        return None
    note = "; ".join(filter(None, [f"read as {units[0].symbol}: {_SAID_TWICE}", relation(units[0], wanted, also)]))
    return UnitReading(typed=typed, verdict=Verdict.NOTE, unit=units[0], note=note)


def _by_whole_text(typed: str, text: str, wanted: Unit, also: tuple[Unit, ...]) -> UnitReading | None:
    """Return the reading of a text that the table knows as a whole; None where it knows only its words."""
    table = spelling_table()
    meanings = [(unit.symbol, table.beside.get(unit.symbol, {}).get(text)) for unit in (wanted, *also)]
    for symbol, meaning in [*meanings, ("", table.noted_texts.get(text.casefold()))]:
        if meaning == _PERSON:
            note = f"{text} may stand for {symbol}"
            return UnitReading(typed=typed, verdict=Verdict.AMBIGUOUS, unit=None, note=note)
        if meaning:
            way = Way(terms_of(meaning), AS_TYPED, (), is_noted=True, is_unclear=False)
            is_wanted = is_same_quantity(compose(way.terms), wanted)
            return _accept(typed, way, wanted, also) if is_wanted else _refuse(typed, [way], wanted)
    return None


def _without_unit(typed: str, text: str, wanted: Unit) -> UnitReading:
    if wanted.is_pure_number and wanted.symbol not in ANGLES:
        return UnitReading(typed=typed, verdict=Verdict.ACCEPT, unit=wanted)
    note = f"{text} says that there is no unit" if text else ""
    return UnitReading(typed=typed, verdict=Verdict.MISSING, unit=None, note=note)


def _judge(typed: str, text: str, wanted: Unit, also: tuple[Unit, ...]) -> UnitReading:
    context = _context_of(wanted, also)
    text = with_per(without_kind_of_current(text) if wanted.dimension in _ELECTRICAL else text)
    phrases = spelling_table().phrases
    known: list[Way] = []
    for attempt, mended in _attempts(text):
        expression = parse(attempt, phrases)
        if expression is None:
            continue
        ways = list(ways_to_read(expression, context))
        if attempt.islower() and len(expression.factors) == 1 and expression.factors[0].power == 1:
            # 'mass' is no milliampere-second because its letters are symbols: whoever means a product of units says so.
            ways = [replace(way, is_unclear=way.is_unclear or way.is_far_fetched) for way in ways]
        if mended:
            ways = [_mended(way, mended, known) for way in ways]
        fitting = [way for way in ways if is_same_quantity(compose(way.terms), wanted)]
        if fitting:
            return _choose(typed, fitting, known or ways, expression, wanted, also)
        if (meant := _with_minus(expression, context, wanted)) is not None:
            note = f"may stand for {meant.symbol}: {_LOST_MINUS}"
            return UnitReading(typed=typed, verdict=Verdict.AMBIGUOUS, unit=None, note=note)
        known = known or ways
    return _refuse(typed, known, wanted)


def _mended(way: Way, mended: str, known: Sequence[Way]) -> Way:
    # What a bracket that is not closed was to hold, nobody knows.
    # K g is a product as it stands: that a space and a capital are wrong at once, only a person can say.
    is_product = any(other.cost == AS_TYPED and not other.is_mixed for other in known)
    is_unclear = way.is_unclear or mended == _OPEN_BRACKET or (is_product and way.cost >= OTHER_CASE)
    return replace(way, is_noted=True, is_unclear=is_unclear, reasons=(*way.reasons, mended))


def _with_minus(expression: Expression, context: Context, wanted: Unit) -> Unit | None:
    """Return the wanted unit that ms2 becomes with the minus that its last power may have lost; else None."""
    last = expression.factors[-1]
    if len(expression.factors) == 1 and last.word in spelling_table().exact:
        return None
    if not last.is_flat or last.is_raised or last.is_below or last.written < 1:
        return None
    turned = replace(expression, factors=(*expression.factors[:-1], replace(last, written=-last.written)))
    units = (compose(way.terms) for way in ways_to_read(turned, context) if not way.is_far_fetched)
    return next((unit for unit in units if is_same_quantity(unit, wanted)), None)


def _attempts(text: str) -> Iterator[tuple[str, str]]:
    """Yield *text*, then what it becomes with a slip of the keyboard mended, each with the reason."""
    yield text, ""
    if (joined := _BROKEN_SYMBOL.sub("", text)) != text:  # m A is mA where a current is wanted
        yield joined, _BROKEN
    if (joined := _HYPHEN.sub("", text)) != text:
        yield joined, _BROKEN
    if (parted := _GLUED_POWER.sub(r"\g<0> ", _POWER_GLUED.sub(r" \g<0>", text))) != text:  # cmsq, sqcm
        yield parted, _GAP
    if (parted := _PER_GLUED.sub(" per ", parted).strip()) != text:  # metrespersecond
        yield parted, _GAP
    if text.count("(") == text.count(")") + 1:
        yield f"{text})", _OPEN_BRACKET
    elif text.count(")") == text.count("(") + 1 and text.endswith(")"):
        yield text[:-1], _BRACKET


def _context_of(wanted: Unit, also: tuple[Unit, ...]) -> Context:
    has_temperature = wanted.dimension[TEMPERATURE.index(1)] != 0
    return Context(
        is_kelvin=wanted.symbol == _KELVIN and all(unit.symbol == _KELVIN for unit in also),
        has_temperature=has_temperature,
        has_change=has_temperature and wanted.offset == 0,
        has_angle=wanted.symbol in ANGLES,
    )


def _choose(
    typed: str, fitting: Sequence[Way], known: Sequence[Way], shape: Expression, wanted: Unit, also: tuple[Unit, ...]
) -> UnitReading:
    """Accept the nearest way of the wanted quantity, unless a person has to say which one was meant."""
    cost = min(way.cost for way in fitting)
    nearest = [way for way in fitting if way.cost == cost]
    units = [compose(way.terms) for way in nearest]
    is_one = all(is_same_scale(unit, units[0]) for unit in units)
    is_asked_for = any(is_same_scale(units[0], unit) for unit in (wanted, *also))
    is_doubtful = not is_asked_for and (nearest[0].is_doubtful or _is_of_one_quantity(nearest[0]))
    is_doubtful = is_doubtful or (cost >= 2 * OTHER_CASE and _is_another_in_capitals(known))
    if is_one and not is_doubtful and not any(way.is_unclear for way in nearest):
        return _accept(typed, nearest[0], wanted, also)
    as_typed = [compose(way.terms).symbol for way in known if way.cost == AS_TYPED] if not shape.is_unclear else []
    symbols = list(dict.fromkeys((*as_typed, *(unit.symbol for unit in units))))
    note = f"may be {' or '.join(symbols)}" if len(symbols) > 1 else f"may stand for {symbols[0]}"
    if shape.is_unclear:
        note = f"{note}: {Remark.SLASH_AND_POWER.value}"
    return UnitReading(typed=typed, verdict=Verdict.AMBIGUOUS, unit=None, note=note)


def _is_of_one_quantity(way: Way) -> bool:
    """Tell of 'min s' and 'cm / mm': two scales of one quantity are two units more often than one."""
    dimensions = [scale_of(symbol).dimension for symbol, _ in way.terms]
    return len(dimensions) == 2 and dimensions[0] == dimensions[1] != NO_DIMENSION


def _is_another_in_capitals(known: Sequence[Way]) -> bool:
    """Tell whether the text is a unit as it stands, so that two capitals in it need be no slip: M/S."""
    return any(way.cost == AS_TYPED and not way.is_mixed for way in known)


def _accept(typed: str, way: Way, wanted: Unit, also: tuple[Unit, ...]) -> UnitReading:
    unit = compose(way.terms)
    if wanted.dimension == TEMPERATURE and wanted.offset == 0:
        unit = unit.as_change()
    notes = []
    if way.is_noted:
        notes.append(": ".join(filter(None, (f"read as {unit.symbol}", ", ".join(way.reasons)))))
    notes.extend(filter(None, [relation(unit, wanted, also)]))
    verdict = Verdict.NOTE if notes else Verdict.ACCEPT
    return UnitReading(typed=typed, verdict=verdict, unit=unit, note="; ".join(notes))


def _refuse(typed: str, ways: Sequence[Way], wanted: Unit) -> UnitReading:
    understood = min(
        (way for way in ways if not way.is_unclear and not way.is_far_fetched), key=lambda way: way.cost, default=None
    )
    if understood is None:
        return UnitReading(typed=typed, verdict=Verdict.WRONG, unit=None, note=_UNKNOWN)
    if _is_slip_of_the_hand(understood):
        return UnitReading(typed=typed, verdict=Verdict.WRONG, unit=None, note=_UNKNOWN)
    unit = compose(understood.terms)
    is_turned = unit.dimension != NO_DIMENSION and unit.dimension == tuple(-power for power in wanted.dimension)
    note = f"{unit.symbol} is upside down" if is_turned else f"{unit.symbol or 'this'} is a unit of another quantity"
    return UnitReading(typed=typed, verdict=Verdict.WRONG, unit=unit, note=note)


def _is_slip_of_the_hand(way: Way) -> bool:
    """Tell whether two scales of one quantity are multiplied: kgg is a key pressed twice, and no kilogram gram."""
    above = [scale_of(symbol).dimension for symbol, power in way.terms if power > 0]
    return len(above) > len(
        {dimension for dimension in above if dimension != NO_DIMENSION} | {NO_DIMENSION} & set(above)
    )
