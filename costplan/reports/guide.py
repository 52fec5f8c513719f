"""The guide: pages of Markdown inside the package, listed, and laid out for a terminal."""

from dataclasses import dataclass
from io import StringIO
from pathlib import Path

PAGES = Path(__file__).parent.parent / "guide"
ORDER = (
    "first-answer",
    "shop-file",
    "next-machine",
    "catalog",
    "bids-and-papers",
    "how-it-reckons",
    "json-and-csv",
    "words",
    "conventions",
)
"""As somebody would read them: the first answer first."""


@dataclass(frozen=True)
class Page:
    """One page of the guide.

    about: its first sentence, which says what it is for.
    text: all of it, in Markdown.
    """

    about: str
    text: str


def page(name: str) -> Page:
    """The page of that name. Raises KeyError when there is none."""
    if name not in ORDER:
        raise KeyError(name)
    text = (PAGES / f"{name}.md").read_text(encoding="utf-8")
    _, about, _ = text.split("\n\n", 2)
    return Page(about, text)


def list_text() -> str:
    """Every page with what it is for, and how one is printed."""
    from costplan.reports.tables import table, wrapped

    rows = [[f"costplan guide {name}", wrapped(page(name).about, 46)] for name in ORDER]
    return table(["to read", "it tells"], rows, set()) + "\n"


def page_text(shown: Page, width: int) -> str:
    """The page for a terminal so many columns wide, without colors."""
    from rich.console import Console
    from rich.markdown import Markdown

    written = StringIO()
    console = Console(file=written, width=width, color_system=None, force_terminal=False, highlight=False)
    console.print(Markdown(shown.text, hyperlinks=False))
    return "\n".join(line.rstrip() for line in written.getvalue().splitlines()) + "\n"
