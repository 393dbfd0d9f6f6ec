"""From the document of a rubric file to a sound Rubric, or to every fault in it with its place."""

from __future__ import annotations

import re
from difflib import get_close_matches
from typing import get_args, get_origin

from pydantic import BaseModel, ValidationError

from rubrics.build import build_rubric
from rubrics.documents import RubricTable, Source
from rubrics.faults import Complaint, RubricError
from rubrics.model import Rubric
from rubrics.soundness import complaints

_WANTED = {
    "string_type": 'a text in quotes: "..."',
    "string_too_short": "a text, or leave the key out",
    "list_type": "a list in square brackets: [ ... ]",
    "int_type": "a whole number, without quotes",
    "float_type": "a number, without quotes",
    "bool_type": "true or false, without quotes",
    "dict_type": "a table: names with values in { } or under [ ]",
    "model_type": "a table: keys with values in { } or under [ ]",
}
"""What a key should hold, by the checker's name for the fault."""
_MOVE_UP = "move it up, above the first line in square brackets"
_PAIRS = {
    "limits": "lowest and highest without a unit: [0.01, 2], in a workbook 0.01; 2",
    "figures": "fewest and most: [2, 3], in a workbook 2; 3",
}
"""What stands under a key that holds two ends."""
LIKENESS = 0.7
"""From so much likeness on a key is offered for one that there is not (ratio of difflib)."""
_DECIMAL_COMMA = re.compile(r"[+-]?[0-9]+,[0-9]+")
_OWN_TYPE = re.compile(r"list\[|constrained-|\[key\]$")


def understood(source: Source) -> Rubric:
    """Return the rubric that *source* holds.

    Raises:
        RubricError: With every fault of the file, each with its place and how to mend it.
    """

    def fail(found: list[Complaint]) -> RubricError:
        in_order = sorted(found, key=lambda one: (source.where(one.key).order, one.problem))
        return RubricError(tuple(source.fault(one.key, one.problem, one.mend) for one in in_order))

    try:
        checked = RubricTable.model_validate(source.document)
    except ValidationError as error:
        raise fail(_schema_complaints(error)) from error
    except RecursionError as error:
        raise fail([Complaint((), "brackets are nested too deeply", "write plain lists and tables")]) from error
    found: list[Complaint] = []
    rubric = build_rubric(checked, source.name, source.sha256, found)
    found += complaints(rubric, checked, {one.key for one in found})
    if found:
        raise fail(found)
    return rubric


def _tables_in(annotation: object) -> list[type[BaseModel]]:
    """Return the tables that a key of this type may hold."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [annotation]
    return [table for one in get_args(annotation) for table in _tables_in(one)]


def _has_names(annotation: object) -> bool:
    """Tell whether what stands below such a key are names of the file's own, as under readings."""
    return get_origin(annotation) is dict or any(_has_names(one) for one in get_args(annotation))


def _keys_beside(key: tuple[str | int, ...]) -> tuple[str, ...]:
    """Return every key that the table in which *key* stands may have."""
    tables: list[type[BaseModel]] = [RubricTable]
    is_name = False
    for part in key[:-1]:
        if is_name or isinstance(part, int):
            is_name = False
            continue
        types = [table.model_fields[part].annotation for table in tables if part in table.model_fields]
        tables = [table for one in types for table in _tables_in(one)]
        is_name = any(_has_names(one) for one in types)
    return tuple(dict.fromkeys(name for table in tables for name in table.model_fields))


def _other_key(key: tuple[str | int, ...]) -> str:
    """Return what to write for a *key* that there is not."""
    known = [one for one in _keys_beside(key) if key and one != key[-1]]
    near = get_close_matches(str(key[-1]), known, 1, LIKENESS) if key else []
    return f"check its spelling ({near[0]}?), or leave it out" if near else f"use one of {', '.join(known)}"


