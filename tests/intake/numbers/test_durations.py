"""Times written in minutes and seconds."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marking.intake.numbers.durations import read_duration
from marking.intake.numbers.typed_numbers import NumberReading
from marking.write_up import State

_READ = [
    # text, seconds, last place, note
    ("2 min 30 s", 150.0, (0, 0), "read as 150 s"),
    ("2min30", 150.0, (0, 0), "read as 150 s"),
    ("2m30s", 150.0, (0, 0), "read as 150 s"),
    ("2 Minutes and 30 Seconds", 150.0, (0, 0), "read as 150 s"),
    ("2 mins, 30 secs", 150.0, (0, 0), "read as 150 s"),
    ("2:30", 150.0, (0, 0), "read as 150 s"),
    ("00:30", 30.0, (0, 0), "read as 30 s"),
    ("0:02:30", 150.0, (0, 0), "read as 150 s"),
    ("1:02:30", 3750.0, (0, 0), "read as 3750 s"),
    ("2'30''", 150.0, (0, 0), "read as 150 s"),
    ("2'30\"", 150.0, (0, 0), "read as 150 s"),
    ("2\u203230\u2033", 150.0, (0, 0), "read as 150 s"),
    ("2 min 5.25 s", 125.25, (-2, -2), "read as 125.25 s"),
    ("2:05,3", 125.3, (-1, -1), "read as 125.3 s"),
    ("2:59", 179.0, (0, 0), "read as 179 s"),
    ("1 h 5 min", 3900.0, (0, 2), "read as 3900 s"),
    ("1h5m20s", 3920.0, (0, 0), "read as 3920 s"),
]


@pytest.mark.parametrize(("text", "seconds", "place", "note"), _READ, ids=[text for text, *_ in _READ])
def test_times_in_parts(text: str, seconds: float, place: tuple[int, int], note: str) -> None:
    """A time in parts is read in seconds, to the second or the part of one that was written."""
    expected = NumberReading(state=State.NUMBER, value=seconds, last_place=place, unit_text="s", notes=(note,))
    assert read_duration(text) == expected


@pytest.mark.parametrize(("text", "seconds"), [("2\u00bd min", 150.0), ("2 1/2 min", 150.0), ("\u00bd h", 1800.0)])
def test_fractions_of_a_minute(text: str, seconds: float) -> None:
    """A fraction of a minute is exact seconds."""
    reading = read_duration(text)
    assert (reading.state, reading.value, reading.unit_text) == (State.NUMBER, seconds, "s")
    assert reading.is_fraction


_REFUSED = [
    ("2:60", "more than 59 seconds beside minutes", ()),
    ("1 h 60 min", "more than 59 minutes beside hours", ()),
    # A spreadsheet turns 2:30 into 02:30:00.
    ("02:30:00", "could be 2 h 30 min or 2 min 30 s", ("2 h 30 min", "2 min 30 s")),
    ("2:5", "not a time in minutes and seconds", ()),
    ("2.30", "not a time in minutes and seconds", ()),
    ("150 s", "not a time in minutes and seconds", ()),
    ("2.5 min", "not a time in minutes and seconds", ()),
    ("2 min 30 s or so", "not a time in minutes and seconds", ()),
    ("\u00bd g", "not a time in minutes and seconds", ()),
    ("1/0 min", "not a time in minutes and seconds", ()),
    ("2:3\x000", "a hidden character in it, [U+0000]", ()),
]


@pytest.mark.parametrize(("text", "problem", "likely"), _REFUSED, ids=[repr(text) for text, *_ in _REFUSED])
def test_not_a_time_in_parts(text: str, problem: str, likely: tuple[str, ...]) -> None:
    """A number with its unit is left to the reader of numbers, and an unclear time to the teacher."""
    assert read_duration(text) == NumberReading(state=State.UNREADABLE, problem=problem, likely=likely)


@pytest.mark.parametrize("text", ["", "-", "absent"])
def test_no_time_given(text: str) -> None:
    """Nothing given is nothing given, for a time as for a number."""
    assert read_duration(text).state is State.BLANK


@settings(deadline=None)
@given(st.integers(0, 999), st.integers(0, 59), st.sampled_from(["{} min {} s", "{}:{:02d}", "{}m{}s", "{}'{}''"]))
def test_minutes_and_seconds_read_back(minutes: int, seconds: int, form: str) -> None:
    """Every time to the second, in every form, comes back in seconds."""
    reading = read_duration(form.format(minutes, seconds))
    assert (reading.value, reading.last_place) == (60 * minutes + seconds, (0, 0))
