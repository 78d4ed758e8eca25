"""How many examples a law draws, and how tests are shared out.

``LAWS=thorough`` draws ten times as many examples as the quick run that everybody waits for.
"""

from __future__ import annotations

import os
from typing import Any

import pytest
from hypothesis import settings

for profile, examples in (("quick", 30), ("thorough", 300)):
    settings.register_profile(profile, max_examples=examples, deadline=None, derandomize=True)
settings.load_profile(os.environ.get("LAWS", "quick"))


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> Any:
    """Each process takes tests that stand together, and so makes what they share once; who is done helps the other."""
    from xdist.scheduler.worksteal import WorkStealingScheduling

    return WorkStealingScheduling(config, log)
