"""Where the shipped examples and catalogs are: inside the installed package, else beside it in a checkout."""

from pathlib import Path


def shipped(kind: str) -> Path:
    """The folder of shipped `examples` or `catalogs`. Raises FileNotFoundError when it is in neither place."""
    package = Path(__file__).resolve().parent.parent
    for folder in (package / "_shipped" / kind, package.parent / kind):
        if folder.is_dir():
            return folder
    raise FileNotFoundError(f"the shipped {kind} are missing from this installation")
