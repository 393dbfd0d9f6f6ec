"""Which shape a set of points has: arrays in, probabilities of each shape out. Never knows what a student claimed."""

from marking.checking.curves.curve_drawing import drawn_curve
from marking.checking.curves.curve_shapes import MODELS, SURE, Shapes, shapes

__all__ = ["MODELS", "SURE", "Shapes", "drawn_curve", "shapes"]
