"""A pattern that the first text compiles which is held against it.

There are hundreds of them, and to compile them all takes longer than to read a class; most classes hold numbers, plain
words and little else, and meet half of them.
"""

from __future__ import annotations

import re
from typing import Any, AnyStr, cast


def late_pattern(pattern: AnyStr, flags: int = 0) -> re.Pattern[AnyStr]:
    """Return *pattern* as ``re.compile`` does, compiled on first use; a fault in it shows only then."""
    return cast("re.Pattern[AnyStr]", _LatePattern(pattern, flags))


class _LatePattern:
    """Has whatever a compiled pattern has, from the first time on that it is asked for."""

    def __init__(self, pattern: str | bytes, flags: int) -> None:
        self.pattern = pattern
        self._flags = flags

    def __getattr__(self, name: str) -> Any:  # noqa: ANN401 - whatever a pattern has
        """Compile the pattern; what was asked for stands in the object itself from then on."""
        found = getattr(re.compile(self.pattern, self._flags), name)
        setattr(self, name, found)
        return found
