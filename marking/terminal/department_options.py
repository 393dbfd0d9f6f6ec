"""What can be said after the verbs of a department: sample, moderate, appeal."""

from __future__ import annotations

import argparse
import datetime

ROLES = ("teacher", "second-marker", "head-of-department", "technician")
"""Of people at a shared desk, as ``marking.accounts.Role`` has them; not loaded for a command line alone."""


def add_sample(sample: argparse.ArgumentParser) -> None:
    """Add the options of ``writeups sample``."""
    sample.add_argument("department", metavar="DEPARTMENT.csv", help="marker, class, set, results: one line a class")
    sample.add_argument("--out", required=True, metavar="DIR", help="folder for the packs and their key")
    sample.add_argument("--seed", required=True, metavar="WORDS", help="the draw depends on it alone; it is reported")
    sample.add_argument("--practical", metavar="ID", help="where the classes did several")
    sample.add_argument("--each", type=_whole, metavar="N", help="fewest scripts drawn of each marker")
    sample.add_argument(
        "--boundaries", type=_wholes, metavar="N,N", help="totals from which a higher grade starts, such as 6,9,12"
    )
    sample.add_argument("--together", type=_whole, metavar="N", help="3 to 5 scripts that all mark beforehand instead")
    sample.add_argument("--more", metavar="DIR", help="second stage: the round in which markers came into doubt")
    sample.add_argument(
        "--marked", action="append", default=[], metavar="PATH", help="with --more: its packs as returned"
    )
    sample.add_argument("--markers", type=_names, metavar="NAME,NAME", help="with --more: look closer at these instead")
    sample.add_argument(
        "--record", metavar="FILE", help="record of decisions on the classes; a file or postgresql://..."
    )
    sample.add_argument(
        "--rubric", action="append", default=[], metavar="FILE", help="a rubric of your own; may repeat"
    )
    sample.add_argument("--replace", action="store_true", help="write over a round that is there")
    sample.add_argument("--json", action="store_true", help="print the account as JSON")


def add_moderate(moderate: argparse.ArgumentParser) -> None:
    """Add the options of ``writeups moderate``."""
    moderate.add_argument(
        "rounds", nargs="+", metavar="ROUND", help="what sample made; both stages where there are two"
    )
    moderate.add_argument(
        "--marked", action="append", default=[], metavar="PATH", help="packs that came back; may repeat"
    )
    moderate.add_argument("--out", metavar="DIR", help="folder for the report and each marker's page")
    moderate.add_argument("--record", metavar="FILE", help="where decisions are kept; a file or postgresql://...")
    moderate.add_argument(
        "--department",
        metavar="DEPARTMENT.csv",
        help="the classes: totals are as they stand now, and not as they stood when the scripts were drawn",
    )
    moderate.add_argument("--rubric", action="append", default=[], metavar="FILE", help="with --department: a rubric")
    moderate.add_argument("--by", default="", metavar="NAME", help="who decides or signs")
    moderate.add_argument(
        "--rule", metavar="RULING", help="accept, adjust, re-mark-criterion ...: shown first, see --confirm"
    )
    moderate.add_argument("--marker", default="", metavar="NAME", help="whose marks the ruling is about")
    moderate.add_argument("--criterion", default="", metavar="CODE", help="which criterion it is about")
    moderate.add_argument("--constant", type=float, metavar="MARKS", help="adjust by this instead of what is proposed")
    moderate.add_argument("--reason", default="", metavar="TEXT", help="why; a decision has one")
    moderate.add_argument("--confirm", action="store_true", help="take the ruling down")
    moderate.add_argument("--undo", type=_whole, metavar="N", help="the ruling of this number does not stand any more")
    moderate.add_argument(
        "--sign", metavar="ROLE", help="first-marker (each of them), second-marker, head-of-department: in this order"
    )
    moderate.add_argument(
        "--settle", metavar="CODE", help="after marking together: the criterion whose wording is settled"
    )
    moderate.add_argument("--wording", metavar="TEXT", help="with --settle: what earns the mark from now on")
    moderate.add_argument("--next", metavar="TOML", help="with --settle: where the scheme's next edition goes")
    moderate.add_argument("--scheme", metavar="TOML", help="with --settle: the scheme, where it is not the catalogue's")
    moderate.add_argument("--reopen", action="store_true", help="open signed marks again, with a reason")
    moderate.add_argument("--json", action="store_true", help="print what was found as JSON")


def add_appeal(appeal: argparse.ArgumentParser) -> None:
    """Add the options of ``writeups appeal``."""
    appeal.add_argument("department", metavar="DEPARTMENT.csv", help="marker, class, set, results: one line a class")
    appeal.add_argument("student", metavar="STUDENT", help="code of the student")
    appeal.add_argument("criterion", metavar="CRITERION", help="code of the mark in question")
    appeal.add_argument("--record", required=True, metavar="FILE", help="where it is kept; a file or postgresql://...")
    appeal.add_argument("--by", required=True, metavar="NAME", help="who takes it down, or who has looked")
    appeal.add_argument("--reason", default="", metavar="TEXT", help="what the student says, or why the answer is so")
    appeal.add_argument("--released", type=_day, metavar="DATE", help="when marks were given back, YYYY-MM-DD")
    appeal.add_argument("--window", type=_whole, default=10, metavar="N", help="school days for questions; 10")
    appeal.add_argument("--reviewer", metavar="NAME", help="who is to look: a teacher who did not mark it first")
    appeal.add_argument("--outcome", metavar="WORD", help="upheld, raised, lowered or scheme-unclear: the answer")
    appeal.add_argument("--marks", type=int, metavar="N", help="what counts from now on")
    appeal.add_argument("--letter", metavar="PDF", help="write the answer as a page")
    appeal.add_argument("--practical", metavar="ID", help="where the classes did several")
    appeal.add_argument(
        "--rubric", action="append", default=[], metavar="FILE", help="a rubric of your own; may repeat"
    )


def add_served(desk: argparse.ArgumentParser) -> None:
    """Add the options of ``writeups desk`` for a department that shares a record."""
    desk.add_argument(
        "--serve", metavar="ADDRESS[:PORT]", help="for a department: with sign-in; beyond this machine by TLS alone"
    )
    desk.add_argument("--certificate", metavar="FILE", help="with --serve: the certificate, PEM")
    desk.add_argument("--key", metavar="FILE", help="with --serve: its key, PEM")
    desk.add_argument(
        "--name", action="append", default=[], metavar="HOST", help="with --serve: as browsers ask for it; may repeat"
    )
    desk.add_argument(
        "--department", metavar="DEPARTMENT.csv", help="with --serve: marker, class, set: one line a class"
    )
    desk.add_argument("--add", metavar="NAME", help="let a person sign in; asks for a password")
    desk.add_argument("--role", choices=ROLES, help="with --add: what the person is")
    desk.add_argument("--phrase", action="store_true", help="no password now, but a phrase that lets in once")
    desk.add_argument("--new-password", metavar="NAME", help="set another password for a person")
    desk.add_argument("--shut-out", metavar="NAME", help="let a person sign in no more")
    desk.add_argument("--people", action="store_true", help="who may sign in")


def _day(said: str) -> datetime.date:
    return datetime.date.fromisoformat(said)


def _wholes(said: str) -> list[int]:
    return [_whole(one) for one in said.split(",")]


def _names(said: str) -> list[str]:
    return [one.strip() for one in said.split(",") if one.strip()]


def _whole(said: str) -> int:
    number = int(said)
    if number < 1:
        raise argparse.ArgumentTypeError("at least 1")
    return number
