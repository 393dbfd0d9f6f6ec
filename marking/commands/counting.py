"""Numbers with their nouns, for the terminal."""

from __future__ import annotations


def counted(number: int, noun: str) -> str:
    """Return a number with its noun: '1 note', '3 notes'."""
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"
