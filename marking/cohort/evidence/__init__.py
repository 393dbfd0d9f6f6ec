"""What the search for benches and for leads both ask of readings.

Ratios worked out from them, and how likely luck is.
"""

from marking.cohort.evidence.odds import luck_in_words
from marking.cohort.evidence.partners import Partners, partners_in, partners_of, readings_key
from marking.cohort.evidence.reworking import exponents_of, instrument_of, logs_of, readings_of, worked_out
from marking.cohort.evidence.tails import at_least

__all__ = [
    "Partners",
    "at_least",
    "exponents_of",
    "instrument_of",
    "logs_of",
    "luck_in_words",
    "partners_in",
    "partners_of",
    "readings_key",
    "readings_of",
    "worked_out",
]
