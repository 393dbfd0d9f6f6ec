"""Apparatus that reads off: readings of a class by bench in, notes on benches out. Never knows a mark."""

from marking.cohort.benches.bench_notes import bench_notes
from marking.cohort.benches.bench_quantities import Trials

__all__ = ["Trials", "bench_notes"]
