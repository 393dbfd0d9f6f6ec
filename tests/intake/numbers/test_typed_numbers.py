"""Numbers as students type them."""

from __future__ import annotations

import pytest

from marking.intake.numbers.typed_numbers import NumberReading, read_number, show_text
from marking.write_up import State

_READ = [
    # text, value, last place, unit
    ("4.05", 4.05, (-2, -2), ""),
    ("0.50", 0.5, (-2, -2), ""),
    (".5", 0.5, (-1, -1), ""),
    ("5.", 5.0, (0, 0), ""),
    ("+5", 5.0, (0, 0), ""),
    ("-0.50", -0.5, (-2, -2), ""),
    ("- 5", -5.0, (0, 0), ""),
    ("0", 0.0, (0, 0), ""),
    ("00", 0.0, (0, 0), ""),
    ("0.00", 0.0, (-2, -2), ""),
    ("1000", 1000.0, (0, 3), ""),  # its zeros may or may not count
    ("1000.", 1000.0, (0, 0), ""),
    ("1040", 1040.0, (0, 1), ""),
    ("4.9E-7", 4.9e-7, (-8, -8), ""),
    ("4.9e-07", 4.9e-7, (-8, -8), ""),
    ("4.9 E \u22127", 4.9e-7, (-8, -8), ""),
    ("9.97e2", 997.0, (0, 0), ""),
    ("1e5 J", 1e5, (5, 5), "J"),
    ("5 eV", 5.0, (0, 0), "eV"),
    ("20.5°C", 20.5, (-1, -1), "°C"),
    ("20.5 \u00b0C", 20.5, (-1, -1), "°C"),
    ("20.5C", 20.5, (-1, -1), "C"),
    ("998g", 998.0, (0, 0), "g"),
    ("24.6 kJ", 24.6, (-1, -1), "kJ"),
    ("15%", 15.0, (0, 0), "%"),
    ("99 %", 99.0, (0, 0), "%"),
    ("12 cm³.", 12.0, (0, 0), "cm³."),
    ("20oC", 20.0, (0, 1), "oC"),
    ("20o C", 20.0, (0, 1), "o C"),
    ("5lx", 5.0, (0, 0), "lx"),
    ("25l", 25.0, (0, 0), "l"),  # litres; 2l for 21 shows in the unit
    ("30s", 30.0, (0, 1), "s"),
    ("5 1/s", 5.0, (0, 0), "1/s"),
    ("1.5k", 1.5, (-1, -1), "k"),
    ("997 J/(kg °C)", 997.0, (0, 0), "J/(kg °C)"),
    ("997 joules per kilogram per degree celsius", 997.0, (0, 0), "joules per kilogram per degree celsius"),
    (" 200 ", 200.0, (0, 2), ""),
    ("20.5\u00a0", 20.5, (-1, -1), ""),
    ("4200\n", 4200.0, (0, 2), ""),
]


@pytest.mark.parametrize(("text", "value", "place", "unit"), _READ, ids=[repr(text) for text, *_ in _READ])
def test_read_as_it_stands(text: str, value: float, place: tuple[int, int], unit: str) -> None:
    """An ordinary number is read, with its last place and its unit, and nothing is to be said of it."""
    expected = NumberReading(state=State.NUMBER, value=value, last_place=place, unit_text=unit)
    assert read_number(text) == expected


