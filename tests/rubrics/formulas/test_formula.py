"""The formula language: what parses, what is refused, and that it works out what it says."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marking.checking.answers.worked.evaluation import evaluate
from rubrics.faults.errors import FormulaError, RubricError
from rubrics.formulas.formula import (
    COLUMN_FUNCTIONS,
    MAX_DEPTH,
    MAX_EXPONENT,
    POINT_FUNCTIONS,
    VALUES_BEHIND,
    Name,
    Node,
    Number,
    factors,
    parse_formula,
    replace_name,
    terms,
)
from rubrics.formulas.printing import plain_text, printed_equation, printed_text
from rubrics.load import read_rubric

REFUSED = [
    "__import__('os')",
    "a.b",
    "a[0]",
    "(lambda: 1)()",
    "[x for x in a]",
    'f"{a}"',
    '"a" * 9',
    'b"x"',
    "1j",
    "True",
    "None",
    "a if b else c",
    "a < b",
    "a == b",
    "not a",
    "~a",
    "a and b",
    "(a := 1)",
    "f(*a)",
    "f(**a)",
    "sqrt(*a)",
    "sqrt(**a)",
    "sqrt(x=a)",
    "a @ b",
    "a << b",
    "a // b",
    "a % b",
    "a | b",
    "9**9**9",
    "a**b",
    "a**-10",
    "a**10",
    "a**0.5",
    "a**True",
    "10**400",
    "1e400",
    "0xff ** 99",
    "await a",
    "yield a",
    "{1: 2}",
    "(a, b)",
    "...",
    "a; b",
    "a = 1",
    '""',
    "",
    "   ",
    "1\0",
    "(" * 400,
    "-" * 5000,
    "-" * 450 + "a",
    "1+" * 20_000,
    "1+" * 240 + "1",
    "1" * 41,
    "ｅｖａｌ(a)",
    "eval(a)",
    "a × b",
    "2^3",
    "a b",
    "2a",
    "pi()",
    "mean(a + b)",
    "slope(a)",
    "sqrt()",
    "sqrt(a, b)",
]


def shown(text: str) -> str:
    """Return a short name for a case."""
    return repr(text[:24])


@pytest.mark.parametrize("text", REFUSED, ids=shown)
def test_nothing_but_the_language_parses(text: str) -> None:
    """Whatever is not numbers, names, + - * / ** and the listed functions is refused in one clear clause."""
    with pytest.raises(FormulaError) as caught:
        parse_formula(text)
    assert 20 < len(str(caught.value)) < 260
    assert "\n" not in str(caught.value)


RUBRIC = """format = 1
id = "tube"
edition = 1
title = "Tube"
level = "14 to 16"
purpose = "To find a density."
cautions = ["Before you start, follow your school's own risk assessment and local rules."]
readings.a = {{ quantity = "first" }}
readings.b = {{ quantity = "second" }}
readings.c = {{ quantity = "third" }}

[answers.x]
quantity = "answer"
formula = {formula}

