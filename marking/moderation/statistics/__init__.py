"""How well two markers agree: a small file for each statistic, and all of them together under the rule of ten."""

from marking.moderation.statistics.all_figures import Agreement, agreement
from marking.moderation.statistics.closeness import Closeness, closeness, usual_tolerance
from marking.moderation.statistics.many_markers_kappa import many_markers_kappa

__all__ = ["Agreement", "Closeness", "agreement", "closeness", "many_markers_kappa", "usual_tolerance"]
