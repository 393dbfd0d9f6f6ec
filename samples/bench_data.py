"""The benches of ``benches/`` as records: for each practical a few lines of data, explained in README.md."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from msgspec import Struct, field

from rubrics.formulas import Formula, parse_formula

FOLDER = Path(__file__).resolve().parent / "benches"
ANY = ""
"""Stands for every kind."""


class Take(Struct, frozen=True, kw_only=True):
    """How one reading comes about."""

    name: str
    formulas: Mapping[str, Formula]
    """By kind; ANY for all."""
    first: Formula | None
    noise: Formula
    step: float | None
    units: Mapping[str, float | None]
    """Symbol of each unit it is recorded in to its step there; empty: the unit of the rubric."""
    table: str | None
    rows: tuple[int, int] | None
    """Fewest and most rows, where nothing is set."""
    least: float | None

    def formula(self, kind: str) -> Formula | None:
        """Return the formula for a kind; None where this is not read."""
        return self.formulas.get(kind, self.formulas.get(ANY))


class BenchData(Struct, frozen=True, kw_only=True):
    """One practical as it happens in the room."""

    practical: str
    set: Mapping[str, Any] | None
    """The class that did it; None where no sample shows it."""
    kinds: tuple[str, ...]
    stand: Mapping[str, tuple[float, float] | tuple[float, ...]]
    by_bench: frozenset[str]
    """Names of *stand* that go by bench in turn."""
    rows: Mapping[str, Mapping[str, tuple[tuple[float, ...], ...]]]
    """Table to name to lists of what is set."""
    takes: tuple[Take, ...]
    given: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


@cache
def bench_data() -> Mapping[str, BenchData]:
    """Return every bench by practical."""
    return {path.stem: _bench(path) for path in sorted(FOLDER.glob("*.toml"))}


def _bench(path: Path) -> BenchData:
    data = tomllib.loads(path.read_text(encoding="utf-8"))
    stand = data.get("stand", {})
    return BenchData(
        practical=path.stem,
        set=data.get("set"),
        kinds=tuple(data.get("kinds", ())),
        stand={name: tuple(one["by_bench"] if isinstance(one, dict) else one) for name, one in stand.items()},
        by_bench=frozenset(name for name, one in stand.items() if isinstance(one, dict)),
        rows={
            table: {name: _lists(one) for name, one in columns.items()}
            for table, columns in data.get("rows", {}).items()
        },
        takes=tuple(_take(name, one) for name, one in data["take"].items()),
        given={name: tuple(units) for name, units in data.get("given", {}).items()},
    )


def _lists(values: list[Any]) -> tuple[tuple[float, ...], ...]:
    return tuple(tuple(one) for one in values) if isinstance(values[0], list) else (tuple(values),)


def _take(name: str, one: Mapping[str, Any]) -> Take:
    formulas = one["is"] if isinstance(one["is"], dict) else {ANY: one["is"]}
    units = one.get("in", {})
    rows = one.get("rows")
    return Take(
        name=name,
        formulas={kind: parse_formula(str(text)) for kind, text in formulas.items()},
        first=parse_formula(str(one["first"])) if "first" in one else None,
        noise=parse_formula(str(one.get("noise", 0))),
        step=one.get("step"),
        units=dict(units) if isinstance(units, dict) else dict.fromkeys(units),
        table=one.get("table"),
        rows=tuple(rows) if isinstance(rows, list) else (rows, rows) if rows else None,
        least=one.get("least"),
    )
