"""Whether a cell is a student's code, or speaks of it."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable


def is_code(code: str) -> Callable[[object], bool]:
    """Return what tells whether a cell holds *code* and nothing else, as codes are compared."""
    wanted = _folded(code)
    return lambda said: said is not None and _folded(str(said)) == wanted


def speaks_of(code: str) -> Callable[[object], bool]:
    """Return what tells whether a text names *code* somewhere."""
    word = re.compile(rf"(?<!\w){re.escape(_folded(code))}(?!\w)")
    return lambda said: isinstance(said, str) and word.search(_folded(said)) is not None


def _folded(said: str) -> str:
    return unicodedata.normalize("NFC", said.strip().removeprefix("'")).casefold()
