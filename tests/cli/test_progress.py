"""The progress line says what is being proven, in one line of a terminal, and leaves nothing behind."""

import io
import sys
from itertools import count

import pytest

from costplan.cli import progress as module
from costplan.cli.progress import progress


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def drawn(monkeypatch: pytest.MonkeyPatch, screen: io.StringIO) -> str:
    """What two steps write, 2 s apart."""
    seconds = count(step=2)
    monkeypatch.setattr(module, "monotonic", lambda: next(seconds))
    monkeypatch.setattr(sys, "stderr", screen)
    monkeypatch.setenv("TERM", "xterm")
    with progress() as tick:
        tick("proving plan 1")
        tick("proving layout " + "of a long name " * 9)
    return screen.getvalue()


def test_it_says_what_is_being_proven(monkeypatch: pytest.MonkeyPatch) -> None:
    lines = drawn(monkeypatch, Terminal()).split("\r")
    assert "proving plan 1" in lines[1]
    assert "proving layout of" in lines[2]
    assert max(map(len, lines)) <= 79
    assert not lines[-1]
    assert not lines[-2].strip()


def test_a_pipe_gets_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    assert not drawn(monkeypatch, io.StringIO())
