"""Answers about moderation: rounds made, read, ruled on, opened again. For the head of department alone."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from urllib.parse import quote

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from marking.desk import Sent, as_file
from marking.moderation.decisions import Ledger, Standing
from marking.rounds import (
    Asked,
    Figures,
    asked_adjustment,
    asked_ruling,
    give_back,
    make_round,
    write_compared,
    write_final_marks,
)
from marking.staffroom.next_schemes import next_scheme, settle
from marking.staffroom.pages import round_page, rounds_page, ruling_page, together_page
from marking.staffroom.rounds_at_hand import Round
from marking.staffroom.rounds_rows import round_row
from marking.staffroom.staff import StaffDesk
from reports.moderation import write_moderation_report, write_together_page
from reports.wording import wording
from rubrics.faults import InputError

PDF, CSV, TOML = "application/pdf", "text/csv; charset=utf-8", "application/toml"
MOST_NUMBER = 6


def show_rounds(desk: StaffDesk, _request: Request) -> Response:
    """Show the rounds, and what a new one may be made of."""
    return _rounds(desk)


def _rounds(desk: StaffDesk, *, refused: str = "", status: int = 200) -> Response:
    rows = [round_row(desk, one) for one in desk.rounds()]
    page = rounds_page(
        rows, desk.shelf.sets(), reading=bool(desk.room.shelf.reading), button=desk.fresh(), refused=refused
    )
    return desk.render("rounds", page, status=status)


def make(desk: StaffDesk, _request: Request, sent: Sent) -> Response:
    """Draw and pack a new round."""
    try:
        kind = sent.text("kind")
        asked = Asked(
            seed=sent.text("seed")[:80] or _refuse("seed"),
            boundaries=tuple(_wholes(sent.text("boundaries"))),
            together=(_wholes(sent.text("together")) or [4])[0] if kind == "together" else None,
        )
        name = _make(desk, sent.text("practical"), asked, suffix="-together" if kind == "together" else "")
    except InputError as error:
        return _rounds(desk, refused=str(error), status=422)
    return RedirectResponse(f"/moderation/{quote(name)}", status_code=303)


def _make(desk: StaffDesk, practical: str, asked: Asked, suffix: str = "") -> str:
    classes = desk.classes(practical)
    if not classes:
        raise InputError(practical or "the practical", "no class of the department did it", "choose another")
    made = make_round(classes, asked, practical)
    return desk.room.rounds.keep(made, f"{practical}{suffix}")


def show_round(desk: StaffDesk, request: Request) -> Response:
    """Show one round."""
    return _round(desk, desk.round(request))


def _round(desk: StaffDesk, one: Round, *, refused: str = "", status: int = 200) -> Response:
    if desk.is_blind(one.first.key.practical):
        return desk.render("blind", one.first.key.title, status=403)
    if one.is_together:
        page = together_page(
            one.name, one.first.key, desk.room.rounds.together(one), button=desk.fresh(), refused=refused
        )
        return desk.render("together", {"round": page, "next": next_scheme(one).is_file()}, status=status)
    found, state = _state(desk, one)
    return desk.render("round", round_page(one.name, found, state, button=desk.fresh(), refused=refused), status=status)


def _state(desk: StaffDesk, one: Round) -> tuple[Figures, Standing]:
    if desk.is_blind(one.first.key.practical):
        raise HTTPException(403)
    found = desk.figures(one)
    return found, desk.room.rounds.standing(found)


def take_round(desk: StaffDesk, request: Request, sent: Sent) -> Response:
    """Do what a button of the round's page asks for."""
    one = desk.round(request)
    deed, _, about = sent.text("deed").partition(":")
    if deed not in _DEEDS or (one.is_together and deed not in ("settle", "give-back")):
        raise HTTPException(400)
    if desk.is_blind(one.first.key.practical):
        raise HTTPException(403)
    try:
        _DEEDS[deed](desk, one, about, sent)
    except InputError as error:
        if not _was_done(desk, one, sent):
            return _round(desk, one, refused=str(error), status=409)
    return RedirectResponse(f"/moderation/{quote(one.name)}", status_code=303)


def _was_done(desk: StaffDesk, one: Round, sent: Sent) -> bool:
    """Tell whether the same button was pressed before: two presses are one decision."""
    known = desk.pressed(sent.text("button")[:64]).fresh()
    return any(each.id == known for each in desk.room.rounds.decisions(one))


def _ledger(desk: StaffDesk, one: Round, sent: Sent) -> Ledger:
    found, _ = _state(desk, one)
    maker = desk.pressed(sent.text("button")[:64])
    record = desk.shelf.record
    return Ledger(record, found.found, maker, account=desk.account.id, saw=sent.text("seen"))


def _undo(desk: StaffDesk, one: Round, about: str, sent: Sent) -> None:
    _ledger(desk, one, sent).undo(_number(about), why=sent.text("why"))


def _reopen(desk: StaffDesk, one: Round, _about: str, sent: Sent) -> None:
    _ledger(desk, one, sent).reopen(why=sent.text("why"))


def _give_back(desk: StaffDesk, one: Round, about: str, sent: Sent) -> None:
    found = None if one.is_together else _state(desk, one)
    if found is not None and found[1].is_locked:
        raise InputError(about, "these marks are signed and locked", "open them again first")
    for stage in one.stages:
        for marker, seal in stage.key.packs.items():
            if seal.startswith(about) and len(about) > MOST_NUMBER:
                give_back(
                    desk.shelf.record,
                    stage.key,
                    marker,
                    desk.pressed(sent.text("button")[:64]),
                    why=sent.text("why"),
                )
                return
    raise HTTPException(404)