_NOTED = [
    # text, value, last place, unit, notes
    ("20,5", 20.5, (-1, -1), "", "read as 20.5 (decimal comma)"),
    ("33,50", 33.5, (-2, -2), "", "read as 33.50 (decimal comma)"),
    (",5", 0.5, (-1, -1), "", "read as 0.5 (decimal comma)"),
    ("0,500", 0.5, (-3, -3), "", "read as 0.500 (decimal comma)"),
    ("1234,567", 1234.567, (-3, -3), "", "read as 1234.567 (decimal comma)"),
    ("1,5 V", 1.5, (-1, -1), "V", "read as 1.5 (decimal comma)"),
    ("9 100", 9100.0, (0, 2), "", "read as 9 100 (space as thousands mark)"),
    ("8\u202f820", 8820.0, (0, 1), "", "read as 8 820 (space as thousands mark)"),
    ("20'400", 20400.0, (0, 2), "", "read as 20 400 (apostrophe as thousands mark)"),
    ("20\u2019400", 20400.0, (0, 2), "", "read as 20 400 (apostrophe as thousands mark)"),
    ("1,234,567", 1234567.0, (0, 0), "", "read as 1 234 567 (comma as thousands mark)"),
    ("1.234.567", 1234567.0, (0, 0), "", "read as 1 234 567 (full stop as thousands mark)"),
    ("8,820.0", 8820.0, (-1, -1), "", "read as 8820.0 (comma as thousands mark)"),
    ("1.234.567,5", 1234567.5, (-1, -1), "", "read as 1234567.5 (decimal comma, full stop as thousands mark)"),
    ("1 234,5", 1234.5, (-1, -1), "", "read as 1234.5 (decimal comma, space as thousands mark)"),
    ("\u0662\u0665", 25.0, (0, 0), "", "Arabic figures"),
    ("\u06f4\u066b\u06f4\u06f8", 4.48, (-2, -2), "", "Arabic figures"),
    ("20.5,", 20.5, (-1, -1), "", "read as 20.5 (comma after the number left out)"),
    ("5;", 5.0, (0, 0), "", "comma after the number left out"),
    ("\u22124.5", -4.5, (-1, -1), "", "read as -4.5 (typographic minus)"),
    ("\u20134.5 °C", -4.5, (-1, -1), "°C", "read as -4.5 (typographic minus)"),
    ("\uff0d4.5", -4.5, (-1, -1), "", "read as -4.5 (typographic minus)"),
    ("２０．５", 20.5, (-1, -1), "", "full-width figures"),
    ("'200", 200.0, (0, 2), "", "apostrophe in front left out"),
    ("\u200b31.0", 31.0, (-1, -1), "", "hidden characters left out"),
    ("3\u00ad1.0\u200e", 31.0, (-1, -1), "", "hidden characters left out"),
    ("~20", 20.0, (0, 1), "", "written as about"),
    ("\u224820.5", 20.5, (-1, -1), "", "written as about"),
    ("c.20", 20.0, (0, 1), "", "written as about"),
    ("about 19.8 g", 19.8, (-1, -1), "g", "written as about"),
    ("20ish", 20.0, (0, 1), "", "written as about"),
    ("8.82x10^3", 8820.0, (1, 1), "", "read as 8.82 × 10³ (power of ten)"),
    ("7.9\u00d710\u00b3", 7900.0, (2, 2), "", "read as 7.9 × 10³ (power of ten)"),
    ("4.2*10**3", 4200.0, (2, 2), "", "read as 4.2 × 10³ (power of ten)"),
    ("9650\u00d710\u2070", 9650.0, (0, 1), "", "read as 9650 (power of ten)"),
    ("8820\u00d710\u207b\u00b3 kJ", 8.82, (-3, -2), "kJ", "read as 8820 × 10⁻³ (power of ten)"),
    ("7.9\u00d710^-3 MJ", 0.0079, (-4, -4), "MJ", "read as 7.9 × 10⁻³ (power of ten)"),
    ("4.9\u00b710\u207b\u2077", 4.9e-7, (-8, -8), "", "read as 4.9 × 10⁻⁷ (power of ten)"),
    ("4.9 x 10^(-7)", 4.9e-7, (-8, -8), "", "read as 4.9 × 10⁻⁷ (power of ten)"),
    ("4.9x10-7", 4.9e-7, (-8, -8), "", "read as 4.9 × 10⁻⁷ (power of ten not raised)"),
    ("4,9 \u00d7 10\u22127", 4.9e-7, (-8, -8), "", "read as 4.9 × 10⁻⁷ (power of ten not raised, decimal comma)"),
    ("10^-7 x 4.9", 4.9e-7, (-8, -8), "", "read as 4.9 × 10⁻⁷ (power of ten)"),
    ("10\u00b2", 100.0, (2, 2), "", "read as 1 × 10² (power of ten)"),  # never 102
]


