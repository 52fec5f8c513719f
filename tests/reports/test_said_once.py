"""No sentence stands twice in one output: of the shipped examples, and of shops with a drive, a converter, tandem breakers.

Sentences are compared without the names of what they are about. All shops are invented.
"""

import json
import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from shipped_shops import demo_catalog

from costplan.circuits.facts import Facts
from costplan.files.shipped import shipped
from costplan.model.loading import catalog_of, load_shop, load_shop_with_places
from costplan.reports.scope import scope_sheet
from costplan.reports.scope_text import scope_text
from costplan.reports.shopping import shopping_list
from costplan.reports.shopping_text import shopping_text
from costplan.reports.sizes import sizes_text
from costplan.reports.terminal import comparison_text
from costplan.studies.comparison import Comparison, compare
from costplan.studies.wanted import Wanted

Row = dict[str, Any]
MAIN: Row = {
    "name": "main panel",
    "system": "120/240 single-phase",
    "breakers": "family A",
    "spaces_free": 12,
    "place": "wall",
}
NO_DRIVE, NO_MOTOR = {"drive": "not wanted"}, {"single-phase motor": "built in"}
MILL: Row = {"name": "mill", "at": "bench", "volts": 240, "phases": 3, "hp": 3}
LATHE: Row = MILL | {"name": "lathe", "at": "corner"}
SHOP: Row = {
    "shop": "Corner (invented)",
    "today": "2026-11-02",
    "years": 4,
    "money": {"surplus": "new only"},
    "panels": [MAIN],
    "places": [
        {"name": "wall", "at": [0, 0]},
        {"name": "bench", "at": [10, 0]},
        {"name": "corner", "at": [4, 6]},
    ],
}
DRIVES: Row = SHOP | {
    "code": {"occupancy": "dwelling garage"},
    "machines": [
        machine | {"control_transformer": True, "ways": {"only": ["armored drop"], "forbid_supply": NO_MOTOR}}
        for machine in (MILL, LATHE)
    ],
}
CONVERTER: Row = SHOP | {
    "code": {"occupancy": "commercial"},
    "machines": [
        machine
        | {
            "control_transformer": True,
            "takes_turns": "one at a time",
            "power_needed": "60 %",
            "ways": {"only": ["armored drop"], "forbid_supply": NO_DRIVE | NO_MOTOR},
        }
        for machine in (MILL, LATHE)
    ],
    "gear": [
        {
            "name": "converter",
            "kind": "phase converter",
            "part": "rotary-converter-7-1-2",
            "panel_part": "panel-b-60",
            "fed_from": "main panel",
            "at": "corner",
            "hours_per_year": 100,
        }
    ],
}
KNOWN: Row = {"test_button": False, "shared_neutral": False, "tied": False}
TANDEMS: Row = SHOP | {
    "code": {"edition": 2020, "occupancy": "commercial"},
    "panels": [
        MAIN
        | {
            "spaces_free": 0,
            "tandems": 6,
            "one_pole_circuits": [
                {"breaker": "20 A", "awg": "12", "count": 3} | KNOWN,
                {"breaker": "15 A", "awg": "14", "count": 1} | KNOWN,
            ],
        }
    ],
    "gear": [{"name": "tandems", "kind": "tandem breaker", "panel": "main panel", "at_most": 6}],
    "machines": [
        {
            "name": "saw",
            "at": "bench",
            "volts": 240,
            "amps": 12.8,
            "plug": "NEMA 6-20",
            "ways": {"only": ["armored drop"]},
        }
    ],
}
OWN: dict[str, Row] = {"drives": DRIVES, "converter": CONVERTER, "tandems": TANDEMS}
SHOPS = ("tiny", "bargain", *OWN)


@pytest.fixture(scope="module")
def comparisons(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Comparison]:
    return {}


def comparison_of(name: str, known: dict[str, Comparison], folder: Path) -> Comparison:
    if name not in known:
        known[name] = compare(_facts(name, folder), Wanted(plans=2))
    return known[name]


def _facts(name: str, folder: Path) -> Facts:
    if name in OWN:
        path = folder / "shop.yaml"
        path.write_text(json.dumps(OWN[name]), encoding="utf-8")
        shop, problems = load_shop(path)
        assert shop is not None, problems
        return Facts(shop, demo_catalog())
    path = shipped("examples") / name / "shop.yaml"
    loaded = load_shop_with_places(path)
    assert loaded.shop is not None
    catalog = catalog_of(loaded).catalog
    assert catalog is not None
    return Facts(loaded.shop, catalog)


def sentences(text: str, names: tuple[str, ...]) -> Iterator[str]:
    """What the listed points of a text say, sentence by sentence, without what each is about and without names."""
    for point in re.findall(r"^ +- (.*(?:\n {3,}(?! *- ).*)*)", text, re.MULTILINE):
        words = re.sub(r"\s+", " ", point)
        for name in names:
            words = re.sub(rf"\b{re.escape(name)}\b", "N", words)
        words = re.sub(r"\([^()]*\)", "", words)
        # Names before a colon say what a sentence is about, and to whom a question goes.
        words = re.sub(r"^[^.?]*?N[^.?:]*: ", "", words)
        yield from (said.strip() for said in re.split(r"(?<=[.?;]) ", words) if len(said.split()) > 4)


def names_of(facts: Facts) -> tuple[str, ...]:
    things = (*facts.shop.machines, *facts.shop.panels, *facts.shop.gear, *facts.shop.places)
    return tuple(sorted({thing.name for thing in things}, key=len, reverse=True))


PAPERS = {
    "compare": comparison_text,
    "shopping": lambda found: shopping_text(shopping_list(found)),
    "scope": lambda found: scope_text(scope_sheet(found, alternates=0)),
    "size": lambda found: sizes_text(found.facts, None),
}


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", SHOPS)
def test_no_sentence_stands_twice(
    name: str, paper: str, comparisons: dict[str, Comparison], tmp_path: Path
) -> None:
    found = comparison_of(name, comparisons, tmp_path)
    text = PAPERS[paper](found)
    (tmp_path / "paper.txt").write_text(text, encoding="utf-8")
    said = Counter(sentences(text, names_of(found.facts)))
    asked_for_each = re.compile(r"Ground-fault protection of|Price with: _")
    assert not {words: n for words, n in said.items() if n > 1 and not asked_for_each.match(words)}


def test_sentences_are_found_without_their_names() -> None:
    text = "Notes\n  - saw, planer: Keep it away from water\n    always. Ask.\n  - lathe: Keep it away from water always.\n"
    said = list(sentences(text, ("saw", "planer", "lathe")))
    assert said == ["Keep it away from water always."] * 2
