"""Names of the students' files."""

from __future__ import annotations

import hashlib
import re
import unicodedata
from collections.abc import Sequence

LONGEST_NAME = 40
_SAFE = re.compile(r"[^A-Za-z0-9_-]+")
_RESERVED = {"con", "prn", "aux", "nul", *(f"com{n}" for n in range(10)), *(f"lpt{n}" for n in range(10))}


def file_names(codes: Sequence[str]) -> dict[str, str]:
    """Return a file name, without ending, for each student code: the code itself wherever every system takes it.

    Other codes keep their safe letters and get a short hash of the whole, and so do codes that some
    systems would take for one file.
    """
    folded: dict[str, int] = {}
    for code in codes:
        key = unicodedata.normalize("NFKC", code).casefold()
        folded[key] = folded.get(key, 0) + 1
    names = {}
    for code in codes:
        safe = _SAFE.sub("", code)[:LONGEST_NAME]
        alone = folded[unicodedata.normalize("NFKC", code).casefold()] == 1
        plain = safe == code and safe.casefold() not in _RESERVED and not safe.startswith("-") and alone
        names[code] = (
            code if plain else f"{safe or 'student'}-{hashlib.sha256(code.encode()).hexdigest()[:8]}".lstrip("-")
        )
    return names
