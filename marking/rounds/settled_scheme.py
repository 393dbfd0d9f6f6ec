"""What a meeting settles about the wording of a criterion, in the text of the scheme's next edition."""

from __future__ import annotations

from importlib import resources

import tomlkit
from tomlkit.exceptions import ParseError

from marking.moderation.packs import Key
from reports.wording import fill, wording
from rubrics.faults import InputError


def scheme_text(practical: str) -> str:
    """Return the text of a scheme of the catalogue.

    Raises:
        InputError: The catalogue has none of that practical.
    """
    file = resources.files("rubrics").joinpath("catalogue", f"{practical}.toml")
    if not file.is_file():
        raise InputError(practical, "the catalogue has no such scheme", "name its file after --scheme")
    return file.read_text(encoding="utf-8")


def next_edition(text: str, name: str, key: Key, *, criterion: str, new: str, who: str, day: str) -> str:
    """Return the text of the next edition with the new wording of one criterion.

    Args:
        text: Of the scheme that was marked by, or of the next edition with what was settled before.
        name: As messages call it.
        key: Of the scripts that were marked together.
        criterion: Its code.
        new: What earns the mark from now on.
        who: Who settled it.
        day: When, as ISO date.

    Raises:
        InputError: It is no rubric, of another edition, or has no such criterion.
    """
    try:
        held = tomlkit.parse(text)
    except ParseError as error:
        raise InputError(name, "this is no rubric in TOML", "name the TOML file after --scheme") from error
    edition = int(held.get("edition", 0))
    if edition not in (key.edition, key.edition + 1):
        problem = f"this is edition {edition}, and the scripts were marked by edition {key.edition}"
        raise InputError(name, problem, "name the scheme that was marked by after --scheme")
    own = [one for one in held.get("criteria", []) if one.get("code") == criterion]
    if not own:
        codes = ", ".join(str(one.get("code")) for one in held.get("criteria", []))
        raise InputError(criterion, "no criterion has this code", f"use one of {codes}")
    slots = {"day": day, "who": who, "was": " ".join(str(own[0]["point"]).split())}
    own[0]["point"] = " ".join(new.split())
    own[0]["point"].comment(fill([wording("moderation")["together"]["note"]], slots))
    held["edition"] = key.edition + 1
    return tomlkit.dumps(held)
