"""``writeups rubric-check``: is this rubric sound?"""

from __future__ import annotations

import argparse
from pathlib import Path

from rubrics.errors import InputError
from rubrics.load import read_rubric


def run(arguments: argparse.Namespace) -> int:
    """Read the rubric; a faulty one is told by the error that the reader raises."""
    path = Path(arguments.file)
    if not path.is_file():
        raise InputError(path.name, "there is no such file", "check the name")
    rubric = read_rubric(path)
    print(f"{path.name}: sound. {rubric.title}: {len(rubric.items)} items, {rubric.total} marks.")
    return 0
