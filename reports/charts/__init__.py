"""Charts drawn straight on the page: figures in, marks of ink out. Works nothing out but scales."""

from reports.charts.class_charts import CriterionStrips, DotPlot, Histogram, names_of
from reports.charts.student_charts import ResultScale, Scatter

__all__ = ["CriterionStrips", "DotPlot", "Histogram", "ResultScale", "Scatter", "names_of"]
