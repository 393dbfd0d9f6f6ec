"""The command ``writeups``: one verb a module of ``marking/commands``, loaded only when it is used."""

from __future__ import annotations

# isort: off
import marking.early_stop  # noqa: F401 - first: what comes next takes its time to load

# isort: on
import argparse
import importlib
import sys
from collections.abc import Sequence

from marking.collector import collector_resting, leave_alone, one_command
from marking.terminal import (
    NOTHING_DONE,
    SHELLS,
    CommandLine,
    ShowVersion,
    add_appeal,
    add_moderate,
    add_sample,
    add_served,
    is_completing,
    offer_completion,
    practicals,
    told_in_a_line,
)

FIRST = """A class, step by step:
  writeups catalogue
      which practicals there are
  writeups prepare wire-resistance --roster roster.csv --out 10A.xlsx
      a workbook to fill in
  writeups mark 10A.xlsx --out results
      sheets for the students, marks for you
  writeups help mark
      all about one verb"""
"""What to do next, for whoever types the bare command."""

VERBS = {
    "help": "what can be done, or all about one verb",
    "catalogue": "the practicals known, or one in full",
    "prepare": "before the lesson: workbooks, results sheets, the technician's list, a new practical",
    "mark": "read, check, mark and report: the main job",
    "desk": "decide, mend, print and close in the browser; on this machine, or with sign-in for a department",
    "explain": "how one mark came about, on one page that a parent can follow",
    "record": "the record of decisions: is it whole? out and in as JSON lines; a student erased on request",
    "sample": "scripts for second marking: drawn by a stated rule and seed, packed blind",
    "moderate": "second marks beside first marks: agreement, decisions, signatures",
    "appeal": "a student's question about one mark, its answer by another teacher, the letter",
    "rubric-check": "is this rubric sound? every fault with its place; from TOML to a workbook and back",
    "completion": "lets the Tab key finish verbs, options and practicals in your shell",
}
EXAMPLES = {
    "help": "writeups help mark",
    "catalogue": "writeups catalogue specific-heat-block",
    "prepare": "writeups prepare wire-resistance --roster samples/wire-resistance/roster.csv --out 10A.xlsx",
    "mark": "writeups mark samples/specific-heat-block --out results",
    "desk": "writeups desk",
    "explain": "writeups explain samples/specific-heat-block A03 P1 --out mark.pdf",
    "record": "writeups record import samples/decisions.jsonl --record 10A.record",
    "sample": "writeups sample samples/department/department.csv --seed 7 --out round",
    "moderate": "writeups moderate samples/department/round --marked samples/department/returned --out moderation",
    "appeal": (
        "writeups appeal samples/department/department.csv P045 K2 --record department.record --by 'Mr Brandt' "
        "--reason 'I named the value' --released 2026-03-02 --window 100000"
    ),
    "rubric-check": "writeups rubric-check rubrics/catalogue/wire-resistance.toml",
    "completion": "writeups completion bash",
}
"""A worked example for the help of each verb; a test runs them."""
OF_A_DEPARTMENT = frozenset({"sample", "moderate", "appeal"})
"""Verbs that are about several teachers' classes."""
MORE = {
    "desk": ("writeups desk --add 'Dr Hale' --role head-of-department --phrase --record department.record",),
    "prepare": (
        "writeups prepare wire-resistance --print sheet.pdf",
        "writeups prepare wire-resistance --kit kit.pdf --trials trials.csv --benches 12",
        'writeups prepare --new "resistance of a thermistor in light" --out ldr.toml',
    ),
}
"""More of them; the same test runs these."""
_REPLACE = "write over files that are there already and may be filled in"


