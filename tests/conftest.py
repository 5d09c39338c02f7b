"""What every test shares: a Hypothesis profile that measures no time, so that a slow machine fails nothing, and how many run at once."""

import os

import pytest
from hypothesis import settings

settings.register_profile("house", deadline=None, print_blob=True)
settings.load_profile("house")


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_auto_num_workers() -> int:
    """One more than there are processors for `-n auto`: who listens to real sound waits most of the time."""
    ours = os.sched_getaffinity(0) if hasattr(os, "sched_getaffinity") else range(os.cpu_count() or 1)
    return len(ours) + 1
