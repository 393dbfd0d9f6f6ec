"""How the property tests look for examples: the same ones on every run, so that one commit has one outcome.

New examples are looked for with ``pytest --hypothesis-profile search``; what that finds becomes an example by name.
"""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("search", deadline=None)
settings.register_profile("same", parent=settings.get_profile("search"), derandomize=True)
settings.load_profile("same")
