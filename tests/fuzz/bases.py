"""Sound shops that are mutated: the small ones of the tests, and the shipped examples."""

from pathlib import Path

from harness import Base, base_of
from small_shop import FILES, GEAR_FILES

_ROOT = Path(__file__).parents[2]
_EXAMPLES = {
    "tiny": "examples/tiny/catalog",
    "bargain": "catalogs/demo",
    "school": "catalogs/demo",
    "demo": "catalogs/demo",
}


def small_bases() -> list[Base]:
    """Shops of two or three machines, one with shared gear; quick to load."""
    return [_of_files("small", FILES), _of_files("gear", GEAR_FILES)]


def tiny() -> Base:
    """The shipped example of two machines, which has plans and is quick to compare."""
    return example("tiny")


def one_machine() -> Base:
    """The same with its first machine alone, which is compared in a fraction of the time."""
    base = tiny()
    shop = base.texts["shop.yaml"]
    start, end = shop.index("  - name: drill"), shop.index("scenarios:")
    return base_of("one machine", shop[:start] + shop[end:], base.texts)


def example(name: str) -> Base:
    """A shipped example with its catalog."""
    folder = _ROOT / _EXAMPLES[name]
    catalog = {path.name: path.read_text(encoding="utf-8") for path in sorted(folder.glob("*.[yc][as][mv]*"))}
    return base_of(name, (_ROOT / "examples" / name / "shop.yaml").read_text(encoding="utf-8"), catalog)


def layout_shop() -> Base:
    """The shop of the tests that has layouts, what is there and a shelf, beside the demo's catalog."""
    text = (_ROOT / "tests" / "shops" / "layouts.yaml").read_text(encoding="utf-8")
    return base_of("layouts", text, example("demo").texts)


def all_bases() -> list[Base]:
    """Every base."""
    return [*small_bases(), *map(example, _EXAMPLES), layout_shop()]


def _of_files(name: str, files: dict[str, str]) -> Base:
    catalog = {path.removeprefix("catalog/"): text for path, text in files.items() if path != "garage.yaml"}
    return base_of(name, files["garage.yaml"], catalog)