@pytest.mark.parametrize(("text", "value", "place", "unit", "note"), _NOTED, ids=[repr(text) for text, *_ in _NOTED])
def test_read_with_a_note(text: str, value: float, place: tuple[int, int], unit: str, note: str) -> None:
    """What the reader did to a text is said in one clause that shows what it was read as."""
    expected = NumberReading(state=State.NUMBER, value=value, last_place=place, unit_text=unit, notes=(note,))
    assert read_number(text) == expected


def test_all_that_was_done_is_said() -> None:
    """Several things done to one text are several notes."""
    assert read_number("\u200b'~\u22124,5 \u00b1 0,5 °C").notes == (
        "hidden characters left out",
        "apostrophe in front left out",
        "written as about",
        "read as -4.5 (decimal comma, typographic minus)",
        "± 0.5 kept with it",
    )


_FRACTIONS = [
    ("1/5 kg", 0.2, "kg", "read as 0.2 (a fraction)"),
    ("\u00bc kg", 0.25, "kg", "read as 0.25 (a fraction)"),
    ("1\u00bd", 1.5, "", "read as 1.5 (a fraction)"),
    ("1 1/2", 1.5, "", "read as 1.5 (a fraction)"),
    ("\u2153", 1 / 3, "", "read as 0.333333 (a fraction)"),
    ("-1/24", -1 / 24, "", "read as -0.0416667 (a fraction)"),
    ("0/5", 0.0, "", "read as 0 (a fraction)"),
]


@pytest.mark.parametrize(("text", "value", "unit", "note"), _FRACTIONS, ids=[text for text, *_ in _FRACTIONS])
def test_fractions_are_exact(text: str, value: float, unit: str, note: str) -> None:
    """A fraction has no last place: its interval is too narrow to matter, and it says that it is a fraction."""
    reading = read_number(text)
    assert reading.is_fraction
    assert (reading.value, reading.unit_text, reading.notes) == (value, unit, (note,))
    assert reading.last_place is not None
    assert 10.0 ** reading.last_place[1] <= 1e-13 * max(abs(value), 1e-1)


_SPREADS = [
    # text, value, plus-or-minus, unit
    ("20 ± 0.5", 20.0, 0.5, ""),
    ("20+/-0.5", 20.0, 0.5, ""),
    ("20 +- .5", 20.0, 0.5, ""),
    ("29.8 (±0.1)", 29.8, 0.1, ""),
    ("29.8 (±0.1) °C", 29.8, 0.1, "°C"),
    ("20.5 ± 0.5 °C", 20.5, 0.5, "°C"),
    ("20.5 °C ± 0.5", 20.5, 0.5, "°C"),
    ("63.2 m ± 0.1 m", 63.2, 0.1, "m"),
    ("(20 ± 0.5) °C", 20.0, 0.5, "°C"),
    ("20 ± 5%", 20.0, 1.0, ""),
    ("-20 cm ± 5%", -20.0, 1.0, "cm"),
    ("20% ± 5%", 20.0, 5.0, "%"),
    ("(20 ± 5)%", 20.0, 5.0, "%"),
    ("4.9e-7 ± 1e-8", 4.9e-7, 1e-8, ""),
]


@pytest.mark.parametrize(("text", "value", "spread", "unit"), _SPREADS, ids=[text for text, *_ in _SPREADS])
def test_plus_or_minus_is_kept(text: str, value: float, spread: float, unit: str) -> None:
    """The central value counts; the plus-or-minus is kept beside it, a percentage worked out."""
    reading = read_number(text)
    assert (reading.state, reading.value, reading.unit_text) == (State.NUMBER, value, unit)
    assert reading.uncertainty == pytest.approx(spread)
    assert reading.notes[-1].startswith("± ")


