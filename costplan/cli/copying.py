"""Copies a shipped example with its catalog, or the demo's prices alone, into a new folder, never over anything."""

import csv
from collections.abc import Callable, Mapping
from io import StringIO
from pathlib import Path
from shutil import rmtree
from tempfile import mkdtemp

from costplan.files.problems import At, Problem, UserMistakeError
from costplan.files.shipped import shipped
from costplan.files.writing import umask, write_text
from costplan.model.catalog import Condition


def copy_example(name: str, folder: Path) -> Path:
    """Write the example's shop file and catalog, all of them or none; returns the shop file.

    Raises UserMistakeError when the folder exists or cannot be written.
    """
    source = shipped("examples") / name
    own = source / "catalog"
    catalog = own if own.is_dir() else shipped("catalogs") / "demo"
    text = (source / "shop.yaml").read_text(encoding="utf-8").replace("../../catalogs/demo", "catalog")

    def fill(making: Path) -> None:
        (making / "catalog").mkdir()
        for path in _files(catalog):
            write_text(making / "catalog" / path.name, path.read_text(encoding="utf-8"))
        if (source / "bids.yaml").is_file():
            write_text(making / "bids.yaml", (source / "bids.yaml").read_text(encoding="utf-8"))
        write_text(making / "shop.yaml", text)

    _make(folder, fill)
    return folder / "shop.yaml"


def copy_catalog(folder: Path) -> None:
    """Write the demo's catalog without its shelf, which is nobody's, all of it or none.

    Raises UserMistakeError when the folder exists or cannot be written.
    """

    def fill(making: Path) -> None:
        for path in _files(shipped("catalogs") / "demo"):
            text = path.read_text(encoding="utf-8")
            write_text(making / path.name, _without_shelf(text) if path.name == "offers.csv" else text)

    _make(folder, fill)


def write_catalog(folder: Path, texts: Mapping[str, str]) -> None:
    """Write a catalog of these files, all of it or none.

    Raises UserMistakeError when the folder exists or cannot be written.
    """

    def fill(making: Path) -> None:
        for name, text in texts.items():
            write_text(making / name, text)

    _make(folder, fill)


def demo_texts() -> dict[str, str]:
    """The files of the shipped demo's catalog by name."""
    return {path.name: path.read_text(encoding="utf-8") for path in _files(shipped("catalogs") / "demo")}


def _files(folder: Path) -> list[Path]:
    return [path for path in sorted(folder.iterdir()) if path.is_file()]


def _without_shelf(offers: str) -> str:
    """The rows of offers.csv but those of what lies on a shelf."""
    header, *rows = csv.reader(StringIO(offers))
    condition = header.index("condition")
    written = StringIO()
    csv.writer(written, lineterminator="\n").writerows(
        [header, *(row for row in rows if row[condition] != Condition.ON_HAND)]
    )
    return written.getvalue()


def _make(folder: Path, fill: Callable[[Path], None]) -> None:
    """Make a new folder, filled as it comes to be: all of it or none. Raises UserMistakeError."""
    if folder.exists():
        mend = "name a folder that does not exist yet; nothing is ever written over"
        raise UserMistakeError([Problem("folder-exists", At(str(folder)), "", "is there already", mend)])
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        making = Path(mkdtemp(dir=folder.parent, prefix=f".{folder.name}."))
    except OSError as error:
        raise _cannot_make(folder, error) from None
    try:
        fill(making)
        making.chmod(0o777 & ~umask())
        making.rename(folder)
    except OSError as error:
        raise _cannot_make(folder, error) from None
    finally:
        rmtree(making, ignore_errors=True)


def _cannot_make(folder: Path, error: OSError) -> UserMistakeError:
    message = f"cannot be made: {error.strerror}"
    return UserMistakeError([Problem("cannot-write", At(str(folder)), "", message, "choose another folder")])
