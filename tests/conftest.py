"""Puts this folder on the path, so that tests can import `strategies`; fixes hypothesis' seed; collects garbage seldom."""

import gc

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
