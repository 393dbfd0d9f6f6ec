"""From the document of a rubric file to a sound Rubric, or to every fault in it with its place."""

from __future__ import annotations

import re
from difflib import get_close_matches
from functools import cache

from pydantic import BaseModel, ValidationError

from rubrics.build import build_rubric
from rubrics.documents import RubricTable, Source, schema
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
    "string_pattern_mismatch": "letters, digits and the signs that its table in rubrics/catalogue/README.md allows",
}
"""What a key should hold, by the checker's name for the fault."""
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


@cache
def _known_keys() -> tuple[str, ...]:
    """Return every key that some table of a rubric file has."""
    tables = [one for one in vars(schema).values() if isinstance(one, type) and issubclass(one, BaseModel)]
    return tuple(sorted({name for table in tables for name in table.model_fields}))


def _is_misplaced(kind: str, key: tuple[str | int, ...]) -> bool:
    """Tell whether a key of the practical itself was written below the heading of one of its tables."""
    is_odd = kind == "extra_forbidden" or kind.startswith(("model_type", "dict_type"))
    return is_odd and len(key) > 1 and str(key[-1]) in RubricTable.model_fields


def _schema_complaints(error: ValidationError) -> list[Complaint]:
    found: list[Complaint] = []
    for one in error.errors():
        # Where a key may hold one text or several, the checker names its own types on the way.
        key = tuple(part for part in one["loc"] if isinstance(part, int) or not _OWN_TYPE.match(part))
        name = ".".join(str(part) for part in key)
        if _is_misplaced(one["type"], key):
            problem = f"{key[-1]} stands below the heading of {'.'.join(str(part) for part in key[:-1])}"
            found.append(Complaint(key, problem, "move it up, above the first line in square brackets"))
            continue
        match one["type"]:
            case "extra_forbidden":
                near = get_close_matches(str(key[-1]), _known_keys(), 1, 0.8) if key else []
                meant = f" ({near[0]}?)" if near else ""
                problem, mend = f"{name} is no key of a rubric", f"check its spelling{meant}, or leave it out"
            case "missing":
                problem, mend = f"{name} is missing", "add it"
            case "literal_error":
                allowed = one.get("ctx", {}).get("expected", "")
                problem, mend = f"{name} is {one['input']!r}", f"use one of {allowed}"
            case kind:
                mend = f"it holds {str(one['input'])[:60]!r} now" + (
                    f"; write {_WANTED[kind]}" if kind in _WANTED else ""
                )
                problem = f"{name}: {one['msg'].lower()}"
        if all(other.key != key for other in found):
            found.append(Complaint(key, problem, mend))
    return found
