"""Any number that is written in a usual way reads back, and any text at all gets an answer in no time."""

from __future__ import annotations

import time
from collections.abc import Callable

from hypothesis import given, settings
from hypothesis import strategies as st

from marking.intake.numbers.typed_numbers import read_number
from marking.write_up import State


def test_no_text_takes_long() -> None:
    """The texts that make patterns run for ever are answered in a moment."""
    texts = ["1" * 999, "1," * 499, "1 111" * 199, "(" * 900, "+1" * 450, "1.1 " * 200 + "x", "-" * 900, "± " * 400]
    start = time.perf_counter()
    for text in texts:
        assert read_number(text).state is State.UNREADABLE
    assert time.perf_counter() - start < 1.0


@settings(deadline=None)
@given(st.text(max_size=120))
def test_any_text_gets_an_answer(text: str) -> None:
    """Whatever is typed, the reader answers, and a value only ever comes with its last place."""
    reading = read_number(text)
    assert (reading.value is None) == (reading.state is not State.NUMBER) == (reading.last_place is None)
    assert bool(reading.problem) == (reading.state is State.UNREADABLE)


_RAISED = str.maketrans("-0123456789", "\u207b\u2070\u00b9\u00b2\u00b3\u2074\u2075\u2076\u2077\u2078\u2079")
_WIDE = str.maketrans("0123456789.", "０１２３４５６７８９．")


def _thousands(plain: str, mark: str) -> str:
    whole, point, decimals = plain.lstrip("-").partition(".")
    return ("-" if plain.startswith("-") else "") + f"{int(whole):,}".replace(",", mark) + point + decimals


_STYLES: dict[str, Callable[[str], str]] = {
    "plain": lambda plain: plain,
    "signed": lambda plain: plain if plain.startswith("-") else f"+{plain}",
    "typographic minus": lambda plain: plain.replace("-", "\u2212"),
    "full width": lambda plain: plain.translate(_WIDE),
    "hidden signs": lambda plain: f"\ufeff{plain[:1]}\u200b{plain[1:]}\u200e",
    "spaces": lambda plain: f" \u00a0{plain}\u202f",
    "with a unit": lambda plain: f"{plain} kJ",
    "unit run on": lambda plain: f"{plain}kJ",
    "about": lambda plain: f"~{plain}",
    "with a spread": lambda plain: f"{plain} \u00b1 0.5",
    "space as thousands mark": lambda plain: _thousands(plain, "\u202f"),
    "apostrophe as thousands mark": lambda plain: _thousands(plain, "'"),
}


@settings(deadline=None)
@given(st.floats(-1e9, 1e9), st.integers(0, 6), st.sampled_from(sorted(_STYLES)))
def test_decimals_read_back(value: float, places: int, style: str) -> None:
    """A number printed with any decimal places in any of our styles reads back to value and last place."""
    plain = f"{value:.{places}f}"
    reading = read_number(_STYLES[style](plain))
    zeros = len(plain) - len(plain.rstrip("0")) if not places and float(plain) else 0
    assert (reading.value, reading.last_place) == (float(plain), (-places, zeros if not places else -places))


@settings(deadline=None)
@given(st.floats(-1e9, 1e9), st.sampled_from([1, 2, 4, 5, 6]))
def test_decimal_commas_read_back(value: float, places: int) -> None:
    """A decimal comma reads back wherever it cannot be a thousands mark."""
    plain = f"{value:.{places}f}"
    reading = read_number(plain.replace(".", ","))
    assert (reading.value, reading.last_place) == (float(plain), (-places, -places))


_POWERS: dict[str, Callable[[str, int], str]] = {
    "caret": lambda figures, power: f"{figures} x 10^{power}",
    "stars": lambda figures, power: f"{figures}*10**{power}",
    "raised": lambda figures, power: f"{figures}\u00d710{str(power).translate(_RAISED)}",
    "dot and raised": lambda figures, power: f"{figures}\u00b710{str(power).translate(_RAISED)} m",
    "in front": lambda figures, power: f"10^{power} x {figures}",
    "E": lambda figures, power: f"{figures}E{power}",
    "e with sign": lambda figures, power: f"{figures}e{power:+03d} m",
}


@settings(deadline=None)
@given(
    st.floats(1, 9.999),
    st.integers(1, 8),
    st.integers(-30, 30),
    st.booleans(),
    st.booleans(),
    st.sampled_from(sorted(_POWERS)),
)
def test_powers_of_ten_read_back(
    mantissa: float, figures: int, power: int, is_negative: bool, has_comma: bool, style: str
) -> None:
    """Standard form with any number of figures reads back to value and last place, in every spelling."""
    plain = f"{mantissa:.{figures}f}"
    is_negative = is_negative and style != "in front"
    typed = plain.replace(".", ",") if has_comma and figures != 3 else plain
    reading = read_number(("-" if is_negative else "") + _POWERS[style](typed, power))
    assert reading.value == float(f"{'-' if is_negative else ''}{plain}e{power}")
    assert reading.last_place == (power - figures, power - figures)
