"""What a class summary says about the next lesson: causes in words, a starter, benches to check."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from marking.class_notes import ClassNote, NoteKind
from marking.cohort.picture import FEWEST_SHARING, ClassPicture, named_cause
from marking.findings import Cause, LearnedShare, MarkedSet
from reports.next_step import Task, starter
from reports.page import NOTE, Block, Heading, Hung, text
from reports.wording import fill, wording

_PLACES = "places-mixed"
"""The reason whose cause is a matter of decimal places, not of significant figures."""
_GAP = 13.0
_MOST_BENCHES = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class CauseWords:
    """How the class summary speaks of a cause."""

    name: str
    reteach: str
    task: str
    """Set of questions in tasks.toml."""


def cause_words(marked: MarkedSet) -> Mapping[Cause, CauseWords]:
    """Return the words for each cause, as it shows in this set."""
    reasons: defaultdict[Cause, set[str]] = defaultdict(set)
    for script in marked.scripts:
        for finding in script.findings:
            cause = named_cause(finding)
            if cause is not None:
                reasons[cause].add(finding.reason)
    return {cause: _words(cause, reasons[cause]) for cause in Cause}


def _words(cause: Cause, reasons: set[str]) -> CauseWords:
    said = wording("causes")[cause]
    if _PLACES not in reasons or "name_places" not in said:
        return CauseWords(name=said["name"], reteach=said["reteach"], task=cause.value)
    if reasons == {_PLACES}:
        return CauseWords(name=said["name_places"], reteach=said["reteach_places"], task="places")
    return CauseWords(name=said["name_both"], reteach=said["reteach"], task=cause.value)


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


def class_starter(marked: MarkedSet, seen: ClassPicture) -> tuple[str, Task]:
    """Return the slip that most of the class share, empty where none is shared, and a task about it."""
    shared = next((one.cause for one in seen.causes if len(one.students) >= FEWEST_SHARING), None)
    if shared is None:
        return "", starter("further", seen.practical)
    told = cause_words(marked)[shared]
    return told.name, starter(told.task, seen.practical)


def starter_blocks(marked: MarkedSet, seen: ClassPicture) -> list[Block]:
    """Return the ten-minute starter with its answers; nothing for a class that handed nothing in."""
    if not seen.handed_in:
        return []
    words = wording("summary")
    name, task = class_starter(marked, seen)
    about = fill([words["starter"]["about"], words["starter"]["nothing"]], {"name": name, "intro": task.intro})
    lines = [
        Hung(
            f"{number}.",
            text(NOTE, fill([words["starter"]["answer"]], {"question": one.text, "answer": one.answer})),
            small=True,
        )
        for number, one in enumerate(task.questions, start=1)
    ]
    return [Block(parts=(Heading(words["headings"]["starter"]), text(NOTE, about), *lines), gap=_GAP)]


def benches_off(notes: Sequence[ClassNote]) -> list[ClassNote]:
    """Return the notes that are about the apparatus of a bench."""
    return [note for note in notes if note.kind is NoteKind.BENCH]


def bench_blocks(notes: Sequence[ClassNote]) -> list[Block]:
    """Return the benches to check; nothing where all read alike."""
    benches = benches_off(notes)
    if not benches:
        return []
    lines = [Hung("–", text(NOTE, note.message), left=10, small=True) for note in benches[:_MOST_BENCHES]]
    return [Block(parts=(Heading(wording("summary")["headings"]["benches"]), *lines), gap=_GAP)]