@pytest.mark.parametrize(
    ("text", "value", "unit", "note"),
    [
        ("O.5", 0.5, "", "read as 0.5 (a letter stood for a figure)"),
        ("2O.5 °C", 20.5, "°C", "read as 20.5 °C (a letter stood for a figure)"),
        ("l.002 kg", 1.002, "kg", "read as 1.002 kg (a letter stood for a figure)"),
        ("5O Ω", 50.0, "Ω", "read as 50 Ω (a letter stood for a figure)"),
        ("8·96", 8.96, "", "raised point as decimal point"),
        ("8·96 × 10³ kg", 8960.0, "kg", "raised point as decimal point"),
        ("⁻4.5", -4.5, "", "typographic minus"),
        ("5 Ã— 10Â³ Pa", 5000.0, "Pa", "signs put right that came through another code page"),
    ],
)
def test_what_can_be_meant_in_one_way_only_is_mended(text: str, value: float, unit: str, note: str) -> None:
    """A letter between figures, a raised point and signs of another code page are read, and said."""
    reading = read_number(text)
    assert (reading.value, reading.unit_text) == (value, unit)
    assert any(note in said for said in reading.notes)


def test_a_power_behind_a_bracket_goes_for_both() -> None:
    """(9.0 ± 0.1) × 10² is 900 ± 10, and a sign in brackets is the number's own."""
    reading = read_number("(9.0 ± 0.1) × 10² J")
    assert (reading.value, reading.uncertainty, reading.last_place) == (900.0, 10.0, (1, 1))
    assert read_number("(-4.5) °C").value == -4.5


def test_plus_or_minus_in_front_of_a_power_is_not_guessed() -> None:
    """Beside a power of ten a bare plus-or-minus may belong in front of it: the value counts, it does not."""
    reading = read_number("4.9 × 10⁻⁷ ± 0.1")
    assert (reading.value, reading.uncertainty) == (4.9e-7, None)
    assert reading.notes[-1] == "± 0.1 left out, for it may belong in front of the power of ten"


_BLANK = ["", " ", "\u200b", "-", "--", "\u2013", "—", "n/a", "N/A", "NA", "none", "None", "#", "?", "..."]
_BLANK += ["not done", "absent", "ab", "lost", "X", "Not measured"]


@pytest.mark.parametrize("text", _BLANK, ids=[repr(text) for text in _BLANK])
def test_not_given(text: str) -> None:
    """A way to leave a cell without a value is no value: not zero, and not an error."""
    reading = read_number(text)
    assert (reading.state, reading.value, reading.problem) == (State.BLANK, None, "")
    shown = text.strip("\u200b ")
    assert reading.notes == ((f'"{shown}" taken as not given',) if shown else ())


