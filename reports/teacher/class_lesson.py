"""What a class summary says about the next lesson: what to teach, a starter from the very slip, benches to check."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import ROUND_HALF_UP, Decimal

from msgspec import Struct
from msgspec.structs import replace

from marking.class_notes import ClassNote, NoteKind
from marking.cohort.picture import BY_FORMULA, FEWEST_SHARING, PLACES, Band, ClassPicture, SharedCause, slip_of
from marking.findings import Finding, LearnedShare, MarkedSet, Script
from reports.next_step import Question, Task, starter, what_now
from reports.page import BODY, NOTE, Block, Heading, Hung, PointHead, labelled, text
from reports.teacher.bench_words import bench_line
from reports.teacher.students_called import People
from reports.wording import Point, Slots, fill, message, points_to_mend, wording
from rubrics.formulas import listed
from rubrics.model import Rubric

_GAP = 13.0
_WHOLE_GROUP = 36
"""Students of a group to call together: all of them, in any class of a school."""
_FEW = 12
"""Students named in a line about something else."""
_MOST_QUESTIONS = 3
_LAST = "figures"
"""The kind of slip that is taught after all others: figures and units come right once the step does."""


class CauseWords(Struct, frozen=True, kw_only=True):
    """How the class summary speaks of a slip that several share."""

    name: str
    reteach: str
    task: str
    """Set of questions in tasks.toml."""


def cause_words(shared: SharedCause) -> CauseWords:
    """Return the words for a shared slip: what was done in the place of what, where that can be said."""
    said = wording("causes")[shared.cause]
    if shared.slip == PLACES and "name_places" in said:
        return CauseWords(name=said["name_places"], reteach=said["reteach_places"], task=PLACES)
    if not shared.slip:
        return CauseWords(name=said["name"], reteach=said["reteach"], task=shared.cause.value)
    words = wording("summary")["next"]
    slots = Slots(shared.shown, next((one for one in shared.shown.explanations if one.cause is shared.cause), None))
    slots["name"] = said["name"]
    by_formula = shared.cause in BY_FORMULA
    reteach = fill([words["by_rule"]], slots) if by_formula and slots["rule"] and slots["used"] else said["reteach"]
    name = fill([*words["slip_formula" if by_formula else "slip_unit"], "{name}"], slots)
    return CauseWords(name=name, reteach=reteach, task=shared.cause.value)


def learned_sentence(learned: Sequence[LearnedShare]) -> str:
    """Return how the set's own answers moved what is thought likely; empty where they moved nothing."""
    if not learned:
        return ""
    most = max(learned, key=lambda share: abs(share.after - share.before))
    slots = {
        "count": str(len(learned)),
        "name": wording("causes")[most.cause]["name"],
        "before": f"{most.before:.0%}".rstrip("%"),
        "after": f"{most.after:.0%}".rstrip("%"),
    }
    return fill([wording("summary")["next"]["learned_one" if len(learned) == 1 else "learned_many"]], slots)


# ---- what to teach -------------------------------------------------------------------------------------------


def to_teach(seen: ClassPicture) -> list[SharedCause]:
    """Return the slips that ask for a group or the whole class, all of a class of one; figures and units last."""
    taught = [cause for cause in seen.causes if cause.band is not Band.SHEET or seen.handed_in == 1]
    return sorted(taught, key=lambda one: (one.band is not Band.RETEACH, wording("causes")[one.cause]["kind"] == _LAST))


def teach_blocks(marked: MarkedSet, seen: ClassPicture, people: People, groups: int) -> list[Block]:
    """Return the first so many shared slips in full, the others by name."""
    words = wording("summary")["next"]
    heading = Heading(wording("summary")["headings"]["next"])
    shared = to_teach(seen)
    blocks = [_group_block(cause, marked, seen, people) for cause in shared[:groups]]
    if not blocks:
        nothing = words["nothing_one" if seen.handed_in == 1 else "nothing"]
        blocks = [Block(parts=(text(BODY, nothing),))]
    blocks[0] = Block(parts=(heading, *blocks[0].parts), gap=_GAP)
    further = [_cause_name(cause, str(len(cause.students))) for cause in shared[groups:]]
    if further:
        line = fill([words["further"]], {"causes": "; ".join(further)})
        blocks.append(Block(parts=(text(NOTE, line),), gap=8))
    return blocks


def other_blocks(marked: MarkedSet, seen: ClassPicture, people: People) -> list[Block]:
    """Return the slips that only the sheets speak of, and what was learned from the set."""
    words = wording("summary")
    taught = to_teach(seen)
    rest = [_cause_name(cause, people.listed(cause.students, _FEW)) for cause in seen.causes if cause not in taught]
    said = [fill([words["next"]["alone"]], {"causes": "; ".join(rest)})] if rest else []
    said += [sentence for sentence in (learned_sentence(marked.learned),) if sentence]
    if not said:
        return []
    return [Block(parts=(Heading(words["headings"]["other"]), *(text(NOTE, line) for line in said)), gap=_GAP)]


def _cause_name(shared: SharedCause, who: str) -> str:
    return fill([wording("summary")["next"]["cause"]], {"name": cause_words(shared).name, "who": who})


