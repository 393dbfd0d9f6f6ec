"""The catalogue's tables as they were checked, kept beside it, so that a class does not wait for a check that was done.

Checking a rubric file takes a library that is slow to load, and the files of the catalogue change with the program
alone. So their tables are kept with all defaults filled in, each under a stamp of the file and of the format; where
the stamp is another, the file is checked as any other. They are plain JSON: nothing in them can run.

    python -m rubrics.checked_tables

makes them anew after a change to the catalogue or to the format; a test says when that is due.
"""

from __future__ import annotations

import hashlib
import json
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any, cast

if TYPE_CHECKING:
    from rubrics.documents import RubricTable

_FOLDER = "checked"
_TABLE = "="
"""Marks what was a table of the format, not a mapping whose keys are names."""


def checked_table(file: Traversable, data: bytes) -> RubricTable | None:
    """Return the table in *data*, the contents of a catalogue *file*; None where this text was not checked before."""
    kept = _kept(file.name)
    if not kept.is_file():
        return None
    stamp, _, text = kept.read_text(encoding="utf-8").partition("\n")
    return cast("RubricTable", json.loads(text, object_hook=_plain)) if stamp == stamp_of(data) else None


def stamp_of(data: bytes) -> str:
    """Return what tells whether a kept table is that of *data*: a hash of the file and of the format."""
    form = resources.files("rubrics") / "documents" / "schema.py"
    return hashlib.sha256(data + (form.read_bytes() if form.is_file() else b"")).hexdigest()


def kept_text(table: RubricTable, data: bytes) -> str:
    """Return what is kept of a checked *table*, made from *data*."""
    return f"{stamp_of(data)}\n{json.dumps(_encoded(table), ensure_ascii=False, separators=(',', ':'))}\n"


def _plain(found: dict[str, Any]) -> object:
    return SimpleNamespace(**found[_TABLE]) if found.keys() == {_TABLE} else found


def _encoded(value: object) -> object:
    from pydantic import BaseModel

    if isinstance(value, BaseModel):
        return {_TABLE: {name: _encoded(one) for name, one in value}}
    if isinstance(value, dict):
        return {name: _encoded(one) for name, one in value.items()}
    return [_encoded(one) for one in value] if isinstance(value, list) else value


def _kept(name: str) -> Traversable:
    return resources.files("rubrics") / "catalogue" / _FOLDER / f"{name.removesuffix('.toml')}.json"


def main() -> None:
    """Write all of them anew."""
    from rubrics.documents import RubricTable, read_source

    with resources.as_file(resources.files("rubrics") / "catalogue") as folder:
        kept = Path(folder) / _FOLDER
        kept.mkdir(exist_ok=True)
        for old in kept.glob("*.json"):
            old.unlink()
        for file in sorted(folder.glob("*.toml")):
            data = file.read_bytes()
            table = RubricTable.model_validate(read_source(file.name, data).document)
            (kept / f"{file.stem}.json").write_text(kept_text(table, data), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
