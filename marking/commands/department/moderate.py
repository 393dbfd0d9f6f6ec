"""``writeups moderate``: compare second marks with first marks, decide, sign, report."""

from __future__ import annotations

import argparse
import csv
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from marking.commands.department.moderation_deeds import change_record, record_to_read
from marking.commands.department.sample import KEY, PACKS
from marking.commands.department.settled_wording import settle
from marking.commands.program import program_version
from marking.commands.record_use import reading_record
from marking.file_names import file_names
from marking.moderation.comparing import Comparison, compare, together
from marking.moderation.decisions import (
    Effect,
    Proposal,
    Ruling,
    Standing,
    department_decisions,
    effect_of,
    final_totals,
    proposals,
    standing,
)
from marking.moderation.packs import Key, Returned, read_key, read_packs
from marking.outputs import OURS, replaced_folder
from reports.moderation import (
    effect_sentences,
    joint_sentence,
    proposal_sentence,
    ruling_sentences,
    signature_sentences,
    write_marker_page,
    write_moderation_report,
    write_together_page,
)
from reports.wording import fill, wording
from rubrics.faults import InputError
from rubrics.formulas import listed


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """A round of moderation with what it shows and suggests."""

    keys: tuple[Key, ...]
    found: Comparison
    proposed: tuple[Proposal, ...]
    effects: Mapping[str, Effect]


def run(arguments: argparse.Namespace) -> int:
    """Compare, decide where asked, and report; return the exit status."""
    keys = tuple(sorted((read_key(Path(one) / KEY) for one in arguments.rounds), key=lambda key: key.stage))
    _fit_together(keys, arguments.rounds)
    paths = [Path(one) for one in arguments.marked] or [Path(one) / PACKS for one in arguments.rounds]
    returned = read_packs(paths, keys)
    if arguments.settle and keys[0].stage != 0:
        mend = "name the round of scripts that were marked together"
        raise InputError(arguments.settle, "wording is settled before bulk marking", mend)
    if keys[0].stage == 0:
        return _together(keys[0], returned, arguments)
    one = _round(keys, returned)
    change_record(arguments, one.found, one.proposed)
    with reading_record(record_to_read(arguments)) as record:
        state = standing(one.found, department_decisions(record, keys[0].practical))
    if arguments.out:
        with replaced_folder(Path(arguments.out)) as folder:
            _write(folder, one, state)
    _tell(one, state, arguments)
    return 1 if one.found.outstanding or one.found.doubts else 0


def _fit_together(keys: Sequence[Key], names: Sequence[str]) -> None:
    if len({(key.practical, key.rubric_sha256) for key in keys}) > 1:
        raise InputError(
            names[-1], "the rounds are of different practicals or editions", "name the stages of one round"
        )
    if len({key.stage for key in keys}) < len(keys):
        raise InputError(names[-1], "two of the rounds are of the same stage", "name each stage once")
    if len(keys) > 1 and keys[0].stage == 0:
        raise InputError(names[0], "scripts marked together are no stage of moderation", "name that round by itself")


def _round(keys: tuple[Key, ...], returned: Sequence[Returned]) -> Round:
    found = compare(keys, returned)
    proposed = proposals(found)
    effects = {
        one.marker: effect_of(one.adjustment, found.key.cohort, found.key.rule.boundaries)
        for one in proposed
        if one.adjustment is not None
    }
    return Round(keys=keys, found=found, proposed=proposed, effects=effects)


def _together(key: Key, returned: Sequence[Returned], arguments: argparse.Namespace) -> int:
    """Report on scripts that everybody has marked beforehand."""
    found = together(key, returned)
    missing = sorted(set(key.packs) - set(found.markers))
    words = wording("moderation")
    for one in found.criteria:
        slots = {"code": one.code, "same": str(one.scripts - one.differing), "scripts": str(one.scripts)}
        print(fill([words["together"]["criterion"]], {**slots, "point": one.point}))
    if missing:
        print(fill([words["terminal"]["outstanding"]], {"names": listed(missing, most=9)}))
    if arguments.out:
        with replaced_folder(Path(arguments.out)) as folder:
            write_together_page(folder / "marked-together.pdf", key, found)
            _write_account(folder, [key], {"markers": list(found.markers)})
        print(fill([words["terminal"]["report"]], {"file": str(Path(arguments.out) / "marked-together.pdf")}))
    settle(arguments, key)
    return 1 if missing else 0


