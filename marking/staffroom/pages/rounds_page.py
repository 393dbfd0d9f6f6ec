"""Moderation: the rounds there are, and what a new one may be made of."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct

from marking.desk.shelf import HeldSet


class RoundRow(Struct, frozen=True, kw_only=True):
    """One round."""

    name: str
    title: str
    kind: str
    """'together' or 'sample'."""
    stages: int
    scripts: int
    back: int
    """Packs that are handed in."""
    packs: int
    state: str
    """'blind', 'out', 'back', 'ruled', 'signed'."""


class Practical(Struct, frozen=True, kw_only=True):
    """A practical that several people have marked."""

    id: str
    title: str
    classes: int
    markers: tuple[str, ...]
    waits: int
    """Scripts with marks that their teacher has still to decide: they cannot be drawn."""


class RoundsPage(Struct, frozen=True, kw_only=True):
    """All rounds."""

    rows: tuple[RoundRow, ...]
    practicals: tuple[Practical, ...]
    reading: bool
    button: str
    refused: str = ""


def rounds_page(
    rows: Sequence[RoundRow], sets: Iterable[HeldSet], *, reading: bool, button: str, refused: str = ""
) -> RoundsPage:
    """Return the page; *sets* are those that the head of department may see."""
    by: dict[str, list[HeldSet]] = {}
    for held in sets:
        if held.owner:
            by.setdefault(held.rubric.id, []).append(held)
    practicals = tuple(
        Practical(
            id=name,
            title=own[0].rubric.title,
            classes=len(own),
            markers=tuple(sorted({one.owner for one in own})),
            waits=sum(bool(script.pending) for one in own for script in one.marked.scripts),
        )
        for name, own in sorted(by.items())
    )
    many = tuple(one for one in practicals if len(one.markers) > 1)
    return RoundsPage(rows=tuple(rows), practicals=many, reading=reading, button=button, refused=refused)
