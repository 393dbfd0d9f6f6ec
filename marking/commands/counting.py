"""Numbers with their nouns, for the terminal."""

from __future__ import annotations


def counted(number: int, noun: str, several: str = "") -> str:
    """Return a number with its noun: '1 note', '3 notes'; *several* where the plural takes more than an s."""
    return f"{number} {noun}" if number == 1 else f"{number} {several or noun + 's'}"
