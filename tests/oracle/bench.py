"""What a walk of a scenario stands on: look-ups of lengths and recipes, and the booking of parts and work."""

from collections import defaultdict
from decimal import Decimal
from math import ceil

from booking import Asks, Buy, Load, Outlet, State, Thing, Variant, Work, expected
from buying import Piece, Spec
from events import Course, NotReckoned, Unit, home, units_of

from costplan.model.catalog import Catalog, Recipe, RecipePart
from costplan.model.choices import Method
from costplan.model.labor import Task
from costplan.model.quotes import QuotedWay
from costplan.model.shop import Machine, Shop
from costplan.standards import conductors


class Bench:
    """The shop, its catalog and one scenario at hand; collects `buys` and `works`."""

    def __init__(
        self,
        shop: Shop,
        catalog: Catalog,
        course: Course,
        variants: dict[str, Variant],
        life_of: dict[Spec, int | None],
        owner_may: frozenset[str],
        owner_pace: Decimal,
    ) -> None:
        """`life_of` is asked for each spec that is bought."""
        self.shop, self.course, self.variants = shop, course, variants
        self.parts = catalog.parts
        self.tasks = {task.id: task for task in catalog.tasks}
        self.kinds = {kind.kind: kind for kind in catalog.kinds}
        self.catalog_recipes = {**catalog.recipes, **shop.recipes}
        self.machines = {machine.name: machine for machine in shop.machines}
        self.life_of, self.owner_may, self.owner_pace = life_of, owner_may, owner_pace
        self.buys: list[Buy] = []
        self.works: list[Work] = []
        self.outlets: list[Outlet] = []
        self.breakers: list[tuple[int, Outlet, Unit]] = []
        self.states = {unit: State() for unit in units_of(shop)}
        self.quoted_free: dict[tuple[str, str], int] = defaultdict(int)
        self.quoted_standing: list[tuple[Unit, QuotedWay]] = []
        """Quoted outlets in the first building, with who had them put in."""
        self.freed_breakers: list[tuple[int, int, int]] = []
        """Year, amperes and poles of breakers that others took the place of."""
        self.stock: list[Thing] = []
        self.likes: dict[str, str] = {}
        self.rivals = False
        self.label = ""

    def _book_for(self, unit: Unit) -> None:
        """What is bought and worked from here on is for this unit; each of a group has lines of its own."""
        number = f" {unit.number + 1}" if self.machines[unit.machine].count > 1 else ""
        self.label = f"{unit.machine}{number}"

    def _recipes(self, machine: Machine) -> dict[str, Recipe]:
        return {**self.catalog_recipes, **machine.recipes}

    def _recipe(self, machine: Machine, name: str) -> Recipe:
        found = self._recipes(machine).get(name)
        if found is None:
            raise NotReckoned(f'There is no recipe "{name}".')
        return found

    def _like(self, place: str) -> str:
        return self.likes.get(place, place)

    def _length(self, unit: Unit, place: str, what: str) -> Decimal:
        machine, panel = self.machines[unit.machine], self.shop.panels[0]
        place = self._like(place)
        if machine.route and place == home(machine):
            length = machine.route.fixed_ft if what == "fixed" else machine.route.cord_ft
            if length is not None:
                return length
        for route in self.shop.routes:
            if {route.start, route.end} == {panel.name, place}:
                length = route.fixed_ft if what == "fixed" else route.cord_ft
                if length is not None:
                    return length
        raise NotReckoned(f"No measured {what} length from {panel.name} to {place}.")

    def _words(self, place: str, route: bool, overhead: bool = True) -> list[str]:
        place = self._like(place)
        said = [spot for spot in self.shop.places if spot.name == place]
        if route:
            ends = {self.shop.panels[0].name, place}
            said += [way for way in self.shop.routes if {way.start, way.end} == ends]
        words: list[str] = []
        for each in said:
            words += [word for word in each.hour_factors if word not in words]
            if "hour_factors" in each.model_fields_set and not each.hour_factors:
                overhead = False
        begins = {name: by.ceiling_above_ft for name, by in self.shop.hour_factors.items()}
        if overhead and all(begins[word] is None for word in words):
            under = [
                ft for ft in begins.values() if ft is not None and ft < self.shop.building.ceiling_height_ft
            ]
            words += [name for name, ft in begins.items() if under and ft == max(under)]
        return words

    def _panel_words(self) -> list[str]:
        place = self.shop.panels[0].place
        return self._words(place, False, overhead=False) if place else []

    def _outlet_words(self, unit: Unit, outlet: Outlet | None) -> list[str]:
        if outlet is None or outlet.method is Method.CORD:
            return self._panel_words()
        return self._words(outlet.place, True)

    def _cord_words(self, unit: Unit, place: str) -> list[str]:
        return self._words(place, True)

    def _check_drop(self, unit: Unit, variant: Variant, load: Load, state: State) -> None:
        machine = self.machines[unit.machine]
        length = state.outlet.length_ft if state.outlet else Decimal(0)
        ohm = conductors.resistance_ohm_per_kft(load.awg) * length
        for thing in state.cord:
            if thing.slot == "cord":
                ohm += conductors.resistance_ohm_per_kft(load.cord_awg) * thing.piece.quantity
        if 2 * ohm * load.current_a / 1000 > machine.volts * self.shop.code.drop_limit:
            raise NotReckoned(f"The voltage drop to {machine.name} would ask for thicker wire.")

    def _spec(self, machine: Machine, kind: str, asks: Asks) -> Spec:
        return Spec(kind, asks, machine.lasts.get(kind))

    def _buy(
        self,
        year: int,
        machine: Machine,
        kind: str,
        asks: Asks,
        quantity: Decimal,
        slot: str,
    ) -> Thing:
        piece = Piece(self._spec(machine, kind, asks), quantity, self.kinds[kind].sold)
        self.buys.append(Buy(year, self.label, piece))
        return Thing(piece, year, slot)

    def _brew(
        self,
        year: int,
        visit: object,
        machine: Machine,
        recipe: Recipe,
        length: Decimal,
        words: list[str],
        rating_a: int = 0,
        laid: Decimal | None = None,
    ) -> list[Thing]:
        """Books the work of a recipe, by the foot that is laid where that is told, and buys its parts, by the foot bought."""
        once = any(entry.per == "visit" for entry in recipe.tasks)
        if recipe.charges or once or any(self.shop.hour_factors[word].tasks for word in words):
            raise NotReckoned("Charges, work once a visit and factors of named tasks are not reckoned.")
        factor = Decimal(1)
        for word in words:
            factor *= self.shop.hour_factors[word].factor
        times = {"run": Decimal(1), "ft": length, "end": Decimal(2)}
        worked = times if laid is None else times | {"ft": laid}
        if recipe.quote:
            quote = recipe.quote
            hired = quote.hours_per_run + quote.hours_per_ft * worked["ft"]
            own = quote.own_hours_per_run + quote.own_hours_per_ft * worked["ft"]
            money = quote.per_run_cents + quote.per_ft_cents * worked["ft"]
            permit = "" if not quote.permit else "own" if own and not hired else "hired"
            self.works.append(Work(year, visit, "quote", self.label, hired, own, Decimal(0), permit, money))
            return []
        for entry in recipe.tasks:
            quantity = entry.quantity * worked[entry.per]
            if quantity:
                self.works.append(self._work(year, visit, machine, self.tasks[entry.task], quantity, factor))
        things = []
        for part in recipe.parts:
            quantity = part.quantity * times[part.per]
            if self.kinds[part.kind].sold == "each":
                quantity = Decimal(ceil(quantity))
            if quantity:
                asks = self._part_asks(part, rating_a)
                things.append(self._buy(year, machine, part.kind, asks, quantity, part.kind))
        return things

    def _work(
        self, year: int, visit: object, machine: Machine, task: Task, quantity: Decimal, factor: Decimal
    ) -> Work:
        hours = expected(task.hours) * quantity * factor
        stops = task.stops_shop_hours * quantity
        own_only = {role.value for role in task.who} == {"owner"}
        if not own_only and task.id not in self.owner_may:
            permit = "hired" if task.permit else ""
            return Work(year, visit, task.id, self.label, hours, Decimal(0), stops, permit, hired=True)
        own = hours if own_only else hours / self.owner_pace
        return Work(year, visit, task.id, self.label, Decimal(0), own, stops, "own" if task.permit else "")

    def _part_asks(self, part: RecipePart, rating_a: int) -> Asks:
        """What a recipe says of a part, and what follows the circuit where the recipe leaves it open."""
        asks: Asks = tuple((name, "is", value) for name, value in part.attributes.items())
        open_words = [name for name in self.kinds[part.kind].attributes if name not in part.attributes]
        if "rating_a" in open_words and rating_a:
            asks += (("rating_a", "least", rating_a),)
        if "trade_size" in open_words:
            asks += (("trade_size", "is", "3/4"),)
        if "poles" in open_words:
            raise NotReckoned("A recipe part whose poles follow the circuit is not reckoned.")
        return asks
