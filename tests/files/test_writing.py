import os
import stat
from pathlib import Path

import pytest

from costplan.cli import copying
from costplan.files.problems import UserMistakeError
from costplan.files.writing import NewContent, exchange, splice, umask, write_bytes, write_text

ROOT_ONLY = pytest.mark.skipif(
    not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only root can give files away"
)


def test_text_is_written_whole_and_leaves_nothing_beside_it(tmp_path: Path) -> None:
    write_text(tmp_path / "a.txt", "één\r\n")

    assert (tmp_path / "a.txt").read_bytes() == "één\r\n".encode()
    assert [path.name for path in tmp_path.iterdir()] == ["a.txt"]


def test_nothing_is_ever_overwritten(tmp_path: Path) -> None:
    path = tmp_path / "a.txt"
    write_text(path, "old")
    with pytest.raises(UserMistakeError, match="is there already"):
        write_text(path, "new")

    assert path.read_text() == "old"
    assert [entry.name for entry in tmp_path.iterdir()] == ["a.txt"]


def test_what_cannot_be_written_is_a_user_mistake(tmp_path: Path) -> None:
    for path in (tmp_path / "no" / "a.txt", tmp_path):
        with pytest.raises(UserMistakeError):
            write_bytes(path, b"x")


def test_splice_changes_only_the_piece() -> None:
    assert splice("volts: 120 # plate", 7, 10, "240") == "volts: 240 # plate"


def test_files_exchanged_together_keep_mode_and_link_and_new_ones_are_as_private(tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    true = tmp_path / "elsewhere" / "offers.csv"
    true.write_bytes(b"old")
    true.chmod(0o600)
    link = tmp_path / "offers.csv"
    link.symlink_to(true)
    history = tmp_path / "history.csv"

    exchange([NewContent(history, None, b"first"), NewContent(link, b"old", b"new")])

    assert link.is_symlink()
    assert true.read_bytes() == b"new"
    assert [stat.S_IMODE(path.stat().st_mode) for path in (true, history)] == [0o600, 0o600]


@ROOT_ONLY
def test_the_owner_is_kept(tmp_path: Path) -> None:
    path = tmp_path / "offers.csv"
    path.write_bytes(b"old")
    os.chown(path, 1234, 1234)

    exchange([NewContent(path, b"old", b"new"), NewContent(tmp_path / "history.csv", None, b"first")])

    assert {(found.stat().st_uid, found.stat().st_gid) for found in tmp_path.iterdir()} == {(1234, 1234)}


@ROOT_ONLY
def test_an_owner_that_cannot_be_kept_leaves_the_old_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "offers.csv"
    path.write_bytes(b"old")
    os.chown(path, 1234, 1234)

    def refused(*_: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(os, "chown", refused)
    with pytest.raises(UserMistakeError, match="Operation not permitted"):
        exchange([NewContent(path, b"old", b"new")])

    assert path.read_bytes() == b"old"
    assert [found.name for found in tmp_path.iterdir()] == ["offers.csv"]


def test_a_read_only_file_is_not_replaced(tmp_path: Path) -> None:
    path, other = tmp_path / "offers.csv", tmp_path / "labor.yaml"
    for file in (path, other):
        file.write_bytes(b"old")
    path.chmod(0o444)

    with pytest.raises(UserMistakeError, match="is read-only; nothing was written"):
        exchange([NewContent(other, b"old", b"new"), NewContent(path, b"old", b"new")])

    assert (path.read_bytes(), other.read_bytes()) == (b"old", b"old")


def test_an_example_is_copied_whole_or_not_at_all(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(path: Path, text: str) -> None:
        if path.name == "shop.yaml":
            raise OSError(28, "No space left on device")
        write_text(path, text)

    with monkeypatch.context() as patch:
        patch.setattr(copying, "write_text", full)
        with pytest.raises(UserMistakeError, match="No space left"):
            copying.copy_example("tiny", tmp_path / "new" / "shed")
    assert list((tmp_path / "new").iterdir()) == []

    copying.copy_example("tiny", tmp_path / "new" / "shed")

    assert [path.name for path in (tmp_path / "new").iterdir()] == ["shed"]
    assert stat.S_IMODE((tmp_path / "new" / "shed").stat().st_mode) == 0o777 & ~umask()
