"""Templates of sentences: kept in files beside these, and filled with what is known."""

from __future__ import annotations

import re
import string
from collections.abc import Iterable, Mapping, Sequence
from functools import cache, lru_cache
from importlib import resources
from typing import Any

import rtoml

_QUESTION = re.compile(r"\?: (.)")
"""Where a quantity is a question, the sentence after it starts afresh: 'Is it proportional? You wrote ...'."""


@cache
def wording(name: str) -> Mapping[str, Any]:
    """Return the file *name*.toml of this folder."""
    return rtoml.loads(resources.files("reports.wording").joinpath(f"{name}.toml").read_text(encoding="utf-8"))


@cache
def parts_of(template: str) -> tuple[tuple[str, str, bool], ...]:
    """Return a template as texts, each with the slot behind it and whether it is raised; the last may have none."""
    parts = ((text, name or "") for text, name, _, _ in string.Formatter().parse(template))
    return tuple((text, name.lower(), name[:1].isupper()) for text, name in parts)


def fill(templates: Iterable[str], slots: Mapping[str, str]) -> str:
    """Return the first of *templates* whose slots are all known, filled; empty where none fits.

    A slot with a capital takes the same fact with its first letter raised.
    """
    for template in templates:
        parts: list[str] = []
        for text, name, is_raised in parts_of(template):
            parts.append(text)
            if not name:
                continue
            try:
                fact = slots[name]  # not get(): Slots are made on the first look
            except KeyError:
                break
            if not fact:
                break
            parts.append(raised(fact) if is_raised else fact)
        else:
            return joined(parts)
    return ""


def joined(parts: Sequence[str]) -> str:
    """Return the parts of a sentence as one."""
    filled = "".join(parts)
    return _QUESTION.sub(lambda found: f"? {found[1].upper()}", filled) if "?: " in filled else filled


@lru_cache(maxsize=1024)
def raised(fact: str) -> str:
    """Return *fact* with a capital where it starts with a word, not with a symbol."""
    if len(fact) > 1 and fact[0].islower() and (fact[1].islower() or fact[1] == "."):
        return fact[0].upper() + fact[1:]
    return fact
