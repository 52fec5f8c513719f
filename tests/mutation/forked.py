"""Runs the same tests again and again, each time in a fork of a process that has imported what no mutant changes.

`python forked.py SOCKET MODULE TEST... -- TEST...` is started in the copy of the project whose modules are changed on the
disk, and answers every connection to SOCKET with one byte: `0` when all tests passed. Those after `--` run when those before
it passed. A fork may take the processor five times as
long as the tests take unchanged; what goes on longer counts as failed, however busy the machine is.
"""

import contextlib
import gc
import importlib
import os
import pkgutil
import resource
import signal
import socket
import sys
from pathlib import Path

MEMORY_BYTES = 6 * 2**30


def main(address: str, changed: str, words: list[str]) -> None:
    end = words.index("--") if "--" in words else len(words)
    tests = [words[:end], *([words[end + 1 :]] if words[end + 1 :] else [])]
    room = changed.split("/")[0]
    sys.path[:0] = [str(Path.cwd()), str(Path.cwd() / "tests")]
    from rooms import ROOMS

    os.environ["PYTEST_DISABLE_PLUGIN_AUTOLOAD"] = "1"
    for name in ("pytest", "hypothesis", "pydantic", "yaml", "tabulate", "ortools.sat.python.cp_model"):
        importlib.import_module(name)
    # Rooms before the mutant's own do not import it.
    for above in ROOMS[: ROOMS.index(room)]:
        package = importlib.import_module(f"costplan.{above}")
        for module in pkgutil.iter_modules(package.__path__):
            importlib.import_module(f"costplan.{above}.{module.name}")
    if f"costplan.{changed.replace('/', '.')}" in sys.modules:
        sys.exit(f"{changed} is imported before its mutants are made")
    gc.collect()
    gc.freeze()
    before = used_s()
    if not passes(tests, None):
        sys.exit("the tests fail without any mutant")
    at_most_s = 5 * (used_s() - before) + 5
    sys.dont_write_bytecode = True
    with socket.socket(socket.AF_UNIX) as listening:
        listening.bind(address)
        listening.listen()
        print(f"tests take {used_s() - before:.1f} s of the processor", flush=True)
        while True:
            connection, _ = listening.accept()
            with connection, contextlib.suppress(BrokenPipeError):
                connection.sendall(b"0" if passes(tests, at_most_s) else b"1")


def used_s() -> float:
    """Seconds of the processor that all forks took until now."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def passes(tests: list[list[str]], at_most_s: float | None) -> bool:
    """Whether all tests pass in a fork of this process."""
    child = os.fork()
    if child:
        return os.waitpid(child, 0)[1] == 0
    code = 1
    try:
        signal.signal(signal.SIGXCPU, signal.SIG_DFL)
        if at_most_s is not None:
            resource.setrlimit(resource.RLIMIT_CPU, (int(at_most_s), int(at_most_s) + 1))
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))
        os.setpgid(0, 0)
        if at_most_s is not None:
            quiet = os.open(os.devnull, os.O_WRONLY)
            os.dup2(quiet, 1)
            os.dup2(quiet, 2)
        import pytest

        options = ["-x", "-q", "-p", "no:cacheprovider", "-o", "addopts=", "--no-header"]
        code = next((code for some in tests if (code := int(pytest.main([*options, *some])))), 0)
    finally:
        os._exit(code)


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], sys.argv[3:])