def build_parser(words: Sequence[str] | None = None) -> CommandLine:
    """Return the parser of the command line; where *words* are given, with the options of the verbs among them."""
    parser = CommandLine(
        prog="writeups", description="Checks write-ups of school practicals, each from its own readings.", epilog=FIRST
    )
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.add_argument("--version", action=ShowVersion, nargs=0, help="the version of the program")
    verbs = parser.add_subparsers(dest="verb", metavar="VERB")
    adding = {
        "help": _add_help,
        "catalogue": _add_catalogue,
        "prepare": _add_prepare,
        "mark": _add_mark,
        "desk": _add_desk,
        "explain": _add_explain,
        "record": _add_record,
        "sample": add_sample,
        "moderate": add_moderate,
        "appeal": add_appeal,
        "rubric-check": _add_rubric_check,
        "completion": _add_completion,
    }
    for verb, said in VERBS.items():
        made = verbs.add_parser(
            verb,
            help=said,
            description=said[0].upper() + said[1:] + ".",
            epilog="\n".join([f"example: {EXAMPLES[verb]}", *(f"         {more}" for more in MORE.get(verb, ()))]),
            # An example that is broken at a hyphen cannot be typed.
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )
        if words is None or verb in words:
            adding[verb](made)
    return parser


def _add_help(about: argparse.ArgumentParser) -> None:
    about.add_argument("about", nargs="?", metavar="VERB", help="a verb, for all about it")


def _add_catalogue(catalogue: argparse.ArgumentParser) -> None:
    practicals(catalogue.add_argument("practical", nargs="?", metavar="PRACTICAL", help="one, or a file, in full"))
    catalogue.add_argument("--json", action="store_true", help="for scripts")


def _add_rubric_check(check: argparse.ArgumentParser) -> None:
    check.add_argument("file", metavar="FILE", help="a rubric, in TOML or as a workbook")
    check.add_argument("--as-workbook", metavar="XLSX", help="write the same rubric as a workbook")
    check.add_argument("--as-toml", metavar="TOML", help="write the same rubric as TOML")
    check.add_argument("--replace", action="store_true", help=_REPLACE)
    check.add_argument("--json", action="store_true", help="for scripts")


def _add_completion(completion: argparse.ArgumentParser) -> None:
    completion.add_argument("shell", choices=SHELLS, help="the shell that you use")


def _add_prepare(prepare: argparse.ArgumentParser) -> None:
    said = "id from the catalogue, or a rubric file"
    practicals(prepare.add_argument("practical", nargs="?", metavar="PRACTICAL", help=said))
    prepare.add_argument("--roster", metavar="CSV", help="student, name, bench: one line a student")
    prepare.add_argument("--out", metavar="FILE", help="one workbook for the class; with --new, the rubric")
    prepare.add_argument("--each", metavar="DIR", help="one workbook for each student")
    prepare.add_argument(
        "--print", metavar="PDF", help="results sheet to write on by hand; one a student with --roster"
    )
    _add_sides(prepare)
    prepare.add_argument("--kit", metavar="PDF", help="the technician's list, with room for trial values")
    prepare.add_argument("--trials", metavar="CSV", help="a form for the trial values, for mark to read")
    benches = "how many, for --kit and --trials; adds a sheet Trial values to --out"
    prepare.add_argument("--benches", type=_whole, metavar="N", help=benches)
    said = "a record of decisions: what went wrong with this practical the last times, for you alone"
    prepare.add_argument("--record", metavar="FILE", help=said)
    prepare.add_argument("--new", metavar="WORDS", help="start a practical of your own: its name, or what it is about")
    prepare.add_argument("--replace", action="store_true", help=_REPLACE)
    like = "what --new starts from; else the nearest by its words"
    practicals(prepare.add_argument("--like", metavar="PRACTICAL", help=like))
    prepare.add_argument("--json", action="store_true", help="for scripts")


def _add_sides(verb: argparse.ArgumentParser) -> None:
    sides = "for --print: on both sides of a leaf (each student on a new one), or on one, without blank pages"
    verb.add_argument("--sides", choices=("two", "one"), default="two", help=sides)


