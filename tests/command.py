"""Runs the command line as a user would: a process of its own, its output in files, no terminal.

The processes are forked from one that has imported what the commands import, since a third of the suite's time went there.
`cli/test_forked.py` holds them against processes started anew; where there is no fork every process is.
"""

import atexit
import json
import os
import pickle
import subprocess
import sys
import tempfile
from collections.abc import Mapping
from functools import cache
from hashlib import sha256
from pathlib import Path

ROOT = Path(__file__).parents[1]
TINY = "examples/tiny/shop.yaml"
BARGAIN = "examples/bargain/shop.yaml"
COMMANDS = (
    *("compare", "size", "check", "schema", "example", "cautions", "next", "shopping", "scope", "bids"),
    *("explain", "start", "jobs", "record", "catalog", "guide"),
    *("catalog add", "catalog reprice", "catalog remove", "catalog import"),
    *("catalog copy", "catalog odd", "catalog history", "catalog calls"),
)
"""Every command, as typed."""
LONGEST_S = 300
ANSWERS = "COSTPLAN_TEST_ANSWERS"
"""Names the folder of answers that the processes of one run of the suite share; `conftest.py` sets it."""

Done = subprocess.CompletedProcess[str]


@cache
def costplan(*arguments: str, columns: int = 100) -> Done:
    """The finished process of `costplan ARGUMENTS` in the project's folder; asked once per argument list.

    columns: characters in a row of the terminal, as it says itself.
    """
    folder = os.environ.get(ANSWERS)
    if folder is None:
        return run(*arguments, env={"COLUMNS": str(columns)})
    answer = Path(folder) / sha256(repr((arguments, columns)).encode()).hexdigest()
    if not answer.exists():
        done = run(*arguments, env={"COLUMNS": str(columns)})
        written = answer.with_suffix(f".{os.getpid()}")
        written.write_bytes(pickle.dumps(done))
        written.replace(answer)
    known: Done = pickle.loads(answer.read_bytes())
    return known


def run(*arguments: str, env: Mapping[str, str] | None = None) -> Done:
    """The finished process of `costplan ARGUMENTS` in the project's folder, asked anew."""
    whole = environment(env or {})
    return _forked(arguments, whole) if hasattr(os, "fork") else started(arguments, whole)


def environment(more: Mapping[str, str]) -> dict[str, str]:
    """The environment of a command whose output is piped."""
    env = {name: text for name, text in os.environ.items() if not name.startswith(("TYPER_", "FORCE_COLOR"))}
    return env | {"NO_COLOR": "1", "PYTHONIOENCODING": "utf-8", **more}


def started(arguments: tuple[str, ...], env: Mapping[str, str]) -> Done:
    """The finished process of `python -m costplan ARGUMENTS`."""
    command = [sys.executable, "-m", "costplan", *arguments]
    return subprocess.run(
        command,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        encoding="utf-8",
        env=dict(env),
        cwd=ROOT,
        timeout=LONGEST_S,
        check=False,
    )


def _forked(arguments: tuple[str, ...], env: Mapping[str, str]) -> Done:
    with tempfile.TemporaryDirectory() as folder:
        out, err = Path(folder) / "out", Path(folder) / "err"
        asked = {"arguments": arguments, "env": dict(env), "out": str(out), "err": str(err)}
        server = _server()
        assert server.stdin is not None
        assert server.stdout is not None
        server.stdin.write(json.dumps(asked) + "\n")
        server.stdin.flush()
        status = int(server.stdout.readline())
        said, complained = (path.read_bytes().decode("utf-8") for path in (out, err))
        # As a pipe read as text has them.
        return subprocess.CompletedProcess(
            ["costplan", *arguments], status, said.replace("\r\n", "\n"), complained.replace("\r\n", "\n")
        )


@cache
def _server() -> "subprocess.Popen[str]":
    """The process that commands are forked from, one for each process of the suite."""
    server = subprocess.Popen(
        [sys.executable, str(Path(__file__).with_name("forking.py")), str(LONGEST_S)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        cwd=ROOT,
        env=environment({}),
    )
    atexit.register(server.kill)
    return server
