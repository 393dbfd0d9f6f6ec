"""Slips that one student makes, or many of a class alike: exchanged readings, moved points, minus signs left out.

Made apart from ``tests/benchmarks/lesson``: every practical that a simulator exists for, classes with coarse and fine
meters and settings kept or read, and up to four fifths of the class with one and the same slip.
"""
