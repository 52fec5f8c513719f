"""Small invented shops as a user writes them, changed one figure at a time, and everything that is said of them."""

import csv
import json
from collections.abc import Callable, Mapping
from copy import deepcopy
from dataclasses import dataclass, field
from functools import cache, cached_property
from pathlib import Path
from types import UnionType
from typing import Any, get_args

from strategies import (
    CREWS,
    FEET,
    GEAR,
    GEAR_KINDS,
    GEAR_RECIPES,
    KINDS,
    PANEL,
    RECIPES,
    SUPPLIERS,
    gear_offers,
    gear_parts,
    gear_routes,
    parts,
    store_offers,
    tasks,
)

from costplan.checks.check_bids import check_bids
from costplan.checks.checks import check_shop
from costplan.circuits.facts import Facts
from costplan.files.problems import Problem, errors_of
from costplan.model.base import Entry
from costplan.model.bids import Bid, load_bids
from costplan.model.loading import catalog_of, load_shop_with_places
from costplan.model.offers import COLUMNS
from costplan.program.bench import Bench
from costplan.program.ranked import NoPlanError, Ranked
from costplan.program.ranking import best_plans
from costplan.reports.bids import BidsReport, bids_text
from costplan.reports.data import comparison_data
from costplan.reports.data_text import json_text
from costplan.reports.jobs import jobs_report, jobs_text
from costplan.reports.next_page import next_text
from costplan.reports.scope import scope_sheet
from costplan.reports.scope_text import scope_text
from costplan.reports.shopping import shopping_list
from costplan.reports.shopping_text import shopping_csv, shopping_text
from costplan.reports.sizes import sizes_text
from costplan.reports.terminal import comparison_text
from costplan.studies.bid_choice import all_bids, compare_with_bids, in_place, without_bids
from costplan.studies.comparison import Comparison
from costplan.studies.leveling import level
from costplan.studies.next_machine import price_machines, with_machines
from costplan.studies.wanted import Wanted

Files = dict[str, Any]
Change = Mapping[str, Any] | tuple[str, str]
"""Values by path, or an old and a new word."""
GONE = object()
"""In the place of a value: the field is left out."""

CATALOG = ("parts", "kinds", "suppliers", "labor", "recipes", "jobs")


# writing and changing ---------------------------------------------------------------------------------


def changed(files: Files, change: Change) -> Files:
    """The files with values written at paths, `shop/machines/saw/hp`.

    List entries by name or number, and one that begins with + is added.
    """
    if isinstance(change, tuple):
        return renamed(files, *change)
    result = deepcopy(files)
    for path, value in change.items():
        _write_at(result, path.split("/"), deepcopy(value) if value is not GONE else GONE)
    return result


def _write_at(holder: Any, steps: list[str], value: Any) -> None:
    step = _key(holder, steps[0])
    if len(steps) > 1:
        if isinstance(holder, dict) and step not in holder:
            holder[step] = {}
        _write_at(holder[step], steps[1:], value)
    elif steps[0].startswith("+"):
        holder.append(value)
    elif value is GONE:
        del holder[step]
    else:
        holder[step] = value


def renamed(files: Files, old: str, new: str) -> Files:
    """The files with a word written otherwise wherever it stands alone."""

    def other_name(value: Any) -> Any:
        if isinstance(value, dict):
            return {other_name(key): other_name(inner) for key, inner in value.items()}
        if isinstance(value, list):
            return [other_name(inner) for inner in value]
        return new if value == old else value

    return {name: other_name(content) for name, content in files.items()}


def _key(holder: Any, step: str) -> Any:
    if isinstance(holder, dict) or step.startswith("+"):
        return step
    if step.lstrip("-").isdigit():
        return int(step)
    for index, entry in enumerate(holder):
        words = ("id", "name", "bidder", "part", "kind", "task")
        if isinstance(entry, dict) and step in [entry.get(word) for word in words]:
            return index
    raise KeyError(step)


