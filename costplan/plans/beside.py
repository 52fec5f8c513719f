"""Work done beside other work: in a process of its own where the machine has one to spare, else when it is asked for."""

import os
import pickle
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from signal import SIGKILL
from typing import TypeVar

T = TypeVar("T")


def spare_process() -> bool:
    """Whether a copy of this process can work beside it: two processors, no other thread, and a system made for that."""
    if not hasattr(os, "fork") or sys.platform == "darwin" or threading.active_count() > 1:
        return False
    can = getattr(os, "sched_getaffinity", None)
    return (len(can(0)) if can is not None else os.cpu_count() or 1) > 1


@contextmanager
def beside(work: Callable[[], T], *, pays: bool) -> Iterator[Callable[[], T]]:
    """A function that gives what the work gives, begun at once in a copy of this process where that can be and `pays`.

    A copy that fails says nothing: the work is done here then, and raises here what it raises.
    """
    if not (pays and spare_process()):
        yield work
        return
    reading, writing = os.pipe()
    copy = os.fork()
    if copy == 0:
        _work_and_end(work, reading, writing)
    os.close(writing)
    ended = False

    def result() -> T:
        nonlocal ended
        with os.fdopen(reading, "rb") as told:
            said = told.read()
        _, status = os.waitpid(copy, 0)
        ended = True
        done: T = pickle.loads(said) if status == 0 else work()
        return done

    try:
        yield result
    finally:
        if not ended:
            os.kill(copy, SIGKILL)
            os.waitpid(copy, 0)


def _work_and_end(work: Callable[[], T], reading: int, writing: int) -> None:
    """The work of the copy, which tells the result and ends without any of what the first process does at its end."""
    status = 1
    try:
        os.close(reading)
        with os.fdopen(writing, "wb") as told:
            told.write(pickle.dumps(work(), pickle.HIGHEST_PROTOCOL))
        status = 0
    finally:
        os._exit(status)
