"""``writeups catalogue``: the practicals known, or one in full."""

from __future__ import annotations

import argparse
import json
from collections.abc import Mapping
from pathlib import Path

from rubrics.faults import unknown_name
from rubrics.formulas import plain_text
from rubrics.load import load_catalogue, read_rubric
from rubrics.model import Criterion, Item, Role, Rubric


def run(arguments: argparse.Namespace) -> int:
    """List the catalogue or show one practical; return the exit status."""
    rubrics = load_catalogue()
    if arguments.practical is None:
        _list(rubrics, as_json=arguments.json)
        return 0
    said = arguments.practical
    if said not in rubrics and Path(said).is_file():
        rubric = read_rubric(Path(said))
    elif said in rubrics:
        rubric = rubrics[said]
    else:
        raise unknown_name(said, "no practical of this name is known", said, rubrics)
    if arguments.json:
        print(json.dumps(_as_data(rubric), ensure_ascii=False, indent=2))
    else:
        _show(rubric)
    return 0


def _list(rubrics: Mapping[str, Rubric], *, as_json: bool) -> None:
    if as_json:
        rows = [
            {"id": r.id, "edition": r.edition, "title": r.title, "level": r.level, "marks": r.total}
            for r in rubrics.values()
        ]
        print(json.dumps(rows, ensure_ascii=False, indent=2))
        return
    widest = max(len(name) for name in rubrics)
    for rubric in rubrics.values():
        print(f"{rubric.id:<{widest}}  {rubric.total:>2} marks  {rubric.title}")


def _as_data(rubric: Rubric) -> dict[str, object]:
    return {
        "id": rubric.id,
        "edition": rubric.edition,
        "title": rubric.title,
        "level": rubric.level,
        "purpose": rubric.purpose,
        "marks": rubric.total,
        "items": [_item_data(item) for item in rubric.items.values()],
        "criteria": [_criterion_data(criterion) for criterion in rubric.criteria],
        "cautions": list(rubric.cautions),
        "apparatus": [{"name": one.name, "range": one.range, "each": one.each} for one in rubric.apparatus],
        "accepted": [
            {"name": a.name, "value": a.value, "uncertainty": a.uncertainty, "source": a.source, "edition": a.edition}
            for a in (rubric.result.accepted if rubric.result else ())
        ],
    }


def _item_data(item: Item) -> dict[str, object]:
    return {
        "name": item.name,
        "quantity": item.quantity,
        "role": str(item.role),
        "unit": item.unit.symbol,
        "recorded_in": [unit.symbol for unit in item.recorded_in],
        "table": item.table,
        "instrument": item.instrument,
        "formula": plain_text(item.formula.tree) if item.formula else None,
        "choices": [choice.word for choice in item.choices],
    }


def _criterion_data(criterion: Criterion) -> dict[str, object]:
    return {
        "code": criterion.code,
        "point": criterion.point,
        "marks": criterion.marks,
        "check": str(criterion.check),
        "items": list(criterion.items),
        "when": list(criterion.when),
    }


def _show(rubric: Rubric) -> None:
    print(f"{rubric.title}  ({rubric.id}, edition {rubric.edition}, level {rubric.level}, {rubric.total} marks)")
    print(f"{rubric.purpose}\n")
    for role, heading in ((Role.READING, "Readings"), (Role.ANSWER, "Answers")):
        print(heading)
        for item in rubric.items.values():
            if item.role is role:
                print(f"  {_item_line(item)}")
    print("\nCriteria")
    for criterion in rubric.criteria:
        only = f"  [{', '.join(criterion.when)}]" if criterion.when else ""
        print(f"  {criterion.code:<14} {criterion.marks}  {criterion.point}{only}")
    print("\nApparatus, for each bench")
    for one in rubric.apparatus:
        print(f"  {one.each} × {one.name}{f' ({one.range})' if one.range else ''}")
    print("\nCautions")
    for caution in rubric.cautions:
        print(f"  {caution}")


def _item_line(item: Item) -> str:
    parts = [f"{item.name:<18}", item.quantity]
    if item.unit.symbol and not item.quantity.endswith(f" in {item.unit.symbol}"):
        parts.append(f"in {' or '.join(unit.symbol for unit in item.recorded_in)}")
    if item.table:
        parts.append("(each row)")
    if item.formula is not None:
        parts.append(f"= {plain_text(item.formula.tree)}")
    if item.choices:
        parts.append(f": {' | '.join(choice.word for choice in item.choices)}")
    return " ".join(parts)
