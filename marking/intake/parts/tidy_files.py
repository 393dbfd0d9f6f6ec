"""What is known of a tidy file before its lines are read: encoding, separator, and which column is which."""

from __future__ import annotations

import csv
import hashlib
import io
from collections.abc import Mapping
from itertools import islice
from pathlib import Path

from msgspec import Struct, field

from marking.intake.files import separator_of
from marking.intake.forms import tidy_columns
from marking.intake.grids import NO_HABIT, SEARCHED_ROWS, DecimalHabit
from marking.intake.ours import is_our_table

HEAD = 65_536
"""Bytes in which the heading line has to stand."""
WESTERN = "cp1252"
_NO_TEXT = (b"PK", b"\xd0\xcf\x11\xe0", b"%PDF", b"\xff\xfe", b"\xfe\xff")
"""How workbooks begin, and text of two bytes a sign, which is read as a whole or not at all."""


class TidyFile(Struct, frozen=True, kw_only=True):
    """A tidy file, and how its lines are to be read."""

    path: Path
    name: str
    """As messages call it."""
    sha256: str
    encoding: str
    separator: str
    columns: Mapping[str, int]
    """Heading to position."""
    above: int
    """Rows down to the heading line, that line among them."""
    says_separator: bool
    """Whether a line that only names the separator stands before all others; it is no row."""
    decimal_habit: DecimalHabit = NO_HABIT
    """Of the whole file."""
    item_habits: Mapping[str, bool] = field(default_factory=dict)
    """How each item is written in the whole file."""

    @property
    def is_of_comma_country(self) -> bool:
        """Tell whether commas are so much the habit that no field is parted by them."""
        return self.separator != "," and self.decimal_habit.is_mostly_commas

    @property
    def note(self) -> str:
        """Return what is unusual about the file, as a clause; empty for commas and UTF-8."""
        clauses = []
        if self.encoding == WESTERN:
            clauses.append("saved as a Western code page (Windows-1252) instead of UTF-8")
        if self.separator != ",":
            clauses.append(f"parted by {self.separator!r}")
        if self.is_of_comma_country:
            clauses.append("decimal commas (20,5 read as 20.5)")
        return ", ".join(clauses)


def tidy_file(path: Path, name: str, mapped: Mapping[str, str] | None = None) -> TidyFile | None:
    """Return what the head of a file shows; None where it is no tidy CSV file in UTF-8 or in a Western code page."""
    try:
        with path.open("rb") as file:
            head = file.read(HEAD)
    except OSError:
        return None
    if not head or head.startswith(_NO_TEXT) or head.count(0) or is_our_table(head):
        return None
    # The last line may be cut in the middle.
    whole = head if len(head) < HEAD else head[: head.rfind(b"\n") + 1]
    encoding = encoding_of(path)
    text = whole.decode("utf-8-sig" if encoding == "utf-8" else encoding, errors="replace")
    separator, rest = separator_of(text)
    try:
        top = list(islice(csv.reader(io.StringIO(rest, newline=""), delimiter=separator), SEARCHED_ROWS))
    except csv.Error:
        return None
    for position, fields in enumerate(top, start=1):
        columns = tidy_columns(fields, mapped)
        if columns is not None:
            return TidyFile(
                path=path,
                name=name,
                sha256="",
                encoding=encoding,
                separator=separator,
                columns=columns,
                above=position,
                says_separator=rest != text,
            )
    return None


def encoding_of(path: Path) -> str:
    """Return how the text of a file is written: all of it is UTF-8, or it is taken for a Western code page."""
    with path.open("rb") as file:
        start = b""
        while block := file.read(1 << 20):
            data = start + block
            try:
                data.decode("utf-8")
                start = b""
            except UnicodeDecodeError as error:
                # A sign may be cut where the block ends.
                if len(data) - error.start > 3 or error.reason != "unexpected end of data":
                    return WESTERN
                start = data[error.start :]
    return WESTERN if start else "utf-8"


def digest_of(path: Path) -> str:
    """Return the SHA-256 of a file, read block by block."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()
