"""A rubric file as a document, in TOML or as a workbook, with the place of every key in it."""

from __future__ import annotations

import hashlib
import tomllib
from collections.abc import Callable, Mapping
from typing import Any

from msgspec import Struct

from rubrics.faults import Fault, Key, RubricError, Where, key_lines, line_of

MAX_BYTES = 200_000
"""A rubric is a page or two; a file far larger than that is not one."""
_ZIP = b"PK\x03\x04"


class Source(Struct, frozen=True, kw_only=True):
    """A rubric file, read but not yet understood."""

    name: str
    document: Mapping[str, Any]
    sha256: str
    where: Callable[[Key], Where]
    """The place of a key, else of the nearest table that holds it."""

    def fault(self, key: Key, problem: str, mend: str) -> Fault:
        """Return a fault at *key*."""
        where = self.where(key)
        return Fault(file=self.name, line=where.line, place=where.place, problem=problem, mend=mend)


def read_source(name: str, data: bytes) -> Source:
    """Return the document in *data*, a TOML file or a workbook.

    Raises:
        RubricError: It is neither, or cannot be read as what it is.
    """
    if len(data) > MAX_BYTES:
        fault = Fault(file=name, line=0, problem=f"over {MAX_BYTES // 1000} kB", mend="a rubric file is far smaller")
        raise RubricError((fault,))
    sha256 = hashlib.sha256(data).hexdigest()
    if data.startswith(_ZIP):
        # Loaded only here: most rubrics are text, and the reader of workbooks takes its time.
        from rubrics.documents.books import read_book

        document, where = read_book(name, data)
        return Source(name=name, document=document, sha256=sha256, where=where)
    text = _decode(name, data)
    document = _parse(name, text)
    lines = key_lines(text)

    def on_line(key: Key) -> Where:
        line = line_of(key, lines)
        return Where((line,), line)

    return Source(name=name, document=document, sha256=sha256, where=on_line)


def _decode(name: str, data: bytes) -> str:
    try:
        return data.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        fault = Fault(
            file=name, line=line, problem="not saved as UTF-8", mend="save the file again with encoding UTF-8"
        )
        raise RubricError((fault,)) from error


def _parse(name: str, text: str) -> dict[str, object]:
    try:
        return tomllib.loads(text)
    except RecursionError as error:
        fault = Fault(file=name, line=0, problem="brackets are nested too deeply", mend="write plain lists and tables")
        raise RubricError((fault,)) from error
    except ValueError as error:
        # Only a number of thousands of digits fails in another way than by the reader's own error.
        words = str(error) if isinstance(error, tomllib.TOMLDecodeError) else "a number has too many digits"
        # The reader's own words end in '(at line 3, column 7)'; the line goes to the front instead.
        problem, _, place = words.partition(" (at line ")
        number = place.split(",")[0]
        fault = Fault(
            file=name,
            line=int(number) if number.isdigit() else 0,
            problem=f"not TOML: {problem[:120]}",
            mend="check quotes, brackets and the number format (0.5, not .5 or 0,5)",
        )
        raise RubricError((fault,)) from error
