"""What is known of a bench that reads off, in the same words on every paper."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from marking.class_notes import ClassNote
from reports.wording import fill, wording
from rubrics.model import Rubric


def bench_line(note: ClassNote, rubric: Rubric) -> str:
    """Return a bench with what is known of it: 'Bench 3: voltmeter low or ammeter high, about 7 %'."""
    items = _plain([rubric.items[item].quantity if item in rubric.items else item for item in note.items])
    off = _off(items, note.direction, note.factor, note.factors)
    return fill([wording("summary")["technician"]["bench"]], {"bench": note.bench, "off": off})


def _plain(names: Sequence[str]) -> list[str]:
    """Return names without what a results sheet adds behind a comma, 'concentration of the acid, as given'."""
    short = [name.partition(", ")[0] for name in names]
    return short if len(set(short)) == len(short) else list(names)


def _off(items: Sequence[str], direction: str, factor: float | None, factors: Sequence[float]) -> str:
    words = wording("summary")["technician"]
    if not items:
        return fill(words["unknown"], _told(direction, factor))
    ratios: Sequence[float | None] = list(factors) if len(factors) == len(items) else [factor] * len(items)
    told = [
        {"instrument": item, **_told(direction if ratio is None else "high" if ratio > 1 else "low", ratio)}
        for item, ratio in zip(items, ratios, strict=True)
    ]
    sizes = {slots.get("percent", "") for slots in told}
    if len(told) == 1 or len(sizes) > 1:
        return _either([fill(words["one"], slots) for slots in told])
    ways = _either([fill([words["plain"]], slots) for slots in told])
    (percent,) = sizes
    return fill([words["several"], "{ways}"], {"ways": ways, "percent": percent})


def _told(direction: str, factor: float | None) -> Mapping[str, str]:
    """Return how far off something reads: which way, and by about how many per cent, to one or two figures."""
    slots = {"direction": direction}
    if factor is not None:
        percent = abs(factor - 1) * 100
        slots["percent"] = f"{percent:.0f}" if percent >= 1 else f"{percent:.1g}"
    return slots


def _either(ways: Sequence[str]) -> str:
    return " or ".join([", ".join(ways[:-1]), ways[-1]]) if len(ways) > 1 else "".join(ways)
