"""Runs the steps on the connection that the record has opened."""

from __future__ import annotations

from alembic import context

context.configure(connection=context.config.attributes["connection"], target_metadata=None)
context.run_migrations()
