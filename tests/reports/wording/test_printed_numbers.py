"""Numbers as they are printed for people."""

from __future__ import annotations

import pytest

from reports.wording.printed_numbers import printed


@pytest.mark.parametrize(
    ("value", "figures", "text"),
    [
        (1.1e11, None, "1.1 × 10¹¹"),
        (1e10, None, "1 × 10¹⁰"),
        (1.1e11, 3, "1.10 × 10¹¹"),
        (6.62607015e-34, None, "6.62607015 × 10⁻³⁴"),
        (900.0, None, "900"),
        (-9.996, 3, "−10.0"),
        (float("nan"), None, "no value"),
    ],
)
def test_printed(value: float, figures: int | None, text: str) -> None:
    """All figures that a number has and no more, or as many as are asked for."""
    assert printed(value, figures) == text
