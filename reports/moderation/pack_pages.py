"""The same pack to read on paper: each script with what was written, and what waits to be marked."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from marking.moderation.packs import Pack, PackScript, Shown
from reports.page import BODY, NOTE, SMALL, Block, Flowable, Heading, Hung, PointHead, Space, text
from reports.teacher import write_staff_pages
from reports.wording import fill, wording


def write_pack_pages(path: Path, pack: Pack) -> None:
    """Write the PDF of a pack; its properties name nobody."""
    words = wording("moderation")["pack"]
    slots = {"title": pack.title, "edition": str(pack.edition)}
    about = [fill([words["about"]], slots), words["paper"], words["hidden"]]
    blocks = [Block(parts=(PointHead("", pack.title, ""), *(text(SMALL, line) for line in about)))]
    for script in pack.scripts:
        blocks += _script(script, pack)
    write_staff_pages(path, words["document"], fill([words["title"]], slots), blocks)


def _script(script: PackScript, pack: Pack) -> Iterator[Block]:
    words = wording("moderation")["pack"]
    written: list[Flowable] = [Hung("", text(NOTE, line), left=10) for line in _lines(script.shown)]
    first: tuple[Flowable, ...] = (Heading(script.code), text(SMALL, words["written"]))
    yield Block(parts=(*first, *(written[:1] or [text(BODY, words["nothing"])])), gap=16.0)
    for line in written[1:]:
        yield Block(parts=(line,))
    marks = [
        Hung(
            "___",
            text(NOTE, fill([words["criterion"]], {"code": one.code, "marks": str(one.marks), "point": one.point})),
        )
        for one in pack.scheme
        if one.code in script.eye
    ]
    if marks:
        yield Block(parts=(Space(4), text(SMALL, words["marks"]), *marks), gap=2.0)


def _lines(shown: Sequence[Shown]) -> list[str]:
    """Return what was written: a line an item, and a line a row of a table."""
    words = wording("moderation")["pack"]
    lines: list[str] = []
    rows: dict[int, list[str]] = {}
    for one in shown:
        is_asked = one.label.endswith((".", "?"))  # a question in words has its own end
        said = fill([words["asked" if is_asked else "line"]], {"label": one.label, "text": one.text})
        if one.row is None:
            lines.append(said)
        else:
            rows.setdefault(one.row, []).append(said)
    return lines + [
        fill([words["row"]], {"row": str(row), "cells": "; ".join(cells)}) for row, cells in sorted(rows.items())
    ]
