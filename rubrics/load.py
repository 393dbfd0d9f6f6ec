"""From a rubric file to a sound Rubric, or to every fault in it with its line."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path

from pydantic import ValidationError

from rubrics.build import build_rubric
from rubrics.errors import RubricError
from rubrics.model import Rubric
from rubrics.schema import RubricTable
from rubrics.soundness import Complaint, complaints
from rubrics.sources import Source, read_source


def read_rubric(path: Path | Traversable) -> Rubric:
    """Return the rubric in the file at *path*, TOML or a workbook.

    Raises:
        RubricError: With every fault of the file, each with its line (or cell) and how to mend it.
    """
    return understood(read_source(path.name, path.read_bytes()))


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
def load_catalogue() -> Mapping[str, Rubric]:
    """Return the practicals that come with the program, by id, in the order of their ids."""
    folder = resources.files("rubrics") / "catalogue"
    files = sorted((file for file in folder.iterdir() if file.name.endswith(".toml")), key=lambda file: file.name[:-5])
    rubrics = [read_rubric(file) for file in files]
    return {rubric.id: rubric for rubric in rubrics}


def _schema_complaints(error: ValidationError) -> list[Complaint]:
    found = []
    for one in error.errors():
        key = tuple(one["loc"])
        name = ".".join(str(part) for part in key)
        match one["type"]:
            case "extra_forbidden":
                problem, mend = f"{name} is no key of a rubric", "check its spelling, or leave it out"
            case "missing":
                problem, mend = f"{name} is missing", "add it"
            case "literal_error":
                allowed = one.get("ctx", {}).get("expected", "")
                problem, mend = f"{name} is {one['input']!r}", f"use one of {allowed}"
            case _:
                problem, mend = f"{name}: {one['msg'].lower()}", f"it holds {str(one['input'])[:60]!r} now"
        found.append(Complaint(key, problem, mend))
    return found
