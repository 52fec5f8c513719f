"""A progress bar on stderr with what is being proven, only on a terminal and only when the work takes longer than a second."""

import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from time import monotonic

from costplan.files.visible import visible

EXPECTED_STEPS = 20
WIDTH = 24
LINE = 78
"""Characters of the whole line."""


@contextmanager
def progress() -> Iterator[Callable[[str], None]]:
    """A function to call ahead of each step, in a few words; it draws nothing for a pipe, a dumb terminal, or quick work."""
    started = monotonic()
    shown = sys.stderr.isatty() and os.environ.get("TERM") != "dumb"
    steps = 0

    def tick(what: str) -> None:
        nonlocal steps
        steps += 1
        if shown and monotonic() - started > 1:
            done = min(steps / EXPECTED_STEPS, 0.99)
            bar = "#" * int(done * WIDTH)
            line = f"comparing [{bar:<{WIDTH}}] {visible(what)}"
            sys.stderr.write(f"\r{line[:LINE]:<{LINE}}")
            sys.stderr.flush()

    try:
        yield tick
    finally:
        if shown and monotonic() - started > 1:
            sys.stderr.write("\r" + " " * LINE + "\r")
            sys.stderr.flush()
