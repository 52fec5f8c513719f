"""Copies a shipped example with its catalog into a new folder, never over anything."""

from pathlib import Path

from costplan.files.problems import At, Problem, UserMistakeError
from costplan.files.shipped import shipped
from costplan.files.writing import write_text


def copy_example(name: str, folder: Path) -> Path:
    """Write the example's shop file and catalog; returns the shop file.

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
        (folder / "catalog").mkdir(parents=True)
    except OSError as error:
        problem = Problem(
            "cannot-write", At(str(folder)), "", f"cannot be made: {error.strerror}", "choose another folder"
        )
        raise UserMistakeError([problem]) from None
    for path in sorted(catalog.iterdir()):
        if path.is_file():
            write_text(folder / "catalog" / path.name, path.read_text(encoding="utf-8"))
    if (source / "bids.yaml").is_file():
        write_text(folder / "bids.yaml", (source / "bids.yaml").read_text(encoding="utf-8"))
    write_text(folder / "shop.yaml", text)
    return folder / "shop.yaml"
