"""Whatever happens in a command, it ends with a sentence: never with a trace on the screen."""

import errno
import os
import platform
import sys
import tempfile
import traceback
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.metadata import version
from pathlib import Path
from typing import Any

import typer
from typer.core import TyperGroup
from typer.exceptions import TyperException

from costplan.cli.choices import Exit
from costplan.cli.endings import refused
from costplan.cli.screen import say
from costplan.files.visible import short, visible
from costplan.model.money import TooLargeError


class Guarded(TyperGroup):
    """The commands, each guarded."""

    def invoke(self, ctx: Any) -> Any:
        """Run the command; what it did not foresee ends as `guarded` says."""
        with guarded():
            _refuse_closed_output()
            done = super().invoke(ctx)
            sys.stdout.flush()
            return done


@contextmanager
def guarded() -> Iterator[None]:
    """Turn what a command cannot do, and what was not foreseen, into sentences on standard error.

    What `costplan.load` and its like refuse ends as `endings.refused` says.
    A path that the system refuses, a folder that may not be read and an output that is full are the user's to mend:
    exit 2. Amounts that nothing can add up are no plan: exit 3. All else is a defect: exit 1, with the trace in a file
    that the sentence names.
    """
    try:
        yield
    except TyperException as error:
        if hasattr(error, "message"):
            error.message = visible(str(error.message))
        raise
    except (typer.Exit, typer.Abort):
        raise
    except TooLargeError as error:
        say(f"no plan is possible: {error}", error=True)
        raise typer.Exit(Exit.NO_PLAN) from None
    except OSError as error:
        if error.errno == errno.EPIPE:
            raise
        if error.filename is None and error.errno not in _OUTPUT_FULL:
            _defect(error)
        _refused(error)
    except Exception as error:
        refused(error)
        _defect(error)


def _refuse_closed_output() -> None:
    """A closed standard output is none to Python, and what is printed there would be lost without a word."""
    if sys.stdout is None:
        say("the output cannot be written: standard output is closed", error=True)
        raise typer.Exit(Exit.USER_MISTAKE)


_OUTPUT_FULL = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO)


def _refused(error: OSError) -> None:
    if error.filename is None:
        # What is left in the stream would fail once more, with a trace, when the interpreter ends.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        say(f"the output cannot be written: {error.strerror}", error=True)
    else:
        mend = "check the name, the folder and its permissions"
        say(f"{short(str(error.filename))} cannot be used: {error.strerror}; {mend}", error=True)
    raise typer.Exit(Exit.USER_MISTAKE) from None


def _defect(error: Exception) -> None:
    kept = _report(error)
    where = f"; the details are in {kept}" if kept is not None else ""
    say(
        f"This is a defect of costplan and not of your files. Please report it{where}.",
        error=True,
    )
    raise typer.Exit(Exit.DEFECT) from None


def _report(error: Exception) -> Path | None:
    """The trace and what was run, in a file of its own; None where no file can be made."""
    run = " ".join(sys.argv[1:])
    about = f"costplan {version('costplan')}, Python {platform.python_version()}, {platform.platform()}\ncostplan {run}\n\n"
    try:
        handle, name = tempfile.mkstemp(prefix="costplan-report-", suffix=".txt")
        with os.fdopen(handle, "w", encoding="utf-8", errors="backslashreplace") as file:
            file.write(about + "".join(traceback.format_exception(error)))
    except OSError:
        return None
    return Path(name)