def _more(desk: StaffDesk, one: Round, _about: str, _sent: Sent) -> None:
    found, state = _state(desk, one)
    if state.is_locked:
        raise InputError(one.name, "these marks are signed and locked", "open them again first")
    doubtful = tuple(each.marker for each in found.found.doubts)
    if len(one.stages) > 1 or not doubtful:
        raise InputError(one.name, "nobody is in doubt", "decide by what is there")
    key = one.first.key
    asked = Asked(seed=key.seed, boundaries=key.rule.boundaries, before=key, doubtful=doubtful)
    made = make_round(desk.classes(key.practical), asked, one.name)
    desk.room.rounds.keep(made, f"{one.name}-second-stage")


def _settle(desk: StaffDesk, one: Round, about: str, sent: Sent) -> None:
    settle(one, criterion=about, new=sent.text(f"wording-{about}"), who=desk.who, day=desk.now()[:10])


_DEEDS: Mapping[str, Callable[[StaffDesk, Round, str, Sent], None]] = {
    "undo": _undo,
    "reopen": _reopen,
    "give-back": _give_back,
    "more": _more,
    "settle": _settle,
}


def show_ruling(desk: StaffDesk, request: Request) -> Response:
    """Show what a ruling would change, before anybody takes it."""
    one, asked = desk.round(request), request.query_params
    return _ruling(desk, one, *(asked.get(name, "") for name in ("ruling", "marker", "criterion", "constant")))


def _ruling(
    desk: StaffDesk,
    one: Round,
    said: str,
    marker: str,
    criterion: str,
    constant: str,
    *,
    refused: str = "",
    why: str = "",
    status: int = 200,
) -> Response:
    if one.is_together:
        raise HTTPException(404)
    found, state = _state(desk, one)
    try:
        ruling = asked_ruling(said, marker, criterion, found.found)
        adjustment = asked_adjustment(ruling, marker, _constant(constant), found.found, found.proposed)
    except InputError as error:
        return _round(desk, one, refused=str(error), status=422)
    page = ruling_page(
        one.name,
        found.found,
        ruling,
        marker=marker,
        criterion=criterion,
        constant=constant,
        adjustment=adjustment,
        seen=state.seen,
        button=desk.fresh(),
        refused=refused,
        why=why,
    )
    return desk.render("ruling", page, status=status)


def take_ruling(desk: StaffDesk, request: Request, sent: Sent) -> Response:
    """Take a ruling down, with its reason."""
    one = desk.round(request)
    if one.is_together:
        raise HTTPException(404)
    said, marker, criterion, constant = (sent.text(name) for name in ("ruling", "marker", "criterion", "constant"))
    found, _ = _state(desk, one)
    try:
        ruling = asked_ruling(said, marker, criterion, found.found)
        adjustment = asked_adjustment(ruling, marker, _constant(constant), found.found, found.proposed)
        ledger = _ledger(desk, one, sent)
        ledger.rule(ruling, marker=marker, point=criterion, adjustment=adjustment, why=sent.text("why")[:500])
    except InputError as error:
        if not _was_done(desk, one, sent):
            told = {"refused": str(error), "why": sent.text("why")[:500]}
            return _ruling(desk, one, said, marker, criterion, constant, status=409, **told)
    return RedirectResponse(f"/moderation/{quote(one.name)}", status_code=303)


def paper(desk: StaffDesk, request: Request) -> Response:
    """Give a paper or a table about a round."""
    one, name = desk.round(request), request.path_params["paper"]
    if desk.is_blind(one.first.key.practical):
        raise HTTPException(403)
    if one.is_together:
        return _together_paper(desk, one, name)
    found, state = _state(desk, one)
    papers: Mapping[str, tuple[Callable[[Path], None], str]] = {
        "moderation.pdf": (
            lambda path: write_moderation_report(path, found.found, found.keys, found.proposed, found.effects, state),
            PDF,
        ),
        "compared.csv": (lambda path: write_compared(path, found.found), CSV),
        "final-marks.csv": (lambda path: write_final_marks(path, found, state), CSV),
    }
    if name not in papers:
        raise HTTPException(404)
    return as_file(papers[name][0], name, papers[name][1])


def _together_paper(desk: StaffDesk, one: Round, name: str) -> Response:
    if name == "marked-together.pdf":
        found = desk.room.rounds.together(one)
        return as_file(lambda path: write_together_page(path, one.first.key, found), name, PDF)
    held = next_scheme(one)
    if name != "next-edition.toml" or not held.is_file():
        raise HTTPException(404)
    data = held.read_bytes()
    return as_file(lambda path: _copy(path, data), name, TOML)


def _copy(path: Path, data: bytes) -> None:
    path.write_bytes(data)


def _refuse(name: str) -> str:
    raise InputError(wording("staffroom")["rounds"][name], "nothing is written", "write any words")


def _wholes(said: str) -> list[int]:
    parts = [one for one in said.replace(";", ",").replace(" ", ",").split(",") if one]
    if not all(one.isascii() and one.isdecimal() and len(one) < MOST_NUMBER for one in parts):
        raise InputError(said[:40], "these are no whole numbers", "write them like 4, 7, 10")
    return [int(one) for one in parts]


def _number(said: str) -> int:
    if not (said.isascii() and said.isdecimal() and len(said) < MOST_NUMBER):
        raise HTTPException(400)
    return int(said)


def _constant(said: str) -> float | None:
    text = said.replace("−", "-").replace(",", ".").strip()
    if not text:
        return None
    try:
        number = float(text)
    except ValueError:
        number = float("nan")
    if not abs(number) < 100:
        raise InputError(said[:20], "this is no number of marks", "write one like 1 or -1")
    return number
