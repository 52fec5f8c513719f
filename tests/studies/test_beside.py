"""Work in a second process gives what it gives here, and leaves nothing behind."""

import os
import pickle
import threading
from pathlib import Path

import pytest
from strategies import DRILL, SAW, make_catalog, make_shop

from costplan.circuits.facts import Facts
from costplan.studies import beside as module
from costplan.studies import comparison
from costplan.studies.beside import beside
from costplan.studies.comparison import compare
from costplan.studies.wanted import Wanted


@pytest.fixture
def two_processes(monkeypatch: pytest.MonkeyPatch) -> None:
    """As if this process had no other thread and a processor to spare, as a command has."""
    if not hasattr(os, "fork"):
        pytest.skip("no copies of a process on this system")
    monkeypatch.setattr(module, "spare_process", lambda: True)


def test_the_copy_does_the_work_and_this_process_has_its_result(two_processes: None) -> None:
    with beside(os.getpid, pays=True) as work:
        assert work.under_way
        assert work.result() != os.getpid()
        assert not work.under_way


def test_where_it_does_not_pay_the_work_is_done_here_when_asked_for(two_processes: None) -> None:
    with beside(os.getpid, pays=False) as work:
        assert not work.under_way
        assert work.result() == os.getpid()


def test_what_the_copy_cannot_do_is_done_here_and_raises_here(
    two_processes: None, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    done_here, here = tmp_path / "here", os.getpid()

    def fails() -> None:
        if os.getpid() == here:
            done_here.touch()
        raise ValueError("no such thing")

    with pytest.raises(ValueError, match="no such thing"), beside(fails, pays=True) as work:
        work.result()
    assert done_here.exists()
    assert capfd.readouterr() == ("", "")


def test_work_that_nobody_asks_for_is_ended(two_processes: None) -> None:
    with beside(threading.Event().wait, pays=True) as work:
        copy = work.copy
    assert copy is not None
    with pytest.raises(ProcessLookupError):
        os.kill(copy, 0)


def test_a_comparison_by_two_processes_is_the_same_to_the_byte(
    two_processes: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    facts = Facts(make_shop([SAW, DRILL]), make_catalog())
    alone = compare(facts, Wanted(plans=2))
    asked: list[bool] = []

    def copied(work, *, pays):  # type: ignore[no-untyped-def]
        asked.append(True)
        return beside(work, pays=True)

    monkeypatch.setattr(comparison, "beside", copied)
    together = compare(facts, Wanted(plans=2))
    assert asked
    assert repr(together.matrix) == repr(alone.matrix)
    assert together.matrix == alone.matrix
    pickle.dumps(together.matrix)
