"""Times written in parts: 2 min 30 s, 2:30, 2'30'', 2m30s, 2½ min.

A time in one part (150 s, 2.5 min) is a number with its unit, and is left to the reader of numbers.
"""

from __future__ import annotations

from msgspec.structs import replace

from marking.intake.numbers.mantissa import LastPlace
from marking.intake.numbers.refusals import NotANumberError
from marking.intake.numbers.typed_numbers import NumberReading, blank_reading
from marking.intake.numbers.typed_text import make_plain
from marking.intake.numbers.written_numbers import read_at
from marking.write_up import State
from rubrics.patterns import late_pattern

_MINUTE = 60
_HOUR = 3600
_MINUTES_COARSEST: LastPlace = (0, 2)
"""Hours and whole minutes say nothing of seconds: 65 min is 3900 s, whose zeros may or may not count."""

_HOURS_WORD = r"(?:h|hr|hrs|hour|hours)\.?"
_MINUTES_WORD = r"(?:m|min|mins|minute|minutes)\.?"
_SECONDS_WORD = r"(?:s|sec|secs|second|seconds)\.?"
_AND = "(?: and |, ?| )?"
_HOURS = rf"(?P<h>[0-9]{{1,2}}) ?{_HOURS_WORD}"
_MINUTES = rf"(?P<m>[0-9]{{1,3}}) ?{_MINUTES_WORD}"
_SECONDS = r"(?P<s>[0-9]{1,2}(?:[.,][0-9]{1,3})?)"
_FORMS = [
    late_pattern(rf"(?:{_HOURS}{_AND})?{_MINUTES}{_AND}{_SECONDS}(?: ?{_SECONDS_WORD})?"),
    late_pattern(rf"{_HOURS}{_AND}{_MINUTES}"),
    late_pattern(r"(?:(?P<h>[0-9]{1,2}):)?(?P<m>[0-9]{1,3}):(?P<s>[0-9]{2}(?:[.,][0-9]{1,3})?)"),
    late_pattern(rf"(?P<m>[0-9]{{1,3}}) ?' ?{_SECONDS} ?(?:''|\")?"),
]
_FULL_HOURS = late_pattern(r"0?(?P<h>[1-9][0-9]?):(?P<m>[0-9]{2}):00")
"""What a spreadsheet makes of 2:30."""
_CLOCK_WITH_UNIT = late_pattern(rf"(?P<clock>[0-9]{{1,3}}:[0-9]{{2}}) ?(?P<unit>{_HOURS_WORD}|{_MINUTES_WORD})")
"""2:30 min and 1:30 h say which parts they are."""
_UNITS = [(late_pattern(_HOURS_WORD), _HOUR), (late_pattern(_MINUTES_WORD), _MINUTE)]


def read_duration(text: str) -> NumberReading:
    """Return a time written in parts, in seconds; UNREADABLE where *text* is none, BLANK where it is nothing."""
    plain = make_plain(text)
    if plain.problem:
        return NumberReading(state=State.UNREADABLE, problem=plain.problem)
    if blank := blank_reading(plain):
        return blank
    written = plain.plain.casefold()
    if timed := _CLOCK_WITH_UNIT.fullmatch(written):
        written = f"{timed['clock']}:00" if timed["unit"].startswith("h") else timed["clock"]
    elif clock := _FULL_HOURS.fullmatch(written):
        first, second = int(clock["h"]), int(clock["m"])
        meant = (f"{first} h {second} min", f"{first} min {second} s")
        return NumberReading(state=State.UNREADABLE, problem=f"could be {meant[0]} or {meant[1]}", likely=meant)
    for form in _FORMS:
        if match := form.fullmatch(written):
            return _in_parts(match.groupdict(), plain.notes)
    return _of_fraction(written, plain.notes) or NumberReading(
        state=State.UNREADABLE, problem="not a time in minutes and seconds"
    )


def _in_parts(parts: dict[str, str | None], notes: tuple[str, ...]) -> NumberReading:
    hours, minutes, seconds = parts.get("h"), parts["m"] or "0", parts.get("s")
    shown = (seconds or "0").replace(",", ".")
    if float(shown) >= _MINUTE:
        return NumberReading(state=State.UNREADABLE, problem="more than 59 seconds beside minutes")
    if hours and int(minutes) >= _MINUTE:
        return NumberReading(state=State.UNREADABLE, problem="more than 59 minutes beside hours")
    whole = int(hours or 0) * _HOUR + int(minutes) * _MINUTE + int(shown.partition(".")[0])
    decimals = shown.partition(".")[2]
    printed = f"{whole}.{decimals}" if decimals else str(whole)
    return NumberReading(
        state=State.NUMBER,
        value=float(printed),
        last_place=_MINUTES_COARSEST if seconds is None else (-len(decimals), -len(decimals)),
        unit_text="s",
        notes=(*notes, f"read as {printed} s"),
        is_in_parts=True,
    )


def _of_fraction(written: str, notes: tuple[str, ...]) -> NumberReading | None:
    """Return a fraction of an hour or a minute, in seconds; None where *written* is none."""
    try:
        number = read_at(written, 0, has_decimal_commas=False)
    except NotANumberError:
        return None
    if number is None or number.fraction is None:
        return None
    unit = next((size for word, size in _UNITS if word.fullmatch(written[number.end :].strip())), None)
    if unit is None:
        return None
    seconds = replace(number, fraction=number.fraction * unit)
    return NumberReading(
        state=State.NUMBER,
        value=seconds.value(None),
        last_place=seconds.last_place(None),
        is_fraction=True,
        unit_text="s",
        notes=(*notes, f"read as {seconds.printed(None)} s (a fraction)"),
    )
