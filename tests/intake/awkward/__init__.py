"""Awkward files: one clean class, spoilt in one way at a time."""

from tests.intake.awkward.case import Case
from tests.intake.awkward.csv_files import csv_cases
from tests.intake.awkward.files import file_cases
from tests.intake.awkward.layouts import layout_cases
from tests.intake.awkward.people import people_cases
from tests.intake.awkward.values import value_cases

ALL_CASES: tuple[Case, ...] = (*value_cases(), *people_cases(), *layout_cases(), *csv_cases(), *file_cases())

__all__ = ["ALL_CASES", "Case"]
