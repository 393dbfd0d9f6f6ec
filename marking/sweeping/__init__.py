"""Files that the program keeps, with one student taken out: folders and a code in, what became of each file out."""

from marking.sweeping.folders import Swept, swept_folder

__all__ = ["Swept", "swept_folder"]