[[criteria]]
code = "F1"
point = "It follows"
check = "value"
items = ["x", ]
"""
FORMULA_LINE = 14
# TOML itself cannot hold a zero byte, and the schema refuses an empty text and one of over 600 characters.
WRITABLE = [text for text in REFUSED if "\0" not in text and 0 < len(text) <= 600]


@pytest.mark.parametrize("text", WRITABLE, ids=shown)
def test_refusal_names_the_line_of_the_rubric(text: str, tmp_path: Path) -> None:
    """A rubric with such a formula is refused when it loads, at the line of that formula."""
    file = tmp_path / "tube.toml"
    file.write_text(RUBRIC.format(formula=f"'''{text}'''"), encoding="utf-8")
    with pytest.raises(RubricError) as caught:
        read_rubric(file)
    assert [(fault.file, fault.line) for fault in caught.value.faults] == [("tube.toml", FORMULA_LINE)]


@pytest.mark.parametrize("text", ["", "-" * 5000, "1+" * 20_000, "9" * 601], ids=shown)
def test_too_short_and_too_long_are_refused_before_parsing(text: str, tmp_path: Path) -> None:
    """An empty formula and one of thousands of characters are faults of their line too."""
    file = tmp_path / "tube.toml"
    file.write_text(RUBRIC.format(formula=f'"{text}"'), encoding="utf-8")
    with pytest.raises(RubricError) as caught:
        read_rubric(file)
    assert [fault.line for fault in caught.value.faults] == [FORMULA_LINE]


@pytest.mark.parametrize(
    ("inside", "outside"),
    [
        (f"a**{MAX_EXPONENT}", f"a**{MAX_EXPONENT + 1}"),
        (f"a**-{MAX_EXPONENT}", f"a**-{MAX_EXPONENT + 1}"),
        ("-" * (MAX_DEPTH - 1) + "a", "-" * MAX_DEPTH + "a"),
        ("1" * 40, "1" * 41),
        ("a" * 500, "a" * 501),
        ("1e308", "1e309"),
    ],
    ids=["power", "negative-power", "depth", "digits", "length", "size"],
)
def test_limits_are_where_they_say(inside: str, outside: str) -> None:
    """Just inside a limit parses, just outside is refused."""
    parse_formula(inside)
    with pytest.raises(FormulaError):
        parse_formula(outside)


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("E / (m * dT)", ("E", "m", "dT")),
        ("pi * d**2 / 4", ("d",)),
        ("slope(R, L) * R", ("R", "L")),
        ("m + m * m", ("m",)),
        ("2.5e3", ()),
    ],
)
def test_names_are_listed_once_in_order(text: str, names: tuple[str, ...]) -> None:
    """A formula knows which items it needs; pi is none of them."""
    assert parse_formula(text).names == names


NAMES = ("a", "b", "c")
_numbers = st.sampled_from(["2", "0.5", "10", "1e3", "3.14"])


def _operation(inner: st.SearchStrategy[str], signs: str) -> st.SearchStrategy[str]:
    return st.builds(lambda a, s, b: f"({a}) {s} ({b})", inner, st.sampled_from(signs), inner)


def _arithmetic() -> st.SearchStrategy[str]:
    leaf = st.one_of(st.sampled_from(NAMES), _numbers)
    return st.recursive(
        leaf,
        lambda inner: st.one_of(
            _operation(inner, "+-*/"),
            inner.map(lambda a: f"-({a})"),
            # Without brackets Python's own order of operations decides, ours must be the same.
            st.builds(lambda a, s, b: f"{a} {s} {b}", inner, st.sampled_from("+-*/"), inner),
        ),
        max_leaves=8,
    )


_value = st.floats(-1e6, 1e6, allow_subnormal=False)


def _python_value(text: str, values: dict[str, float]) -> float:
    """Return what Python makes of *text*; infinite where it refuses."""
    try:
        return float(eval(text, {"__builtins__": {}, "pi": math.pi}, values))
    except (ZeroDivisionError, OverflowError):
        return math.inf


@settings(deadline=None)
@given(_arithmetic(), st.tuples(_value, _value, _value))
def test_arithmetic_is_python_s_own(text: str, numbers: tuple[float, float, float]) -> None:
    """Sums, differences, products and quotients come out to the last bit as Python works them out."""
    values = dict(zip(NAMES, numbers, strict=True))
    ours = evaluate(parse_formula(text).tree, {name: np.array([[value]]) for name, value in values.items()})
    theirs = _python_value(text, values)
    if math.isfinite(theirs):
        assert float(ours[0, 0]) == theirs
    # Where Python stops (a division by zero on the way) ours may still end in 0, as in 1 / (1 / 0), and never in an
    # exception; that such an answer is not marked is for the checks to see to.


@settings(deadline=None)
@given(st.floats(0.01, 100), st.integers(-MAX_EXPONENT, MAX_EXPONENT))
def test_powers_are_python_s_own(base: float, exponent: int) -> None:
    """A power comes out as Python's, but for the last bit."""
    ours = evaluate(parse_formula(f"a**{exponent}").tree, {"a": np.array([[base]])})
    assert float(ours[0, 0]) == pytest.approx(base**exponent, rel=1e-14)


FUNCTIONS: dict[str, Callable[[float], float]] = {
    "sqrt": math.sqrt,
    "sin": math.sin,
    "cos": math.cos,
    "tan": math.tan,
    "asin": math.asin,
    "ln": math.log,
    "log10": math.log10,
    "exp": math.exp,
    "abs": abs,
    "kelvin": float,  # values stand in coherent SI units, a temperature in kelvin
}


def test_every_function_has_its_counterpart_here() -> None:
    """No function can be added to the language without a check of its values."""
    assert set(FUNCTIONS) == set(POINT_FUNCTIONS)


@pytest.mark.parametrize("function", FUNCTIONS)
@settings(deadline=None)
@given(value=st.floats(0.001, 1.0))
def test_functions_are_the_library_s(function: str, value: float) -> None:
    """Each function of one value gives what Python's mathematics gives, angles in radians."""
    ours = evaluate(parse_formula(f"{function}(a)").tree, {"a": np.array([[value]])})
    assert float(ours[0, 0]) == pytest.approx(FUNCTIONS[function](value), rel=1e-14)


@pytest.mark.parametrize(("text", "value"), [("sqrt(a)", -4.0), ("ln(a)", 0.0), ("1 / a", 0.0), ("exp(a)", 1e4)])
def test_no_value_is_no_exception(text: str, value: float) -> None:
    """What has no value comes out as not finite, for that student alone."""
    found = evaluate(parse_formula(text).tree, {"a": np.array([[value], [1.0]])})
    assert not np.isfinite(found[0, 0])
    assert np.isfinite(found[1, 0])


