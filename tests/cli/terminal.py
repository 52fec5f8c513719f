"""A person at a pseudo-terminal: types a line at each prompt, and sees what a terminal shows."""

import os
import re
import select
import signal
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from time import monotonic

import pytest

ROOT = Path(__file__).parents[2]
END, INTERRUPT = "\x04", "\x03"
PROMPT = re.compile(r"> \Z")
PROGRAM = (
    "import typer; from costplan.cli.start import register; app = typer.Typer(pretty_exceptions_enable=False);"
    "app.callback()(lambda: None); register(app); app()"
)
"""The command alone, which does not compare."""
ALL = "from costplan.cli.main import run; run()"


@dataclass(frozen=True)
class Shown:
    """How it ended, what the terminal showed, and what it took."""

    status: int
    text: str
    keystrokes: int
    seconds: float

    @property
    def dialogue(self) -> str:
        """What was shown, with plain line ends."""
        return self.text.replace("\r\n", "\n")


def typed(file: Path, words: Sequence[str], lines: Sequence[str], program: str = PROGRAM) -> Shown:
    """What a terminal shows when a person types these lines, one at each prompt; after the last, input ends."""
    pty = pytest.importorskip("pty", reason="there are no pseudo-terminals here")
    person, terminal = pty.openpty()
    began = monotonic()
    process = subprocess.Popen(
        [sys.executable, "-c", program, "start", str(file), *words],
        stdin=terminal,
        stdout=terminal,
        stderr=terminal,
        cwd=ROOT,
        env={**os.environ, "TERM": "dumb", "COLUMNS": "80"},
        close_fds=True,
    )
    os.close(terminal)
    shown, waiting, keys = "", list(lines), 0
    while True:
        ready, _, _ = select.select([person], [], [], 300)
        assert ready, f"no more came after: {shown}"
        try:
            came = os.read(person, 4096)
        except OSError:  # the other end is closed
            break
        if not came:
            break
        shown += came.decode()
        if not PROMPT.search(shown):
            continue
        line = waiting.pop(0) if waiting else END
        keys += len(line) + 1
        if line == INTERRUPT:
            process.send_signal(signal.SIGINT)
        else:
            os.write(person, (line if line == END else f"{line}\n").encode())
    os.close(person)
    return Shown(process.wait(timeout=60), shown, keys, monotonic() - began)
