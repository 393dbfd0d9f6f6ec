from __future__ import annotations

import importlib
import pkgutil
import re
from collections.abc import Iterator

import pytest

import marking.intake
import rubrics
from rubrics.patterns import late_pattern
from rubrics.patterns.late_pattern import _LatePattern

MODULES = [
    name
    for wing in (rubrics, marking.intake)
    for _, name, _ in pkgutil.walk_packages(wing.__path__, f"{wing.__name__}.")
    if not name.endswith("__main__")
]


def late_ones(value: object) -> Iterator[_LatePattern]:
    """Yield the late patterns in *value*, which may be a table of them."""
    if isinstance(value, _LatePattern):
        yield value
    elif isinstance(value, (tuple, list)):
        for one in value:
            yield from late_ones(one)


def test_every_pattern_of_the_house_compiles() -> None:
    """A fault in one would show only when a text meets it."""
    found = [
        one for name in MODULES for value in vars(importlib.import_module(name)).values() for one in late_ones(value)
    ]
    assert len(found) > 100
    for one in found:
        re.compile(one.pattern, one._flags)


def test_it_does_what_a_compiled_one_does() -> None:
    """First and later uses alike, flags included."""
    late, plain = late_pattern(r"(?P<a>x)[0-9]", re.IGNORECASE), re.compile(r"(?P<a>x)[0-9]", re.IGNORECASE)
    for text in ("x1", "X2", "y", "-x1"):
        for _ in range(2):
            assert bool(late.fullmatch(text)) == bool(plain.fullmatch(text))
            assert late.sub("_", text) == plain.sub("_", text)
    assert late.groupindex == plain.groupindex
    assert late_pattern(b"a").search(b"ba") is not None


def test_it_is_compiled_by_its_first_use() -> None:
    """A pattern that is none is refused then, and not before."""
    wrong = late_pattern("(")
    with pytest.raises(re.error):
        wrong.search("a")
