"""What a person does to a round from the command line: rule, undo, sign, open again. Shown first, then taken down."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path

from marking.commands.record_use import maker_of, now, writing_record
from marking.commands.serving import prove_account
from marking.moderation.decisions import Ledger, effect_of
from marking.moderation.packs import Returned
from marking.rounds import Figures, asked_adjustment, asked_role, asked_ruling, take_down
from reports.moderation import effect_sentences, ruling_words
from reports.wording import fill, wording


def change_record(arguments: argparse.Namespace, one: Figures, as_files: Sequence[Returned]) -> None:
    """Do to the record what *arguments* ask for; nothing where they ask for nothing.

    What is decided rests on second marks, so packs that came back as files are taken down first.

    Raises:
        InputError: No record, no name, no reason, an unknown ruling or role, or not this person's turn.
    """
    if _is_shown_only(arguments):
        _show(arguments, one)
        print(wording("moderation")["terminal"]["shown"])
        return
    if not decides(arguments):
        return
    with writing_record(arguments.record) as record:
        account = prove_account(record, arguments.by, now) if arguments.sign else ""
        for pack in as_files:
            key = next(key for key in one.keys if pack.pack in key.packs.values())
            take_down(record, key, pack, maker_of(pack.second_marker))
        ledger = Ledger(record, one.found, maker_of(arguments.by), account=account, closes=one.sets)
        print(_deed(arguments, ledger, one))


def decides(arguments: argparse.Namespace) -> bool:
    """Tell whether anything is taken down: a ruling that is only shown is not."""
    asks = arguments.rule or arguments.undo or arguments.sign or arguments.reopen
    return bool(asks) and not _is_shown_only(arguments)


def record_to_read(arguments: argparse.Namespace) -> str | None:
    """Return which record *arguments* have read; none where a first ruling is shown and no record is begun yet."""
    where: str | None = arguments.record
    if where is not None and _is_shown_only(arguments) and "://" not in where and not Path(where).exists():
        return None
    return where


def record_so_far(arguments: argparse.Namespace) -> str | None:
    """Return which record may hold packs already; none where it is a file that this run begins."""
    where: str | None = arguments.record
    return where if where is not None and ("://" in where or Path(where).exists()) else None


def _is_shown_only(arguments: argparse.Namespace) -> bool:
    return bool(arguments.rule) and not arguments.confirm


def _deed(arguments: argparse.Namespace, ledger: Ledger, one: Figures) -> str:
    words = wording("moderation")["terminal"]
    if arguments.reopen:
        ledger.reopen(why=arguments.reason)
        return str(words["reopened"])
    if arguments.undo:
        ledger.undo(arguments.undo, why=arguments.reason)
        return fill([words["undone"]], {"number": str(arguments.undo)})
    if arguments.sign:
        signed = ledger.sign(asked_role(arguments.sign))
        return fill([words["signed"]], {"role": signed.role, "version": signed.version[:16]})
    ruling = asked_ruling(arguments.rule, arguments.marker, arguments.criterion, one.found)
    made = ledger.rule(
        ruling,
        marker=arguments.marker,
        point=arguments.criterion,
        adjustment=asked_adjustment(ruling, arguments.marker, arguments.constant, one.found, one.proposed),
        why=arguments.reason,
    )
    return fill([words["ruled"]], {"number": str(made.number), "what": ruling_words(made)})


def _show(arguments: argparse.Namespace, one: Figures) -> None:
    """Print what a ruling would change, before anybody takes it."""
    ruling = asked_ruling(arguments.rule, arguments.marker, arguments.criterion, one.found)
    adjustment = asked_adjustment(ruling, arguments.marker, arguments.constant, one.found, one.proposed)
    if adjustment is not None:
        key = one.found.key
        for line in effect_sentences(effect_of(adjustment, key.cohort, key.rule.boundaries)):
            print(line)
