"""The scales that are read are those that pint works out of our definitions."""

from __future__ import annotations

import pytest

from rubrics.units.scales import scale_of, worked_out_scale
from rubrics.units.spellings import spelling_table
from tests.rubrics.units.write_scales import FILE, scales_text


@pytest.mark.parametrize("symbol", sorted(spelling_table().defined))
def test_every_symbol_has_the_scale_that_pint_gives_it(symbol: str) -> None:
    """Factor, dimension and offset of each symbol are the library's, to the last digit."""
    assert scale_of(symbol) == worked_out_scale(symbol)


def test_the_file_holds_nothing_else() -> None:
    """A unit that was added or taken away is in the file or out of it: write it anew."""
    assert FILE.read_text(encoding="utf-8") == scales_text()


def test_a_symbol_that_is_not_ours_has_no_scale() -> None:
    """Nothing is made up for a symbol that spellings.toml does not define."""
    with pytest.raises(KeyError):
        scale_of("furlong")
