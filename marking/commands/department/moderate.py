"""``writeups moderate``: compare second marks with first marks, decide, sign, report."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path

from marking.commands.department.department_use import department_classes
from marking.commands.department.moderation_deeds import change_record, decides, record_so_far, record_to_read
from marking.commands.department.settled_wording import settle
from marking.commands.mark import known_rubrics
from marking.commands.record_use import reading_record, writing_record
from marking.moderation.comparing import together
from marking.moderation.decisions import Ruling, Standing, department_decisions, standing
from marking.moderation.packs import Key, Returned, read_key, read_packs
from marking.moderation.sampling import Undecided
from marking.outputs import OURS, replaced_folder
from marking.record import Record
from marking.rounds import (
    KEY,
    PACKS,
    Figures,
    MarksNow,
    figures,
    fit_together,
    marks_now,
    returned_in,
    second_decisions,
    write_compared,
    write_final_marks,
    write_reports,
)
from marking.version import VERSION
from reports.moderation import (
    effect_sentences,
    joint_sentence,
    proposal_sentence,
    ruling_sentences,
    signature_sentences,
    write_together_page,
)
from reports.wording import fill, wording
from rubrics.faults import InputError
from rubrics.formulas import listed


def run(arguments: argparse.Namespace) -> int:
    """Compare, decide where asked, and report; return the exit status."""
    keys = tuple(sorted((read_key(Path(one) / KEY) for one in arguments.rounds), key=lambda key: key.stage))
    fit_together(keys, arguments.rounds)
    with reading_record(record_so_far(arguments)) as record:
        returned, as_files = _back(keys, arguments, record)
    if arguments.settle and keys[0].stage != 0:
        mend = "name the round of scripts that were marked together"
        raise InputError(arguments.settle, "wording is settled before bulk marking", mend)
    if keys[0].stage == 0:
        return _together(keys[0], returned, arguments)
    one = figures(keys, returned, _now(keys[0], arguments))
    change_record(arguments, one, as_files)
    with reading_record(record_to_read(arguments)) as record:
        state = standing(one.found, department_decisions(record, keys[0].practical))
    if arguments.out:
        with replaced_folder(Path(arguments.out)) as folder:
            _write(folder, one, state)
    _tell(one, state, arguments)
    return 1 if one.found.outstanding or one.found.doubts else 0


def _now(key: Key, arguments: argparse.Namespace) -> MarksNow | None:
    """Return everybody as the marks stand now; None where no list of the classes is given."""
    if arguments.department is None:
        return None
    arguments.practical = key.practical
    rubrics = known_rubrics(arguments.rubric)
    if decides(arguments):
        with writing_record(arguments.record) as record:
            return marks_now(key, department_classes(arguments, rubrics, record, takes_down=True), record)
    with reading_record(record_so_far(arguments)) as held:
        return marks_now(key, department_classes(arguments, rubrics, held), held)


def _back(
    keys: Sequence[Key], arguments: argparse.Namespace, record: Record | None
) -> tuple[tuple[Returned, ...], tuple[Returned, ...]]:
    """Return all packs that are back, and those of them that came as files.

    Raises:
        InputError: A file is not as it went out, or says something else than was handed in at the desk.
    """
    at_desk = returned_in(keys, second_decisions(record, keys[0].practical))
    usual = [] if at_desk else [Path(one) / PACKS for one in arguments.rounds]
    as_files = read_packs([Path(one) for one in arguments.marked] or usual, keys)
    known = {one.pack: one for one in at_desk}
    for one in as_files:
        if one.pack in known and _marks_of(one) != _marks_of(known[one.pack]):
            raise InputError(one.file, "this pack was handed in at the desk with other marks", "take the file away")
    return (*at_desk, *(one for one in as_files if one.pack not in known)), as_files


def _marks_of(one: Returned) -> dict[str, dict[str, int]]:
    return {script.code: dict(script.marks) for script in one.scripts}


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


def _write(folder: Path, one: Figures, state: Standing) -> None:
    write_reports(folder, one, state)
    write_compared(folder / "compared.csv", one.found)
    write_final_marks(folder / "final-marks.csv", one, state)
    _write_account(folder, one.keys, {"version": state.version, "is_locked": state.is_locked})


def _write_account(folder: Path, keys: Sequence[Key], more: Mapping[str, object]) -> None:
    account = {
        "program": {"name": "writeups", "version": VERSION},
        "read": [{"name": name, "sha256": digest} for key in keys for name, digest in sorted(key.packs.items())],
        "schemes": [{"id": keys[0].practical, "edition": keys[0].edition, "sha256": keys[0].scheme_sha256}],
        **more,
    }
    text = json.dumps(account, indent=2, ensure_ascii=False)
    (folder / OURS).write_text(text + "\n", encoding="utf-8", newline="\n")


def _tell(one: Figures, state: Standing, arguments: argparse.Namespace) -> None:
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
    _tell_waiting(one.waiting)
    if state.rulings or state.signatures or state.outdated:
        for line in (*ruling_sentences(state), *signature_sentences(state)):
            print(f"  {line}")
    if any(proposal.ruling is Ruling.MORE for proposal in one.proposed):
        slots = {"round": arguments.rounds[0], "department": "DEPARTMENT.csv", "seed": found.key.seed}
        print(fill([words["next_stage"]], slots))
    if arguments.out:
        print(fill([words["report"]], {"file": str(Path(arguments.out) / "moderation.pdf")}))


def _tell_waiting(waiting: Sequence[Undecided]) -> None:
    words = wording("moderation")["terminal"]
    for class_name in dict.fromkeys(one.class_name for one in waiting):
        students = [one.student for one in waiting if one.class_name == class_name]
        slots = {"class_name": class_name, "students": listed(students, most=6)}
        print(fill([words["no_total"]], slots), file=sys.stderr)


def _as_data(one: Figures, state: Standing) -> dict[str, object]:
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
