"""The account of a run: plain tables to read, or the same as data."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from tests.benchmarks.mix import CAUSES
from tests.benchmarks.scores import Score, Tally, calibration

COMMONEST = 10
EXAMPLES = 3

Share = tuple[float | None, int]
"""A share in per cent, None of nothing, and the number of cases."""
Row = dict[str, object]


def share(scores: Sequence[Score], is_so: Callable[[Score], bool]) -> Share:
    """Return the share of *scores* of which *is_so* holds."""
    return (100 * sum(map(is_so, scores)) / len(scores) if scores else None, len(scores))


def first(score: Score) -> bool:
    """Tell whether the first cause is right."""
    return score.first_is_right


def first_or_tied(score: Score) -> bool:
    """Tell whether the first cause is right, or one that nothing on the page tells from it: no more can be found."""
    return score.first_is_right or score.is_tied


def within(score: Score) -> bool:
    """Tell whether a right cause is among those given."""
    return score.is_within


def let_pass(score: Score) -> bool:
    """Tell whether a wrong answer got its mark."""
    return str(score.finding.outcome) == "awarded"


SURE = 0.8
"""From this confidence on a sheet names the cause."""


def named_for_sure(score: Score) -> bool:
    """Tell whether a cause is named as if it were known."""
    return str(score.finding.cause) != "unexplained" and (score.finding.confidence or 0.0) >= SURE


def withheld(scores: Sequence[Score]) -> list[Score]:
    """Return the scores whose answer was withheld."""
    return [score for score in scores if str(score.finding.outcome) == "withheld"]


def of_kind(scores: Sequence[Score], kind: str) -> list[Score]:
    """Return the scores of one kind that cannot pass for right."""
    return [score for score in scores if score.truth.kind == kind and not score.truth.could_pass]


def causes_of(scores: Sequence[Score]) -> Row:
    """Return the shares that matter over some slips."""
    single = [score for score in scores if score.is_single]
    ambiguous = [score for score in scores if score.is_ambiguous]
    return {
        "first": share(single, first),
        "first or tied": share(single, first_or_tied),
        "within": share(single, within),
        "let pass": share(single, let_pass),
        "ambiguous first": share(ambiguous, first),
        "ambiguous within": share(ambiguous, within),
    }


def by_practical(tallies: Sequence[Tally]) -> list[Row]:
    """Return one row a practical, and one for all."""
    rows: list[Row] = []
    for name, group in [(tally.practical, [tally]) for tally in tallies] + [("all", list(tallies))]:
        scores = [score for tally in group for score in tally.scores]
        answers = sum(tally.answers for tally in group)
        rows.append(
            {
                "practical": name,
                **causes_of(scores),
                "unexplained": share(of_kind(scores, "unexplained"), first),
                "unexplained, or tied": share(of_kind(scores, "unexplained"), first_or_tied),
                "near": share(withheld(of_kind(scores, "near")), first),
                "near, sure": share(withheld(of_kind(scores, "near")), named_for_sure),
                "further": share(withheld(of_kind(scores, "further")), first),
                "pairs": share(of_kind(scores, "pair"), first),
                "pairs, or tied": share(of_kind(scores, "pair"), first_or_tied),
                "copied pairs": share(of_kind(scores, "copied pair"), first),
                "may pass": sum(score.truth.could_pass for score in scores),
                "values lost": sum(len(tally.lost_values) for tally in group),
                "of": sum(tally.right_values for tally in group),
                "units lost": sum(len(tally.lost_units) for tally in group),
                "of units": sum(tally.right_units for tally in group),
                "marked/s": round(answers / sum(tally.marking_seconds for tally in group)),
                "read/s": round(answers / sum(tally.reading_seconds for tally in group)),
            }
        )
    return rows


def by_cause(scores: Sequence[Score]) -> list[Row]:
    """Return one row a cause: of wrong values, then of what was written wrongly beside right ones."""
    rows: list[Row] = []
    for cause in CAUSES[:-1]:
        own = [score for score in scores if score.truth.causes == (cause,) and score.truth.kind == "slip"]
        rows.append({"cause": cause, **causes_of(own), "may pass": sum(score.truth.could_pass for score in own)})
    for kind in ("figures", "unit-missing", "unit-wrong"):
        own = of_kind(scores, kind)
        name = own[0].truth.causes[0] if own else kind
        rows.append({"cause": name, **causes_of([]), "first": share(own, first), "within": share(own, within)})
    return rows


def by_figures(scores: Sequence[Score]) -> list[Row]:
    """Return one row for each number of figures that the wrong answer was written to."""
    rows: list[Row] = []
    for figures in (2, 3, 4):
        own = [score for score in scores if score.figures == figures]
        rows.append(
            {
                "figures": f"{figures} or more" if figures == 4 else str(figures),
                **causes_of(own),
                "unexplained": share(of_kind(own, "unexplained"), first),
                "pairs": share(of_kind(own, "pair"), first),
            }
        )
    return rows


def calibrated(scores: Sequence[Score]) -> list[Score]:
    """Return the wrong values of the sets whose causes are as often as they are met."""
    kinds = ("slip", "unexplained", "near", "further", "pair", "copied pair")
    scores = withheld(scores)
    return [s for s in scores if s.truth.kind in kinds and not s.levelled and not s.truth.could_pass]


def mistaken(scores: Sequence[Score]) -> list[tuple[str, list[Score]]]:
    """Return what was mistaken for what, the commonest first, with the cases."""
    cases: dict[str, list[Score]] = {}
    for score in scores:
        if not (score.truth.could_pass or score.is_ambiguous or score.first_is_right):
            name = f"{score.truth.kind}: {' + '.join(score.truth.causes)} -> {score.said}"
            cases.setdefault(name, []).append(score)
    return sorted(cases.items(), key=lambda case: -len(case[1]))


def example(score: Score) -> str:
    """Return one case with everything that is needed to see it."""
    finding, sheet = score.finding, score.page.sheet
    expected = f"{finding.expected:.5g}" if finding.expected is not None else "-"
    said = "; ".join(f"{one.cause} {one.probability:.2f} [{one.detail}]" for one in finding.explanations[:3])
    behind = sheet.bench.readings_behind(score.truth.key)[:8]
    readings = " ".join(f"{reading.key.item}={reading.text}{reading.unit}" for reading in behind)
    others = [answer for key, answer in sheet.answers.items() if key != score.truth.key and key.row is None]
    answers = " ".join(f"{answer.key.item}={answer.text}{answer.unit}" for answer in others)
    place = f"{score.practical} {score.truth.key.item}" + (f" row {finding.row}" if finding.row else "")
    return (
        f"{place}: wrote {finding.entry!r} {finding.unit!r}, expected {expected}; planted {score.truth.detail}; "
        f"{finding.outcome}: {said or finding.reason}; {readings} | {answers}"
    )


def lost(tallies: Sequence[Tally]) -> list[str]:
    """Return every right answer that was withheld, with the whole page."""
    return [
        f"{tally.practical} {finding.item} {finding.row or ''}: {finding.entry!r} {finding.unit!r} {finding.criterion} "
        f"{finding.reason}, expected {finding.expected}; planted {page.truth}; "
        + "; ".join(",".join(row[3:]) for row in page.sheet.rows())
        for tally in tallies
        for finding, page in tally.lost_values + tally.lost_units
    ]


def table(rows: Sequence[Row]) -> str:
    """Return a plain table, the columns as wide as they need."""
    cells = [list(rows[0])] + [[_cell(value) for value in row.values()] for row in rows]
    widths = [max(len(row[column]) for row in cells) for column in range(len(cells[0]))]
    lines = ("  ".join(text.ljust(width) for text, width in zip(row, widths, strict=True)) for row in cells)
    return "\n".join(line.rstrip() for line in lines)


def _cell(value: object) -> str:
    if isinstance(value, tuple):
        return "-" if value[0] is None else f"{value[0]:.1f} % of {value[1]}"
    return str(value)


def as_text(tallies: Sequence[Tally]) -> str:
    """Return the whole account as text."""
    scores = [score for tally in tallies for score in tally.scores]
    without_last = [{**row, "may pass": row.get("may pass", "")} for row in by_cause(scores)]
    bins, error = calibration(calibrated(scores))
    confidence: list[Row] = [
        {"confidence": f"{number / 10:.1f}", "number": count, "mean": f"{mean:.3f}", "right": f"{right:.3f}"}
        for number, (count, mean, right) in enumerate(bins)
    ]
    parts = [table(by_practical(tallies)), table(without_last), table(by_figures(scores))]
    parts.append(f"{table(confidence)}\nexpected calibration error {error:.3f}")
    for name, cases in mistaken(scores)[:COMMONEST]:
        parts.append("\n    ".join([f"{len(cases)} x {name}", *map(example, cases[:EXAMPLES])]))
    parts += [f"RIGHT BUT WITHHELD {case}" for case in lost(tallies)]
    return "\n\n".join(parts)


def as_data(tallies: Sequence[Tally]) -> dict[str, object]:
    """Return the whole account as data for a script."""
    scores = [score for tally in tallies for score in tally.scores]
    bins, error = calibration(calibrated(scores))
    return {
        "practicals": by_practical(tallies),
        "causes": by_cause(scores),
        "figures": by_figures(scores),
        "calibration": [{"number": count, "mean": mean, "right": right} for count, mean, right in bins],
        "calibration_error": error,
        "mistaken": [{"what": name, "number": len(cases)} for name, cases in mistaken(scores)],
        "right_answers_withheld": lost(tallies),
    }
