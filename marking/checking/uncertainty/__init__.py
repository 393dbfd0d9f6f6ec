"""Uncertainties after JCGM 100, and as schools work them out: judged answers in, half-widths and agreement out."""

from marking.checking.uncertainty.agreement import fitting
from marking.checking.uncertainty.jcgm import coverage_factor
from marking.checking.uncertainty.of_results import ResultUncertainties, result_uncertainties
from marking.checking.uncertainty.stated import judge_uncertainties

__all__ = ["ResultUncertainties", "coverage_factor", "fitting", "judge_uncertainties", "result_uncertainties"]
