"""What people write by habit is told with what to write for it."""

from __future__ import annotations

import pytest

from rubrics.faults import FormulaError
from rubrics.formulas import parse_formula


@pytest.mark.parametrize(
    ("text", "mend"),
    [
        ("V × I", "write * for it"),
        ("V ÷ I", "write / for it"),
        ("π * r", "write pi for it"),
        ("r³", "write **3 for it"),
        ("V ? I", "check brackets and signs"),
        ("2x / t", "write 2 * x"),
        ("a + 0.5 m", "write 0.5 * m"),
        ("2(a + b)", "write 2 * (a"),
        ("v = x / t", "leave out what stands before the ="),
        ("average(x)", "write mean"),
        ("SD(x)", "write stdev"),
        ("log(x)", "write log10 (to base 10) or ln"),
        ("SUM(x) / 3", "write sum"),
        ("total(x) / 3", "write sum"),
        ("Σ x", "write sum( )"),
        ("frob(x)", "use sqrt, sin"),
        ("1e3 + ", "check brackets and signs"),
        ("LN(A)", "write ln"),
        ("STDEV.S(A)", "write stdev"),
        ("PI() * A", "write pi"),
        ("SLOPE(A; t)", "write a comma between"),
        ("IF(A > 1; A; 0)", "no conditions"),
        ("IF(A, 1, 0)", "no conditions"),
        ("ROUND(A, 2)", "write what is inside alone"),
        ("A * 2,5", "write a decimal point"),
        ("A * 38 %", "leave the % out"),
        ("38 % * A", "leave the % out"),
        ("A x 2", "write * for x"),
        ("ln A", "write ln( ) with brackets"),
        ("V t", "write V * t"),
        ("exp(A", "a bracket is missing"),
        ("A(2)", "write A * (...) for a product"),
        ("A**0.5", "write sqrt( ) for 0.5"),
        ("e**A", "write exp( )"),
        ("slope(A)", "2 plain arguments: slope(y, x)"),
        ("at(A, t)", "3 plain arguments: at(y, x, value)"),
        ("sin(a, b)", "1 plain argument: sin(x)"),
    ],
)
def test_message_says_what_to_write(text: str, mend: str) -> None:
    """Each message leads on to the formula that was meant."""
    with pytest.raises(FormulaError) as raised:
        parse_formula(text)
    assert mend in str(raised.value)


@pytest.mark.parametrize("text", ["x_2 * 3", "1e3 * x", "2 * (a + b)", "m / V2"])
def test_what_is_a_formula_stays_one(text: str) -> None:
    """Names that end in figures, and powers of ten, are no products without a sign."""
    assert parse_formula(text).text == text
