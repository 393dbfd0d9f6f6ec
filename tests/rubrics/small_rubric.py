"""A small sound rubric, to be broken in one place or several: its faults out, in short."""

from __future__ import annotations

import tempfile
from pathlib import Path

from rubrics.faults.errors import RubricError
from rubrics.load import read_rubric
from rubrics.model.practical import Rubric

FILE = "tube.toml"
SOUND = """format = 1
id = "tube"
edition = 1
title = "Density of a tube"
level = "14 to 16"
purpose = "To find a density."
cautions = [
    "Mind the glass.",
    "Before you start, follow your school's own risk assessment and local rules.",
]

[readings.m]
quantity = "mass"
unit = "g"
recorded_in = ["kg"]
limits = [1, 500]

[readings.V]
quantity = "volume"
unit = "cm³"

[answers.rho]
quantity = "density"
unit = "g/cm³"
formula = "m / V"
figures = [2, 3]

[[criteria]]
code = "F1"
point = "Density follows"
check = "value"
items = ["rho"]

[[criteria]]
code = "F2"
point = "Unit of the density"
check = "unit"
items = ["rho"]
"""

Change = tuple[str, str]
"""(what stands in the sound rubric, what stands there instead)"""


def changed(*changes: Change) -> str:
    """Return the sound rubric with each change made once."""
    text = SOUND
    for old, new in changes:
        assert old in text, f"the rubric holds no {old!r} to change"
        text = text.replace(old, new, 1)
    return text


def read(data: str | bytes) -> Rubric:
    """Return the rubric that a file with *data* holds."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / FILE
        file.write_bytes(data.encode() if isinstance(data, str) else data)
        return read_rubric(file)


def faults(data: str | bytes) -> list[str]:
    """Return every fault of *data* as 'line: problem: mend', in the order told; an empty list where it is sound."""
    try:
        read(data)
    except RubricError as error:
        return [f"{fault.line}: {fault.problem}: {fault.mend}" for fault in error.faults if fault.file == FILE]
    return []


def line_with(text: str, part: str) -> int:
    """Return the first line of *text*, counted from 1, that holds *part*."""
    return next(number for number, line in enumerate(text.split("\n"), 1) if part in line)
