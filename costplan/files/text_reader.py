"""Reading a text file of a user, with words instead of tracebacks for all that can be wrong with it."""

from dataclasses import dataclass
from pathlib import Path

from costplan.files.problems import At, Problem, nearest

LARGEST_BYTES = 16 * 1024 * 1024
"""A catalog of 100,000 offers has half of that; what is larger is another file."""


@dataclass(frozen=True, slots=True)
class TextFile:
    """The text of a file, None when it cannot be read; `had_mark` when a byte order mark was skipped."""

    path: str
    text: str | None
    had_mark: bool
    problems: tuple[Problem, ...]


def read_text(path: Path, largest_bytes: int = LARGEST_BYTES) -> TextFile:
    """Read UTF-8 text, with or without a byte order mark; never raises for what is on the disk."""
    shown = str(path)

    def fail(code: str, message: str, mend: str, line: int = 0, column: int = 0) -> TextFile:
        return TextFile(shown, None, False, (Problem(code, At(shown, line, column), "", message, mend),))

    try:
        if path.is_dir():
            return fail("file-is-folder", "is a folder, not a file", "name a file in it")
        if not path.exists():
            return fail("file-missing", "there is no such file", _neighbours(path))
        if not path.is_file():
            return fail("file-no-file", "is a device or a pipe, not a file", "name a file with text in it")
        with path.open("rb") as file:
            content = file.read(largest_bytes + 1)
        if len(content) > largest_bytes:
            return fail("file-too-large", f"is larger than {largest_bytes >> 20} MB", "is it the right file?")
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        return fail("file-not-read", f"cannot be read: {reason}", "check its name and its permissions")
    if otherwise := _no_text(path, content[:4]):
        return fail(*otherwise)
    had_mark = content.startswith(b"\xef\xbb\xbf")
    if had_mark:
        content = content[3:]
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError as error:
        before = content[: error.start]
        line = before.count(b"\n") + 1
        column = len(before[before.rfind(b"\n") + 1 :].decode("utf-8", "replace")) + 1
        odd = f"byte 0x{content[error.start]:02X}"
        return fail("file-not-utf-8", f"is not UTF-8 text: {odd}", 'save it again as "UTF-8"', line, column)
    return TextFile(shown, text, had_mark, ())


_WORKBOOKS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")
"""How the files of spreadsheets begin: a zip archive, or an older compound file."""
_OF_SPREADSHEETS = frozenset({".xlsx", ".xlsm", ".xls", ".ods"})


def _no_text(path: Path, first: bytes) -> tuple[str, str, str] | None:
    """Code, message and mend where a file's first bytes say that it is no text in UTF-8."""
    if first in _WORKBOOKS:
        return "file-workbook", "is a workbook or an archive under another name, not text", _as_text(path)
    if first[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return "file-not-utf-8", "is saved as UTF-16", 'save it again as "UTF-8"'
    return None


def _as_text(path: Path) -> str:
    """How to make the text that is asked for of a workbook."""
    if path.suffix.lower() not in {".csv", *_OF_SPREADSHEETS}:
        return "write it in a text editor, saved as UTF-8"
    name = path.with_suffix(".csv").name
    return f'open it in the spreadsheet and save it as "CSV UTF-8", named {name}{"; then name that one" * (name != path.name)}'


def _neighbours(path: Path) -> str:
    try:
        stems = {entry.stem: entry.name for entry in sorted(path.parent.iterdir())[:500] if entry.is_file()}
    except OSError:
        return f'there is no folder "{path.parent}" either'
    guess = nearest(path.stem, stems)
    found = path.with_name(stems[guess]) if guess else None
    if found is not None and path.suffix == ".csv" and found.suffix.lower() in _OF_SPREADSHEETS:
        return f'"{found}" is a workbook: {_as_text(path)}'
    return f'did you mean "{path.with_name(stems[guess])}"?' if guess else "check its name and its folder"