def _group_block(shared: SharedCause, marked: MarkedSet, seen: ClassPicture, people: People) -> Block:
    words = wording("summary")["next"]
    told, rubric = cause_words(shared), marked.rubric
    items = [rubric.items[item].quantity if item in rubric.items else item for item in shared.items]
    title = fill(words["head"], {"slip": told.name, "items": listed(items, most=2)})
    slots = {"count": str(len(shared.students)), "handed_in": str(seen.handed_in), "percent": _percent(shared.share)}
    share = "" if seen.handed_in == 1 else fill([words["share"]], slots)
    parts = (
        PointHead("•", f"{title[:1].upper()}{title[1:]}" if title[1:2].islower() else title, share),
        *(() if seen.handed_in == 1 else labelled(words["who"], people.listed(shared.students, _WHOLE_GROUP))),
        *labelled(words["shows"], _evidence(shared, marked, people)),
        *labelled(words["do"], fill([words[shared.band.value]], {"reteach": told.reteach})),
    )
    return Block(parts=parts, gap=8)


def _evidence(shared: SharedCause, marked: MarkedSet, people: People) -> str:
    """Return one student's line: what was written, and what the sheet says of it."""
    finding = shared.shown
    script = next(one for one in marked.scripts if one.write_up.student.code == finding.student)
    point = _point_of(shared, script, marked.rubric, finding)
    said = point.step if point is not None else ""
    slots = {
        "who": people.called(finding.student),
        "wrote": Slots(finding)["wrote"],
        "said": f"“{said or message(finding)}”",
    }
    return fill(wording("summary")["next"]["evidence"], slots)


def _point_of(shared: SharedCause, script: Script, rubric: Rubric, finding: Finding | None = None) -> Point | None:
    """Return the point of a script that is about a shared slip, with such a finding first; None where none is told."""
    for point in points_to_mend(script, rubric):
        about = [one for one in point.findings if slip_of(one, rubric) == (shared.cause, shared.slip)]
        about = about if finding is None else [one for one in about if one == finding]
        if about and slip_of(point.findings[0], rubric) == (shared.cause, shared.slip):
            return point
    return None


def _percent(share: float) -> str:
    return str((Decimal(repr(share)) * 100).quantize(Decimal(1), rounding=ROUND_HALF_UP))


# ---- the starter ---------------------------------------------------------------------------------------------


def class_starter(marked: MarkedSet, seen: ClassPicture) -> tuple[str, Task]:
    """Return the slip that most of the class share, empty where none is shared, and a task about it."""
    several = [one for one in seen.causes if len(one.students) >= FEWEST_SHARING]
    shared = next(iter([*to_teach(seen), *several]), None)
    if shared is None:
        return "", starter("further", seen.practical)
    told = cause_words(shared)
    return told.name, _own_task(shared, marked) or starter(told.task, seen.practical)


def _own_task(shared: SharedCause, marked: MarkedSet) -> Task | None:
    """Return a task made of what the sheets of those students ask next: the same step with invented numbers."""
    words = wording("summary")["starter"]
    asked: dict[str, Question] = {}
    for script in marked.scripts:
        if script.write_up.student.code in shared.students and len(asked) < _MOST_QUESTIONS:
            point = _point_of(shared, script, marked.rubric)
            more = what_now(script, marked.rubric, (point,)).more if point is not None else None
            if more is not None and "{" not in more.text:
                asked[more.text] = replace(more, text=more.text.removeprefix(words["sheet_start"]))
    if not asked:
        return None
    return Task(about=shared.cause.value, intro=words["own"], questions=tuple(asked.values()))


def starter_blocks(marked: MarkedSet, seen: ClassPicture, most: int = _MOST_QUESTIONS) -> list[Block]:
    """Return the ten-minute starter with answers, at most so many questions; nothing where nothing was handed in."""
    if not seen.handed_in:
        return []
    words = wording("summary")
    name, task = class_starter(marked, seen)
    nothing = words["starter"]["nothing_one" if seen.handed_in == 1 else "nothing"]
    about = fill([words["starter"]["about"], nothing], {"name": name, "intro": task.intro})
    lines = [
        Hung(f"{number}.", text(NOTE, fill([words["starter"]["answer"]], _asked(one.text, one.answer))), small=True)
        for number, one in enumerate(task.questions[:most], start=1)
    ]
    return [Block(parts=(Heading(words["headings"]["starter"]), text(NOTE, about), *lines), gap=_GAP)]


def _asked(question: str, answer: str) -> Mapping[str, str]:
    return {"question": question, "answer": answer.rstrip(".")}


# ---- benches -------------------------------------------------------------------------------------------------


def benches_off(notes: Sequence[ClassNote]) -> list[ClassNote]:
    """Return the notes that are about the apparatus of a bench."""
    return [note for note in notes if note.kind is NoteKind.BENCH]


def bench_blocks(notes: Sequence[ClassNote], rubric: Rubric) -> list[Block]:
    """Return the benches to check, with what is known of each; nothing where all read alike."""
    benches = benches_off(notes)
    if not benches:
        return []
    lines = [Hung("–", text(NOTE, bench_line(note, rubric)), left=10, small=True) for note in benches]
    return [Block(parts=(Heading(wording("summary")["headings"]["benches"]), *lines), gap=_GAP)]
