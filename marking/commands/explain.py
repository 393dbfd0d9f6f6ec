"""``writeups explain``: how one mark came about, on one page."""

from __future__ import annotations

import argparse
import json
from collections.abc import Sequence
from functools import partial
from pathlib import Path

from marking.commands.mark import known_rubrics
from marking.commands.record_use import keeping
from marking.findings import MarkedSet, Script
from marking.intake import read_all
from marking.outputs import Put, put_all
from reports.student import explanation_data, explanation_lines, write_explanation
from rubrics.faults import InputError, unknown_name
from rubrics.model import Rubric


def run(arguments: argparse.Namespace) -> int:
    """Explain one mark on the terminal, and on a page where one is asked for; return the exit status."""
    rubrics = known_rubrics(arguments.rubric)
    reading = read_all(
        [Path(arguments.set)],
        rubrics,
        practical=arguments.practical,
        columns=Path(arguments.columns) if arguments.columns else None,
        roster=Path(arguments.roster) if arguments.roster else None,
        results=Path(arguments.results) if arguments.results else None,
    )
    with keeping(arguments, [arguments.set]) as keeper:
        marked = keeper.marked(rubrics, reading.sets)
    script, rubric = _script(marked, Path(arguments.set).name, arguments.student, arguments.criterion)
    code = arguments.criterion
    if arguments.json:
        print(json.dumps(explanation_data(script, rubric, code), ensure_ascii=False, indent=2))
    else:
        print("\n".join(explanation_lines(script, rubric, code)))
    if arguments.out is not None:
        out = Path(arguments.out)
        write = partial(write_explanation, script=script, rubric=rubric, code=code)
        put_all([Put(path=out, write=write)], replace=arguments.replace)
        if not arguments.json:
            print(f"\n{out}: one page, to print.")
    return 0


def _script(marked: Sequence[MarkedSet], name: str, student: str, criterion: str) -> tuple[Script, Rubric]:
    """Return the script of *student* that holds *criterion*.

    Raises:
        InputError: No such student, nothing handed in, or no such criterion.
    """
    scripts = [
        (script, one.rubric) for one in marked for script in one.scripts if script.write_up.student.code == student
    ]
    if not scripts:
        known = (script.write_up.student.code for one in marked for script in one.scripts)
        raise unknown_name(name, f"there is no student {student}", student, known)
    for script, rubric in scripts:
        if any(mark.criterion.code == criterion for mark in script.criteria):
            return script, rubric
    codes = [mark.criterion.code for script, _ in scripts for mark in script.criteria]
    if not codes:
        raise InputError(name, f"{student} has handed nothing in, so there is no mark", "Choose another student")
    raise unknown_name(name, f"{student} has no criterion {criterion}", criterion, codes)
