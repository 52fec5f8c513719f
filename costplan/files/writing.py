"""Writing new files whole or not at all, never over something; exchanging files that belong together."""

import os
import stat
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from glob import escape
from pathlib import Path

from costplan.files.problems import At, Problem, UserMistakeError

_UNFINISHED = ".unfinished"


def write_bytes(path: Path, content: bytes) -> None:
    """Write `content` to a new file `path` so that a reader sees all of it or no file.

    Raises UserMistakeError when the file exists or cannot be written.
    """
    if path.exists():
        raise _mistake(path, "file-exists", "is there already", "name another file")
    staged = _staged(path, content, path)
    try:
        _put_in_place(staged, path)
    except OSError as error:
        staged.unlink(missing_ok=True)
        if isinstance(error, FileExistsError):
            raise _mistake(path, "file-exists", "is there already", "name another file") from error
        raise _cannot_write(path, error) from error
    _sync_folder(path.parent)


@dataclass(frozen=True, slots=True)
class NewContent:
    """A file's content as it was read, None when there was no file, and as it shall be."""

    path: Path
    before: bytes | None
    after: bytes


def exchange(contents: Sequence[NewContent]) -> None:
    """Replace files that belong together, in order; the caller holds the folder with `locked`.

    All of them are written beside their places first, so a full disk leaves every old file whole. Should the
    work end between two of them, those before are new and those after are old, each whole. Owner, mode and link stay;
    a new file has those of the first that was there. Raises UserMistakeError when a file is not as it was read, is
    read-only, or cannot be written.
    """
    for content in contents:
        _clear_leftovers(content.path)
        if _now(content.path) != content.before:
            message = "was changed by someone else in the meantime; nothing was written"
            raise _mistake(content.path, "file-changed", message, "look again, then try again")
    staged: list[Path] = []
    there = [content.path for content in contents if content.before is not None]
    for path in there:
        _refuse_read_only(path)
    try:
        for content in contents:
            like = content.path if content.before is not None else next(iter(there), content.path)
            staged.append(_staged(_target(content.path), content.after, _target(like)))
        for content, temporary in zip(contents, staged, strict=True):
            try:
                temporary.replace(_target(content.path))
            except OSError as error:
                raise _cannot_write(content.path, error) from error
    finally:
        for temporary in staged:
            temporary.unlink(missing_ok=True)
    for folder in {content.path.parent for content in contents}:
        _sync_folder(folder)


def write_text(path: Path, text: str) -> None:
    """Write `text` as UTF-8 with the line breaks it has; else as `write_bytes`."""
    write_bytes(path, text.encode("utf-8"))


def umask() -> int:
    """The permissions that new files and folders of this process lack; read by setting it, as the system allows."""
    mask = os.umask(0)
    os.umask(mask)
    return mask


def splice(text: str, start: int, end: int, replacement: str) -> str:
    """`text` with the characters from `start` to before `end` replaced, all else as the user wrote it."""
    return text[:start] + replacement + text[end:]


def _staged(path: Path, content: bytes, like: Path) -> Path:
    """The content in a file of its own beside `path`, with owner and mode of `like`, on the disk for good."""
    try:
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=_UNFINISHED)
    except (OSError, ValueError) as error:
        raise _cannot_write(path, error) from error
    temporary = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        _as_like(temporary, like)
    except OSError as error:
        temporary.unlink(missing_ok=True)
        raise _cannot_write(path, error) from error
    return temporary


def _target(path: Path) -> Path:
    """Where a link leads, so that the link stays one."""
    return path.resolve() if path.is_symlink() else path


def _now(path: Path) -> bytes | None:
    try:
        return path.read_bytes()
    except FileNotFoundError:
        return None
    except OSError as error:
        raise _cannot_write(path, error) from error


def _clear_leftovers(path: Path) -> None:
    """Take away what a write that was killed has left; no other writer is at work while the folder is held."""
    target = _target(path)
    for left in target.parent.glob(f".{escape(target.name)}.*{_UNFINISHED}"):
        try:
            left.unlink(missing_ok=True)
        except OSError:
            continue


def _put_in_place(temporary: Path, path: Path) -> None:
    # A link fails where replacing would overwrite a file made since the first look.
    try:
        path.hardlink_to(temporary)
    except FileExistsError:
        raise
    except OSError:
        # Some disks know no links; the first look must do there.
        temporary.replace(path)
    else:
        temporary.unlink()


def _as_like(new: Path, old: Path) -> None:
    """Give a new file the owner and the mode of the old one, where there is one."""
    if not old.exists():
        new.chmod(0o666 & ~umask())
        return
    was, now = old.stat(), new.stat()
    if hasattr(os, "chown") and (was.st_uid, was.st_gid) != (now.st_uid, now.st_gid):
        os.chown(new, was.st_uid, was.st_gid)
    new.chmod(stat.S_IMODE(was.st_mode))


def _refuse_read_only(path: Path) -> None:
    if not _target(path).stat().st_mode & 0o222 or not os.access(path, os.W_OK):
        raise _mistake(
            path, "file-read-only", "is read-only; nothing was written", "allow writing to it first"
        )


def _sync_folder(folder: Path) -> None:
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(handle)
    except OSError:
        return
    finally:
        os.close(handle)


def _cannot_write(path: Path, error: Exception) -> UserMistakeError:
    reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
    return _mistake(
        path, "file-not-written", f"cannot be written: {reason}", "check the folder and its permissions"
    )


def _mistake(path: Path, code: str, message: str, mend: str) -> UserMistakeError:
    return UserMistakeError([Problem(code, At(str(path)), "", message, mend)])