def write(folder: Path, files: Files) -> Path:
    """Write the files, as a user keeps them, and return the path of the shop file."""
    catalog = folder / "catalog"
    catalog.mkdir(parents=True, exist_ok=True)
    for name, content in files.items():
        if name == "offers":
            with (catalog / "offers.csv").open("w", newline="", encoding="utf-8") as file:
                writer = csv.DictWriter(file, list(COLUMNS))
                writer.writeheader()
                writer.writerows(content)
        elif name in CATALOG:
            (catalog / f"{name}.yaml").write_text(json.dumps(content), encoding="utf-8")
        else:
            (folder / f"{name}.yaml").write_text(json.dumps(content), encoding="utf-8")
    return folder / "shop.yaml"


# what is said of a shop -------------------------------------------------------------------------------


@cache
def read(folder: Path, text: str) -> "Said":
    """What is said of files, read once; `text` is what they hold."""
    return Said(write(folder / str(abs(hash(text))), json.loads(text)))


class Said:
    """Everything the tool says of a shop, each worked out when it is asked for."""

    def __init__(self, path: Path) -> None:
        shop = load_shop_with_places(path)
        catalog = catalog_of(shop)
        self.problems: list[Problem] = [*shop.problems, *catalog.problems, *check_shop(shop, catalog)]
        self.bids: tuple[Bid, ...] = ()
        if shop.shop is None or catalog.catalog is None:
            return
        if shop.shop.bids_file is not None:
            loaded = load_bids(path.parent / shop.shop.bids_file)
            self.problems += [*loaded.problems, *check_bids(loaded, shop.shop, catalog.catalog)]
            self.bids = loaded.bids or ()
        self.facts = Facts(shop.shop, catalog.catalog)

    @cached_property
    def codes(self) -> dict[str, str]:
        """Messages by code."""
        return {problem.code: f"{problem.message} {problem.mend}" for problem in self.problems}

    @property
    def errors(self) -> list[str]:
        """What is refused."""
        return [str(problem) for problem in errors_of(self.problems)]

    @cached_property
    def best(self) -> Ranked:
        """The cheapest plan."""
        return best_plans(Bench.over(self.facts, self.facts.shop.money.surplus), 1)[0]

    @property
    def total(self) -> int:
        """What it costs."""
        return self.best.present_value_cents

    @property
    def lines(self) -> str:
        """Every line of it."""
        return "\n".join(map(repr, self.best.lines))

    @cached_property
    def comparison(self) -> Comparison:
        """The whole comparison, with two plans."""
        return compare_with_bids(self.facts, self.bids, Wanted(plans=2))

    @property
    def json(self) -> str:
        """The comparison for other programs."""
        return json_text(comparison_data(self.comparison))

    def words(self, report: str) -> Any:
        """A report, or why there is none."""
        try:
            return getattr(self, report)
        except NoPlanError as error:
            return f"no plan: {error}"

    @property
    def table(self) -> str:
        """The comparison as printed."""
        return comparison_text(self.comparison)

    @property
    def scope(self) -> str:
        """The scope sheet."""
        return scope_text(scope_sheet(self.comparison))

    @property
    def shopping(self) -> str:
        """The shopping list, as printed and for a spreadsheet."""
        listed = shopping_list(self.comparison)
        return shopping_text(listed) + shopping_csv(listed)

    @property
    def ways(self) -> str:
        """Every way that is open to some machine."""
        options = Bench.over(self.facts, self.facts.shop.money.surplus).open_options()
        return repr({machine: [option.way for option in found] for machine, found in options.items()})

    @property
    def sizes(self) -> str:
        """How circuits are sized."""
        told = sizes_text(with_machines(self.facts, self.facts.shop.next_machines), None)
        return " ".join(told.split())  # a sentence is broken wherever its line ends

    @property
    def next(self) -> str:
        """What next machines cost."""
        return next_text(price_machines(self.facts, self.facts.shop.next_machines))

    @property
    def jobs(self) -> str:
        """What jobs took."""
        return jobs_text(jobs_report(self.facts.catalog, self.facts.crews, invented=True))

    @property
    def leveled(self) -> str:
        """The bids, leveled."""
        listed, estimated = all_bids(self.facts, self.bids), without_bids(self.facts)
        today = self.facts.shop.today
        ranked = best_plans(Bench.over(estimated, self.facts.shop.money.surplus), 1)[0]
        instead = in_place(estimated, ranked, listed, today=today)
        return bids_text(BidsReport(level(estimated, ranked, listed, today=today), 1, instead))


