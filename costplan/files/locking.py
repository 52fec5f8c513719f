"""One writer at a time in a folder; the lock ends with the process that holds it, however it ends."""

import os
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from costplan.files.problems import At, Problem, UserMistakeError

LONGEST_WAIT_S = 20.0
_PAUSE_S = 0.02

if sys.platform == "win32":
    import msvcrt

    def _open(folder: Path) -> int:
        return os.open(folder / ".costplan.lock", os.O_RDWR | os.O_CREAT)

    def _try_lock(handle: int) -> bool:
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

else:
    import errno
    import fcntl

    # Some network disks know no locks; comparing before replacing must do there.
    _NO_LOCKS = (errno.ENOLCK, errno.ENOTSUP, errno.EINVAL)

    def _open(folder: Path) -> int:
        return os.open(folder, os.O_RDONLY)

    def _try_lock(handle: int) -> bool:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        except OSError as error:
            if error.errno in _NO_LOCKS:
                return True
            raise
        return True


@contextmanager
def locked(folder: Path, longest_wait_s: float = LONGEST_WAIT_S) -> Iterator[None]:
    """Hold the folder against other writers that ask for it too; wait up to `longest_wait_s` for them.

    Raises UserMistakeError when the folder cannot be opened, or another writer holds it for too long.
    """
    try:
        handle = _open(folder)
    except OSError as error:
        raise _mistake(
            folder, f"cannot be opened: {error.strerror}", "check the folder and its permissions"
        ) from error
    try:
        until = time.monotonic() + longest_wait_s
        while not _try_lock(handle):
            if time.monotonic() >= until:
                message = f"is being written to by another program for {longest_wait_s:g} seconds now"
                raise _mistake(folder, message, "wait for it to end, then try again; nothing was written")
            time.sleep(_PAUSE_S)
        yield
    finally:
        os.close(handle)


def _mistake(folder: Path, message: str, mend: str) -> UserMistakeError:
    return UserMistakeError([Problem("folder-not-locked", At(str(folder)), "", message, mend)])