def _write(folder: Path, one: Round, state: Standing) -> None:
    found = one.found
    write_moderation_report(folder / "moderation.pdf", found, one.keys, one.proposed, one.effects, state)
    (folder / "markers").mkdir()
    names = file_names(list(found.key.markers))
    for marker in found.key.markers:
        write_marker_page(folder / "markers" / f"{names[marker]}.pdf", found, marker, one.proposed)
    _write_rows(folder / "compared.csv", _COMPARED, _compared_rows(found))
    totals = final_totals(found.key.cohort, state.adjustments)
    _write_rows(
        folder / "final-marks.csv",
        ("class", "student", "marker", "first_total", "moderated_total", "out_of"),
        [(p.class_name, p.student, p.marker, p.total, total, p.out_of) for p, total in totals],
    )
    _write_account(folder, one.keys, {"version": state.version, "is_locked": state.is_locked})


_COMPARED = (
    "stage",
    "class",
    "student",
    "first_marker",
    "second_marker",
    "criterion",
    "eye",
    "drawn",
    "first",
    "second",
)


def _compared_rows(found: Comparison) -> list[tuple[object, ...]]:
    return [
        (
            look.stage,
            look.line.class_name,
            look.line.student,
            look.line.first_marker,
            look.line.second_marker,
            code,
            int(code in look.line.eye),
            int(look.line.is_drawn),
            look.line.first[code],
            mark,
        )
        for look in found.looks
        for code, mark in look.second.items()
    ]


def _write_rows(path: Path, head: Sequence[str], rows: Sequence[Sequence[object]]) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(head)
        writer.writerows(rows)


def _write_account(folder: Path, keys: Sequence[Key], more: Mapping[str, object]) -> None:
    account = {
        "program": {"name": "writeups", "version": program_version()},
        "read": [{"name": name, "sha256": digest} for key in keys for name, digest in sorted(key.packs.items())],
        "rubrics": [{"id": keys[0].practical, "edition": keys[0].edition, "sha256": keys[0].rubric_sha256}],
        **more,
    }
    text = json.dumps(account, indent=2, ensure_ascii=False)
    (folder / OURS).write_text(text + "\n", encoding="utf-8", newline="\n")


def _tell(one: Round, state: Standing, arguments: argparse.Namespace) -> None:
    found = one.found
    if arguments.json:
        print(json.dumps(_as_data(one, state), ensure_ascii=False))
        return
    words = wording("moderation")["terminal"]
    print(fill([words["compared"]], {"count": str(len(found.looks))}))
    if found.outstanding:
        print(fill([words["outstanding"]], {"names": listed(list(found.outstanding), most=9)}))
    print(joint_sentence(found))
    for proposal in one.proposed:
        print(f"  {proposal_sentence(proposal)}")
        if proposal.adjustment is not None:
            for line in effect_sentences(one.effects[proposal.marker]):
                print(f"    {line}")
    if state.rulings or state.signatures:
        for line in (*ruling_sentences(state), *signature_sentences(state)):
            print(f"  {line}")
    if any(proposal.ruling is Ruling.MORE for proposal in one.proposed):
        slots = {"round": arguments.rounds[0], "department": "DEPARTMENT.csv", "seed": found.key.seed}
        print(fill([words["next_stage"]], slots))
    if arguments.out:
        print(fill([words["report"]], {"file": str(Path(arguments.out) / "moderation.pdf")}))


def _as_data(one: Round, state: Standing) -> dict[str, object]:
    return {
        "compared": len(one.found.looks),
        "outstanding": list(one.found.outstanding),
        "doubts": [each.marker for each in one.found.doubts],
        "named": [
            {"marker": each.marker, "shift": each.total.estimate, "chance": each.strongest.chance}
            for each in one.found.named
        ],
        "proposals": [
            {"ruling": each.ruling.value, "marker": each.marker, "criterion": each.criterion} for each in one.proposed
        ],
        "rulings": [
            {"number": each.number, "ruling": each.ruling, "marker": each.marker, "who": each.who, "why": each.why}
            for each in state.rulings
        ],
        "signatures": [{"role": each.role, "who": each.who, "when": each.when} for each in state.signatures],
        "version": state.version,
        "locked": state.is_locked,
    }
