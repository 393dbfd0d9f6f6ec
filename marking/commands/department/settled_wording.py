"""What a meeting settles about the wording of a criterion, kept in the next edition of its scheme."""

from __future__ import annotations

import argparse
from pathlib import Path

from marking.commands.record_use import now
from marking.moderation.packs import Key
from marking.outputs import put_file
from marking.rounds import next_edition, scheme_text
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
    written = next_edition(
        text, name, key, criterion=arguments.settle, new=arguments.wording, who=arguments.by, day=now()[:10]
    )
    put_file(Path(arguments.next), written.encode())
    read_rubric(Path(arguments.next))  # a scheme that is not sound is told at once
    print(fill([wording("moderation")["together"]["kept"]], {"file": arguments.next, "edition": str(key.edition + 1)}))


def _scheme(arguments: argparse.Namespace, key: Key) -> tuple[str, str]:
    if arguments.scheme:
        path = Path(arguments.scheme)
        return path.read_text(encoding="utf-8"), path.name
    return scheme_text(key.practical), f"{key.practical}.toml"
