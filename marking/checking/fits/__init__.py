"""Straight lines, parabolas, means and values read off a line: arrays in, arrays out. Knows no student and no unit."""

from marking.checking.fits.drawn_allowance import (
    DRAWN_ERRORS,
    DRAWN_SHARE,
    READ_OFF_SHARE,
    UNSURE_SHARE,
    Room,
    line_room,
    line_rooms,
)
from marking.checking.fits.line_families import DRAWN_FITS, FITS, ORIGIN, fit_value, scatter
from marking.checking.fits.outliers import LEAST_STEPS, chance_beside_others, grubbs_distance, grubbs_limit
from marking.checking.fits.parabolas import bends
from marking.checking.fits.read_offs import crossings, read_off
from marking.checking.fits.repeat_means import (
    concordant_mean,
    concordant_means,
    concordant_runs,
    mean_of,
    means_of,
)
from marking.checking.fits.straight_lines import LineFit, fit_lines, gradients, odd_points
from marking.checking.fits.straight_parts import straight_part

__all__ = [
    "DRAWN_ERRORS",
    "DRAWN_FITS",
    "DRAWN_SHARE",
    "FITS",
    "LEAST_STEPS",
    "ORIGIN",
    "READ_OFF_SHARE",
    "UNSURE_SHARE",
    "LineFit",
    "Room",
    "bends",
    "chance_beside_others",
    "concordant_mean",
    "concordant_means",
    "concordant_runs",
    "crossings",
    "fit_lines",
    "fit_value",
    "gradients",
    "grubbs_distance",
    "grubbs_limit",
    "line_room",
    "line_rooms",
    "mean_of",
    "means_of",
    "odd_points",
    "read_off",
    "scatter",
    "straight_part",
]
