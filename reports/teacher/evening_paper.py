"""A parents' evening on paper: a page of one student alone over practicals, in plain words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from msgspec import Struct

from reports.page import BODY, NOTE, Block, Heading, Hung, PointHead, text
from reports.teacher.staff_papers import write_papers
from reports.wording import fill, wording

_GAP = 14.0


class Occasion(Struct, frozen=True, kw_only=True):
    """One practical of the student."""

    title: str
    day: str
    total: int
    """Marks so far, after moderation where there was any."""
    out_of: int
    pending: int
    strands: tuple[str, ...]
    """Marks of each strand of the page, 'awarded / decided'; empty where the practical has none of it."""
    is_moderated: bool
    """Whether the total is another one than single marks come to."""


class EveningPage(Struct, frozen=True, kw_only=True):
    """One student over practicals."""

    at: int
    student: str
    name: str
    class_name: str
    heads: tuple[str, ...]
    """Strands, as the table is headed."""
    occasions: tuple[Occasion, ...]
    strongest: str
    """Strand with the largest share of its marks; empty where too little is decided."""
    better: tuple[str, ...]
    """What was mended since the practical before."""
    practise: tuple[str, ...]
    """What to practise next, what came back first."""


def write_evening_pages(path: Path, pages: Sequence[EveningPage]) -> None:
    """Write a page for each student; nothing about one stands on another's."""
    words = wording("desk")["evening"]
    papers = [(f"{one.name or one.student}, {one.class_name}", list(_blocks(one))) for one in pages]
    write_papers(path, words["title"], papers)


def _blocks(page: EveningPage) -> Iterator[Block]:
    words = wording("desk")["evening"]
    if not page.occasions:
        yield Block(parts=(text(BODY, words["none"]),))
        return
    if page.strongest:
        said = fill([words["strongest"]], {"strand": page.strongest})
        yield Block(parts=(Heading(words["well"]), text(BODY, said)), gap=_GAP)
    if page.better:
        yield _list(words["better"], page.better)
    yield _list(words["practise"], page.practise or (words["nothing"],))
    yield Block(parts=(Heading(words["practicals"]), *_practical(page, page.occasions[0])), gap=_GAP)
    for one in page.occasions[1:]:
        yield Block(parts=_practical(page, one), gap=8.0)


def _list(heading: str, lines: Sequence[str]) -> Block:
    return Block(parts=(Heading(heading), *(Hung("–", text(BODY, line), left=12) for line in lines)), gap=_GAP)


def _practical(page: EveningPage, one: Occasion) -> tuple[PointHead | Hung, ...]:
    words = wording("desk")["evening"]
    said = [fill([words["of"]], {"total": str(one.total), "out_of": str(one.out_of)})]
    if one.is_moderated:
        said.append(words["moderated"])
    if one.pending:
        said.append(fill([words["pending"]], {"pending": str(one.pending)}))
    parts = [f"{head} {marks}" for head, marks in zip(page.heads, one.strands, strict=True) if marks]
    return (
        PointHead("•", one.title, one.day),
        Hung("", text(NOTE, "; ".join(said)), small=True),
        Hung("", text(NOTE, "; ".join(parts)), small=True),
    )
