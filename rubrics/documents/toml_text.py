"""A rubric's document as TOML, in the manner of the catalogue: single keys, then one table for each thing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import tomlkit

WIDTH = 118
"""Longest line of a list before it is broken, one entry a line."""


def toml_text(document: Mapping[str, object]) -> str:
    """Return *document* (texts, numbers, lists and tables) as TOML that reads back as the same document."""
    return "\n".join(_table(document, ())).strip("\n") + "\n"


def inline(value: object) -> str:
    """Return one value as TOML on one line."""
    if isinstance(value, Mapping):
        inside = ", ".join(f"{_key(name)} = {inline(one)}" for name, one in value.items())
        return f"{{ {inside} }}" if inside else "{}"
    if isinstance(value, list):
        return f"[{', '.join(map(inline, value))}]"
    return tomlkit.item(value).as_string()


def _table(table: Mapping[str, object], path: tuple[str, ...]) -> Iterator[str]:
    # What has a heading of its own comes last: a key below it would belong to that heading.
    are_named = not path or (len(path) == 1 and bool(table) and all(isinstance(one, Mapping) for one in table.values()))
    below: list[tuple[tuple[str, ...], Mapping[str, object] | list[Mapping[str, object]]]] = []
    for name, value in table.items():
        if isinstance(value, Mapping) and are_named:
            below.append(((*path, name), value))
        elif (tables := _tables(value)) and (not path or not all(map(_fits_a_line, tables))):
            below.append(((*path, name), tables))
        else:
            yield from _assignment(name, value)
    for where, inside in below:
        heading = ".".join(map(_key, where))
        if isinstance(inside, Mapping):
            if not inside or not all(isinstance(one, Mapping) for one in inside.values()):
                yield from ("", f"[{heading}]")
            yield from _table(inside, where)
        else:
            for one in inside:
                yield from ("", f"[[{heading}]]")
                yield from _table(one, where)


def _tables(value: object) -> list[Mapping[str, object]]:
    """Return *value* where it is a list of tables, and an empty list for everything else."""
    if not isinstance(value, list) or not all(isinstance(one, Mapping) for one in value):
        return []
    return value


def _fits_a_line(table: Mapping[str, object]) -> bool:
    return len(inline(table)) <= WIDTH


def _assignment(name: str, value: object) -> Iterator[str]:
    line = f"{_key(name)} = {inline(value)}"
    if isinstance(value, list) and value and (len(line) > WIDTH or _tables(value)):
        yield f"{_key(name)} = ["
        yield from (f"    {inline(one)}," for one in value)
        yield "]"
    else:
        yield line


def _key(name: str) -> str:
    # A workbook writes an underscore and an x as an escape, which only a quoted key may hold.
    return tomlkit.item(name).as_string() if "_x" in name or "x005F_" in name else tomlkit.key(name).as_string()
