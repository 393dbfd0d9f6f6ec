"""Which form a sheet has, and what each form yields: cells in, entries by student and item out."""

from marking.intake.forms import own_layout
from marking.intake.forms.csv_forms import read_csv
from marking.intake.forms.same_student import PARTED_BY
from marking.intake.forms.tidy import HEADINGS, TidySheet, UnknownName, tell_unknown, tidy_columns
from marking.intake.forms.trial_sheet import TRIAL_ROWS, trial_heading, trial_items, trial_lines, write_trials_file
from marking.intake.forms.trials import TRIAL_FILES, read_trials_file, settled_trials, trial_batch
from marking.intake.forms.workbook_forms import read_workbook_input

__all__ = [
    "HEADINGS",
    "PARTED_BY",
    "TRIAL_FILES",
    "TRIAL_ROWS",
    "TidySheet",
    "UnknownName",
    "own_layout",
    "read_csv",
    "read_trials_file",
    "read_workbook_input",
    "settled_trials",
    "tell_unknown",
    "tidy_columns",
    "trial_batch",
    "trial_heading",
    "trial_items",
    "trial_lines",
    "write_trials_file",
]
