"""``writeups rubric-check``: is this rubric sound? And the same rubric in its other form, workbook or TOML."""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator
from pathlib import Path

from marking.outputs import put_file
from rubrics.documents import Source, read_source
from rubrics.faults import InputError, RubricError
from rubrics.model import Rubric
from rubrics.understanding import understood


def run(arguments: argparse.Namespace) -> int:
    """Read the rubric; a faulty one is told by the error that the reader raises."""
    path = Path(arguments.file)
    if not path.is_file():
        raise InputError(path.name, "there is no such file", "check the name")
    source = read_source(path.name, path.read_bytes())
    rubric = understood(source)
    _run_worked(source, rubric)
    theirs = sum(one.marks for one in rubric.criteria if one.check.waits)
    if arguments.json:
        found = {"id": rubric.id, "edition": rubric.edition, "title": rubric.title, "items": len(rubric.items)}
        counts = {"criteria": len(rubric.criteria), "marks": rubric.total, "marks_for_teacher": theirs}
        print(json.dumps({**found, **counts, "worked_examples": len(rubric.worked)}, ensure_ascii=False))
    else:
        print(f"{path.name}: sound. {rubric.title}: {len(rubric.items)} items, {rubric.total} marks.")
        print(f"Criteria: {len(rubric.criteria)}; marks that a teacher decides: {theirs}.")
        print(f"Worked examples: {len(rubric.worked)}{', all of them stand' if rubric.worked else ''}.")
        for line in _short_wordings(rubric):
            print(line)
    if arguments.as_workbook is not None:
        from rubrics.documents import workbook_bytes

        _write(path, Path(arguments.as_workbook), workbook_bytes(source.document), source, arguments)
    if arguments.as_toml is not None:
        from rubrics.documents import toml_text

        _write(path, Path(arguments.as_toml), toml_text(source.document).encode(), source, arguments)
    return 0


def _short_wordings(rubric: Rubric) -> Iterator[str]:
    """Yield a line for each wording of several words that is read as one: the small ones are passed over."""
    questions = {name: item.question for name, item in rubric.items.items() if item.question is not None}
    if not questions:
        return
    from marking.checking.short_answers import read_as_one_word  # loads a stemmer

    for name, asked in questions.items():
        ideas = [(one.id, one.wordings) for one in (*asked.ideas, *asked.wrong)]
        for idea, wordings in [*ideas, *((one.id, one.wordings) for one in asked.sources)]:
            for wording in wordings:
                word = read_as_one_word(wording)
                if word is not None:
                    read = f"'{wording}' is read as '{word}' alone, since small words are passed over"
                    yield f"Note: questions.{name}, {idea}: {read}."


def _write(path: Path, out: Path, data: bytes, source: Source, arguments: argparse.Namespace) -> None:
    ending = ".xlsx" if data.startswith(b"PK") else ".toml"
    if out.suffix.lower() != ending:
        raise InputError(out.name, f"does not end with {ending}", f"give it the ending {ending}")
    if out.exists() and out.samefile(path):
        raise InputError(out.name, "the rubric itself would be overwritten", "name another file")
    if read_source(out.name, data).document != source.document:
        # A text longer than a cell holds, say: better no file than one that has lost something.
        raise InputError(out.name, "cannot hold this rubric without loss", "shorten its longest texts")
    put_file(out, data, replace=arguments.replace)
    if not arguments.json:
        print(f"Written: {out}")


def _run_worked(source: Source, rubric: Rubric) -> None:
    if not rubric.worked:
        return
    from marking.commands.worked_examples import faults_of

    mend = "mend the example, or the formula that it shows"
    faults = [
        source.fault(("worked", number), f"worked example: {fault}", mend)
        for number, worked in enumerate(rubric.worked)
        for fault in faults_of(rubric, worked)
    ]
    if faults:
        raise RubricError(tuple(faults))
