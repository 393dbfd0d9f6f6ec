"""A write-up and its rubric in, findings out; one small file a kind of check."""
