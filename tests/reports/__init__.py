"""Paper, workbooks and tables: what they say, and how they look."""
