"""Copies a shipped example with its catalog into a new folder, never over anything."""

from pathlib import Path
from shutil import rmtree
from tempfile import mkdtemp

from costplan.files.problems import At, Problem, UserMistakeError
from costplan.files.shipped import shipped
from costplan.files.writing import umask, write_text


def copy_example(name: str, folder: Path) -> Path:
    """Write the example's shop file and catalog, all of them or none; returns the shop file.

    Raises UserMistakeError when the folder exists or cannot be written.
    """
    if folder.exists():
        mend = "name a folder that does not exist yet; nothing is ever written over"
        raise UserMistakeError([Problem("folder-exists", At(str(folder)), "", "is there already", mend)])
    source = shipped("examples") / name
    own = source / "catalog"
    catalog = own if own.is_dir() else shipped("catalogs") / "demo"
    text = (source / "shop.yaml").read_text(encoding="utf-8").replace("../../catalogs/demo", "catalog")
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        making = Path(mkdtemp(dir=folder.parent, prefix=f".{folder.name}."))
    except OSError as error:
        raise _cannot_make(folder, error) from None
    try:
        (making / "catalog").mkdir()
        for path in sorted(catalog.iterdir()):
            if path.is_file():
                write_text(making / "catalog" / path.name, path.read_text(encoding="utf-8"))
        if (source / "bids.yaml").is_file():
            write_text(making / "bids.yaml", (source / "bids.yaml").read_text(encoding="utf-8"))
        write_text(making / "shop.yaml", text)
        making.chmod(0o777 & ~umask())
        making.rename(folder)
    except OSError as error:
        raise _cannot_make(folder, error) from None
    finally:
        rmtree(making, ignore_errors=True)
    return folder / "shop.yaml"


def _cannot_make(folder: Path, error: OSError) -> UserMistakeError:
    message = f"cannot be made: {error.strerror}"
    return UserMistakeError([Problem("cannot-write", At(str(folder)), "", message, "choose another folder")])