Sees = Callable[[Said, Said], bool]


def dearer(before: Said, after: Said) -> bool:
    """The best plan costs more."""
    return after.total > before.total


def cheaper(before: Said, after: Said) -> bool:
    """The best plan costs less."""
    return after.total < before.total


def impossible(before: Said, after: Said) -> bool:
    """There is a plan, and then there is none any more."""
    assert before.total
    try:
        return not after.total
    except NoPlanError:
        return True


def other(report: str, *words: str) -> Sees:
    """A report differs, and then has these words that it did not have."""

    def sees(before: Said, after: Said) -> bool:
        one, two = getattr(before, report), after.words(report)
        return one != two and all(word in two and word not in one for word in words)

    return sees


def asks(code: str, *, no_effect: bool = False) -> Sees:
    """The check asks, or complains, where it did not; `no_effect`: and says that the figure has none."""

    def sees(before: Said, after: Said) -> bool:
        says = after.codes.get(code)
        return says is not None and code not in before.codes and (not no_effect or "no effect" in says)

    return sees


@dataclass(frozen=True)
class Case:
    """A figure that is changed in one of the shops, and what must follow."""

    change: Change
    sees: Sees
    shop: str = "plain"
    given: Change = field(default_factory=dict)
    """What is written besides, before and after."""


# every field ------------------------------------------------------------------------------------------


def entries_in(annotation: Any) -> list[type[Entry]]:
    """The entries that an annotation holds."""
    if isinstance(annotation, type) and issubclass(annotation, Entry):
        return [annotation]
    if not get_args(annotation) and not isinstance(annotation, UnionType):
        return []
    return [found for inner in get_args(annotation) for found in entries_in(inner)]


def every_field(*roots: type[Entry], each_time: tuple[type[Entry], ...] = ()) -> list[str]:
    """Every field below the roots in the words of the files: `Machine.hp`.

    A field that holds entries is one of them only where those are walked elsewhere. Entries of `each_time` are
    walked wherever they stand: `QuotedWay.move.money`.
    """
    found: list[str] = []
    seen: set[type[Entry]] = set(roots)
    waiting: list[tuple[str, type[Entry]]] = [(root.__name__, root) for root in roots]
    while waiting:
        name, model = waiting.pop(0)
        for python_name, info in model.model_fields.items():
            word = f"{name}.{info.alias or python_name}"
            inner = entries_in(info.annotation)
            if not inner:
                found.append(word)
            for entry in inner:
                if entry in each_time:
                    waiting.append((word, entry))
                elif entry not in seen:
                    seen.add(entry)
                    waiting.append((entry.__name__, entry))
                elif entry not in roots:
                    found.append(word)
    return found


# the shops --------------------------------------------------------------------------------------------

WALL = {"only": ["wall drop"], "hard_wired": False}
CORD = {"only": ["cord"]}
BOTH = {"only": ["wall drop", "cord"], "hard_wired": False}
SAW = {"name": "saw", "at": "bench A", "volts": 240, "amps": 16, "plug": "NEMA 6-20", "ways": WALL}
DRILL = {"name": "drill", "at": "bench B", "volts": 120, "amps": 16, "plug": "NEMA 5-20", "ways": CORD}
OWN_PHASES = {"drive": "its controls", "single-phase motor": "its head"}
MILL = {"name": "mill", "at": "bench C", "volts": 240, "phases": 3, "hp": 3, "breaker": 20}
BUSY = [
    {"year": 2, "machine": "saw", "move": "bench E"},
    {"year": 3, "machine": "drill", "move": "bench A"},
]


