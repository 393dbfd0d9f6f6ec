"""The framed part at the top of a sheet: what to do now, in the student's own numbers."""

from __future__ import annotations

from reports.next_step import Now
from reports.page import (
    BODY,
    BOLD,
    STEP,
    AnswerLine,
    Block,
    Flowable,
    Frame,
    Look,
    OpenLines,
    Space,
    Type,
    formula,
    text,
)
from reports.wording import wording

_INDENT = 12.0
_SHORT_STEP = 24.0
_LARGE_LINES = 2
"""Writing lines where each is twice as tall."""


def now_blocks(now: Now, look: Look, room: float) -> list[Block]:
    """Return the framed part: one frame where it fits *room*, else one for the own step and one for what follows.

    Args:
        now: What is to be done.
        look: How the sheet is set.
        room: Height of the first page's column.
    """
    words = wording("sheet")["now"]
    own, more = _own_parts(now, look), _more_parts(now, look)
    if not now.is_step:
        return [Block(parts=(Frame(now.title, [*(_named(said, look) for said in now.said), *more]),))]
    whole = Frame(words["heading"], [*own, Space(6), _named(words["then"], look), *more])
    if whole.wrap(look.width, 0)[1] <= room:
        return [Block(parts=(whole,))]
    return [Block(parts=(Frame(words["heading"], own),)), Block(parts=(Frame(words["then"], more),), gap=10.0)]


def _type(look: Look) -> Type:
    return BODY if look.is_stacked else STEP


def _named(name: str, look: Look) -> Flowable:
    kind = _type(look)
    return text(Type(kind.size, kind.leading, kind.grey, BOLD), name)


def _own_parts(now: Now, look: Look) -> list[Flowable]:
    kind = _type(look)
    parts: list[Flowable] = [_named(now.title, look)]
    if now.said:
        parts.append(text(kind, " ".join(now.said)))
    if now.values:
        parts.append(Space(3))
        parts += [formula(kind, line) if "=" in line else text(kind, line) for line in now.values]
    if now.line is not None:
        parts.append(AnswerLine(now.line.before, now.line.after, now.line.last, size=kind.size))
    else:
        parts.append(OpenLines(now.rows, _SHORT_STEP))
    return parts


def _more_parts(now: Now, look: Look) -> list[Flowable]:
    lines = min(max(1, now.more.lines), _LARGE_LINES if look.is_stacked else now.more.lines or 1)
    return [text(_type(look), now.more.text), OpenLines(lines, _SHORT_STEP)]
