"""Which program this is."""

from __future__ import annotations

from marking.version import VERSION


def program_version() -> str:
    """Return the version of the program."""
    return VERSION
