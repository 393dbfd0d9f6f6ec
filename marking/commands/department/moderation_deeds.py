"""What a person does to a round from the command line: rule, undo, sign, open again. Shown first, then taken down."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path

from marking.commands.record_use import maker_of
from marking.moderation.comparing import Comparison
from marking.moderation.decisions import Ledger, Proposal, Ruling, SigningRole, effect_of
from marking.moderation.joint import FEWEST_PAIRS, Adjustment
from marking.record import open_record
from reports.moderation import effect_sentences, ruling_words
from reports.wording import fill, wording
from rubrics.faults import InputError


def change_record(arguments: argparse.Namespace, found: Comparison, proposed: Sequence[Proposal]) -> None:
    """Do to the record what *arguments* ask for; nothing where they ask for nothing.

    Raises:
        InputError: No record, no name, no reason, an unknown ruling or role, or not this person's turn.
    """
    if not (arguments.rule or arguments.undo or arguments.sign or arguments.reopen):
        return
    words = wording("moderation")["terminal"]
    if _is_shown_only(arguments):
        _show(arguments, found, proposed)
        print(words["shown"])
        return
    if arguments.record is None:
        raise InputError("moderate", "decisions are kept in a record, and none is named", "name one after --record")
    record = open_record(arguments.record, may_begin=True)
    try:
        ledger = Ledger(record, found, maker_of(arguments.by))
        print(_deed(arguments, ledger, found, proposed))
    finally:
        record.close()


def record_to_read(arguments: argparse.Namespace) -> str | None:
    """Return which record *arguments* have read; none where a first ruling is shown and no record is begun yet."""
    where: str | None = arguments.record
    if where is not None and _is_shown_only(arguments) and not Path(where).exists():
        return None
    return where


def _is_shown_only(arguments: argparse.Namespace) -> bool:
    return bool(arguments.rule) and not arguments.confirm


def _deed(arguments: argparse.Namespace, ledger: Ledger, found: Comparison, proposed: Sequence[Proposal]) -> str:
    words = wording("moderation")["terminal"]
    if arguments.reopen:
        ledger.reopen(why=arguments.reason)
        return str(words["reopened"])
    if arguments.undo:
        ledger.undo(arguments.undo, why=arguments.reason)
        return fill([words["undone"]], {"number": str(arguments.undo)})
    if arguments.sign:
        signed = ledger.sign(_role(arguments.sign))
        return fill([words["signed"]], {"role": signed.role, "version": signed.version[:16]})
    ruling = _ruling(arguments, found)
    made = ledger.rule(
        ruling,
        marker=arguments.marker,
        point=arguments.criterion,
        adjustment=_adjustment(arguments, ruling, found, proposed),
        why=arguments.reason,
    )
    return fill([words["ruled"]], {"number": str(made.number), "what": ruling_words(made)})


def _show(arguments: argparse.Namespace, found: Comparison, proposed: Sequence[Proposal]) -> None:
    """Print what a ruling would change, before anybody takes it."""
    adjustment = _adjustment(arguments, _ruling(arguments, found), found, proposed)
    if adjustment is not None:
        for line in effect_sentences(effect_of(adjustment, found.key.cohort, found.key.rule.boundaries)):
            print(line)


def _ruling(arguments: argparse.Namespace, found: Comparison) -> Ruling:
    known = {one.value: one for one in Ruling}
    if arguments.rule not in known:
        raise InputError(arguments.rule, "this is no ruling", f"use one of {', '.join(known)}")
    ruling = known[arguments.rule]
    if arguments.marker and arguments.marker not in found.key.markers:
        raise InputError(arguments.marker, "nobody of this name marked", f"use one of {', '.join(found.key.markers)}")
    if ruling in (Ruling.ADJUST, Ruling.REMARK_CLASS, Ruling.ACCEPT, Ruling.CORRECT) and not arguments.marker:
        raise InputError(ruling.value, "this is about one marker's marks", "say whose after --marker")
    codes = [line.code for line in found.key.scheme]
    if ruling in (Ruling.REMARK_CRITERION, Ruling.CLARIFY) and arguments.criterion not in codes:
        raise InputError(
            ruling.value, "this is about one criterion", f"use one of {', '.join(codes)} after --criterion"
        )
    return ruling


def _adjustment(
    arguments: argparse.Namespace, ruling: Ruling, found: Comparison, proposed: Sequence[Proposal]
) -> Adjustment | None:
    """Return the adjustment asked for: by a constant of one's own, else as proposed.

    Raises:
        InputError: None is proposed, or fewer pairs than adjusting takes.
    """
    if ruling is not Ruling.ADJUST:
        return None
    own = next((one.adjustment for one in proposed if one.marker == arguments.marker and one.adjustment), None)
    if arguments.constant is None:
        if own is None:
            raise InputError(arguments.marker, "no adjustment is proposed", "say by how much after --constant")
        return own
    pairs = found.table.scripts_of(arguments.marker)
    if pairs < FEWEST_PAIRS:
        problem = f"only {pairs} scripts were drawn and second-marked, and adjusting takes {FEWEST_PAIRS}"
        raise InputError(arguments.marker, problem, "sample more of this marker first")
    out_of = sum(found.table.out_of)
    return Adjustment(marker=arguments.marker, slope=1.0, constant=arguments.constant, out_of=out_of, pairs=pairs)


def _role(said: str) -> SigningRole:
    known = {one.value: one for one in SigningRole}
    if said not in known:
        raise InputError(said, "nobody signs as this", f"sign as {', '.join(known)}, in this order")
    return known[said]
