"""A round as a folder: packs to give away, the key that stays, and the account of what was read."""

from __future__ import annotations

import csv
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from marking.file_names import file_names
from marking.moderation.packs import Key, Pack, read_key, read_pack, write_key
from marking.outputs import OURS
from reports.moderation import write_pack_book, write_pack_pages
from reports.tables import csv_cell
from reports.wording import wording

KEY = Path("key") / "key.json"
PACKS = "packs"


@dataclass(frozen=True, kw_only=True)
class OpenRound:
    """A round in its folder."""

    folder: Path
    key: Key

    @cached_property
    def files(self) -> Mapping[str, Path]:
        """Return the workbook of each second marker's pack, without its ending."""
        names = file_names(list(self.key.packs))
        return {marker: self.folder / PACKS / names[marker] for marker in self.key.packs}

    def pack(self, second_marker: str) -> Pack:
        """Return a pack as it went out.

        Raises:
            InputError: It is not there, or not what the key has sealed.
        """
        return read_pack(self.files[second_marker].with_suffix(".xlsx"), self.key, second_marker)


def open_round(folder: Path) -> OpenRound:
    """Return the round in *folder*.

    Raises:
        InputError: There is none.
    """
    return OpenRound(folder=folder, key=read_key(folder / KEY))


def write_round(folder: Path, key: Key, made: Sequence[Pack], version: str) -> dict[str, str]:
    """Write packs, key and account into an empty folder; return the name of each second marker's workbook.

    Args:
        folder: Where.
        key: The key.
        made: The packs.
        version: Of the program.
    """
    (folder / PACKS).mkdir()
    (folder / KEY).parent.mkdir()
    names = file_names([pack.second_marker for pack in made])
    for pack in made:
        stem = names[pack.second_marker]
        write_pack_book(folder / PACKS / f"{stem}.xlsx", pack)
        write_pack_pages(folder / PACKS / f"{stem}.pdf", pack)
    write_key(folder / KEY, key)
    _write_list(folder / "key" / "sample.csv", key)
    account = {
        "program": {"name": "writeups", "version": version},
        "read": [{"name": name, "sha256": digest} for name, digest in sorted(key.read.items())],
        "schemes": [{"id": key.practical, "edition": key.edition, "sha256": key.scheme_sha256}],
        "stage": key.stage,
        "packs": dict(sorted(key.packs.items())),
        "counts": {"cohort": len(key.cohort), "sampled": len(key.lines)},
    }
    text = json.dumps(account, indent=2, ensure_ascii=False)
    (folder / OURS).write_text(text + "\n", encoding="utf-8", newline="\n")
    return {marker: f"{stem}.xlsx" for marker, stem in names.items()}


def _write_list(path: Path, key: Key) -> None:
    """Write what was sampled and why: with it the moderator puts copies of paper work under the right codes."""
    reasons = wording("moderation")["reasons"]
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(("code", "student", "class", "first_marker", "second_marker", "why"))
        for line in sorted(key.lines, key=lambda one: (one.second_marker, one.code)):
            why = "; ".join(reasons[reason.value] for reason in line.reasons)
            said = (line.code, line.student, line.class_name, line.first_marker, line.second_marker, why)
            writer.writerow(map(csv_cell, said))
