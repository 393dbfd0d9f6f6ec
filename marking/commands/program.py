"""Which program this is."""

from __future__ import annotations

from importlib.metadata import PackageNotFoundError, version


def program_version() -> str:
    """Return the version of the program that is installed."""
    try:
        return version("writeups")
    except PackageNotFoundError:
        return "not installed"
