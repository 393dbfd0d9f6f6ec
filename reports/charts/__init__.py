"""Charts drawn straight on the page: figures in, marks of ink out. Works nothing out but scales."""

from reports.charts.axes import TICK_SIZE, Axis, axis, inset
from reports.charts.class_charts import CriterionStrips, DotPlot, Histogram, names_of
from reports.charts.class_points import ClassPoints
from reports.charts.student_charts import Chart, ResultScale, Scatter, is_straight

__all__ = [
    "TICK_SIZE",
    "Axis",
    "Chart",
    "ClassPoints",
    "CriterionStrips",
    "DotPlot",
    "Histogram",
    "ResultScale",
    "Scatter",
    "axis",
    "inset",
    "is_straight",
    "names_of",
]
