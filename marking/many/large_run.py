"""A large set from its files to a folder of results, all or nothing, with the account of the run and what is told."""

from __future__ import annotations

import json
import os
import sys
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager
from pathlib import Path

from msgspec import Struct, structs

from marking.checking import learned_shares
from marking.collector import search_seldom
from marking.hands import Hands, Shared, cluster, hands
from marking.intake.parts import Asked, LargeSet, large_set
from marking.many.marked_part import PART, Work
from marking.many.marked_whole import Account, SettledWhole, rows_left_out, settled_over, write_whole
from marking.many.parquet import parquet_from_csv
from marking.outputs import OURS, replaced_folder, written_files
from reports.tables import codes_of
from rubrics.faults import InputError
from rubrics.model import Rubric

NOT_LOOKED_AT = (
    "what only a class shows: benches that read off, work that is alike, a class that is off one way, groups to teach",
    "results sheets, class summary, statistics of the criteria",
)
"""What is made of a class and not of a set that is marked part by part."""
LARGE_FROM = 500
"""Students from which a set is marked part by part: more than any class or year of a school."""
PAYS_FROM = 4_000
"""Students from which several processes pay where nobody says how many."""
MOST_UNASKED = 4
EARLY_FROM = 2_000_000
"""Bytes of tables from which processes that were asked for start before it is known how many students there are."""


class Call(Struct, frozen=True, kw_only=True):
    """What a run was asked to do."""

    asked: Asked
    options: Mapping[str, object]
    """As run.json tells them."""
    program: str
    """Its version."""
    workers: int | None
    """None where nobody says."""
    cluster: str = ""
    """Address of a scheduler."""
    parquet: bool = False
    """Whether findings and marks are wanted as Parquet too."""
    may_lose_ticks: bool = False
    as_json: bool = False


def mark_large(out: Path, rubrics: Mapping[str, Rubric], call: Call) -> int | None:
    """Mark a large set into the folder *out*; return the exit status, None where the set has to be held as a whole.

    Raises:
        InputError: Nothing was done, and why.
    """
    search_seldom()
    with tempfile.TemporaryDirectory(prefix="writeups-") as aside, ExitStack() as until:
        early = _early(call, until)
        least = 1 if call.cluster or call.parquet else LARGE_FROM
        large = large_set(call.asked, rubrics, PART, Path(aside), least=least)
        if large is None:
            if call.cluster or call.parquet:
                option = "--cluster" if call.cluster else "--parquet"
                mend = f"give tidy CSV or Parquet, or leave {option} out"
                raise InputError(option, "works on tidy files alone, for they can be cut into parts", mend)
            return None
        work = Work(reader=large.reader, codes=codes_of(large.reader.rubrics.values()))
        with replaced_folder(out) as folder, _hands(work, large, call, early) as those:
            settled = settled_over(large, those)
            account = write_whole(large, work, settled, those, folder)
            for name in ("findings.csv", "marks.csv") if call.parquet else ():
                parquet_from_csv(folder / name)
            _refuse_strangers(out, large, account, call)
            _write_account(folder, large, settled, account, call)
            counts = _counts(large, settled, account)
    return _tell(out, large, account, counts, call)


@contextmanager
def _hands(work: Work, large: LargeSet, call: Call, early: Shared | None) -> Iterator[Hands]:
    if early is not None:
        early.know(work)
        yield early
        return
    if call.cluster:
        with cluster(work, call.cluster, call.program) as machines:
            yield machines
        return
    workers = call.workers
    if workers is None:
        workers = min(os.cpu_count() or 1, MOST_UNASKED) if large.students >= PAYS_FROM else 1
    with hands(work, workers) as those:
        yield those


def _early(call: Call, until: ExitStack) -> Shared | None:
    """Start the processes that were asked for, which load while the files are gone through; None where none are.

    They end with *until*.
    """
    files = (path for path in call.asked.paths if path.suffix.lower() == ".csv" and path.is_file())
    if call.cluster or (call.workers or 1) == 1 or sum(path.stat().st_size for path in files) < EARLY_FROM:
        return None
    return until.enter_context(hands(None, call.workers or 1, _load))


