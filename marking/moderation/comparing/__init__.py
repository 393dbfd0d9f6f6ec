"""First marks beside second marks: agreement, doubt, and who is off."""

from marking.moderation.comparing.second_look import SecondLook
from marking.moderation.comparing.together import Together, together
from marking.moderation.comparing.whole_round import Comparison, GroupAgreement, Reviewed, compare

__all__ = ["Comparison", "GroupAgreement", "Reviewed", "SecondLook", "Together", "compare", "together"]
