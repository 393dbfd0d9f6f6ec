"""``writeups sample``: choose scripts for second marking by a stated rule and seed, and pack them blind."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence
from pathlib import Path

from msgspec import structs

from marking.commands.department.department_use import department_classes
from marking.commands.mark import known_rubrics
from marking.commands.record_use import reading_record
from marking.moderation.comparing import compare
from marking.moderation.packs import Key, read_key, read_packs
from marking.moderation.sampling import Undecided
from marking.outputs import replaced_folder
from marking.record import Record
from marking.rounds import KEY, PACKS, Asked, make_round, returned_in, second_decisions, write_round
from marking.version import VERSION
from reports.wording import fill, wording
from rubrics.faults import InputError


def run(arguments: argparse.Namespace) -> int:
    """Draw, pack and write the round; return the exit status."""
    out = Path(arguments.out)
    if out.exists() and any(out.iterdir()) and not arguments.replace:
        mend = "name a new folder after --out, or say --replace where nothing in it was filled in"
        raise InputError(out.name, "this folder is there already, and packs in it may have been filled in", mend)
    rubrics = known_rubrics(arguments.rubric)
    with reading_record(arguments.record) as record:
        classes = department_classes(arguments, rubrics, record)
        asked = _asked(arguments, record)
    made = make_round(classes, asked, arguments.more or Path(arguments.department).name)
    with replaced_folder(out) as folder:
        files = write_round(folder, made.key, made.packs, VERSION)
    _tell(out, made.key, files, made.waiting, as_json=arguments.json)
    return 1 if made.waiting else 0


def _asked(arguments: argparse.Namespace, record: Record | None) -> Asked:
    """Return what is asked for; of a second stage, whose scripts."""
    before = read_key(Path(arguments.more) / KEY) if arguments.more else None
    doubtful: Sequence[str] = ()
    if before is not None:
        doubtful = arguments.markers or _doubtful(before, Path(arguments.more), arguments.marked, record)
    return Asked(
        seed=arguments.seed,
        each=arguments.each,
        boundaries=tuple(arguments.boundaries or ()),
        together=arguments.together,
        before=before,
        doubtful=tuple(doubtful),
    )


def _doubtful(before: Key, folder: Path, marked: Sequence[str], record: Record | None) -> list[str]:
    at_desk = returned_in([before], second_decisions(record, before.practical))
    paths = [Path(one) for one in marked] or ([] if at_desk else [folder / PACKS])
    known = {one.pack for one in at_desk}
    returned = [one for one in read_packs(paths, [before]) if one.pack not in known]
    return [one.marker for one in compare([before], [*at_desk, *returned]).doubts]


def _tell(out: Path, key: Key, files: dict[str, str], waiting: Sequence[Undecided], *, as_json: bool) -> None:
    words = wording("moderation")["terminal"]
    if as_json:
        told = {
            "out": str(out),
            "stage": key.stage,
            "sampled": len(key.lines),
            "drawn": sum(line.is_drawn for line in key.lines),
            "packs": {marker: str(out / PACKS / name) for marker, name in sorted(files.items())},
            "waiting": [structs.asdict(one) for one in waiting],
        }
        print(json.dumps(told, ensure_ascii=False))
        return
    drawn = sum(line.is_drawn for line in key.lines)
    slots = {"count": str(len(key.lines)), "drawn": str(drawn), "added": str(len(key.lines) - drawn)}
    slots["markers"] = str(len(files))
    print(fill([words["together" if key.stage == 0 else "sampled"]], slots))
    for marker, name in sorted(files.items()):
        own = sum(line.second_marker in (marker, "") for line in key.lines)
        print(fill([words["turns"]], {"marker": marker, "count": str(own), "file": str(out / PACKS / name)}))
    print(fill([words["key"]], {"file": str(out / KEY), "packs": str(out / PACKS)}))
    for one in waiting:
        facts = {"class_name": one.class_name, "student": one.student, "marker": one.marker}
        print(fill([words["waiting"]], {**facts, "criteria": ", ".join(one.criteria)}), file=sys.stderr)
