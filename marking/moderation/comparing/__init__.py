"""First marks beside second marks: agreement, doubt, and who is off."""

from marking.moderation.comparing.comparison import Comparison, GroupAgreement, compare
from marking.moderation.comparing.second_look import SecondLook
from marking.moderation.comparing.together import CriterionTogether, Together, together

__all__ = ["Comparison", "CriterionTogether", "GroupAgreement", "SecondLook", "Together", "compare", "together"]
