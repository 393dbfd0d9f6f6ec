"""Findings and class notes as plain CSV, for scripts and spreadsheets.

UTF-8, one header line, lines that end in a line feed. Two things are done to a text so that every
program reads the file the same way: control characters become U+FFFD (tabs and line ends a space), and a
cell that a spreadsheet program would take for a formula gets a leading apostrophe. Plain numbers,
negative ones too, are left as they are.
"""

from __future__ import annotations

import csv
import json
import math
import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path

from marking.class_notes import ClassNote
from marking.compared import Change
from marking.findings import Cause, Explanation, Finding, MarkedSet, Outcome
from reports.wording import message
from rubrics.model import Rubric

FINDING_COLUMNS = (
    "student",
    "practical",
    "item",
    "row",
    "criterion",
    "outcome",
    "marks",
    "out_of",
    "entry",
    "unit",
    "expected",
    "basis",
    "cause",
    "detail",
    "confidence",
    "alternatives",
    "source",
    "message",
)
_NEVER_QUOTED = frozenset(("row", "outcome", "marks", "out_of", "basis", "cause", "confidence"))
"""Columns of numbers and of our own words."""
_TEXTS = tuple(place for place, name in enumerate(FINDING_COLUMNS) if name not in _NEVER_QUOTED)
NOTE_COLUMNS = ("kind", "practical", "bench", "students", "item", "direction", "factor", "chance", "message")

_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
"""What a spreadsheet program takes for the start of a formula, full-width forms among them."""
_PLAIN_NUMBER = re.compile(r"[+-]?\d{1,40}(\.\d{0,40})?([eE][+-]?\d{1,3})?")
_BREAKS = re.compile(r"[\t\n\v\f\r\x85\u2028\u2029]")
_UNPRINTABLE = re.compile(r"[\x00-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]")
_QUOTE = '"'
_as_json = json.JSONEncoder(ensure_ascii=False).encode
"""As ``json.dumps``, which makes an encoder each time; of a list or a dict this takes long."""
LONGEST_CELL = 32_000
"""Characters; a spreadsheet cell holds 32,767, and the record keeps the whole."""


def cell_text(raw: str) -> str:
    """Return *raw* without control characters and no longer than a spreadsheet cell."""
    if raw.isprintable() and len(raw) <= LONGEST_CELL:
        return raw  # most of what is written
    shown = _UNPRINTABLE.sub("\N{REPLACEMENT CHARACTER}", _BREAKS.sub(" ", raw))
    return shown if len(shown) <= LONGEST_CELL else f"{shown[:LONGEST_CELL]} … (cut)"


def _is_plain(raw: str) -> bool:
    """Tell whether a text may stand as it is, as most do."""
    return raw[0].isalnum() and raw.isprintable() and len(raw) <= LONGEST_CELL


def csv_cell(raw: str) -> str:
    """Return *raw* as a CSV cell that no program takes for a formula."""
    if not raw or _is_plain(raw):
        return raw
    text = cell_text(raw)
    # Tabs and line ends are spaces by now, and a program may drop them before it looks for a formula.
    is_formula = text.lstrip(" ").startswith(_FORMULA_STARTS) or raw.startswith(_FORMULA_STARTS)
    return f"'{text}" if is_formula and not _PLAIN_NUMBER.fullmatch(text) else text


def quoted_cell(raw: str) -> str:
    """Return *raw* as it stands in a line of CSV, as the csv module writes it, which looks at every sign twice."""
    if not raw:
        return raw
    cell = raw if _is_plain(raw) else csv_cell(raw)
    return f'"{cell.replace(_QUOTE, 2 * _QUOTE)}"' if "," in cell or _QUOTE in cell else cell


def finding_cells(finding: Finding) -> tuple[str, ...]:
    """Return one finding as texts, in the order of FINDING_COLUMNS."""
    cause, detail, confidence, others = cause_cells(finding)
    return (
        finding.student,
        finding.practical,
        finding.item,
        "" if finding.row is None else str(finding.row),
        finding.criterion,
        str(finding.outcome),
        "" if finding.marks is None else str(finding.marks),
        str(finding.out_of),
        finding.entry,
        finding.unit,
        number_cell(finding.expected, ".6g") or other_choice(finding),
        str(finding.basis),
        cause,
        detail,
        confidence,
        others,
        "" if finding.source is None else str(finding.source),
        message(finding),
    )


def finding_line(row: Sequence[str]) -> str:
    """Return a row of findings as a line of CSV."""
    cells = list(row)
    for place in _TEXTS:
        cells[place] = quoted_cell(cells[place])
    return f"{','.join(cells)}\n"


