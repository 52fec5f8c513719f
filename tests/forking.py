"""`python forking.py SECONDS`: forks a process for each command asked for by a line of JSON; answers with its exit status.

A line has `arguments`, `env`, and the files that take standard output and error. A command that takes longer than
SECONDS ends by SIGALRM.
"""

import importlib
import json
import os
import pkgutil
import signal
import sys
import traceback
from typing import Any

from rooms import ROOMS


def main(seconds: int) -> None:
    """Import what the commands import, then answer until the input ends."""
    for room in ROOMS:
        package = importlib.import_module(f"costplan.{room}")
        for module in pkgutil.iter_modules(package.__path__):
            importlib.import_module(f"costplan.{room}.{module.name}")
    importlib.import_module("ortools.sat.python.cp_model")
    for line in sys.stdin:
        child = os.fork()
        if not child:
            run(json.loads(line), seconds)
        print(os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), flush=True)


def run(asked: dict[str, Any], seconds: int) -> None:
    """Be the command that is asked for, and end with its status."""
    status: object = 1
    try:
        signal.alarm(seconds)
        os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
        for number, name in ((1, "out"), (2, "err")):
            os.dup2(os.open(asked[name], os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), number)
        os.environ.clear()
        os.environ.update(asked["env"])
        sys.argv = ["costplan", *asked["arguments"]]
        from costplan.cli.main import run as command

        command()
        status = 0
    except SystemExit as end:
        status = end.code
    except BaseException:
        traceback.print_exc()
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(status if isinstance(status, int) else 0 if status is None else 1)


if __name__ == "__main__":
    main(int(sys.argv[1]))
