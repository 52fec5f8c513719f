"""Puts this folder on the path, so that tests can import `strategies`; fixes hypothesis' seed; collects garbage seldom.

Every night, `pytest --hypothesis-profile=fresh` draws other shops and prints their seed, for `--hypothesis-seed`.
"""

import atexit
import gc
import os
import secrets
import shutil
import tempfile

import pytest
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
settings.register_profile("fresh", settings.get_profile("ci"), derandomize=False, max_examples=200)
settings.load_profile("ci")

# As in the command itself: catalogs and programs are kept to the end, and walking over them takes a fifth of the time.
gc.set_threshold(200_000, 20, 50)


@pytest.hookimpl(tryfirst=True)
def pytest_configure(config: pytest.Config) -> None:
    """Where commands that were asked with the same words once in this run are answered from; workers inherit it."""
    if _fresh(config) and config.option.hypothesis_seed is None:
        config.option.hypothesis_seed = str(secrets.randbelow(2**32))
    if ANSWERS not in os.environ:
        os.environ[ANSWERS] = tempfile.mkdtemp()
        atexit.register(shutil.rmtree, os.environ[ANSWERS], ignore_errors=True)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    """How to draw the same fresh shops again."""
    if _fresh(config):
        terminalreporter.line(
            f"fresh shops: again by --hypothesis-profile=fresh --hypothesis-seed={config.option.hypothesis_seed}"
        )


def _fresh(config: pytest.Config) -> bool:
    return bool(config.option.hypothesis_profile == "fresh")
