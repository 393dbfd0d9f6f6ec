"""Second marking: a pack, and one criterion of one script at a time. Nothing here knows whose script it is."""

from __future__ import annotations

from msgspec import Struct

from marking.moderation.packs import Pack, PackScript, SchemeLine, Shown
from marking.rounds import Marked, pack_word


class PackRow(Struct, frozen=True, kw_only=True):
    """One pack in the list of a second marker's."""

    word: str
    title: str
    edition: int
    scripts: int
    given: int
    wanted: int
    is_handed_in: bool


class ScriptRow(Struct, frozen=True, kw_only=True):
    """One script of a pack."""

    at: int
    code: str
    given: int
    wanted: int


class PackState(Struct, frozen=True, kw_only=True):
    """A pack, and how far it is."""

    word: str
    title: str
    edition: int
    scripts: tuple[ScriptRow, ...]
    missing: int
    is_handed_in: bool
    first: int | None
    """Place of the first script on which a mark waits; None where none does."""
    button: str


class MarkButton(Struct, frozen=True, kw_only=True):
    """One mark that may be given."""

    marks: int
    key: str
    kind: str
    """'award' for all of them, 'withhold' for none, 'part'."""


class Criterion(Struct, frozen=True, kw_only=True):
    """One criterion of the script, and what was given."""

    code: str
    point: str
    out_of: int
    given: int | None


class TableShown(Struct, frozen=True, kw_only=True):
    """A table of readings as it was written."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    """Row number first."""


class ScriptToMark(Struct, frozen=True, kw_only=True):
    """One criterion of one script."""

    word: str
    title: str
    edition: int
    at: int
    scripts: int
    code: str
    singles: tuple[Shown, ...]
    tables: tuple[TableShown, ...]
    criteria: tuple[Criterion, ...]
    """All that wait for the second marker on this script."""
    here: Criterion
    buttons: tuple[MarkButton, ...]
    number: int
    remark: str
    remark_number: int
    before: tuple[int, str] | None
    """Place and criterion of the mark before; None at the first."""
    after: tuple[int, str] | None
    waits: int
    is_handed_in: bool
    button: str
    refused: str = ""


def pack_row(pack: Pack, so_far: Marked) -> PackRow:
    """Return a pack for the list."""
    wanted = sum(len(one.eye) for one in pack.scripts)
    return PackRow(
        word=pack_word(so_far.pack),
        title=pack.title,
        edition=pack.edition,
        scripts=len(pack.scripts),
        given=wanted - len(so_far.missing),
        wanted=wanted,
        is_handed_in=so_far.is_handed_in,
    )


def pack_state(pack: Pack, so_far: Marked, button: str) -> PackState:
    """Return a pack script by script."""
    waiting = {code for code, _ in so_far.missing}
    return PackState(
        word=pack_word(so_far.pack),
        title=pack.title,
        edition=pack.edition,
        scripts=tuple(
            ScriptRow(
                at=at,
                code=one.code,
                given=sum(name in so_far.marks[one.code] for name in one.eye),
                wanted=len(one.eye),
            )
            for at, one in enumerate(pack.scripts)
        ),
        missing=len(so_far.missing),
        is_handed_in=so_far.is_handed_in,
        first=next((at for at, one in enumerate(pack.scripts) if one.code in waiting), None),
        button=button,
    )


def marks_in_turn(pack: Pack) -> tuple[tuple[int, str], ...]:
    """Return every mark of a pack, place and criterion, in the order in which they come."""
    return tuple((at, name) for at, one in enumerate(pack.scripts) for name in one.eye)


def next_waiting(pack: Pack, so_far: Marked, at: int, criterion: str) -> tuple[int, str] | None:
    """Return the mark that waits after this one, round to the first again; None where none waits but this one."""
    turns = marks_in_turn(pack)
    missing = set(so_far.missing)
    here = turns.index((at, criterion)) if (at, criterion) in turns else -1
    later = [*turns[here + 1 :], *turns[: max(here, 0)]]
    return next((one for one in later if (pack.scripts[one[0]].code, one[1]) in missing), None)


def script_page(
    pack: Pack, so_far: Marked, at: int, criterion: str, *, button: str, refused: str = ""
) -> ScriptToMark | None:
    """Return one criterion of a script; None where the pack has none there.

    Args:
        pack: As it went out.
        so_far: What was given.
        at: Place of the script.
        criterion: Its code; empty for the first that waits.
        button: Id for the button.
        refused: Why the last deed was not done; empty where it was.
    """
    if not 0 <= at < len(pack.scripts) or not pack.scripts[at].eye:
        return None
    script = pack.scripts[at]
    scheme = {line.code: line for line in pack.scheme}
    open_here = [name for name in script.eye if name not in so_far.marks[script.code]]
    chosen = criterion or (open_here or list(script.eye))[0]
    if chosen not in script.eye:
        return None
    criteria = tuple(_criterion(scheme[name], so_far, script) for name in script.eye)
    here = next(one for one in criteria if one.code == chosen)
    turns = marks_in_turn(pack)
    place = turns.index((at, chosen))
    return ScriptToMark(
        word=pack_word(so_far.pack),
        title=pack.title,
        edition=pack.edition,
        at=at,
        scripts=len(pack.scripts),
        code=script.code,
        singles=tuple(one for one in script.shown if one.row is None),
        tables=_tables(script),
        criteria=criteria,
        here=here,
        buttons=_buttons(here.out_of),
        number=so_far.numbers.get((script.code, chosen), 0) + 1,
        remark=so_far.remarks.get(script.code, ""),
        remark_number=so_far.numbers.get((script.code, ""), 0) + 1,
        before=turns[place - 1] if place else None,
        after=next_waiting(pack, so_far, at, chosen),
        waits=len(so_far.missing),
        is_handed_in=so_far.is_handed_in,
        button=button,
        refused=refused,
    )


def _criterion(line: SchemeLine, so_far: Marked, script: PackScript) -> Criterion:
    given = so_far.marks[script.code].get(line.code)
    return Criterion(code=line.code, point=line.point, out_of=line.marks, given=given)


def _buttons(out_of: int) -> tuple[MarkButton, ...]:
    part = tuple(MarkButton(marks=marks, key=str(marks), kind="part") for marks in range(out_of - 1, 0, -1))
    first, last = MarkButton(marks=out_of, key="a", kind="award"), MarkButton(marks=0, key="w", kind="withhold")
    return (first, *part, last)


def _tables(script: PackScript) -> tuple[TableShown, ...]:
    """Return the readings, a column an item; items with the same rows stand in one table."""
    columns: dict[str, dict[int, str]] = {}
    labels: dict[str, str] = {}
    for one in script.shown:
        if one.row is not None:
            columns.setdefault(one.item, {})[one.row] = one.text
            labels[one.item] = one.label
    if not columns:
        return ()
    numbers = sorted({row for column in columns.values() for row in column})
    heads = tuple(labels[item] for item in columns)
    rows = tuple((str(row), *(column.get(row, "") for column in columns.values())) for row in numbers)
    return (TableShown(heads=heads, rows=rows),)