def _allowed_name(said: str, pattern: str) -> str:
    """Return how to write a name that holds other signs than *pattern* lets it, with one that is allowed."""
    names = [one for one in re.split(r"[,;\s]+", said) if one]
    if len(names) > 1 and re.search(r"[,;]", said) and all(re.fullmatch(pattern, one) for one in names):
        return f"give each an entry of its own: {', '.join(map(repr, names))}; in a workbook {'; '.join(names)}"
    if pattern.startswith("^[A-Za-z][A-Za-z0-9_]"):
        such_as, signs = re.sub(r"[^A-Za-z0-9]+", "_", said).strip("_"), "letters, digits and _, a letter first"
    elif pattern.startswith("^[A-Za-z0-9]"):
        such_as, signs = re.sub(r"[^A-Za-z0-9]+", "-", said).strip("-"), "letters, digits and hyphens"
    elif pattern.startswith("^[a-z]"):
        such_as, signs = re.sub(r"[^a-z0-9]+", "-", said.lower()).strip("-"), "small letters, digits and hyphens"
    else:
        such_as, signs = "", "what its table in rubrics/catalogue/README.md allows"
    return f"write {signs}" + (f", such as {such_as}" if re.fullmatch(pattern, such_as) else "")


def _is_misplaced(kind: str, key: tuple[str | int, ...]) -> bool:
    """Tell whether a key of the practical itself was written below the heading of one of its tables."""
    is_odd = kind == "extra_forbidden" or kind.startswith(("model_type", "dict_type"))
    return is_odd and len(key) > 1 and str(key[-1]) in RubricTable.model_fields


def _ends_of(key: tuple[str | int, ...]) -> str:
    """Return the key of a lowest and a highest that *key* is, or is within; empty where it is none."""
    return next((str(part) for part in key[-2:] if part in _PAIRS), "")


def _schema_complaints(error: ValidationError) -> list[Complaint]:
    found: list[Complaint] = []
    for one in error.errors():
        # Where a key may hold one text or several, the checker names its own types on the way.
        key = tuple(part for part in one["loc"] if isinstance(part, int) or not _OWN_TYPE.match(part))
        name = ".".join(str(part) for part in key)
        if _is_misplaced(one["type"], key):
            problem = f"{key[-1]} stands below the heading of {'.'.join(str(part) for part in key[:-1])}"
            found.append(Complaint(key, problem, _MOVE_UP))
            continue
        match one["type"]:
            case "extra_forbidden":
                problem, mend = f"{name} is no key of a rubric", _other_key(key)
            case "string_pattern_mismatch":
                problem = f"{name} is {str(one['input'])[:60]!r}"
                mend = _allowed_name(str(one["input"])[:60], one["ctx"]["pattern"])
            case "missing":
                problem, mend = f"{name} is missing", "add it"
            case "literal_error":
                allowed = one.get("ctx", {}).get("expected", "")
                problem, mend = f"{name} is {one['input']!r}", f"use one of {allowed}"
            case "float_type" | "int_type" if _DECIMAL_COMMA.fullmatch(str(one["input"])):
                problem = f"{name} is {one['input']!r}"
                mend = f"write a number with a point: {str(one['input']).replace(',', '.')}"
            case _ if _ends_of(key):
                mend = f"it holds {str(one['input'])[:60]!r} now; write {_PAIRS[_ends_of(key)]}"
                problem = f"{name}: {one['msg'].lower()}"
            case kind:
                mend = f"it holds {str(one['input'])[:60]!r} now" + (
                    f"; write {_WANTED[kind]}" if kind in _WANTED else ""
                )
                problem = f"{name}: {one['msg'].lower()}"
        if all(other.key != key for other in found):
            found.append(Complaint(key, problem, mend))
    # What only stands in the wrong place is not missing as well.
    moved = {str(one.key[-1]) for one in found if one.mend == _MOVE_UP}
    return [one for one in found if not (one.mend == "add it" and len(one.key) == 1 and one.key[0] in moved)]
