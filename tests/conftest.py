"""Puts this folder on the path, so that tests can import `strategies`; fixes hypothesis' seed; collects garbage seldom."""

import atexit
import gc
import os
import shutil
import tempfile

from command import ANSWERS
from hypothesis import HealthCheck, settings

settings.register_profile(
    "ci",
    derandomize=True,
    deadline=None,
    database=None,
    max_examples=20,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
settings.load_profile("ci")

# As in the command itself: catalogs and programs are kept to the end, and walking over them takes a fifth of the time.
gc.set_threshold(200_000, 20, 50)


def pytest_configure() -> None:
    """Where commands that were asked with the same words once in this run are answered from; workers inherit it."""
    if ANSWERS not in os.environ:
        os.environ[ANSWERS] = tempfile.mkdtemp()
        atexit.register(shutil.rmtree, os.environ[ANSWERS], ignore_errors=True)
