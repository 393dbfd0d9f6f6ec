"""The command ``writeups``: one verb a module of ``marking/commands``, loaded only when it is used."""

from __future__ import annotations

import argparse
import importlib
import os
import sys
import traceback
from collections.abc import Sequence

DONE, NOTHING_DONE = 0, 2

VERBS = {
    "catalogue": "the practicals known, or one in full",
    "prepare": "blank workbooks, ready to fill in",
    "mark": "read, check, mark and report: the main job",
    "rubric-check": "is this rubric sound? every fault with its line",
}
EXAMPLES = {
    "catalogue": "writeups catalogue specific-heat-block",
    "prepare": "writeups prepare wire-resistance --roster samples/wire-resistance/roster.csv --out 10A.xlsx",
    "mark": "writeups mark samples/specific-heat-block --out results",
    "rubric-check": "writeups rubric-check rubrics/catalogue/wire-resistance.toml",
}
"""A worked example for the help of each verb; a test runs them."""


def build_parser() -> argparse.ArgumentParser:
    """Return the parser of the command line."""
    parser = argparse.ArgumentParser(
        prog="writeups", description="Checks write-ups of school practicals, each from its own readings."
    )
    verbs = parser.add_subparsers(dest="verb", metavar="VERB", required=True)
    made = {
        verb: verbs.add_parser(
            verb,
            help=words,
            description=words[0].upper() + words[1:] + ".",
            epilog=f"example: {EXAMPLES[verb]}",
            # An example that is broken at a hyphen cannot be typed.
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )
        for verb, words in VERBS.items()
    }
    catalogue = made["catalogue"]
    catalogue.add_argument("practical", nargs="?", metavar="PRACTICAL", help="show this one in full")
    catalogue.add_argument("--json", action="store_true", help="for scripts")
    prepare = made["prepare"]
    prepare.add_argument("practical", metavar="PRACTICAL", help="id from the catalogue, or a rubric file")
    prepare.add_argument("--roster", required=True, metavar="CSV", help="student, name, bench: one line a student")
    prepare.add_argument("--out", metavar="XLSX", help="one workbook for the class")
    prepare.add_argument("--each", metavar="DIR", help="one workbook for each student")
    _add_mark(made["mark"])
    made["rubric-check"].add_argument("file", metavar="FILE", help="a rubric in TOML")
    return parser


def _add_mark(mark: argparse.ArgumentParser) -> None:
    mark.add_argument("inputs", nargs="+", metavar="INPUT", help="workbooks, folders of them, CSV files")
    mark.add_argument("--out", required=True, metavar="DIR", help="folder for the results; replaced as a whole")
    mark.add_argument("--practical", metavar="ID", help="where the file does not say it")
    mark.add_argument("--columns", metavar="TOML", help="which heading of a form is which item")
    mark.add_argument("--roster", metavar="CSV", help="student, name, bench; else roster.csv beside the input")
    mark.add_argument("--rubric", action="append", default=[], metavar="TOML", help="a rubric of your own; may repeat")
    mark.add_argument("--json", action="store_true", help="print the account as JSON")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command line; return 0 done, 1 done but something needs attention, 2 nothing was done."""
    # Marks and names hold signs that an old terminal encoding cannot print.
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    chosen = build_parser().parse_args(arguments)
    from rubrics.errors import WriteupsError

    module = importlib.import_module(f"marking.commands.{chosen.verb.replace('-', '_')}")
    try:
        return int(module.run(chosen))
    except WriteupsError as error:
        print(error, file=sys.stderr)
    except BrokenPipeError:
        # Whoever read the output has gone; without this the interpreter complains once more at the end.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    except OSError as error:
        print(f"{error.filename or 'The output'}: {error.strerror}. Nothing was changed.", file=sys.stderr)
    except Exception:
        # Python's own exit status for this is 1, which here means that the work was done.
        traceback.print_exc()
        print("This is a fault of the program. Nothing was changed.", file=sys.stderr)
    return NOTHING_DONE


if __name__ == "__main__":
    sys.exit(main())
