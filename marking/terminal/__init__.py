"""What lies between a shell and the verbs: the command line understood, help, completion, and how a run ends.

Words typed go in, an exit status and one clear line come out. Never knows a practical, and loads nothing heavy.
"""

from marking.terminal.command_line import CommandLine, ShowVersion
from marking.terminal.department_options import add_appeal, add_moderate, add_sample, add_served
from marking.terminal.ending import NOTHING_DONE, disk_words, told_in_a_line
from marking.terminal.tab_key import SHELLS, is_completing, offer_completion, practicals, shell_words

__all__ = [
    "NOTHING_DONE",
    "SHELLS",
    "CommandLine",
    "ShowVersion",
    "add_appeal",
    "add_moderate",
    "add_sample",
    "add_served",
    "disk_words",
    "is_completing",
    "offer_completion",
    "practicals",
    "shell_words",
    "told_in_a_line",
]