_REFUSED = [
    ("0.5O", "its last character is the letter O", ("0.50",)),
    ("20o", "its last character is the letter o", ("200",)),
    ("l5", "its first character is the letter l", ("15",)),
    ("1I", "its last character is the letter I", ("11",)),
    ("2|", "its last character is a bar", ("21",)),
    ("30S", "its last character is the letter S", ("305",)),
    ("10,400", "could be 10.400 or 10 400", ("10.400", "10 400")),
    ("-10,400 J", "could be -10.400 or -10 400", ("-10.400", "-10 400")),
    ("1,040,0", "its commas or points do not stand between groups of three figures", ()),
    ("20.5 200 g", "its commas or points do not stand between groups of three figures", ()),
    ("25..5", "its commas or points do not stand between groups of three figures", ()),
    ("4.9x107", "could be 4.9 × 10⁷ or 4.9 × 10⁻⁷", ("4.9 × 10⁷", "4.9 × 10⁻⁷")),
    ("4.9\u207b\u2077", "a power without its × 10", ("4.9 × 10⁻⁷",)),
    ("0.5O", "its last character is the letter O", ("0.50",)),
    ("2S.5 °C", "character 2 is the letter S", ("25.5 °C",)),
    ("51/2 cm", "a fraction, or a whole number that lost its space", ("5 1/2", "51/2")),
    ("(4.9 ± 0.1 m) × 10⁻⁷", "a power of ten behind a bracket", ()),
    ("5²", "a power without its × 10", ("5 × 10²",)),
    ("4.9 x 10 cm", "the power of ten is missing", ()),
    ("20 cm ± 5 mm", "two different units", ()),
    ("20 (± 0.5", "a bracket that is not closed", ()),
    ("20 ± ?", "a plus-or-minus that cannot be made out", ()),
    ("1/0", "a sum that was not worked out", ()),
    ("2.96/0.30", "a sum that was not worked out", ()),
    ("5*3", "a sum that was not worked out", ()),
    ("(5)", "may be negative, or only in brackets", ("5", "-5")),
    ("20. 5", "a space beside the point", ("20.5",)),
    ("20 5", "two numbers", ()),
    ("10-12", "two numbers", ()),
    ("20 to 25", "two numbers", ()),
    ("20 4000", "two numbers", ()),
    ("1.2.3", "a date, or a number with too many points", ()),
    ("12/05/2024", "a date, or a number with too many points", ()),
    ("2:30", "a time in minutes and seconds", ()),
    ("2'30''", "a time in minutes and seconds", ()),
    ("<5", "a limit, not a reading", ()),
    ("nil", "may be 0 or nothing given", ()),
    ("true", "a yes or no, not a number", ()),
    ("FALSE", "a yes or no, not a number", ()),
    ("nan", "not a finite number", ()),
    ("-Infinity", "not a finite number", ()),
    ("1e100", "far beyond any reading", ()),
    ("1e999", "far beyond any reading", ()),
    ("1e400000000", "far beyond any reading", ()),
    ("1_000", "figures with underscores", ()),
    ("#DIV/0!", "an error of the spreadsheet", ()),
    ("#VALUE!", "an error of the spreadsheet", ()),
    ("####", "the column was too narrow to show the number", ()),
    ("=20.4*1000", "a formula that was not worked out", ()),
    ("\t=1+1", "a formula that was not worked out", ()),
    ("@SUM(1)", "a formula that was not worked out", ()),
    ("4213 \u00bd", '"½" behind the number is no unit', ()),
    ("4200 about", '"about" behind the number is no unit', ()),
    ("20 blobs", '"blobs" behind the number is no unit', ()),
    ("5 m 3 cm", '"m 3 cm" behind the number is no unit', ()),
    ("5 cm 3", '"cm 3" behind the number is no unit', ()),
    ("25(1)", '"(1)" behind the number is no unit', ()),
    ("1e", '"e" behind the number is no unit', ()),
    ("4.5-", '"-" behind the number is no unit', ()),
    ("--5", "not a number", ()),
    ("±5", "not a number", ()),
    ("\u0967\u0968", "not a number", ()),
    ("\U0001f600 4213", "not a number", ()),
    ("<b>4200", "not a number", ()),
    ("\u56db\u4e00\u516d\u3007", "no number in it", ()),
    ("четыре", "no number in it", ()),
    ("42\x0000", "a hidden character in it, [U+0000]", ()),
    ("4200\x01", "a hidden character in it, [U+0001]", ()),
    ("\x0b4213", "a hidden character in it, [U+000B]", ()),
    ("4160\ufffe", "a hidden character in it, [U+FFFE]", ()),
    ("4213\x1b[31m", "a hidden character in it, [U+001B]", ()),
    ("4200\nabout", "a line break in it", ()),
    ("\u202e7714", "a hidden sign turns its characters round on screen", ()),
    ("9" * 41, "too long for a number", ()),
    ("9" * 400, "too long for a number", ()),
    ("0." + "3" * 399, "too long for a number", ()),
    ("9" * 5000, "5000 characters, too long for a number", ()),
    ("word " * 6000, "30000 characters, too long for a number", ()),
]


@pytest.mark.parametrize(("text", "problem", "likely"), _REFUSED, ids=[show_text(text) for text, *_ in _REFUSED])
def test_unreadable(text: str, problem: str, likely: tuple[str, ...]) -> None:
    """A text that is not one whole number is left to the teacher, with what is wrong and what may be meant."""
    assert read_number(text) == NumberReading(state=State.UNREADABLE, problem=problem, likely=likely)


