"""Do markers mean the same by a mark? Samples, second marks, agreement, and what is decided. Never knows a page."""
