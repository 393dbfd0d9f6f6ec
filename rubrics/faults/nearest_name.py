"""The known name that a mistyped one most likely means."""

from __future__ import annotations

from collections.abc import Iterable

from rubrics.faults.errors import InputError

_ALIKE = 60.0
"""From so much likeness on a name is offered (per cent of Indel similarity); below it any guess would puzzle."""


def nearest_name(said: str, known: Iterable[str]) -> str:
    """Return the name in *known* that is most like *said*, whatever its capitals; empty where none is."""
    from rapidfuzz import fuzz, process  # for a name that was mistyped only

    names = list(known)
    found = process.extractOne(said.casefold(), names, scorer=fuzz.ratio, processor=str.casefold, score_cutoff=_ALIKE)
    return found[0] if found is not None else ""


def unknown_name(file: str, problem: str, said: str, known: Iterable[str]) -> InputError:
    """Return the error for a name that is not known: the nearest first, where there is one, then all of them.

    Args:
        file: What the message is about.
        problem: What is wrong, in one clause.
        said: The name as it was typed.
        known: The names that there are.
    """
    names = list(dict.fromkeys(known))
    near = nearest_name(said, names)
    mend = f"use one of {', '.join(names)}"
    return InputError(file, problem, f"the nearest is {near}; {mend}" if near else mend)
