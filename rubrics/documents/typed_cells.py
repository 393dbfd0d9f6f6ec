r"""How one value of a rubric stands in a cell, readable to people, and how it is read back.

An empty cell means that the key is not given. A list has one entry a line, or ``;`` between entries; names with
values have ``name = value`` a line. A backslash takes the meaning from what follows it, so that every text can be
written: ``\;`` is a semicolon inside an entry. ``""`` is an empty text, ``[]`` an empty list.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Mapping, Sequence

from rubrics.documents.sheet_shape import Kind
from rubrics.documents.toml_text import inline

Cell = str | int | float | None
"""What stands in a cell."""

_EMPTY_TEXT, _EMPTY_LIST, _EMPTY_PAIRS = '""', "[]", "{}"
_WHOLE = re.compile(r"[+-]?[0-9]{1,300}")
_NUMBER = re.compile(r"[+-]?[0-9]{1,300}(\.[0-9]{1,300})?([eE][+-]?[0-9]{1,4})?")
_RANGE = re.compile(
    rf"(?P<low>{_NUMBER.pattern})(?: ?(?:[-–—…]|\.\.) ?| (?:to|and) |, )(?P<high>{_NUMBER.pattern})", re.IGNORECASE
)
"""Lowest and highest in one cell; a comma only with a space behind it, for '0,01' is something else."""
_EXACT = 10**15
"""Whole numbers below this are exact in every spreadsheet program."""
_ESCAPED = re.compile(r"\\(u[0-9a-f]{4}|U000[0-9a-f]{5}|.)", re.DOTALL)
_IN_LISTS, _IN_NAMES = ";\n", "=;\n"
"""Signs that mean something in a list, and in front of a value with a name."""
_LETTERS = {"n": "\n", "s": " "}
_UNSAFE = re.compile("[\x00-\x08\x0b-\x1f\x7f\ud800-\udfff\ufffe\uffff]|_(?=x[0-9A-Fa-f]{4}_)|x(?=005F_)")
"""What no XML file may hold or a reader changes: ``_x0041_`` is a spreadsheet's own way to write a sign, and the
library that reads workbooks leaves out every ``x005F_``, the mark of an underscore that stands for itself."""


def written(value: object, kind: Kind) -> Cell:
    """Return what to put in the cell of a key that holds *value*."""
    match kind, value:
        case Kind.TRUTH, bool():
            return "yes" if value else "no"
        case Kind.NUMBER, int() | float():
            return _number_cell(value)
        case Kind.NUMBERS, [int() | float() as only]:
            return _number_cell(only)
        case Kind.NUMBERS, list():
            return "; ".join(map(repr, value)) or _EMPTY_LIST
        case Kind.TEXT, str():
            return _not_a_formula(_text(value))
        case Kind.TEXTS, list():
            return _not_a_formula("\n".join(_text(one, _IN_LISTS) for one in value) or _EMPTY_LIST)
        case Kind.EITHER, str() | list():
            return _not_a_formula(_either(value))
        case Kind.PAIRS | Kind.COUNTS, dict():
            lines = [f"{_text(name, _IN_NAMES)} = {_pair_value(one)}" for name, one in value.items()]
            return "\n".join(lines) or _EMPTY_PAIRS
    # TOML can write every sign as a code too.
    return _UNSAFE.sub(lambda found: _code(found[0]), inline(value))


def read_back(cell: Cell | bool, kind: Kind) -> object:
    """Return the value that stands in *cell*; what does not fit its kind comes back as it stands."""
    if isinstance(cell, bool):
        return cell if kind is Kind.TRUTH else str(cell).upper()
    if isinstance(cell, float) and cell.is_integer() and abs(cell) < _EXACT:
        cell = int(cell)
    if kind in (Kind.NUMBER, Kind.NUMBERS) and isinstance(cell, int | float):
        return cell if kind is Kind.NUMBER else [cell]
    return _READERS.get(kind, _toml)(str(cell))


def _number_cell(value: int | float) -> Cell:
    # A workbook is written with 16 figures; a number that needs more stands as text.
    exact = abs(value) < _EXACT if isinstance(value, int) else float(f"{value:.16G}") == value
    return value if exact else repr(value)


def _number(text: str) -> object:
    said = text.strip()
    if _WHOLE.fullmatch(said):
        return int(said)
    return float(said) if _NUMBER.fullmatch(said) else said


def _text(text: str, special: str = "") -> str:
    """Return *text* with what would be misread taken out of harm's way."""
    if not text:
        return _EMPTY_TEXT
    if text in (_EMPTY_TEXT, _EMPTY_LIST, _EMPTY_PAIRS):
        return "\\" + text
    clean = text.replace("\\", "\\\\")
    for sign in special:
        clean = clean.replace(sign, "\\n" if sign == "\n" else "\\" + sign)
    clean = _UNSAFE.sub(lambda found: _code(found[0]), clean)
    # A cell is read without the space around it.
    if clean[0].isspace():
        clean = _code(clean[0]) + clean[1:]
    if clean[-1].isspace():
        clean = clean[:-1] + _code(clean[-1])
    return clean


