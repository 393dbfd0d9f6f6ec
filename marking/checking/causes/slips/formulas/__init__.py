"""Which wrong formulas there are for an answer. In: a rubric. Out: formulas. Never knows a student."""

from marking.checking.causes.slips.formulas.fingerprints import same_value
from marking.checking.causes.slips.formulas.formula_variants import Variant
from marking.checking.causes.slips.formulas.formulas_tried import WrongFormula, formula_words, wrong_formulas

__all__ = ["Variant", "WrongFormula", "formula_words", "same_value", "wrong_formulas"]
