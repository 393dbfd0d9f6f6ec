"""A second set of simulated classes, made apart from ``tests/cohort/simulated``: nineteen other practicals.

Here every instrument has a step and a scatter of its own in its own unit, benches share apparatus of one delivery, what
is set is set to the same values by the whole class, and students are careless now and then. Coarse instruments make
honest tables nearly or wholly the same: what is set is the same for everybody, and what is read has few digits.
"""