def _not_a_formula(text: str) -> str:
    # The cell is formatted as text already; this holds where the text is typed or pasted again, too.
    return "\\" + text if text.startswith("=") else text


def _code(sign: str) -> str:
    if sign == " ":
        return "\\s"
    return f"\\u{ord(sign):04x}" if ord(sign) < 0x10000 else f"\\U{ord(sign):08x}"


def _plain(text: str) -> str:
    said = text.strip()
    return "" if said == _EMPTY_TEXT else _ESCAPED.sub(_sign, said)


def _sign(found: re.Match[str]) -> str:
    code = found[1]
    if len(code) > 1:
        return chr(int(code[1:], 16))
    return _LETTERS.get(code, code)


def _split(text: str, at: str) -> list[str]:
    """Return the pieces of *text* between the signs *at*; one behind a backslash does not count."""
    pieces, start, place = [], 0, 0
    while place < len(text):
        if text[place] == "\\":
            place += 1
        elif text[place] in at:
            pieces.append(text[start:place])
            start = place + 1
        place += 1
    return [*pieces, text[start:]]


def _entries(text: str) -> list[str]:
    if text.strip() == _EMPTY_LIST:
        return []
    return [part for part in _split(text, _IN_LISTS) if part.strip()]


def _ends(text: str) -> list[str]:
    """Return the two ends of a range as people write it, '0.01 - 2', '-5 to 5'; none where *text* is no range."""
    found = _RANGE.fullmatch(text.strip())
    return [found["low"], found["high"]] if found else []


def _either(value: str | Sequence[str]) -> str:
    if isinstance(value, str):
        return _text(value, _IN_LISTS)
    if not value:
        return _EMPTY_LIST
    return "; ".join(_text(one, _IN_LISTS) for one in value) + (";" if len(value) == 1 else "")


def _one_or_more(text: str) -> object:
    several = len(_split(text, _IN_LISTS)) > 1 or text.strip() == _EMPTY_LIST
    return [_plain(part) for part in _entries(text)] if several else _plain(text)


def _pair_value(value: str | list[str] | int | float) -> str:
    return repr(value) if isinstance(value, int | float) else _either(value)


def _pairs(text: str, value_of: Callable[[str], object]) -> object:
    if text.strip() == _EMPTY_PAIRS:
        return {}
    pairs: dict[str, object] = {}
    for line in _split(text, "\n"):
        if not line.strip():
            continue
        name, *rest = _split(line, "=")
        if not rest or _plain(name) in pairs:
            return text  # told as a fault of the cell by the schema
        pairs[_plain(name)] = value_of("=".join(rest))
    return pairs


def _toml(text: str) -> object:
    try:
        return tomllib.loads(f"value = {text}")["value"]
    except (tomllib.TOMLDecodeError, RecursionError, ValueError):
        return text


def _truth(text: str) -> object:
    return {"yes": True, "no": False, "true": True, "false": False}.get(text.strip().lower(), text)


_READERS: Mapping[Kind, Callable[[str], object]] = {
    Kind.TRUTH: _truth,
    Kind.NUMBER: _number,
    Kind.NUMBERS: lambda text: [_number(part) for part in _ends(text) or _entries(text)],
    Kind.TEXT: _plain,
    Kind.TEXTS: lambda text: [_plain(part) for part in _entries(text)],
    Kind.EITHER: _one_or_more,
    Kind.PAIRS: lambda text: _pairs(text, _one_or_more),
    Kind.COUNTS: lambda text: _pairs(text, _number),
}
