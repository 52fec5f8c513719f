"""A progress bar on stderr, only on a terminal and only when the work takes longer than a second."""

import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from time import monotonic

EXPECTED_STEPS = 20
WIDTH = 30


@contextmanager
def progress() -> Iterator[Callable[[], None]]:
    """A function to call after each step; it draws nothing for a pipe, a dumb terminal, or quick work."""
    started = monotonic()
    shown = sys.stderr.isatty() and os.environ.get("TERM") != "dumb"
    steps = 0

    def tick() -> None:
        nonlocal steps
        steps += 1
        if shown and monotonic() - started > 1:
            done = min(steps / EXPECTED_STEPS, 0.99)
            bar = "#" * int(done * WIDTH)
            sys.stderr.write(f"\rcomparing [{bar:<{WIDTH}}]")
            sys.stderr.flush()

    try:
        yield tick
    finally:
        if shown and monotonic() - started > 1:
            sys.stderr.write("\r" + " " * (WIDTH + 14) + "\r")
            sys.stderr.flush()
