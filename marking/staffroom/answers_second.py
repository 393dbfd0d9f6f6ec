"""Answers about second marking: the packs given to somebody, a mark at a time, handing in, files in place of pages."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path
from urllib.parse import urlencode

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from marking.desk import Sent
from marking.moderation.packs import read_packs
from marking.record import OvertakenError
from marking.rounds import Slip, give_remark, give_second_mark, hand_in, take_down
from marking.staffroom.pages import pack_row, pack_state, script_page
from marking.staffroom.rounds_at_hand import MyPack
from marking.staffroom.staff import StaffDesk
from reports.wording import wording
from rubrics.faults import InputError

FILES = {
    "pack.xlsx": (".xlsx", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"),
    "pack.pdf": (".pdf", "application/pdf"),
}
LONGEST_REMARK = 600


def show_packs(desk: StaffDesk, _request: Request) -> Response:
    """Show the packs that were given to this person."""
    rows = [pack_row(desk.room.rounds.contents(mine), mine.so_far) for mine in desk.packs()]
    return desk.render("second", {"rows": rows})


def show_pack(desk: StaffDesk, request: Request) -> Response:
    """Show one pack."""
    return _pack_page(desk, desk.pack(request))


def _pack_page(desk: StaffDesk, mine: MyPack, *, refused: str = "", status: int = 200) -> Response:
    state = pack_state(desk.room.rounds.contents(mine), mine.so_far, desk.fresh())
    return desk.render("second_pack", {"pack": state, "refused": refused}, status=status)


def take_pack(desk: StaffDesk, request: Request, sent: Sent) -> Response:
    """Hand a pack in, or take it from the workbook that went with it."""
    mine = desk.pack(request)
    deed, maker = sent.text("deed"), desk.pressed(sent.text("button")[:64])
    key, record = mine.open_round.key, desk.shelf.record
    try:
        if deed == "hand-in":
            hand_in(record, key, mine.second_marker, maker)
        elif deed == "file":
            _take_file(desk, mine, sent)
        else:
            raise HTTPException(400)
    except InputError as error:
        mine = desk.pack(request)
        if deed != "hand-in" or not mine.so_far.is_handed_in:
            return _pack_page(desk, mine, refused=str(error), status=409)
    return RedirectResponse(f"/second/{mine.word}", status_code=303)


def _take_file(desk: StaffDesk, mine: MyPack, sent: Sent) -> None:
    """Take a pack down from its workbook.

    Raises:
        InputError: It is not this pack, or not as it went out.
    """
    if len(sent.files) != 1:
        raise InputError(
            wording("staffroom")["second"]["file"], "no file was chosen", "choose the workbook of the pack"
        )
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "pack.xlsx"
        with path.open("wb") as kept:
            shutil.copyfileobj(sent.files[0].file, kept)
        (returned,) = read_packs([path], [mine.open_round.key])
    if returned.pack != mine.so_far.pack:
        raise InputError("pack.xlsx", "this is another pack than the one of this page", "choose the one of this page")
    take_down(desk.shelf.record, mine.open_round.key, returned, desk.pressed(sent.text("button")[:64]))


def give_file(desk: StaffDesk, request: Request) -> Response:
    """Give the workbook or the PDF of a pack, under a name that says nothing."""
    mine, name = desk.pack(request), request.path_params["kind"]
    if name not in FILES:
        raise HTTPException(404)
    ending, kind = FILES[name]
    data = mine.open_round.files[mine.second_marker].with_suffix(ending).read_bytes()
    way = "inline" if ending == ".pdf" else "attachment"
    return Response(data, media_type=kind, headers={"Content-Disposition": f'{way}; filename="{name}"'})


def show_script(desk: StaffDesk, request: Request) -> Response:
    """Show one criterion of one script."""
    mine = desk.pack(request)
    return _script_page(desk, mine, request.path_params["at"], request.query_params.get("criterion", ""))


def _script_page(
    desk: StaffDesk, mine: MyPack, at: int, criterion: str, *, refused: str = "", status: int = 200
) -> Response:
    pack = desk.room.rounds.contents(mine)
    page = script_page(pack, mine.so_far, at, criterion, button=desk.fresh(), refused=refused)
    if page is None:
        raise HTTPException(404)
    return desk.render("second_script", page, status=status)


def take_mark(desk: StaffDesk, request: Request, sent: Sent) -> Response:
    """Take one second mark, or a remark, down; then the next mark comes by itself."""
    mine, at = desk.pack(request), request.path_params["at"]
    pack = desk.room.rounds.contents(mine)
    criterion = sent.text("criterion")
    if not 0 <= at < len(pack.scripts) or criterion not in pack.scripts[at].eye:
        raise HTTPException(404)
    deed, _, said = sent.text("deed").partition(":")
    try:
        if deed == "give":
            _give(desk, mine, pack.scripts[at].code, criterion, said, sent)
        elif deed == "remark":
            _remark(desk, mine, pack.scripts[at].code, sent)
        else:
            raise HTTPException(400)
    except OvertakenError:
        words = wording("staffroom")["second"]["overtaken"]
        return _script_page(desk, desk.pack(request), at, criterion, refused=words, status=409)
    except InputError as error:
        return _script_page(desk, desk.pack(request), at, criterion, refused=str(error), status=409)
    if deed == "remark":
        return RedirectResponse(_address(mine.word, (at, criterion)), status_code=303)
    page = script_page(pack, desk.pack(request).so_far, at, criterion, button="")
    after = page.after if page is not None else None
    return RedirectResponse(_address(mine.word, after), status_code=303)


def _give(desk: StaffDesk, mine: MyPack, code: str, criterion: str, said: str, sent: Sent) -> None:
    if not (said.isascii() and said.isdecimal() and len(said) < 3):
        raise HTTPException(400)
    slip = Slip(code=code, criterion=criterion, marks=int(said), number=sent.number("number"))
    maker = desk.pressed(f"{sent.text('button')[:64]}/{said}")
    give_second_mark(desk.shelf.record, mine.open_round.key, mine.second_marker, maker, slip)


def _remark(desk: StaffDesk, mine: MyPack, code: str, sent: Sent) -> None:
    text = " ".join(sent.text("remark").split())[:LONGEST_REMARK]
    maker = desk.pressed(f"{sent.text('button')[:64]}/remark")
    number = sent.number("remark_number")
    give_remark(desk.shelf.record, mine.open_round.key, mine.second_marker, maker, code, text, number)


def _address(word: str, after: tuple[int, str] | None) -> str:
    if after is None:
        return f"/second/{word}"
    return f"/second/{word}/{after[0]}?{urlencode({'criterion': after[1]})}"
