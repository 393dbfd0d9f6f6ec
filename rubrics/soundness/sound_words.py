"""What can be wrong with the parts of a rubric that hold words: questions with their ideas, worked examples."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from rubrics.faults import Complaint, Key
from rubrics.model import Evidence, Question, Rubric


def question_names(rubric: Rubric) -> set[str]:
    """Return the items that questions hold answers against."""
    questions = [item.question for item in rubric.items.values() if item.question is not None]
    used = {name for one in questions for name in one.beside or ()}
    return used | {name for one in questions for idea in one.ideas for name in idea.columns}


def question_complaints(rubric: Rubric) -> Iterator[Complaint]:
    """Yield what is wrong with the questions that are answered in words."""
    for item in rubric.items.values():
        if item.question is None:
            continue
        key: Key = ("questions", item.name)
        yield from _contents(item.question, item.name, key)
        yield from _held_against(rubric, item.question, item.name, key)
        yield from _tested(rubric, item.question, key)


def _contents(question: Question, name: str, key: Key) -> Iterator[Complaint]:
    if not question.ideas and not question.sources:
        yield Complaint(key, f"{name} has neither ideas nor sources", "add ideas, or sources with their directions")
    elif question.need > len(question.ideas) and question.ideas:
        yield Complaint((*key, "need"), f"{name} needs more ideas than it lists", "lower need, or add ideas")
    if question.way and not question.sources:
        mend = "add sources, or leave parts out"
        yield Complaint((*key, "parts"), f"{name} asks for a direction, and has no sources", mend)
    ids = Counter([*(idea.id for idea in (*question.ideas, *question.wrong)), *(one.id for one in question.sources)])
    for one, count in ids.items():
        if count > 1:
            yield Complaint((*key, "ideas"), f"the idea {one} of {name} stands twice", "rename one of them")


_WANTED = {
    None: (0, 0),
    Evidence.CONSTANT: (1, 1),
    Evidence.ALIKE: (1, 1),
    Evidence.SCATTERED: (1, 1),
    Evidence.ABOVE: (2, 6),
    Evidence.BELOW: (2, 6),
}
_MEND_COLUMNS = "name the column that stays the same, x and y, or the item and those it is above or below"


def _held_against(rubric: Rubric, question: Question, name: str, key: Key) -> Iterator[Complaint]:
    for one in question.beside or ():
        if one not in rubric.items or rubric.items[one].is_words or rubric.items[one].table is not None:
            yield Complaint((*key, "beside"), f"{one} is no single number here", "name two answers or readings")
    for idea in question.ideas:
        fewest, most = _WANTED.get(idea.evidence, (2, 2))
        if not fewest <= len(idea.columns) <= most:
            problem = f"the idea {idea.id} of {name} names {len(idea.columns)} columns, and its evidence needs {fewest}"
            yield Complaint((*key, "ideas"), problem, _MEND_COLUMNS)
        is_ordered = idea.evidence in (Evidence.ABOVE, Evidence.BELOW)
        for column in idea.columns:
            if column not in rubric.items or (rubric.items[column].table is None) is not is_ordered:
                kind, mend = ("single item", "a single item") if is_ordered else ("column", "a column of a table")
                yield Complaint((*key, "ideas"), f"{column} is no {kind} here", f"name {mend}")


def _tested(rubric: Rubric, question: Question, key: Key) -> Iterator[Complaint]:
    selector = rubric.items.get(rubric.selector or "")
    words = [choice.word for choice in selector.choices] if selector else []
    for source in question.sources:
        for word in source.when:
            if word not in words:
                problem = f"the source {source.id} is for {word!r}, which the selector does not offer"
                yield Complaint((*key, "sources"), problem, f"use one of {', '.join(words) or 'its choices'}")


def worked_complaints(rubric: Rubric) -> Iterator[Complaint]:
    """Yield what is wrong with the names of the worked examples; whether they come out right is seen by marking."""
    for number, worked in enumerate(rubric.worked):
        for part, texts in (("entries", worked.entries), ("answers", worked.answers)):
            for name in texts:
                if name not in rubric.items:
                    problem = f"the worked example names {name}, which is no item here"
                    yield Complaint(("worked", number, part), problem, "mend the name")