@settings(deadline=None)
@given(st.lists(st.floats(-1e3, 1e3), min_size=1, max_size=8))
def test_functions_of_columns_are_python_s_own(column: list[float]) -> None:
    """Mean, min, max and count are those of the rows that are there."""
    values = {"a": np.array([[*column, math.nan]])}
    found = {name: float(evaluate(parse_formula(f"{name}(a)").tree, values)[0, 0]) for name in ("min", "max", "count")}
    assert found == {"min": min(column), "max": max(column), "count": len(column)}
    mean = float(evaluate(parse_formula("mean(a)").tree, values)[0, 0])
    assert mean == pytest.approx(math.fsum(column) / len(column), rel=1e-12, abs=1e-9)


def test_functions_of_an_empty_column_have_no_value() -> None:
    """A column in which nothing stands has no mean, no smallest and no largest entry."""
    values = {name: np.full((1, 3), math.nan) for name in "abcd"}
    for name, arguments in COLUMN_FUNCTIONS.items():
        plain = ", 1" * VALUES_BEHIND.get(name, 0)
        tree = parse_formula(f"{name}({', '.join('abcd'[:arguments])}{plain})").tree
        value = float(evaluate(tree, values)[0, 0])
        assert value == 0 if name == "count" else math.isnan(value)


def _flat(node: Node) -> object:
    """Return *node* with sums of sums and products of products as one chain; brackets there change nothing."""
    if len(terms(node)) > 1:
        return tuple((_flat(term), sign) for term, sign in terms(node))
    if len(factors(node)) > 1:
        return ("product", *((_flat(factor), side) for factor, side in factors(node)))
    return node if isinstance(node, Name | Number) else plain_text(node)


@settings(deadline=None)
@given(_arithmetic())
def test_printed_formula_is_the_same_formula(text: str) -> None:
    """A formula printed in its own language parses to the same chains of terms and factors, and prints the same."""
    tree = parse_formula(text).tree
    printed = plain_text(tree)
    again = parse_formula(printed).tree
    assert _flat(again) == _flat(tree)
    assert plain_text(again) == printed


EXACT = [
    "E / (m * dT)",
    "a - (b - c)",
    "a / (b / c)",
    "a * (b / c)",
    "(a + b) * c",
    "-a**2",
    "(-a)**2",
    "(a**2)**3",
    "(a**2)**-1",
    "-(a + b)",
    "a - -b",
    "sqrt(a)**2",
    "4 * pi**2 / slope(a, b)",
    "1 / (1 / a + 1 / b)",
]


@pytest.mark.parametrize("text", EXACT)
def test_round_trip_keeps_the_tree(text: str) -> None:
    """These formulas come back from print exactly as they were written, with the fewest brackets."""
    tree = parse_formula(text).tree
    assert plain_text(tree) == text
    assert parse_formula(plain_text(tree)).tree == tree


ENTRIES = {"a": "−3.0", "b": "−0.40", "c": "1.2 × 10⁻⁴", "d": "2.5"}


@pytest.mark.parametrize(
    ("text", "printed"),
    [
        ("d / a", "2.5 ÷ (−3.0)"),
        ("a / b", "−3.0 ÷ (−0.40)"),
        ("d - a", "2.5 − (−3.0)"),
        ("d / c", "2.5 ÷ (1.2 × 10⁻⁴)"),
        ("c / d", "1.2 × 10⁻⁴ ÷ 2.5"),
        ("c**2", "(1.2 × 10⁻⁴)²"),
        ("a**2", "(−3.0)²"),
        ("d**-1", "2.5⁻¹"),
        ("(d**2)**3", "(2.5²)³"),
        ("pi * d**2 / 4", "π × 2.5² ÷ 4"),
        ("d / (d + d)", "2.5 ÷ (2.5 + 2.5)"),
    ],
)
def test_working_can_be_keyed_in_as_printed(text: str, printed: str) -> None:
    """With a student's numbers in it a formula still says which operation comes first."""
    assert printed_text(parse_formula(text).tree, ENTRIES) == printed


def test_equation_is_printed_with_symbols() -> None:
    """A formula is shown as people write it, columns by what is done with them."""
    symbols = {"T_end": "T₂", "T_start": "T₁", "R": "R", "L": "L"}
    assert printed_equation("ΔT", parse_formula("T_end - T_start"), symbols) == "ΔT = T₂ − T₁"
    assert printed_equation("k", parse_formula("slope(R, L)"), symbols) == "k = gradient of R against L"


def test_name_is_replaced_everywhere_but_inside_columns() -> None:
    """A name is replaced wherever it stands for one value; a column inside a function only by another column."""
    tree = parse_formula("a + a * mean(a) - sqrt(a)").tree
    swapped = replace_name(tree, "a", parse_formula("b / 2").tree)
    assert plain_text(swapped) == "b / 2 + b / 2 * mean(a) - sqrt(b / 2)"
    assert plain_text(replace_name(tree, "a", Name("c"))) == "c + c * mean(c) - sqrt(c)"
