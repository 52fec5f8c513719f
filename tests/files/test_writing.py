from pathlib import Path

import pytest

from costplan.files.problems import UserMistakeError
from costplan.files.writing import splice, write_bytes, write_text


def test_text_is_written_whole_and_leaves_nothing_beside_it(tmp_path: Path) -> None:
    write_text(tmp_path / "a.txt", "één\r\n")

    assert (tmp_path / "a.txt").read_bytes() == "één\r\n".encode()
    assert [path.name for path in tmp_path.iterdir()] == ["a.txt"]


def test_nothing_is_overwritten_unless_told(tmp_path: Path) -> None:
    path = tmp_path / "a.txt"
    write_text(path, "old")
    with pytest.raises(UserMistakeError, match="is there already"):
        write_text(path, "new")
    assert path.read_text() == "old"

    write_text(path, "new", overwrite=True)

    assert path.read_text() == "new"
    assert [entry.name for entry in tmp_path.iterdir()] == ["a.txt"]


def test_what_cannot_be_written_is_a_user_mistake(tmp_path: Path) -> None:
    for path in (tmp_path / "no" / "a.txt", tmp_path):
        with pytest.raises(UserMistakeError):
            write_bytes(path, b"x", overwrite=True)


def test_permissions_are_kept(tmp_path: Path) -> None:
    path = tmp_path / "a.txt"
    path.write_text("old")
    path.chmod(0o640)
    write_text(path, "new", overwrite=True)

    assert path.stat().st_mode & 0o777 == 0o640


def test_splice_changes_only_the_piece() -> None:
    assert splice("volts: 120 # plate", 7, 10, "240") == "volts: 240 # plate"
