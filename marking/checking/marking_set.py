"""The whole of checking: a set of write-ups and its rubric in, a marked set out."""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Iterator, Mapping, Sequence

from msgspec import Struct

from marking.checking.by_criterion import Looked, Lookers
from marking.checking.case import Batch, Case
from marking.checking.causes import (
    NEVER_CERTAIN,
    Asked,
    Explained,
    Tried,
    certain_of,
    explain,
    explain_each,
    load_priors,
)
from marking.checking.checks import find_choice
from marking.checking.results import choose_accepted, plots_of, result_of
from marking.checking.settling_class import (
    BATCH,
    Counted,
    Counting,
    Laid,
    Settled,
    count,
    counted,
    laid,
    learned_shares,
    rounds,
    settle,
)
from marking.checking.uncertainty import result_uncertainties
from marking.collector import collector_resting
from marking.findings import CriterionMark, Finding, MarkedSet, Outcome, Plot, Result, Script
from marking.hands import Hands, Shared
from marking.reasons import Reason
from marking.write_up import ClassSet, Place, Remark, State, WriteUp
from rubrics.load import without_paper
from rubrics.model import Role, Rubric


def mark_set(rubric: Rubric, class_set: ClassSet, settled: Settled | None = None) -> MarkedSet:
    """Return one set marked, as ``mark_sets`` does it.

    Args:
        rubric: The practical.
        class_set: The write-ups.
        settled: What was settled over a whole of which these write-ups are a part; None where they are the whole.
    """
    return mark_sets([(rubric, class_set)], Shared(None), settled)[0]


def mark_sets(sets: Sequence[tuple[Rubric, ClassSet]], hands: Hands, settled: Settled | None = None) -> list[MarkedSet]:
    """Return the sets marked: every student of a set has a script, in the same order.

    Where there are enough wrong answers of a kind, the shares that causes start with are learned from them, and the
    marked set says so. Shares choose words, never marks. Ticks wait for ``marking.decided``, where what was found and
    what people decided come together.
    The marked set has the rubric as it was marked.

    Args:
        sets: Each with its practical.
        hands: Who marks them, batch by batch. The same comes of it whoever does.
        settled: As for ``mark_set``.
    """
    with collector_resting():
        known = [(as_marked(rubric, one.write_ups), one) for rubric, one in sets]
        jobs = []
        for rubric, one in known:
            own = settled if settled is not None else _settled(rubric, one.write_ups, hands)
            jobs += [_Batch(rubric=rubric, write_ups=part, settled=own) for part in _batches(one.write_ups)]
        done = hands.each(_marked, jobs)
        return [_together(rubric, one, [next(done) for _ in _batches(one.write_ups)]) for rubric, one in known]


def as_marked(rubric: Rubric, write_ups: Sequence[WriteUp]) -> Rubric:
    """Return the practical as it is marked: without the graph on paper, where the roster leaves that out."""
    return rubric if all(one.student.marks_graph for one in write_ups) else without_paper(rubric)


class _Batch(Struct, frozen=True, kw_only=True):
    """What is marked at a time; sent as it is to whoever does."""

    rubric: Rubric
    write_ups: Sequence[WriteUp]
    settled: Settled | None
    """None where this is the whole class."""


_Found = tuple[tuple[Finding, ...], tuple[CriterionMark, ...], Plot | None, Result | None, WriteUp | None]
"""A script without its write-up, which whoever asked for it has; with it where something in it was settled."""


def _batches(write_ups: Sequence[WriteUp]) -> Iterator[Sequence[WriteUp]]:
    return (write_ups[start : start + BATCH] for start in range(0, len(write_ups), BATCH))


def _settled(rubric: Rubric, write_ups: Sequence[WriteUp], hands: Hands) -> Settled | None:
    """Return what is settled over a set of several batches; None for a single one, which settles it itself."""
    if len(write_ups) <= BATCH:
        return None
    counting = Counting(rubric, len(write_ups))
    wanted = ((rubric, [write_ups[at] for at in places]) for places in rounds(len(write_ups)) if not counting.is_enough)
    for found in hands.each(_counted_round, wanted):
        counting.add(found)
    return counting.settled()