def _add_mark(mark: argparse.ArgumentParser) -> None:
    mark.add_argument("inputs", nargs="*", metavar="INPUT", help="workbooks, folders of them, CSV files")
    listed = "a list of classes (marker,class,set): each is marked to a folder of its own, with a summary of all"
    mark.add_argument("--department", metavar="CSV", help=listed)
    again = "with --department: only this criterion, marked again for everybody beside what it came to before"
    mark.add_argument("--criterion", default="", metavar="CODE", help=again)
    mark.add_argument("--out", required=True, metavar="DIR", help="folder for the results; replaced as a whole")
    practicals(mark.add_argument("--practical", metavar="ID", help="where the file does not say it"))
    mark.add_argument("--columns", metavar="TOML", help="which heading of a form is which item")
    mark.add_argument("--roster", metavar="CSV", help="student, name, bench, paper; else roster.csv beside the input")
    mark.add_argument(
        "--again", action="append", default=[], metavar="INPUT", help="work handed in a second time; may repeat"
    )
    mark.add_argument(
        "--trials", metavar="FILE", help="the technician's trial values; else trials.csv beside the input"
    )
    mark.add_argument("--rubric", action="append", default=[], metavar="FILE", help="a rubric of your own; may repeat")
    mark.add_argument(
        "--graph", choices=("paper", "none"), default="paper",
        help="paper: you look at the graph; none: what only paper shows is not marked, and the total is less",
    )  # fmt: skip
    shown = "on the sheets: with a table on the back, one line only, or none until the student has replied"
    mark.add_argument("--marks", choices=("shown", "small", "hidden"), default="small", help=shown)
    mark.add_argument("--no-paper", action="store_true", help="marks and findings only; tidy CSV of any size")
    workers = "processes that share the work; else one for a class, more for a large set"
    mark.add_argument("--workers", type=_whole, metavar="N", help=workers)
    cluster = "address of a Dask scheduler that shares the work out, with --no-paper: tcp://host:8786"
    mark.add_argument("--cluster", default="", metavar="ADDRESS", help=cluster)
    parquet = "findings and marks as Parquet too, with --no-paper; a tidy table in a .parquet file is read as it is"
    mark.add_argument("--parquet", action="store_true", help=parquet)
    mark.add_argument("--print", action="store_true", help="also one file of all sheets, task answers, projector page")
    _add_sides(mark)
    mark.add_argument("--preview", type=_whole, metavar="N", help="only the first N sheets, to look at")
    compared = "a rubric of the same practical, to see what this edition changes, student by student"
    _add_keeping(mark)
    mark.add_argument("--compare", metavar="EDITION", help=compared)
    mark.add_argument("--replace", action="store_true", help="even where marks typed for other students would go")
    mark.add_argument("--json", action="store_true", help="print the account as JSON")


def _add_keeping(verb: argparse.ArgumentParser) -> None:
    record = "file (or postgresql://...) that keeps who decided what, and when; begun where there is none"
    verb.add_argument("--record", metavar="FILE", help=record)
    verb.add_argument("--class", dest="class_name", default="", metavar="NAME", help="name of the class in the record")
    verb.add_argument("--by", default="", metavar="NAME", help="name of the teacher whose ticks these are")


def _add_desk(desk: argparse.ArgumentParser) -> None:
    record = "file (or postgresql://...) that keeps what is decided; else desk.record in this folder"
    desk.add_argument("--record", metavar="FILE", default="desk.record", help=record)
    desk.add_argument(
        "--sets", metavar="DIR", help="where the files that are dropped in are kept; else beside the record"
    )
    desk.add_argument("--by", default="", metavar="NAME", help="name of the teacher; else the desk asks")
    desk.add_argument("--rubric", action="append", default=[], metavar="FILE", help="a rubric of your own; may repeat")
    desk.add_argument("--port", type=int, default=0, metavar="N", help="else any that is free")
    desk.add_argument("--no-browser", action="store_true", help="only print the address")
    add_served(desk)