_COMMAS = [
    # text, decimal comma, limits, value
    ("22,100", None, (0.0, 50.0), 22.1),
    ("10,400", None, (5000.0, 20000.0), 10400.0),
    ("10,400", None, (0.0, 20000.0), None),  # both are possible
    ("10,400", None, (20000.0, 30000.0), None),  # neither is
    ("10,400", None, (10400.0, 20000.0), 10400.0),
    ("10,400", None, (10400.1, 20000.0), None),
    ("22,100", True, None, 22.1),
    ("22,100", False, None, 22100.0),
    ("22,100", False, (0.0, 50.0), None),  # the file and the apparatus say different things
    ("22,100", True, (0.0, 50.0), 22.1),
    ("22,100", True, (0.0, 1e6), 22.1),
    ("10.400", None, None, 10.4),
    ("10.400", False, None, 10.4),
    ("10.400", True, None, None),  # where commas are decimal, a point may part thousands
    ("10.400", True, (0.0, 50.0), 10.4),
    ("0.400", True, None, 0.4),
    ("10.40", True, None, 10.4),
    ("20,5", False, None, 20.5),
]


@pytest.mark.parametrize(("text", "decimal_comma", "limits", "value"), _COMMAS)
def test_what_settles_an_unclear_mark(
    text: str, decimal_comma: bool | None, limits: tuple[float, float] | None, value: float | None
) -> None:
    """One comma before three figures is settled by the file's habit or the apparatus, and else by nobody."""
    reading = read_number(text, decimal_comma=decimal_comma, limits=limits)
    assert reading.value == value
    assert reading.state is (State.UNREADABLE if value is None else State.NUMBER)


def test_limits_that_settled_a_mark_are_named() -> None:
    """A reading taken because the other is impossible says so."""
    (note,) = read_number("10,400", limits=(5000, 20000)).notes
    assert note == "read as 10 400 (comma as thousands mark, nothing else is within reach of the apparatus)"


def test_limits_never_change_a_clear_number() -> None:
    """A clear number outside the limits is read as it stands: the apparatus may be off, the student may be wrong."""
    assert read_number("22.1", limits=(100, 200)) == read_number("22.1")


def test_a_long_decimal_is_cut_and_says_so() -> None:
    """A calculator's endless decimal is a number; more than forty of its characters are not kept."""
    reading = read_number("0." + "3" * 300)
    assert (reading.value, reading.last_place) == (1 / 3, (-38, -38))
    assert reading.notes == ("only its first 40 characters used",)
    assert read_number("0." + "3" * 38).notes == ()


_SHOWN = [
    ("0.50", "0.50"),
    ("20,5 \u00b0C", "20,5 °C"),
    ("a\u200bb", "a[U+200B]b"),
    ("a\u00a0b\n", "a[U+00A0]b[U+000A]"),
    ("42\x0000", "42[U+0000]00"),
    ("x" * 60, "x" * 60),
    ("x" * 61, "x" * 60 + "…"),
    ("x" * 55 + "\u200b", "x" * 55 + "…"),  # a mark is never cut in half
    ("\ud800", "[U+D800]"),
]


@pytest.mark.parametrize(("text", "shown"), _SHOWN, ids=range(len(_SHOWN)))
def test_text_in_messages(text: str, shown: str) -> None:
    """A message shows what was typed, hidden signs made visible, at most sixty characters of it."""
    assert show_text(text) == shown


@pytest.mark.parametrize("figures", ["0", "-0", "7", "10", "1000", "-3.20", "007", "123456789.123456789"])
@pytest.mark.parametrize(
    "unit", ["V", "volts", "Ω", "µA", "m s⁻¹", "deg C", "x", "half", "ish", "hard", "", " V", "V "]
)
def test_a_unit_behind_a_space_is_read_as_behind_other_spaces(figures: str, unit: str) -> None:
    """What is looked up says what reading the whole text closely says: a space in front asks for the latter."""
    one, other = read_number(f"{figures} {unit}"), read_number(f" {figures} {unit}")
    assert (one.state, one.value, one.last_place, one.unit_text) == (
        other.state,
        other.value,
        other.last_place,
        other.unit_text,
    )
    assert (one.is_fraction, one.problem, one.likely, one.ways) == (
        other.is_fraction,
        other.problem,
        other.likely,
        other.ways,
    )
