"""What a practical is: items, units, formulas, criteria, cautions. Knows nothing of students."""
