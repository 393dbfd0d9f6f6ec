"""Answers about sets: what is here, files dropped in, the sample set."""

from __future__ import annotations

import re
import shutil
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path, PurePosixPath

from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from marking.desk.forms import Sent
from marking.desk.frame import SAMPLE, SAMPLE_NAME, Desk
from marking.desk.pages import sets_page
from marking.desk.shelf import HeldSet

PATIENCE = 1.5
"""Seconds to wait for a set before the page says that it is being read."""
_UNSAFE = re.compile(r"[^\w .()+-]", re.ASCII)
LONGEST_NAME = 60


def held_of(desk: Desk, request: Request) -> HeldSet:
    """Return the set that an address names.

    Raises:
        HTTPException: There is none.
    """
    held = desk.shelf.get(request.path_params["sid"])
    if held is None:
        raise HTTPException(404)
    return held


def show(desk: Desk, _request: Request) -> Response:
    """Show the sets."""
    coming = desk.shelf.coming  # first: what is read meanwhile is then among the sets
    page = sets_page(desk.shelf.sets(), desk.shelf.stages, desk.shelf.refused, coming)
    return desk.render("sets", page)


def take(desk: Desk, _request: Request, sent: Sent) -> Response:
    """Keep the files that were dropped in, and read them."""
    if sent.files:
        folder = _new_folder(desk.shelf.folder, _name_for(sent.files))
        with _whole_or_not(folder):
            for file in sent.files:
                with (folder / _safe(PurePosixPath(file.filename or "").name)).open("xb") as kept:
                    shutil.copyfileobj(file.file, kept)
        _read(desk, folder, " ".join(sent.text("class").split())[:40])
    return RedirectResponse("/", status_code=303)


def take_sample(desk: Desk, _request: Request, _sent: Sent) -> Response:
    """Put the sample set on the desk."""
    folder = _new_folder(desk.shelf.folder, SAMPLE_NAME)
    with _whole_or_not(folder):
        for file in SAMPLE.iterdir():
            shutil.copyfile(file, folder / file.name)
    _read(desk, folder)
    return RedirectResponse("/", status_code=303)


@contextmanager
def _whole_or_not(folder: Path) -> Iterator[None]:
    """Take the folder away again where what was dropped in could not be kept whole."""
    try:
        yield
    except BaseException:
        shutil.rmtree(folder, ignore_errors=True)
        raise


def _read(desk: Desk, folder: Path, class_name: str = "") -> None:
    desk.shelf.take([folder], class_name=class_name)
    end = time.monotonic() + PATIENCE
    while folder.name in desk.shelf.reading and time.monotonic() < end:
        time.sleep(0.02)


def _name_for(files: Sequence[UploadFile]) -> str:
    """Return a name for the folder of a drop: that of the folder dropped, else of the one file that is no roster."""
    paths = [PurePosixPath((file.filename or "").replace("\\", "/")) for file in files]
    parents = {path.parent.name for path in paths}
    works = [path for path in paths if path.name.casefold() not in ("roster.csv", "trials.csv")] or paths
    return _safe(parents.pop() if len(parents) == 1 and "" not in parents else works[0].stem)


def _safe(name: str) -> str:
    """Return a file name without signs that could lead out of the folder or hide the file."""
    return _UNSAFE.sub("_", name)[-LONGEST_NAME:].lstrip(". ") or "file"


def _new_folder(home: Path, name: str) -> Path:
    home.mkdir(parents=True, exist_ok=True)
    for number in range(1, 10_000):
        folder = home / (name if number == 1 else f"{name} ({number})")
        try:
            folder.mkdir()
        except FileExistsError:
            continue
        return folder
    raise HTTPException(409)
