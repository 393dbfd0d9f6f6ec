"""From files to write-ups, as they were written. Never knows a mark."""

from marking.intake.input_files import InputFiles, list_inputs, path_here
from marking.intake.read_inputs import Reading, read_all, read_inputs

__all__ = ["InputFiles", "Reading", "list_inputs", "path_here", "read_all", "read_inputs"]
