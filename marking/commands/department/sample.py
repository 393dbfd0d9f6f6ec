"""``writeups sample``: choose scripts for second marking by a stated rule and seed, and pack them blind."""

from __future__ import annotations

import argparse
import csv
import dataclasses
import json
import sys
from collections.abc import Sequence
from pathlib import Path

from marking.commands.department.department_use import department_classes
from marking.commands.mark import known_rubrics
from marking.commands.program import program_version
from marking.commands.record_use import reading_record
from marking.file_names import file_names
from marking.moderation.comparing import compare
from marking.moderation.joint import SECOND_STAGE
from marking.moderation.packs import (
    Key,
    KeyLine,
    Pack,
    Person,
    common_pack,
    key_lines,
    names_to_hide,
    packs,
    read_key,
    read_packs,
    write_key,
)
from marking.moderation.sampling import (
    Candidate,
    ClassMarks,
    Sampled,
    SamplingRule,
    Undecided,
    candidates,
    draw,
    in_turn,
    to_mark_together,
)
from marking.outputs import OURS, replaced_folder
from reports.moderation import write_pack_book, write_pack_pages
from reports.wording import fill, wording
from rubrics.faults import InputError
from rubrics.model import Rubric

KEY = Path("key") / "key.json"
PACKS = "packs"


def run(arguments: argparse.Namespace) -> int:
    """Draw, pack and write the round; return the exit status."""
    out = Path(arguments.out)
    if out.exists() and any(out.iterdir()) and not arguments.replace:
        mend = "name a new folder after --out, or say --replace where nothing in it was filled in"
        raise InputError(out.name, "this folder is there already, and packs in it may have been filled in", mend)
    rubrics = known_rubrics(arguments.rubric)
    with reading_record(arguments.record) as record:
        classes = department_classes(arguments, rubrics, record)
    ready, waiting = candidates(classes)
    if not ready:
        raise InputError(Path(arguments.department).name, "no script is marked yet", "mark the classes first")
    rubric = classes[0].marked.rubric
    names = names_to_hide(classes)
    if arguments.together is not None:
        made, lines = _common(rubric, ready, names, arguments)
        stage, rule = 0, SamplingRule()
    else:
        rule = _rule(arguments)
        stage, sample = _sample(classes, ready, rule, arguments)
        both = packs(rubric, sample, names, arguments.seed)
        made = [pack for pack, _ in both]
        lines = [line for pack, coded in both for line in key_lines(pack, coded)]
    key = _key(arguments, rubric, rule, stage, made, lines, classes, ready)
    with replaced_folder(out) as folder:
        files = _write(folder, key, made)
    _tell(out, key, files, waiting, as_json=arguments.json)
    return 1 if waiting else 0


def _rule(arguments: argparse.Namespace) -> SamplingRule:
    rule = SamplingRule(boundaries=tuple(sorted(set(arguments.boundaries or ()))))
    return dataclasses.replace(rule, each_marker=arguments.each) if arguments.each else rule


def _sample(
    classes: Sequence[ClassMarks], ready: Sequence[Candidate], rule: SamplingRule, arguments: argparse.Namespace
) -> tuple[int, tuple[Sampled, ...]]:
    """Return the stage and its sample with second markers."""
    whole = [one.class_name for one in classes if one.is_whole]
    markers = sorted({one.marker for one in ready})
    if not arguments.more:
        return 1, in_turn(draw(ready, rule, arguments.seed, whole=whole), markers, arguments.seed)
    before = read_key(Path(arguments.more) / KEY)
    _same_round(before, classes[0].marked.rubric, arguments.more)
    doubtful = arguments.markers or _doubtful(before, Path(arguments.more), arguments.marked)
    taken = [(line.class_name, line.student) for line in before.lines]
    more = dict.fromkeys(doubtful, arguments.each or SECOND_STAGE)
    drawn = draw(ready, rule, arguments.seed, taken=taken, more=more)
    if not drawn:
        raise InputError(
            arguments.more, "nobody is in doubt", "name markers after --markers to look closer all the same"
        )
    return 2, in_turn(drawn, markers, arguments.seed)


def _same_round(before: Key, rubric: Rubric, name: str) -> None:
    if (before.practical, before.rubric_sha256) != (rubric.id, rubric.sha256):
        raise InputError(
            name, "the first stage was of another practical or edition", "use the scheme of the first stage"
        )


def _doubtful(before: Key, folder: Path, marked: Sequence[str]) -> list[str]:
    returned = read_packs([Path(one) for one in marked] or [folder / PACKS], [before])
    return [one.marker for one in compare([before], returned).doubts]


def _common(
    rubric: Rubric, ready: Sequence[Candidate], names: Sequence[str], arguments: argparse.Namespace
) -> tuple[list[Pack], list[KeyLine]]:
    sample = to_mark_together(ready, arguments.together, arguments.seed)
    markers = sorted({one.marker for one in ready})
    made = [common_pack(rubric, sample, names, arguments.seed, marker) for marker in markers]
    ((pack, coded),) = packs(rubric, sample, names, arguments.seed)
    return made, list(key_lines(pack, coded))


def _key(
    arguments: argparse.Namespace,
    rubric: Rubric,
    rule: SamplingRule,
    stage: int,
    made: Sequence[Pack],
    lines: Sequence[KeyLine],
    classes: Sequence[ClassMarks],
    ready: Sequence[Candidate],
) -> Key:
    return Key(
        practical=rubric.id,
        title=rubric.title,
        edition=rubric.edition,
        rubric_sha256=rubric.sha256,
        seed=arguments.seed,
        rule=rule,
        stage=stage,
        scheme=made[0].scheme,
        packs={pack.second_marker: pack.seal for pack in made},
        lines=tuple(lines),
        cohort=tuple(
            Person(
                student=one.student,
                class_name=one.class_name,
                marker=one.marker,
                eye_total=sum(one.marks[code] for code in one.eye),
                eye_out_of=one.eye_out_of,
                total=one.total,
                out_of=one.out_of,
            )
            for one in ready
        ),
        read={source.name: source.sha256 for one in classes for source in one.marked.sources},
    )


def _write(folder: Path, key: Key, made: Sequence[Pack]) -> dict[str, str]:
    """Write packs, key and account; return the name of each second marker's workbook."""
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
        "program": {"name": "writeups", "version": program_version()},
        "read": [{"name": name, "sha256": digest} for name, digest in sorted(key.read.items())],
        "rubrics": [{"id": key.practical, "edition": key.edition, "sha256": key.rubric_sha256}],
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
            writer.writerow((line.code, line.student, line.class_name, line.first_marker, line.second_marker, why))


def _tell(out: Path, key: Key, files: dict[str, str], waiting: Sequence[Undecided], *, as_json: bool) -> None:
    words = wording("moderation")["terminal"]
    if as_json:
        told = {
            "out": str(out),
            "stage": key.stage,
            "sampled": len(key.lines),
            "drawn": sum(line.is_drawn for line in key.lines),
            "packs": {marker: str(out / PACKS / name) for marker, name in sorted(files.items())},
            "waiting": [dataclasses.asdict(one) for one in waiting],
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
