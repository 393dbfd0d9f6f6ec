"""The verbs of a department: sample, moderate, appeal."""
