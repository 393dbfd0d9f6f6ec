"""How often luck alone would show as much, in words."""

from __future__ import annotations

import math


def luck_in_words(chance: float, *, of: str) -> str:
    """Return a sentence on *chance*; *of* says of what, in the plural: 'sound classes'.

    Raises:
        ValueError: *chance* is not between 0 and 1.
    """
    if not 0.0 <= chance <= 1.0:
        raise ValueError(f"{chance} is no chance")
    if chance < 0.001:
        return f"Fewer than 1 in 1000 {of} would show as much by luck."
    if chance < 0.01:
        return f"About {math.ceil(1000 * chance)} in 1000 {of} would show as much by luck."
    return f"About {math.ceil(100 * chance)} in 100 {of} would show as much by luck."
