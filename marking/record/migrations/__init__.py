"""How the tables came to be as they are, step by step; run by Alembic."""
