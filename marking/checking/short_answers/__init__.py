"""Short answers: which ideas of a question a text holds, and the words that it rests on."""

from marking.checking.short_answers.matching import Proposal, read_answer

__all__ = ["Proposal", "read_answer"]