def _counted_round(_: object, one: tuple[Rubric, Sequence[WriteUp]]) -> Counted:
    with collector_resting():
        return count(*one)


def _marked(_: object, batch: _Batch) -> tuple[Settled, list[_Found]]:
    """Mark a batch; return what it was marked with, too."""
    with collector_resting():
        one, settled = laid(batch.rubric, batch.write_ups), batch.settled
        known, fixed = None, None
        if settled is None:
            known = Tried()
            fixed = explain(one.board, one.judged, load_priors(), known=known)
            settled = settle(batch.rubric, [counted(one, fixed.counts)])
        scripts = _scripts(one, settled, known, fixed, _shown_of(one, settled))
        return settled, [
            (made.findings, made.criteria, made.plot, made.result, made.write_up if made.write_up.settled else None)
            for made in scripts(range(len(batch.write_ups)))
        ]


def _together(rubric: Rubric, class_set: ClassSet, found: Sequence[tuple[Settled, Sequence[_Found]]]) -> MarkedSet:
    whole = [one for _, some in found for one in some]
    scripts = tuple(
        Script(write_up=read or write_up, findings=findings, criteria=criteria, plot=plot, result=result)
        for write_up, (findings, criteria, plot, result, read) in zip(class_set.write_ups, whole, strict=True)
    )
    return MarkedSet(
        rubric=rubric,
        scripts=scripts,
        remarks=still_open(class_set.remarks, {source for script in scripts for source in no_values(script)}),
        sources=class_set.sources,
        learned=learned_shares(found[0][0]) if found else (),
    )


def scripts_of(rubric: Rubric, write_ups: Sequence[WriteUp], settled: Settled) -> Scripts:
    """Return what makes the scripts of some of at most BATCH write-ups, by their places, when they are asked for.

    Such a script has findings and marks, and neither graph nor result: those stand on paper alone.
    """
    return _scripts(laid(rubric, write_ups), settled, None, None, _nothing_shown)


def no_values(script: Script) -> Iterator[Place | None]:
    """Yield where words stand, and rightly so, since no number can, and where a number was settled on.

    The first is 'very large' beside no current, the second 25,960 where the readings lead to 25960.
    """
    yield from (one.source for one in script.findings if one.reason is Reason.NO_VALUE_HERE)
    yield from script.write_up.settled


def still_open(remarks: Sequence[Remark], stands: Container[Place | None]) -> tuple[Remark, ...]:
    """Return the remarks without those on words that stand where no number can."""
    return tuple(one for one in remarks if one.place is None or one.place not in stands)


def _proving(rubric: Rubric) -> frozenset[str]:
    """Return the answers of which a certain slip decides a mark: a step that was done, or a mark paid elsewhere."""
    deciding = [criterion for criterion in rubric.criteria if criterion.lost_by or criterion.spares]
    return frozenset(name for criterion in deciding for name in criterion.items)


Scripts = Callable[[Iterable[int]], list[Script]]
"""Places of students to their scripts."""
_Shown = Callable[[int], tuple[Plot | None, Result | None]]
"""Place of a student to the graph and the result that a sheet shows."""


def _nothing_shown(_: int) -> tuple[None, None]:
    return None, None


def _shown_of(laid: Laid, settled: Settled) -> _Shown:
    board, judged = laid.board, laid.everything
    accepted = choose_accepted(board, judged, settled.accepted)
    plots = plots_of(board, judged, laid.curves)
    sure = result_uncertainties(board)
    return lambda student: (plots[student], result_of(board, judged, student, accepted[student], sure))


