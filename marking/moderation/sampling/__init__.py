"""Which scripts are marked a second time, and by whom: a stated rule, a stated seed, the others in turn."""

from marking.moderation.sampling.candidates import Candidate, ClassMarks, Undecided, candidates
from marking.moderation.sampling.drawing import Sampled, draw
from marking.moderation.sampling.in_turn import in_turn
from marking.moderation.sampling.sampling_rule import Reason, SamplingRule
from marking.moderation.sampling.standardising import to_mark_together

__all__ = [
    "Candidate",
    "ClassMarks",
    "Reason",
    "Sampled",
    "SamplingRule",
    "Undecided",
    "candidates",
    "draw",
    "in_turn",
    "to_mark_together",
]