def _shop(machines: list[Any], **more: Any) -> dict[str, Any]:
    places = list(FEET)
    routes: list[Any] = [
        {"from": "panel", "to": place, "fixed": ft, "cord": ft} for place, ft in FEET.items()
    ]
    routes += [{"from": a, "to": b, "cord": 20} for i, a in enumerate(places) for b in places[i + 1 :]]
    return {
        "shop": "test shop (invented)",
        "catalog": "catalog",
        "today": "2026-11-02",
        "years": 5,
        "code": {"edition": 2020},
        "building": {"patching": False},
        "panels": [PANEL],
        "places": [{"name": place} for place in places],
        "routes": routes,
        "machines": machines,
        "cords": {"slack": [0], "families": ["straight"], "spare_conductor": False, "service": ["hard"]},
        **more,
    }


def _number(value: Any) -> Any:
    return float(value) if isinstance(value, str) and value[:2] == "0." else value


def _catalog(*, gear: bool = False) -> Files:
    offers = [{"seen": "2026-10-01", **row} for row in store_offers() + (gear_offers() if gear else [])]
    more = deepcopy(gear_parts()) if gear else []
    for part in more:
        part["attributes"] = {word: _number(value) for word, value in part["attributes"].items()}
    return {
        "parts": {"parts": parts() + more},
        "kinds": {"kinds": KINDS + (GEAR_KINDS if gear else [])},
        "suppliers": {"suppliers": SUPPLIERS},
        "labor": {"tasks": tasks(), "crews": CREWS},
        "recipes": {"recipes": RECIPES | (GEAR_RECIPES if gear else {})},
        "offers": offers,
    }


def plain() -> Files:
    """A saw on a wall drop and a drill on a cord; in one of two courses of events both move."""
    scenarios = [
        {"name": "calm", "weight": 0.5},
        {"name": "busy", "weight": 0.5, "events": BUSY},
    ]
    return {"shop": _shop([SAW, DRILL], scenarios=scenarios), **_catalog()}


def geared() -> Files:
    """A three-phase mill that needs the converter, and a saw, under a small service."""
    thought = [{"name": "converter"} | GEAR["converter"]]
    shop = _shop(
        [SAW, MILL | {"ways": WALL | {"forbid_supply": OWN_PHASES}}],
        gear=thought,
        service={"amps": 100, "other_load": 10},
    )
    shop["routes"] += gear_routes(thought)
    shop["money"] = {"electricity_per_kwh": 0.2}
    return {"shop": shop, **_catalog(gear=True)}


def quoted() -> Files:
    """Three presses with quotes only."""
    ways = [
        {
            "name": "drop by quote",
            "method": "wall drop",
            "put_in": {"money": 300, "hours": 2},
            "renew": {"every": 3, "money": 40},
        },
        {
            "name": "cord by quote",
            "method": "cord",
            "put_in": {"money": 500},
            "move": {"money": 10, "own_hours": 1},
            "renew": {"every": 2, "money": 90},
            "comes_back": 20,
        },
    ]
    events = [{"every": 2, "machine": "press", "how_many": 2, "new_spot": True}]
    shop = {
        "shop": "shop of quotes (invented)",
        "today": "2026-11-02",
        "years": 7,
        "machines": [{"name": "press", "count": 3}],
        "quoted_ways": ways,
        "crews": CREWS,
        "scenarios": [{"name": "moves", "weight": 1, "events": events}],
    }
    return {"shop": shop}


def buying() -> Files:
    """The plain shop, which thinks of a lathe."""
    lathe = {"name": "lathe", "price": 1000, "at": "bench C", "volts": 240, "amps": 16, "plug": "NEMA 6-20"}
    files = plain()
    files["shop"]["next_machines"] = [lathe | {"ways": WALL}]
    return files


SHOPS: dict[str, Callable[[], Files]] = {
    "plain": plain,
    "geared": geared,
    "quoted": quoted,
    "buying": buying,
}
