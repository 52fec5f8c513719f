"""Writing files whole or not at all, and never over something unless told to."""

import os
import tempfile
from pathlib import Path

from costplan.files.problems import At, Problem, UserMistakeError


def write_bytes(path: Path, content: bytes, *, overwrite: bool = False) -> None:
    """Write `content` to `path` so that a reader sees all of it or the old file.

    Raises UserMistakeError when the file exists and `overwrite` is false, or it cannot be written.
    """
    if path.exists() and not overwrite:
        raise _mistake(
            path, "file-exists", "is there already", "name another file, or say that it may be overwritten"
        )
    if path.is_dir():
        raise _mistake(path, "file-is-folder", "is a folder", "name a file in it")
    try:
        handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    except (OSError, ValueError) as error:
        raise _cannot_write(path, error) from error
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        _keep_mode(path, Path(temporary))
        _put_in_place(Path(temporary), path, overwrite)
    except OSError as error:
        Path(temporary).unlink(missing_ok=True)
        if isinstance(error, FileExistsError):
            raise _mistake(path, "file-exists", "is there already", "name another file") from error
        raise _cannot_write(path, error) from error
    _sync_folder(path.parent)


def write_text(path: Path, text: str, *, overwrite: bool = False) -> None:
    """Write `text` as UTF-8 with the line breaks it has; else as `write_bytes`."""
    write_bytes(path, text.encode("utf-8"), overwrite=overwrite)


def splice(text: str, start: int, end: int, replacement: str) -> str:
    """`text` with the characters from `start` to before `end` replaced, all else as the user wrote it."""
    return text[:start] + replacement + text[end:]


def _put_in_place(temporary: Path, path: Path, overwrite: bool) -> None:
    if not overwrite:
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
    else:
        temporary.replace(path)


def _keep_mode(old: Path, new: Path) -> None:
    umask = os.umask(0)
    os.umask(umask)
    new.chmod(old.stat().st_mode & 0o777 if old.exists() else 0o666 & ~umask)


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
