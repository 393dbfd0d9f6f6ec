"""What can be wrong with the parts of a rubric that hold words: questions with their ideas, worked examples."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from rubrics.faults import Complaint, Key
from rubrics.model import Rubric


def question_complaints(rubric: Rubric) -> Iterator[Complaint]:
    """Yield what is wrong with the questions that are answered in words."""
    for item in rubric.items.values():
        if item.question is None:
            continue
        key: Key = ("questions", item.name)
        if item.question.need > len(item.question.ideas):
            yield Complaint((*key, "need"), f"{item.name} needs more ideas than it lists", "lower need, or add ideas")
        ids = Counter(idea.id for idea in (*item.question.ideas, *item.question.wrong))
        for name, count in ids.items():
            if count > 1:
                yield Complaint((*key, "ideas"), f"the idea {name} of {item.name} stands twice", "rename one of them")


def worked_complaints(rubric: Rubric) -> Iterator[Complaint]:
    """Yield what is wrong with the names of the worked examples; whether they come out right is seen by marking."""
    for number, worked in enumerate(rubric.worked):
        for part, texts in (("entries", worked.entries), ("answers", worked.answers)):
            for name in texts:
                if name not in rubric.items:
                    problem = f"the worked example names {name}, which is no item here"
                    yield Complaint(("worked", number, part), problem, "mend the name")
