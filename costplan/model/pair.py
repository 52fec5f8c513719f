"""A shop and its catalog with the places of everything, as the cross-checks see them."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal

from costplan.files.csv_reader import Table
from costplan.files.problems import At, Problem, allowed_words
from costplan.files.yaml_reader import Places, Trail
from costplan.model.base import Entry
from costplan.model.brought import panel_names
from costplan.model.catalog import Catalog, Kind, Offer, Part, Recipe
from costplan.model.circuits_there import Installed, Present
from costplan.model.events import Event
from costplan.model.labor import Crew
from costplan.model.nameplate import Electrical
from costplan.model.shop import Machine, Shop

NO_EFFECT = "it has no effect; delete it"
"""How to mend a figure that changes nothing."""

_LISTS = (
    ("kinds.yaml", "kinds"),
    ("parts.yaml", "parts"),
    ("suppliers.yaml", "suppliers"),
    ("labor.yaml", "tasks"),
    ("labor.yaml", "crews"),
    ("labor.yaml", "charges"),
)
_BY_NAME = (("labor.yaml", "hour_factors"), ("recipes.yaml", "recipes"))
"""Files of the catalog with the words at their top, of lists and of entries that have a name of their own."""


@dataclass(frozen=True, slots=True)
class Pair:
    """What the rules look at; `files` are the catalog's YAML files by name, `table` is offers.csv."""

    shop: Shop
    written: Places
    catalog: Catalog
    files: dict[str, Places]
    table: Table

    def in_shop(
        self,
        code: str,
        trail: Trail,
        message: str,
        mend: str,
        *,
        question: bool = False,
        key: bool = False,
    ) -> Problem:
        """A problem in the shop file."""
        return self.written.problem(code, trail, message, mend, question=question, key=key)

    def in_file(
        self,
        file: str,
        code: str,
        trail: Trail,
        message: str,
        mend: str,
        *,
        question: bool = False,
        key: bool = False,
    ) -> Problem:
        """A problem in one of the catalog's YAML files."""
        return self.files[file].problem(code, trail, message, mend, question=question, key=key)

    def in_offers(
        self, code: str, offer: Offer, column: str, message: str, mend: str, *, question: bool = False
    ) -> Problem:
        """A problem in a cell of offers.csv."""
        table = self.table
        at = table.at(offer.row, column) if column in table.columns else At(table.path, offer.row)
        return Problem(code, at, "", message, mend, severity="question" if question else "error")

    def parts(self) -> dict[str, Part]:
        """Parts by id."""
        return {part.id: part for part in self.catalog.parts}

    def places(self) -> set[str]:
        """Names of the places."""
        return {spot.name for spot in self.shop.places}

    def panels(self) -> set[str]:
        """Names of all panels, those that gear would bring among them."""
        return panel_names(self.shop, self.catalog.parts)

    def kinds(self) -> dict[str, Kind]:
        """Kinds by name."""
        return {kind.kind: kind for kind in self.catalog.kinds}

    def crews(self) -> dict[str, Crew]:
        """Crews by name; the shop's replace the catalog's."""
        return {crew.name: crew for crew in (*self.catalog.crews, *self.shop.crews)}

    def recipes(self) -> Iterator[tuple[Callable[..., Problem], Trail, str, Recipe]]:
        """Every recipe, where it is written and how to complain of it: (complain, trail, name, recipe)."""

        def in_catalog(
            code: str, trail: Trail, message: str, mend: str, *, question: bool = False, key: bool = False
        ) -> Problem:
            return self.in_file("recipes.yaml", code, trail, message, mend, question=question, key=key)

        for name, recipe in self.catalog.recipes.items():
            yield in_catalog, ("recipes", name), name, recipe
        for name, recipe in self.shop.recipes.items():
            yield self.in_shop, ("recipes", name), name, recipe
        for trail, machine in self.machines():
            for name, recipe in machine.recipes.items():
                yield self.in_shop, (*trail, "recipes", name), name, recipe

    def outlets_there(self) -> Iterator[tuple[str, Trail, Present | Installed]]:
        """Every outlet that is there as it is written, with the word that codes begin with and where it is written."""
        for index, machine in enumerate(self.shop.machines):
            if machine.now is not None:
                yield "now", ("machines", index, "now"), machine.now
        for index, outlet in enumerate(self.shop.installed):
            yield "installed", ("installed", index), outlet

    def catalog_entries(self) -> Iterator[tuple[str, Trail, Entry]]:
        """Every entry of the catalog's YAML files, with its file and where it is written."""
        for file, word in _LISTS:
            for index, entry in enumerate(getattr(self.catalog, word)):
                yield file, (word, index), entry
        for file, word in _BY_NAME:
            for name, entry in getattr(self.catalog, word).items():
                yield file, (word, name), entry

    def machines(self) -> Iterator[tuple[Trail, Machine]]:
        """Every machine, there or thought of, and where it is written."""
        for word, machines in (("machines", self.shop.machines), ("next_machines", self.shop.next_machines)):
            for index, machine in enumerate(machines):
                yield (word, index), machine

    def events(self) -> Iterator[tuple[Trail, Event]]:
        """Every event of every scenario, and where it is written."""
        for number, scenario in enumerate(self.shop.scenarios):
            for index, event in enumerate(scenario.events):
                yield ("scenarios", number, "events", index), event

    def plates(self) -> Iterator[tuple[Trail, Electrical]]:
        """Every nameplate, of machines and of what they are retooled to, and where it is written."""
        yield from self.machines()
        yield from (((*trail, "retool"), event.retool) for trail, event in self.events() if event.retool)

    def later_three_phase(self) -> set[str | None]:
        """Machines that some scenario retools to three phases."""
        return {event.machine for _, event in self.events() if event.retool and event.retool.phases == 3}


def unknown(what: str, word: str, known: Iterable[str]) -> tuple[str, str]:
    """Message and mend for a word that names nothing."""
    return f'is "{word}", but there is no such {what}', allowed_words(word, sorted(set(known)))


def year_mend(shop: Shop, year: int, otherwise: str) -> str:
    """How to mend a year that is out of the plan: one of the calendar is counted from today."""
    if not 1900 <= year <= 2199:
        return otherwise
    return f"years count from today, {shop.today}, which is year 0: write {max(year - shop.today.year, 0)} for {year}"


def plain(number: Decimal) -> str:
    """A number as a person writes it, without exponent or trailing zeros."""
    return f"{number.normalize():f}"


def percent(share: Decimal) -> str:
    """A share as a percentage: 0.25 is `25 %`."""
    return f"{plain((share * 100).quantize(Decimal('0.01')))} %"


def dollars(cents: Decimal) -> str:
    """Cents as money without a sign: 12345 is `123.45`."""
    return f"{cents / 100:.2f}"


Rule = Callable[[Pair], Iterable[Problem]]
"""A rule looks at the pair and says what breaks it."""
