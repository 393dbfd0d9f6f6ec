"""What lies beside a mark to be decided: words with the ideas found in them, the step worked, the plot."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from msgspec import Struct, structs

from marking.findings import Finding, Plot, Script
from reports.student import Told, explanation
from reports.wording import wording
from rubrics.model import Rubric

WIDTH, HEIGHT, MARGIN = 420.0, 280.0, 44.0
"""Of the drawing, in its own units."""


class Stretch(Struct, frozen=True, kw_only=True):
    """A stretch of an answer in words."""

    text: str
    is_idea: bool


class Words(Struct, frozen=True, kw_only=True):
    """An answer in words."""

    stretches: tuple[Stretch, ...]
    proposal: str
    """'awarded', 'withheld', 'unsure', or empty."""


class Dot(Struct, frozen=True, kw_only=True):
    """A point of the plot, in units of the drawing."""

    x: str
    y: str
    is_odd: bool


class Drawing(Struct, frozen=True, kw_only=True):
    """A student's plot, ready to be drawn."""

    dots: tuple[Dot, ...]
    line: str
    """Points of the line or curve, as SVG wants them; empty where there is none."""
    x_label: str
    y_label: str
    x_ends: tuple[str, str]
    y_ends: tuple[str, str]


class Evidence(Struct, frozen=True, kw_only=True):
    """All that lies beside a mark."""

    words: tuple[Words, ...]
    nothing_written: bool
    """The point is about an answer, and none was given."""
    told: tuple[Told, ...]
    """What was looked at first, the rule last."""
    drawing: Drawing | None


def evidence_for(script: Script, rubric: Rubric, criterion: str) -> Evidence:
    """Return what lies beside the mark of *criterion*."""
    lines = [one for one in script.as_found if one.criterion == criterion]
    about_graph = rubric.graph is not None and (
        not any(line.item for line in lines) or any(line.item in _graph_items(rubric) for line in lines)
    )
    # The mark itself and who decided it stand elsewhere on the page.
    rule, *told = explanation(script, rubric, criterion)[1:-1]
    words = tuple(_words(line) for line in lines if line.facts.get("proposal"))
    return Evidence(
        words=words,
        nothing_written=any(line.item for line in lines) and not any(line.entry.strip() for line in lines),
        told=(*_without(_needless(lines, words), reversed(told)), rule),
        drawing=drawing_of(script.plot) if about_graph and script.plot is not None else None,
    )


def _needless(lines: Sequence[Finding], words: Sequence[Words]) -> frozenset[str]:
    """Return the labels of what the page says already: the words themselves, and that a teacher marks this."""
    labels, reasons = wording("explain")["labels"], wording("reasons")
    says_nothing = all(reasons[line.reason].get("says_teacher") for line in lines)
    return frozenset(([labels["wrote"]] if words else []) + ([labels["said"]] if says_nothing else []))


def _without(labels: frozenset[str], sections: Iterable[Told]) -> Iterator[Told]:
    for section in sections:
        kept = tuple(line for line in section.lines if line[0] not in labels)
        if kept:
            yield structs.replace(section, lines=kept)


def _graph_items(rubric: Rubric) -> set[str]:
    graph = rubric.graph
    if graph is None:
        return set()
    answers = {
        item.name
        for item in rubric.answers
        if item.formula is not None and {graph.x, graph.y} <= set(item.formula.names)
    }
    return {graph.x, graph.y, *graph.read_off, *answers}


def _words(line: Finding) -> Words:
    spans = [tuple(map(int, span.split("-"))) for span in line.facts.get("spans", "").split()]
    return Words(stretches=tuple(_stretches(line.entry, spans)), proposal=line.facts["proposal"])


def _stretches(text: str, spans: Sequence[tuple[int, ...]]) -> Iterator[Stretch]:
    end = 0
    for start, stop in sorted(spans):
        if start > end:
            yield Stretch(text=text[end:start], is_idea=False)
        yield Stretch(text=text[max(start, end) : stop], is_idea=True)
        end = max(end, stop)
    if end < len(text):
        yield Stretch(text=text[end:], is_idea=False)


def drawing_of(plot: Plot) -> Drawing:
    """Return a plot in units of the drawing."""
    xs = [*plot.x, *([0.0] if plot.includes_origin else [])]
    ys = [*plot.y, *([0.0] if plot.includes_origin else [])]
    low_x, high_x, low_y, high_y = min(xs), max(xs), min(ys), max(ys)

    def across(x: float) -> str:
        return f"{MARGIN + (WIDTH - 2 * MARGIN) * (x - low_x) / ((high_x - low_x) or 1):.1f}"

    def up(y: float) -> str:
        return f"{HEIGHT - MARGIN - (HEIGHT - 2 * MARGIN) * (y - low_y) / ((high_y - low_y) or 1):.1f}"

    points = list(plot.curve)
    if plot.line is not None:
        gradient, intercept = plot.line
        points = [(x, gradient * x + intercept) for x in (low_x, high_x)]
    return Drawing(
        dots=tuple(
            Dot(x=across(x), y=up(y), is_odd=number in plot.odd_rows)
            for number, (x, y) in enumerate(zip(plot.x, plot.y, strict=True))
        ),
        line=" ".join(f"{across(x)},{up(y)}" for x, y in points),
        x_label=plot.x_label,
        y_label=plot.y_label,
        x_ends=(f"{low_x:.3g}", f"{high_x:.3g}"),
        y_ends=(f"{low_y:.3g}", f"{high_y:.3g}"),
    )
