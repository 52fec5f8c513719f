"""Work done beside other work: in a process of its own where the machine has one to spare, else when it is asked for."""

import os
import pickle
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from signal import SIGKILL
from typing import Generic, TypeVar

T = TypeVar("T")


def spare_process() -> bool:
    """Whether a copy of this process can work beside it: two processors, no other thread, and a system made for that."""
    if not hasattr(os, "fork") or sys.platform == "darwin" or threading.active_count() > 1:
        return False
    can = getattr(os, "sched_getaffinity", None)
    return (len(can(0)) if can is not None else os.cpu_count() or 1) > 1


@dataclass
class Beside(Generic[T]):
    """Work that a copy of this process does, told through `reading`; without a copy, work still to be done here."""

    work: Callable[[], T]
    copy: int | None = None
    reading: int = -1

    @property
    def under_way(self) -> bool:
        """Whether a copy does it, so that something else may be done here first."""
        return self.copy is not None

    def result(self) -> T:
        """What the work gives; a copy that fails says nothing, and the work is done here, to raise here what it raises."""
        if self.copy is None:
            return self.work()
        with os.fdopen(self.reading, "rb") as told:
            said = told.read()
        _, status = os.waitpid(self.copy, 0)
        self.copy = None
        done: T = pickle.loads(said) if status == 0 else self.work()
        return done


@contextmanager
def beside(work: Callable[[], T], *, pays: bool) -> Iterator[Beside[T]]:
    """The work, begun at once in a copy of this process where that can be and `pays`; left undone if nobody asks for it."""
    if not (pays and spare_process()):
        yield Beside(work)
        return
    reading, writing = os.pipe()
    copy = os.fork()
    if copy == 0:
        _work_and_end(work, reading, writing)
    os.close(writing)
    begun = Beside(work, copy, reading)
    try:
        yield begun
    finally:
        if begun.under_way:
            os.kill(copy, SIGKILL)
            os.waitpid(copy, 0)
            os.close(reading)


def _work_and_end(work: Callable[[], T], reading: int, writing: int) -> None:
    """The work of the copy, which tells the result and ends without any of what the first process does at its end."""
    status = 1
    try:
        os.close(reading)
        silent = os.open(os.devnull, os.O_WRONLY)
        for stream in (1, 2):
            os.dup2(silent, stream)
        with os.fdopen(writing, "wb") as told:
            told.write(pickle.dumps(work(), pickle.HIGHEST_PROTOCOL))
        status = 0
    finally:
        os._exit(status)