NO_CAUSE = (str(Cause.NONE), "", "", "")
"""Cells of a finding without explanations."""


def cause_cells(finding: Finding) -> tuple[str, str, str, str]:
    """Return what is told of causes: the likeliest, its detail, how sure it is, and the others."""
    if not finding.explanations:
        return NO_CAUSE
    first, *others = finding.explanations
    return str(first.cause), first.detail, number_cell(finding.confidence, ".2f"), _alternatives(others)


def other_choice(finding: Finding) -> str:
    """Return the words that the own points lead to, where others were chosen and the mark is withheld."""
    return finding.facts.get("choice_expected", "") if finding.outcome is Outcome.WITHHELD else ""


def number_cell(value: float | None, form: str) -> str:
    """Return *value* in *form*; empty where there is no finite value."""
    return "" if value is None or not math.isfinite(value) else format(value, form)


def _alternatives(explanations: Sequence[Explanation]) -> str:
    """Return the explanations as a JSON list; empty where there is none."""
    if not explanations:
        return ""
    rows = (
        f'{{"cause": "{one.cause}", "detail": {_as_json(one.detail)}, "probability": {round(one.probability, 2)}}}'
        for one in explanations
    )
    return f"[{', '.join(rows)}]"


def rubric_order(rubric: Rubric) -> Callable[[str, str, int | None], tuple[int, int, int]]:
    """Return what findings are sorted by: criterion, then item, then row, each in the order of the rubric."""
    criteria = {criterion.code: place for place, criterion in enumerate(rubric.criteria)}
    items = {name: place for place, name in enumerate(rubric.items)}
    last = max(len(criteria), len(items))
    return lambda criterion, item, row: (criteria.get(criterion, last), items.get(item, last), row or 0)


def ordered_findings(marked_sets: Sequence[MarkedSet]) -> Iterator[Finding]:
    """Yield all findings: students in the order of the sets, then practicals, then the rubric's order."""
    places: dict[str, list[tuple[int, int]]] = {}
    for number, marked in enumerate(marked_sets):
        for place, script in enumerate(marked.scripts):
            places.setdefault(script.write_up.student.code, []).append((number, place))
    orders = [rubric_order(marked.rubric) for marked in marked_sets]
    for scripts in places.values():
        for number, place in scripts:
            order = orders[number]
            found = marked_sets[number].scripts[place].findings
            yield from sorted(found, key=lambda one, order=order: order(one.criterion, one.item, one.row))  # type: ignore[misc]


def write_findings_csv(path: Path, marked_sets: Sequence[MarkedSet]) -> None:
    """Write one line for each thing that was checked."""
    write_lines(path, FINDING_COLUMNS, finding_rows(marked_sets))


def finding_rows(marked_sets: Sequence[MarkedSet]) -> Iterator[tuple[str, ...]]:
    """Yield all findings as texts, as `ordered_findings` has them."""
    return map(finding_cells, ordered_findings(marked_sets))


def also_written(path: Path, rows: Iterable[tuple[str, ...]]) -> Iterator[tuple[str, ...]]:
    """Yield the rows of findings, each when it stands in the file too: worked out once for CSV and workbook."""
    with path.open("w", encoding="utf-8", newline="") as file:
        file.write(finding_line(FINDING_COLUMNS))
        for row in rows:
            file.write(finding_line(row))
            yield row


def write_class_notes_csv(path: Path, notes: Iterable[ClassNote]) -> None:
    """Write what only the whole class shows; for teacher and technician."""
    write_lines(path, NOTE_COLUMNS, (_note_cells(note) for note in notes))


CHANGE_COLUMNS = ("student", "criterion", "before", "out_of_before", "after", "out_of_after", "why")


def write_changes_csv(path: Path, changes: Iterable[Change]) -> None:
    """Write what another edition of a rubric does to each mark; a cell is empty where a teacher still decides."""
    write_lines(
        path,
        CHANGE_COLUMNS,
        (
            (
                cell_text(one.student),
                one.criterion,
                "" if one.before is None else str(one.before),
                str(one.out_of_before),
                "" if one.after is None else str(one.after),
                str(one.out_of_after),
                one.why,
            )
            for one in changes
        ),
    )


def _note_cells(note: ClassNote) -> tuple[str, ...]:
    return (
        note.kind.value,
        note.practical,
        note.bench,
        ";".join(note.students),
        ";".join(note.items),
        note.direction,
        number_cell(note.factor, ".4g"),
        number_cell(note.chance, ".3g"),
        note.message,
    )


def write_lines(path: Path, columns: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    """Write a header and *rows*, each cell as every program reads it."""
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(columns)
        writer.writerows(map(csv_cell, row) for row in rows)
