"""The interval of a share."""

from __future__ import annotations

import pytest

from tests.benchmarks.data import interval


def test_wilson_interval() -> None:
    """None of 1000: still up to 0.38 %; half of 100: 40 to 60 %; edges stay within 0 and 1."""
    assert interval(0, 1000) == (0.0, pytest.approx(0.00383, abs=1e-5))
    assert interval(50, 100) == (pytest.approx(0.4038, abs=1e-4), pytest.approx(0.5962, abs=1e-4))
    assert interval(7, 7)[1] == 1.0


@pytest.mark.parametrize(("hits", "of"), [(0, 0), (3, 2), (-1, 2)])
def test_no_share(hits: int, of: int) -> None:
    """Nothing counted, or more than that."""
    with pytest.raises(ValueError, match="no share"):
        interval(hits, of)
