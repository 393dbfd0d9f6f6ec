"""A reading that is taken several times: its repeats, and the mean that the formulas work with."""

from __future__ import annotations

from msgspec.structs import replace

from rubrics.formulas import Call, Formula, Name
from rubrics.model.practical import Blank, Item, Role

MEAN_FIGURES = (1, 9)
"""A mean of readings may have as many figures as they have, or one more; no other usage is known of it."""


def with_repeats(reading: Item, count: int) -> dict[str, Item]:
    """Return *reading* as *count* readings t_1, t_2 ... and their mean under its own name, in that order."""
    numbers = range(1, count + 1)
    names = tuple(f"{reading.name}_{number}" for number in numbers)
    singles = {
        name: replace(
            reading,
            name=name,
            symbol=f"{reading.symbol} ({number})",
            quantity=f"{reading.quantity}, reading {number}",
            headings=tuple(f"{word} {number}" for word in (reading.symbol, *reading.headings)),
            repeat_of=reading.name,
        )
        for number, name in zip(numbers, names, strict=True)
    }
    text = f"mean({', '.join(names)})"
    mean = replace(
        reading,
        role=Role.ANSWER,
        quantity=f"mean {reading.quantity}",
        formula=Formula(text=text, tree=Call("mean", tuple(Name(name) for name in names))),
        figures=MEAN_FIGURES,
        headings=(*reading.headings, reading.quantity, f"mean {reading.name}"),
        blank=Blank.TEACHER,
        repeats=names,
    )
    return singles | {reading.name: mean}


def plain_quantity(item: Item) -> str:
    """Return what was read, without 'mean' or the number of the repeat."""
    return item.quantity.removeprefix("mean ") if item.repeats else item.quantity.partition(", reading ")[0]
