"""First marks beside second marks: agreement, doubt, and who is off."""

from marking.moderation.comparing.second_look import SecondLook
from marking.moderation.comparing.together import Together, together
from marking.moderation.comparing.whole_round import Comparison, GroupAgreement, compare

__all__ = ["Comparison", "GroupAgreement", "SecondLook", "Together", "compare", "together"]