def _load(_: object, number: int) -> int:
    """Load what marking takes, by being found here."""
    return number


def _refuse_strangers(out: Path, large: LargeSet, account: Account, call: Call) -> None:
    typed = {key[0] for one in large.reader.typed for key in one.ticks}
    lost = sorted(typed - account.seen)
    if lost and not call.may_lose_ticks:
        said = f"marks.xlsx there holds what a teacher typed about {', '.join(lost)}, who are not in this set"
        raise InputError(out.name, said, "name another folder after --out, or add --replace where they may go")


def _counts(large: LargeSet, settled: SettledWhole, account: Account) -> list[dict[str, object]]:
    return [
        {
            "practical": name,
            **structs.asdict(account.tallies[name]),
            "learned": [
                {"kind": share.kind, "cause": share.cause, "before": share.before, "after": round(share.after, 3)}
                for share in learned_shares(settled.by_practical[name])
            ],
        }
        for name in large.reader.rubrics
        if name in account.tallies
    ]


def _account(large: LargeSet, counts: Sequence[object], account: Account, call: Call) -> dict[str, object]:
    rubrics = large.reader.rubrics.values()
    return {
        "program": {"name": "writeups", "version": call.program},
        "read": [{"name": one.name, "sha256": one.sha256} for one in large.reader.sources],
        "rubrics": [{"id": one.id, "edition": one.edition, "sha256": one.sha256} for one in rubrics],
        "options": call.options,
        "counts": counts,
        "settled_from": {"students": account.looked_at, "of": large.students},
        "not_looked_at": list(NOT_LOOKED_AT),
    }


def _write_account(folder: Path, large: LargeSet, settled: SettledWhole, account: Account, call: Call) -> None:
    told = _account(large, _counts(large, settled, account), account, call)
    told |= {"ticks_kept": len(account.ticks), "wrote": written_files(folder)}
    text = json.dumps(told, indent=2, ensure_ascii=False)
    (folder / OURS).write_text(text + "\n", encoding="utf-8", newline="\n")


def _tell(out: Path, large: LargeSet, account: Account, counts: Sequence[Mapping[str, object]], call: Call) -> int:
    status = 1 if account.attention else 0
    if call.as_json:
        found = {"roster": large.roster, "trials": "", "kept": []}
        told = _account(large, counts, account, call) | {"options": None}
        print(json.dumps({"out": str(out), "attention": account.told, **found, **told}))
        return status
    if large.roster:
        print(f"Roster: {large.roster}.")
    for one in counts:
        rubric = large.reader.rubrics[str(one["practical"])]
        print(f"{rubric.title}: {one['handed_in']:,} write-ups marked.")
    if large.is_gathered:
        print("Lines of one student stood in several places; they were gathered by student and read together.")
    if account.attention:
        print(f"\nNeeds attention ({account.attention:,}):", file=sys.stderr)
        for message in account.told:
            print(f"  {message}", file=sys.stderr)
        if account.attention > len(account.told):
            print(f"  ... and {account.attention - len(account.told):,} more, in remarks.csv", file=sys.stderr)
    _tell_where(out, account)
    return status


def _tell_where(out: Path, account: Account) -> None:
    print(f"Marks: {out / 'marks.csv'}. Findings: {out / 'findings.csv'}. Remarks on the input: {out / 'remarks.csv'}.")
    if rows_left_out(account):
        print(f"marks.xlsx holds the first write-ups; {rows_left_out(account):,} more stand in marks.csv alone.")
    print(
        f"{LARGE_FROM} students or more, so not looked at: {'; '.join(NOT_LOOKED_AT)}. Mark a class by itself for that."
    )
    waiting = sum(tally.marks_pending for tally in account.tallies.values())
    if waiting:
        where = out / "marks.xlsx"
        print(f"{waiting:,} marks wait for you: type them on the sheet Marks of {where}, and run this again.")