def _scripts(laid: Laid, settled: Settled, known: Tried | None, fixed: Explained | None, shown: _Shown) -> Scripts:
    """Return what makes scripts, with what was explained by the *fixed* shares, if it was, and what they show."""
    board, judged, rubric = laid.board, laid.everything, laid.board.rubric
    proving, shares = _proving(rubric), load_priors()
    if settled.priors == shares:
        found = fixed = fixed or explain(board, laid.judged, shares)
    elif fixed is not None:
        found = explain(board, laid.judged, settled.priors, known=known)
    else:
        asked = (
            Asked(priors=settled.priors, names=laid.judged.keys()),
            Asked(priors=shares, names=proving, told_from=NEVER_CERTAIN),
        )
        found, fixed = explain_each(board, laid.judged, asked, known)
    explanations, certain = found.explanations, certain_of(fixed, proving)
    lookers, batch = Lookers(rubric), Batch(board, judged, explanations, certain)

    def scripts(students: Iterable[int]) -> list[Script]:
        asked_for = list(students)
        handed_in = [student for student in asked_for if board.write_ups[student].is_handed_in]
        looked = lookers.look_at([_case(laid, batch, student) for student in handed_in])
        made = {student: _script(one, *shown(student)) for student, one in zip(handed_in, looked, strict=True)}
        return [made.get(student) or _empty(rubric, board.write_ups[student]) for student in asked_for]

    return scripts


def _case(laid: Laid, batch: Batch, student: int) -> Case:
    board = laid.board
    named = {axes: found.named(student) for axes, found in laid.curves.items()}
    selected = _selected(board.rubric, board.write_ups[student], named)
    return Case(
        batch=batch,
        student=student,
        rubric=board.rubric,
        write_up=board.write_ups[student],
        shapes=named,
        selected=selected,
    )


def _selected(rubric: Rubric, write_up: WriteUp, named: Mapping[tuple[str, str], str | None]) -> str | None:
    """Return what was tested: as the student says, else as the points alone show; None where neither tells."""
    if rubric.selector is None:
        return None
    selector = rubric.items[rubric.selector]
    entry = write_up.singles.get(rubric.selector)
    if entry is not None:
        choice = find_choice(selector, entry.raw)
        if choice is not None:
            return choice.word
    shape = next((one for one in named.values() if one is not None), None)
    by_shape = next((choice.word for choice in selector.choices if shape in choice.means), None)
    return by_shape or _by_boxes(rubric, write_up)


def _by_boxes(rubric: Rubric, write_up: WriteUp) -> str | None:
    """Return the one choice whose own readings were taken down; None where none or several were."""
    taken = {name for name, entry in write_up.singles.items() if entry.state is not State.BLANK}
    taken |= {n for n, rows in write_up.columns.items() if any(e.state is not State.BLANK for e in rows.values())}
    taken |= {rubric.items[name].repeat_of or name for name in taken if name in rubric.items}
    words = [choice.word for choice in rubric.items[rubric.selector or ""].choices]
    asked = {word: {n for c in rubric.criteria if word in c.when for n in c.items} for word in words}
    own = {word: names.difference(*(asked[w] for w in words if w != word)) for word, names in asked.items()}
    readings = {n for n, item in rubric.items.items() if item.role is Role.READING or item.repeats}
    found = [word for word in words if own[word] & readings & taken]
    return found[0] if len(found) == 1 else None


def _script(looked: Looked, plot: Plot | None, result: Result | None) -> Script:
    return Script(
        write_up=looked.case.write_up,
        findings=tuple(looked.findings),
        criteria=tuple(looked.marks),
        plot=plot,
        result=result,
    )


def _empty(rubric: Rubric, write_up: WriteUp) -> Script:
    finding = Finding(
        student=write_up.student.code,
        practical=rubric.id,
        item="",
        row=None,
        criterion="",
        outcome=Outcome.FOR_TEACHER,
        marks=None,
        out_of=rubric.total,
        reason=Reason.NOT_HANDED_IN,
    )
    return Script(write_up=write_up, findings=(finding,), criteria=())
