"""Straight lines, parabolas, means and values read off a line: arrays in, arrays out. Knows no student and no unit."""

from marking.checking.fits.line_families import DRAWN_FITS, FITS, ORIGIN, PARABOLA, fit_value, scatter
from marking.checking.fits.outliers import LEAST_STEPS, grubbs_distance, grubbs_limit
from marking.checking.fits.parabolas import bends
from marking.checking.fits.read_offs import read_off, read_off_interval
from marking.checking.fits.repeat_means import concordant_mean, concordant_means, mean_of, means_of
from marking.checking.fits.straight_lines import LineFit, fit_lines, odd_points

__all__ = [
    "DRAWN_FITS",
    "FITS",
    "LEAST_STEPS",
    "ORIGIN",
    "PARABOLA",
    "LineFit",
    "bends",
    "concordant_mean",
    "concordant_means",
    "fit_lines",
    "fit_value",
    "grubbs_distance",
    "grubbs_limit",
    "mean_of",
    "means_of",
    "odd_points",
    "read_off",
    "read_off_interval",
    "scatter",
]
