"""The teacher's own map from the headings of a form to the items of a practical."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from marking.intake.grids.item_names import fold
from rubrics.faults import InputError

_MAX_BYTES = 100_000
_EXAMPLE = 'write one line a column, such as "Mass of the block in g" = "m"'


def read_column_map(path: Path) -> Mapping[str, str]:
    """Return folded heading to item name, or to a word such as 'student', from the TOML file at *path*.

    The file has one line a column, the heading as the form has it on the left and what it is on the right:
    an item's name ("m"), an item's unit ("c unit"), one row of a table ("V row 3"), or one of student, name,
    bench, absent and row. A name may be followed by the unit that the form asked for: "m / g".

    Raises:
        InputError: It cannot be read, or is not such a list.
    """
    import tomllib  # only for who has such a map

    try:
        data = path.read_bytes()[: _MAX_BYTES + 1]
    except OSError as error:
        raise InputError(path.name, "cannot be opened", "check the name of the map of columns") from error
    if len(data) > _MAX_BYTES:
        raise InputError(path.name, "too large for a map of columns", _EXAMPLE)
    try:
        table = tomllib.loads(data.decode("utf-8-sig"))
    except (UnicodeDecodeError, tomllib.TOMLDecodeError, RecursionError) as error:
        raise InputError(path.name, f"not TOML ({str(error)[:120]})", _EXAMPLE) from error
    mapped = {}
    for heading, meaning in table.items():
        if not isinstance(meaning, str) or not meaning.strip():
            raise InputError(path.name, f'"{heading}" is mapped to nothing', _EXAMPLE)
        mapped[fold(heading)] = meaning.strip()
    return mapped
