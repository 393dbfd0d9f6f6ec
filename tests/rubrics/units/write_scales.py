"""Writes ``rubrics/units/scales.toml`` anew: ``python -m tests.rubrics.units.write_scales``.

From pint and our definitions, for whoever has added a unit; the test beside this file says when it is needed.
"""

from __future__ import annotations

from pathlib import Path

from rubrics.units import scales
from rubrics.units.spellings import spelling_table

FILE = Path(scales.__file__).with_name("scales.toml")
HEAD = """\
# Our own symbols: factor to SI, exponents of length, mass, time, current, temperature, amount and luminous intensity,
# offset. Written by python -m tests.rubrics.units.write_scales; change definitions.txt and spellings.toml instead.
"""


def scales_text() -> str:
    """Return what the file should hold."""
    lines = []
    for symbol in sorted(spelling_table().defined):
        scale = scales.worked_out_scale(symbol)
        lines.append(f'"{symbol}" = ["{scale.factor}", {list(scale.dimension)}, "{scale.offset}"]\n')
    return HEAD + "".join(lines)


if __name__ == "__main__":
    FILE.write_text(scales_text(), encoding="utf-8")
