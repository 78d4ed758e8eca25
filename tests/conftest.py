"""How many examples a law draws.

``LAWS=thorough`` draws ten times as many examples as the quick run that everybody waits for.
"""

from __future__ import annotations

import os

from hypothesis import settings

for profile, examples in (("quick", 30), ("thorough", 300)):
    settings.register_profile(profile, max_examples=examples, deadline=None, derandomize=True)
settings.load_profile(os.environ.get("LAWS", "quick"))
