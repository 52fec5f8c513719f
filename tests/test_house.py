"""How the code is laid out: rooms, their direction, sizes of modules, docstrings."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest
from rooms import ROOMS

HOUSE = Path(__file__).parent.parent / "costplan"
HEAVY = {"pandas", "ortools", "highspy", "tabulate", "xlsxwriter", "jinja2", "openpyxl", "rich"}
"""Libraries that are slow to load, so only functions that use them import them; the front rooms may."""
MODULES = sorted(path for path in HOUSE.rglob("*.py") if "_shipped" not in path.parts)
LONGEST_LINES = 500


def name_of(path: Path) -> str:
    return path.relative_to(HOUSE).as_posix()


def room_of(path: Path) -> str:
    return path.relative_to(HOUSE).parts[0]


def imported(tree: ast.AST) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are absolute here"
            if node.module == "costplan":
                yield from (f"costplan.{alias.name}" for alias in node.names)
            else:
                yield node.module or ""


def at_the_top(tree: ast.AST) -> Iterator[ast.AST]:
    """Every node that runs when the module is imported."""
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
            continue
        if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.dump(node.test):
            continue
        yield node
        yield from at_the_top(node)


@pytest.mark.parametrize("path", MODULES, ids=name_of)
def test_imports_go_one_way(path: Path) -> None:
    rooms = {
        name.split(".")[1] for name in imported(ast.parse(path.read_text())) if name.startswith("costplan.")
    }
    here = room_of(path)
    if here not in ROOMS:
        assert rooms <= ({"cli"} if here == "__main__.py" else set(ROOMS) - {"cli"})
        return
    allowed = {"standards"} if here == "standards" else set(ROOMS[: ROOMS.index(here) + 1])
    assert rooms <= allowed


@pytest.mark.parametrize("path", MODULES, ids=name_of)
def test_heavy_libraries_are_loaded_late(path: Path) -> None:
    top = [
        node
        for node in at_the_top(ast.parse(path.read_text()))
        if isinstance(node, ast.Import | ast.ImportFrom)
    ]
    names = {name.split(".")[0] for node in top for name in imported(ast.Module([node], []))}
    assert not names & HEAVY


def undocumented(tree: ast.Module) -> Iterator[str]:
    """Public functions, classes and methods without a docstring."""
    if tree.body and not ast.get_docstring(tree):
        yield "the module"
    for holder in (
        tree,
        *(node for node in tree.body if isinstance(node, ast.ClassDef) and node.name[0] != "_"),
    ):
        for node in holder.body:
            if (
                isinstance(node, ast.FunctionDef | ast.ClassDef)
                and node.name[0] != "_"
                and not ast.get_docstring(node)
            ):
                yield node.name


@pytest.mark.parametrize("path", MODULES, ids=name_of)
def test_everything_public_says_what_it_is(path: Path) -> None:
    assert list(undocumented(ast.parse(path.read_text()))) == []


@pytest.mark.parametrize("path", MODULES, ids=name_of)
def test_modules_are_small(path: Path) -> None:
    assert len(path.read_text().splitlines()) <= LONGEST_LINES


@pytest.mark.parametrize("folder", [HOUSE, Path(__file__).parent], ids=["costplan", "tests"])
def test_every_test_and_module_is_found_once(folder: Path) -> None:
    """Two test modules of one name in different folders would hide each other."""
    names = [path.name for path in folder.rglob("test_*.py")]
    assert len(names) == len(set(names))
    assert len(list(folder.rglob("*.py"))) > 20


def test_every_room_is_there() -> None:
    assert {path.name for path in HOUSE.iterdir() if (path / "__init__.py").exists()} >= set(ROOMS)


@pytest.mark.parametrize("path", MODULES, ids=name_of)
def test_all_that_is_printed_goes_through_the_screen(path: Path) -> None:
    calls = [node.func for node in ast.walk(ast.parse(path.read_text())) if isinstance(node, ast.Call)]
    printing = [
        call
        for call in calls
        if (isinstance(call, ast.Name) and call.id == "print")
        or (isinstance(call, ast.Attribute) and call.attr in ("echo", "secho"))
    ]
    assert not printing or name_of(path) == "cli/screen.py"


def test_circuits_look_at_prices_in_one_place() -> None:
    """What is surveyed stays at other prices where `Facts.sold` does, so nothing else there may look at offers."""
    looking = {
        name_of(path)
        for path in MODULES
        if room_of(path) in ("circuits", "years") and ".offers" in path.read_text(encoding="utf-8")
    }
    assert looking == {"circuits/facts.py"}
    assert ".offers" not in (HOUSE / "ledger" / "options.py").read_text(encoding="utf-8")
