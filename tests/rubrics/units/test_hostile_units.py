"""Texts that would keep a unit parser busy for ever, or make it fall over."""

from __future__ import annotations

import random
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rubrics.faults.errors import UnitError
from rubrics.units.definition import define_unit
from rubrics.units.read_unit import knows_unit, read_unit
from rubrics.units.unit_record import Verdict

_SECONDS = 0.5
"""Far more than any text takes, far less than a run away."""

_HOSTILE = [
    ("9**9**9", "power tower"),
    ("m**9**9**9", "power tower on a unit"),
    ("(" * 3000 + "m" + ")" * 3000, "3000 brackets"),
    ("(((m)))", "brackets three deep"),
    ("k" * 30000, "30000 letters"),
    ("m " * 20000, "20000 factors"),
    ("__import__('os').getcwd()", "a program"),
    ("m\0s", "zero byte"),
    ("m\ns", "line end inside"),
    ("m\x1bs", "control character"),
    ("m;s", "semicolon"),
    ("m^1e400", "power beyond all bounds"),
    ("m^-99", "power of two figures"),
    ("m⁰", "power of nothing"),
    ("2m", "a number in front"),
    ("m/", "nothing below"),
    ("m//s", "two slashes in one place"),
    ("()", "empty brackets"),
    ("^2", "power of nothing at all"),
    ("=cmd|'/C x'!A0", "a formula"),
    ("<b>J</b>", "mark-up"),
    ("четыре", "other script"),
    ("m" * 48, "as long as a unit may be"),
    ("m" * 49, "longer than a unit may be"),
]


@pytest.mark.parametrize("typed", [typed for typed, _ in _HOSTILE], ids=[name for _, name in _HOSTILE])
def test_hostile_text_is_no_unit_at_once(typed: str) -> None:
    """Each is 'not a unit we know', in a moment, and a rubric's author is told so by a UnitError."""
    start = time.process_time()
    reading = read_unit(typed, define_unit("J"))
    assert time.process_time() - start < _SECONDS
    assert (reading.verdict, reading.unit, reading.note) == (Verdict.WRONG, None, "not a unit we know")
    assert not knows_unit(typed)
    with pytest.raises(UnitError):
        define_unit(typed)


@pytest.mark.parametrize("typed", ["m m m m m m m", "m m m m m m"], ids=["seven factors", "six factors"])
def test_number_of_factors(typed: str) -> None:
    """Six factors are read, seven are no unit."""
    assert knows_unit(typed) == (typed.count("m") <= 6)


@settings(deadline=None)
@given(st.text(alphabet="mskgJNCKVAhµΩ°%²⁻¹./*^()- per", max_size=48))
def test_no_text_of_unit_signs_is_slow_or_raises(typed: str) -> None:
    """Whatever is put together from the signs of units gets a verdict, and soon."""
    # A busy machine or the collector may pause once; a text that is slow is slow every time.
    assert any(_seconds(typed) < _SECONDS for _ in range(3))


def _seconds(typed: str) -> float:
    """Return how much of the processor's time the verdict takes."""
    start = time.process_time()
    read_unit(typed, define_unit("J/(kg °C)"))
    return time.process_time() - start


@settings(deadline=None)
@given(st.text(max_size=60))
def test_no_text_at_all_raises(typed: str) -> None:
    """Any text gets a verdict."""
    assert read_unit(typed, define_unit("Ω")).typed == typed


def test_words_of_run_together_symbols_stay_quick() -> None:
    """The words with the most ways to part them are still read in a moment."""
    shuffle = random.Random(1)
    pieces = ["m", "s", "ms", "g", "k", "kg", "A", "mA", "h", "J", "N", "cd", "Pa"]
    texts = [" ".join("".join(shuffle.choices(pieces, k=4)) for _ in range(6))[:48] for _ in range(20)]
    start = time.process_time()
    for text in texts:
        read_unit(text, define_unit("V"))
    assert time.process_time() - start < len(texts) * _SECONDS
