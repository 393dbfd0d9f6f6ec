"""Tables of a large set as Parquet, beside CSV: columns of text, block by block."""

from __future__ import annotations

import csv
from pathlib import Path

from rubrics.faults import InputError

BLOCK = 4 << 20
"""Bytes of CSV turned at a time."""


def parquet_from_csv(path: Path) -> Path:
    """Write the table at *path* as Parquet beside it, every column as text as it stands there; return where.

    Raises:
        InputError: The library for it is not installed.
    """
    try:
        import pyarrow as pa
        from pyarrow import csv as tables
        from pyarrow import parquet
    except ImportError as error:
        raise InputError("--parquet", "needs the extra 'cluster'", "pip install 'writeups[cluster]'") from error
    with path.open(encoding="utf-8", newline="") as file:
        columns = next(csv.reader(file))
    schema = pa.schema([(name, pa.string()) for name in columns])
    read = tables.ReadOptions(block_size=BLOCK, use_threads=False)
    turn = tables.ConvertOptions(column_types=schema, strings_can_be_null=False)
    parse = tables.ParseOptions(newlines_in_values=True)
    out = path.with_suffix(".parquet")
    with tables.open_csv(path, read, parse, turn) as blocks, parquet.ParquetWriter(out, schema) as writer:
        for block in blocks:
            writer.write_batch(block)
    return out
