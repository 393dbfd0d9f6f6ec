"""Short answers: which ideas of a question a text holds, and the words that it rests on."""

from marking.checking.short_answers.matching import read_answer
from marking.checking.short_answers.proposals import Parts, Proposal, Why
from marking.checking.short_answers.words import read_as_one_word

__all__ = ["Parts", "Proposal", "Why", "read_answer", "read_as_one_word"]
