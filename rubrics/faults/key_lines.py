"""On which line of a TOML file a key stands; the standard reader does not tell."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct

from rubrics.patterns import late_pattern

Key = tuple[str | int, ...]


class Where(Struct, frozen=True):
    """Where a key stands: on a line of a text, or in a cell of a workbook."""

    order: tuple[int, ...]
    """Sorts places as they are read."""
    line: int = 0
    place: str = ""


_HEADER = late_pattern(r"^\s*(\[\[?)\s*([^\[\]]+?)\s*\]\]?\s*(?:#.*)?$")
_ASSIGNMENT = late_pattern(r"""^\s*((?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*')(?:\s*\.\s*(?:[A-Za-z0-9_-]+|"[^"]*"))*)\s*=""")


def key_lines(text: str) -> Mapping[Key, int]:
    """Return the line, counted from 1, of every table and key of the TOML *text*.

    A table of an array has its number in the key: ``("criteria", 2, "code")``. Keys inside inline
    tables share the line of the table, if it starts one, or of the key that holds it, see :func:`line_of`.
    """
    lines: dict[Key, int] = {}
    prefix: Key = ()
    array: Key = ()
    inside = 0
    counts: dict[Key, int] = {}
    for number, line in enumerate(text.split("\n"), 1):
        header = _HEADER.match(line)
        if header and "=" not in header[2]:
            prefix = _table_key(_parts(header[2]), header[1] == "[[", counts)
            lines.setdefault(prefix, number)
            continue
        assignment = _ASSIGNMENT.match(line)
        if assignment:
            array, inside = prefix + _parts(assignment[1]), 0
            lines.setdefault(array, number)
        elif line.lstrip().startswith("{"):
            lines.setdefault((*array, inside), number)
            inside += 1
    return lines


def _table_key(parts: Key, in_array: bool, counts: dict[Key, int]) -> Key:
    # A table inside an array belongs to the latest member of that array.
    key: Key = ()
    for part in parts[:-1]:
        key += (part,)
        if key in counts:
            key += (counts[key],)
    key += (parts[-1],)
    if in_array:
        counts[key] = counts.get(key, -1) + 1
        return (*key, counts[key])
    return key


def _parts(dotted: str) -> Key:
    return tuple(part.strip().strip("\"'") for part in dotted.split("."))


def line_of(key: Sequence[str | int], lines: Mapping[Key, int]) -> int:
    """Return the line of *key*, else of the nearest table or key that holds it, else of the first within it, else 0."""
    wanted = whole = tuple(key)
    while wanted:
        if wanted in lines:
            return lines[wanted]
        wanted = wanted[:-1]
    return min((line for one, line in lines.items() if whole and one[: len(whole)] == whole), default=0)
