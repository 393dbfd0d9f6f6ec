"""Answers that were marked before, and how much likelier the words of a new one are among those that earned nothing."""

from marking.checking.short_answers.marked_before.answers import Marked, marked_before
from marking.checking.short_answers.marked_before.like_marked import signs_of, weight_against

__all__ = ["Marked", "marked_before", "signs_of", "weight_against"]