def _add_record(record: argparse.ArgumentParser) -> None:
    deeds = record.add_subparsers(dest="deed", metavar="DEED", required=True)
    check = deeds.add_parser("check", help="is every line as it was written?")
    check.add_argument("--end", metavar="N:HASH", help="a line that was there, as an earlier check or run.json says")
    check.add_argument("--json", action="store_true", help="for scripts")
    export = deeds.add_parser("export", help="the whole record as JSON lines")
    export.add_argument("--out", metavar="FILE", help="where to; else to the terminal")
    deeds.add_parser("import", help="take an export in").add_argument("file", metavar="FILE", help="an export")
    erase = deeds.add_parser("erase", help="erase all that is personal about a student; a line that says so stays")
    erase.add_argument("student", metavar="STUDENT", help="code of the student")
    erase.add_argument("--class", dest="class_name", metavar="NAME", help="where the code stands in several classes")
    also = "folders of results and exports of this record: the student goes there too"
    erase.add_argument("--also", nargs="+", default=[], metavar="PATH", help=also)
    erase.add_argument("--by", required=True, metavar="NAME", help="who erases")
    erase.add_argument("--why", default="", metavar="WORDS", help="a reason that names nobody; it stays")
    for deed in deeds.choices.values():
        deed.add_argument("--record", required=True, metavar="FILE", help="the record: a file, or postgresql://...")


def _whole(said: str) -> int:
    if not said.strip().isdecimal() or int(said) < 1:
        raise argparse.ArgumentTypeError(f"{said!r} is no whole number from 1 up")
    return int(said)


def _add_explain(explain: argparse.ArgumentParser) -> None:
    explain.add_argument("set", metavar="SET", help="the input that was marked: a workbook, a folder, a CSV file")
    explain.add_argument("student", metavar="STUDENT", help="code of the student")
    explain.add_argument("criterion", metavar="CRITERION", help="code of the criterion, as on the sheet")
    explain.add_argument("--out", metavar="PDF", help="write the page here")
    results = "the folder of results: what was ticked in its marks.xlsx counts too"
    explain.add_argument("--results", metavar="DIR", help=results)
    explain.add_argument("--replace", action="store_true", help=_REPLACE)
    explain.add_argument("--json", action="store_true", help="for scripts")
    practicals(explain.add_argument("--practical", metavar="ID", help="where the file does not say it"))
    explain.add_argument("--columns", metavar="TOML", help="which heading of a form is which item")
    explain.add_argument("--roster", metavar="CSV", help="student, name, bench; else roster.csv beside the input")
    _add_keeping(explain)
    explain.add_argument("--rubric", action="append", default=[], metavar="FILE", help="a rubric of your own")


_WRITES = ("out", "each", "print", "kit", "as_workbook", "as_toml", "record")
"""Options that name a file or a folder to be written."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command line; return 0 done, 1 done but something needs attention, 2 nothing was done."""
    with told_in_a_line() as told:
        # Marks and names hold signs that an old terminal encoding cannot print.
        for stream in (sys.stdout, sys.stderr):
            if hasattr(stream, "reconfigure"):
                stream.reconfigure(errors="replace")
        words = sys.argv[1:] if arguments is None else arguments
        parser = build_parser(None if is_completing() else words)
        offer_completion(parser)
        chosen = parser.parse_args(words)
        if chosen.verb is None:
            print(f"usage: writeups VERB ...\n\n{FIRST}", file=sys.stderr)
            return NOTHING_DONE
        if chosen.verb == "help":
            return parser.show_help(chosen.about)
        named = (getattr(chosen, option, None) for option in _WRITES)
        told.where = next((place for place in named if isinstance(place, str) and place), "")
        with collector_resting():
            module = importlib.import_module(f"marking.commands.{_module(chosen)}")
            leave_alone()  # before the collector looks through what was loaded
        told.status = int(module.run(chosen))
    return told.status


def _module(chosen: argparse.Namespace) -> str:
    """Return the module below ``marking/commands`` that does what was chosen."""
    if chosen.verb == "mark" and chosen.department:
        return "department.whole_department"
    room = "department." if chosen.verb in OF_A_DEPARTMENT else ""
    return f"{room}{chosen.verb.replace('-', '_')}"


def command() -> int:
    """Run the command line of this process, which ends with it."""
    with one_command():
        return main()


if __name__ == "__main__":
    sys.exit(command())
