"""The technician's list for a lesson: what each bench needs, how finely it must read, and room for trial values."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from marking.intake.forms import TRIAL_ROWS, trial_items
from reports.lesson.kit_amounts import amounts
from reports.lesson.kit_table import KitTable, TrialGrid
from reports.page import BODY, NOTE, Block, Flowable, Heading, Hung, Space, text
from reports.teacher import write_staff_pages
from reports.wording import cautions_told, fill, step_words, symbol_words, wording
from rubrics.formulas import listed
from rubrics.model import Apparatus, Item, Role, Rubric, plain_quantity

_GAP = 12.0
_MOST_COLUMNS = 8
"""Columns of trial values that leave room for a hand."""


def write_kit(path: Path, rubric: Rubric, benches: Sequence[str]) -> None:
    """Write the technician's list for *benches*, named in order."""
    words = wording("kit")
    slots = {"title": rubric.title, "count": str(len(benches)), "practical": rubric.id}
    blocks = [
        Block(parts=(text(BODY, fill([words["benches_one" if len(benches) == 1 else "benches"]], slots)),)),
        *_list_blocks(rubric, len(benches)),
        *_step_blocks(rubric),
        _cautions(rubric),
        *_trial_blocks(rubric, benches, fill([words["trials"]["back"]], slots)),
    ]
    write_staff_pages(path, fill([words["document"]], slots), words["title"], blocks)


def _list_blocks(rubric: Rubric, benches: int) -> list[Block]:
    words = wording("kit")["headings"]
    kept = [one for one in rubric.apparatus if not one.consumable]
    used = [one for one in rubric.apparatus if one.consumable]
    return [
        Block(parts=(Heading(words[name]), KitTable(_lines(lines, benches))), gap=_GAP)
        for name, lines in (("apparatus", kept), ("consumables", used))
        if lines
    ]


def _lines(apparatus: Sequence[Apparatus], benches: int) -> list[tuple[str, str, str, str]]:
    columns = wording("kit")["columns"]
    lines = [(columns["name"], columns["range"], columns["each"], columns["total"])]
    for one in apparatus:
        each, total = amounts(one, benches)
        lines.append((one.name, one.range, columns["shared"] if one.shared else each, total))
    return lines


def _step_blocks(rubric: Rubric) -> list[Block]:
    """Return the smallest step that each instrument needs, and what is read off it."""
    read: dict[tuple[str, str], list[str]] = {}
    for item in rubric.items.values():
        if item.role is Role.READING and not item.is_words and item.instrument:
            quantities = read.setdefault((item.instrument, step_words(item)), [])
            # The repeats of a reading are told as one.
            if plain_quantity(item) not in quantities:
                quantities.append(plain_quantity(item))
    words = wording("kit")
    lines = []
    for (instrument, step), of in read.items():
        slots = {"instrument": instrument, "step": step, "quantities": listed(of, most=4)}
        said = fill(words["steps"]["line"], slots)
        lines.append(Hung("–", text(NOTE, said), left=10, small=True))
    return [Block(parts=(Heading(words["headings"]["steps"]), *lines), gap=_GAP)] if lines else []


def _cautions(rubric: Rubric) -> Block:
    lines = [Hung("–", text(NOTE, caution), left=10, small=True) for caution in cautions_told(rubric)]
    return Block(parts=(Heading(wording("kit")["headings"]["cautions"]), *lines), gap=_GAP)


# ---- trial values --------------------------------------------------------------------------------------------


def _trial_blocks(rubric: Rubric, benches: Sequence[str], back: str) -> list[Block]:
    """Return a line for each bench and each reading, to write on by hand."""
    words = wording("kit")
    heading = Heading(words["headings"]["trials"])
    items = trial_items(rubric)
    if not items:
        return [Block(parts=(heading, text(BODY, words["trials"]["none"])), gap=_GAP)]
    columns = [item for item in items if item.table is not None]
    told = [words["trials"]["why"], *([words["trials"]["rows"]] if columns else []), back]
    blocks = [Block(parts=(heading, *(part for said in told for part in (text(NOTE, said), Space(3)))), gap=_GAP)]
    singles = [item for item in items if item.table is None]
    for first in range(0, len(singles), _MOST_COLUMNS):
        blocks.append(_grid(singles[first : first + _MOST_COLUMNS], [(bench,) for bench in benches]))
    numbered = [(bench, str(row)) for bench in benches for row in range(1, TRIAL_ROWS + 1)]
    for first in range(0, len(columns), _MOST_COLUMNS):
        blocks.append(_grid(columns[first : first + _MOST_COLUMNS], numbered))
    return blocks


def _grid(items: Sequence[Item], rows: Sequence[tuple[str, ...]]) -> Block:
    words = wording("kit")["columns"]
    leads = (words["bench"], words["row"])[: len(rows[0])]
    heads = [f"{symbol_words(item)} / {item.unit.symbol}" if item.unit.symbol else symbol_words(item) for item in items]
    head: list[Flowable] = [
        TrialGrid(leads, [(plain_quantity(item), of) for item, of in zip(items, heads, strict=True)])
    ]
    # A line a part, so that a long list breaks between benches.
    lines = [TrialGrid(row, [("", "")] * len(items), is_head=False) for row in rows]
    return Block(parts=(*head, *lines), gap=_GAP)
