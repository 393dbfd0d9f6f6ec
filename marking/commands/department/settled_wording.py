"""What a meeting settles about the wording of a criterion, kept in the next edition of its scheme."""

from __future__ import annotations

import argparse
from importlib import resources
from pathlib import Path

import tomlkit
from tomlkit.exceptions import ParseError

from marking.commands.record_use import now
from marking.moderation.packs import Key
from marking.outputs import put_file
from reports.wording import fill, wording
from rubrics.faults import InputError
from rubrics.load import read_rubric


def settle(arguments: argparse.Namespace, key: Key) -> None:
    """Write the next edition of the scheme with the new wording of one criterion; nothing where none is settled.

    Raises:
        InputError: No wording, no name, no file to write, no such criterion, or another edition than was marked by.
    """
    if not arguments.settle:
        return
    for said, option in ((arguments.wording, "--wording"), (arguments.by, "--by"), (arguments.next, "--next")):
        if not said:
            raise InputError(arguments.settle, "a wording is settled by somebody, for a new file", f"say {option} too")
    text, name = _scheme(arguments, key)
    try:
        held = tomlkit.parse(text)
    except ParseError as error:
        raise InputError(name, "this is no rubric in TOML", "name the TOML file after --scheme") from error
    if int(held.get("edition", 0)) != key.edition:
        problem = f"this is edition {held.get('edition')}, and the scripts were marked by edition {key.edition}"
        raise InputError(name, problem, "name the scheme that was marked by after --scheme")
    own = [one for one in held.get("criteria", []) if one.get("code") == arguments.settle]
    if not own:
        codes = ", ".join(str(one.get("code")) for one in held.get("criteria", []))
        raise InputError(arguments.settle, "no criterion has this code", f"use one of {codes}")
    slots = {"day": now()[:10], "who": arguments.by, "was": str(own[0]["point"])}
    own[0]["point"] = arguments.wording
    own[0]["point"].comment(fill([wording("moderation")["together"]["note"]], slots))
    held["edition"] = key.edition + 1
    written = tomlkit.dumps(held)
    put_file(Path(arguments.next), written.encode())
    read_rubric(Path(arguments.next))  # a scheme that is not sound is told at once
    print(fill([wording("moderation")["together"]["kept"]], {"file": arguments.next, "edition": str(key.edition + 1)}))


def _scheme(arguments: argparse.Namespace, key: Key) -> tuple[str, str]:
    if arguments.scheme:
        path = Path(arguments.scheme)
        return path.read_text(encoding="utf-8"), path.name
    file = resources.files("rubrics").joinpath("catalogue", f"{key.practical}.toml")
    if not file.is_file():
        raise InputError(key.practical, "the catalogue has no such scheme", "name its file after --scheme")
    return file.read_text(encoding="utf-8"), f"{key.practical}.toml"
