"""Headings that stand again and again, told apart by the bands above them: V under 'Resistor 1' is V_1."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from marking.intake.grids.grid import Grid, text_of
from marking.intake.grids.item_names import MAX_HEADING, Vocabulary, fold
from rubrics.patterns import late_pattern

_PARTED = late_pattern(r"(?P<name>[^/(\[,]+?)(?P<unit>\s*[/(\[,].*)?")


def under_bands(grid: Grid, row: int, columns: Iterable[int], vocabulary: Vocabulary) -> dict[int, str]:
    """Return what the headings of some columns say together with the band in the row above.

    Args:
        grid: The sheet.
        row: Row of the headings.
        columns: Columns whose headings stand more than once.
        vocabulary: The names of the practical's items.

    Returns:
        Column to heading, where the two together name one item and no other.
    """
    found = {}
    for column in columns:
        heading, band = text_of(grid.at(row, column)).strip(), _band_over(grid, row - 1, column)
        parted = _PARTED.fullmatch(heading) if band and len(heading) <= MAX_HEADING else None
        if parted is None:
            continue
        unit = parted["unit"] or ""
        texts = [f"{said}{unit}" for said in _together(parted["name"], band)]
        named = {known.item.name: text for text in texts if (known := vocabulary.item_called(text)) is not None}
        if len(named) == 1:
            ((_, found[column]),) = named.items()
    return found


def _band_over(grid: Grid, row: int, column: int) -> str:
    """Return the text of a band: of the merged range over the column, or of the last filled cell from the left."""
    if any(merge.top <= row <= merge.bottom for merge in grid.merges):
        return text_of(grid.at(row, column)).strip()[:MAX_HEADING]
    filled = [at for at, value in grid.rows.get(row, {}).items() if at <= column and text_of(value).strip()]
    return text_of(grid.rows[row][max(filled)]).strip()[:MAX_HEADING] if filled else ""


def _together(name: str, band: str) -> Iterator[str]:
    words = fold(band).split()
    for word in dict.fromkeys((*words, "_".join(words), " ".join(words))):
        yield from (f"{name}_{word}", f"{name} {word}", f"{word} {name}")
