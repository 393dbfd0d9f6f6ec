from __future__ import annotations

from collections import Counter

from tests.short_answers.labelled import half, labelled, score, score_ideas

FEWEST = 400
LEAST_PRECISION = 0.97
LEAST_RECALL = 0.59
LEAST_RECALL_OF_IDEAS = 0.75
"""Single ideas are found more often than whole answers are proposed: those unlike any before wait for the teacher."""


def test_labels_cover_all_kinds_of_answers() -> None:
    """There are at least 400 answers, of every kind, and every label is an idea of its question."""
    answers = labelled()
    assert len(answers) >= FEWEST
    assert set(Counter(one.kind for one in answers)) == {
        "good", "partial", "wrong", "contradictory", "misspelt", "off topic"
    }  # fmt: skip
    for one in answers:
        sought = {"source", "loss", "direction"} if one.asked.sources else {idea.id for idea in one.asked.ideas}
        assert one.ideas <= sought
    assert all(abs(len(half(for_report=side)) / len(answers) - 0.5) < 0.05 for side in (True, False))


def test_proposed_marks_fit_the_labels_of_the_half_that_nothing_was_tuned_on() -> None:
    """Of the marks proposed at least 97 in 100 are earned; of those earned at least 59 in 100 are proposed."""
    found = score(half(for_report=True))
    assert found.precision >= LEAST_PRECISION
    assert found.recall >= LEAST_RECALL


def test_single_ideas_fit_the_labels_of_the_half_that_nothing_was_tuned_on() -> None:
    """The same holds idea by idea, and of those more are found."""
    found = score_ideas(half(for_report=True))
    assert found.precision >= LEAST_PRECISION
    assert found.recall >= LEAST_RECALL_OF_IDEAS
