"""Tidy tables in Parquet: turned, block by block, into the tidy CSV that everything else here reads."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from pathlib import Path

from msgspec.structs import replace

from marking.intake.forms import HEADINGS
from marking.intake.parts.tidy_files import TidyFile, digest_of, tidy_file
from rubrics.faults import InputError

ENDING = ".parquet"
BLOCK = 50_000
"""Lines turned at a time."""
_WHOLE = ("row",)
"""Columns that may hold whole numbers; all others hold text, for a number has lost the zeros behind it."""


def from_parquet(path: Path, name: str, aside: Path, mapped: Mapping[str, str] | None) -> TidyFile:
    """Return the table at *path* as a tidy file in the folder *aside*, which is called by its own name.

    Raises:
        InputError: It cannot be read, has no tidy columns, or has numbers where text has to stand.
    """
    try:
        import pyarrow as pa
        from pyarrow import parquet
    except ImportError as error:
        raise InputError(name, "Parquet needs the extra 'cluster'", "pip install 'writeups[cluster]'") from error
    spooled = aside / f"{digest_of(path)}.csv"
    try:
        table = parquet.ParquetFile(path)
        names = table.schema_arrow.names
        for one in table.schema_arrow:
            is_text = pa.types.is_string(one.type) or pa.types.is_large_string(one.type) or pa.types.is_null(one.type)
            if not is_text and not (one.name in _WHOLE and pa.types.is_integer(one.type)):
                said = f"the column {one.name} holds {one.type}, so figures as they were written are lost"
                raise InputError(name, said, "write it as text")
        with spooled.open("w", encoding="utf-8", newline="") as file:
            writer = csv.writer(file, lineterminator="\n")
            writer.writerow(names)
            for batch in table.iter_batches(BLOCK):
                columns = [["" if one is None else str(one) for one in column.to_pylist()] for column in batch.columns]
                writer.writerows(zip(*columns, strict=True))
    except (pa.ArrowException, OSError) as error:
        raise InputError(name, "damaged, or no Parquet file", "write it anew") from error
    found = tidy_file(spooled, name, mapped)
    if found is None:
        raise InputError(name, f"not a tidy table; columns: {', '.join(names)}", f"name them {', '.join(HEADINGS)}")
    return replace(found, sha256=digest_of(path))
