"""What one thing costs today, straight from the catalog's rows: the least offer of a part, and the work of a recipe.

Shares nothing with the product's pricing. Only what the small shops of this folder need: parts sold each or by the
foot, new and without limit, recipes by the run, one electrician by the hour, the owner's hours free. That a line is
rounded once, half to even, and hours are (low + 4 likely + high) / 6 is the product's written rule of money and labor.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal

from costplan.model.catalog import Catalog, Condition, Recipe
from costplan.model.labor import Role


class NotReckonedError(ValueError):
    """Something that this plain reckoner does not price."""


@dataclass(frozen=True, slots=True)
class Line:
    """One amount in cents, negative where it comes back, and what it is for."""

    what: str
    cents: int = 0

    def __str__(self) -> str:
        return f"{self.cents / 100:>9.2f}  {self.what}"


def whole_cents(exact: Decimal) -> int:
    """Half to even."""
    return int(exact.quantize(Decimal(1), rounding=ROUND_HALF_EVEN))


class Prices:
    """Look-ups in a catalog. Raises NotReckonedError for what it cannot price."""

    def __init__(self, catalog: Catalog) -> None:
        self.catalog = catalog
        self.parts = {part.id: part for part in catalog.parts}
        self.kinds = {kind.kind: kind for kind in catalog.kinds}
        self.tasks = {task.id: task for task in catalog.tasks}
        self.suppliers = {supplier.id: supplier for supplier in catalog.suppliers}
        hired = [crew for crew in catalog.crews if crew.role is Role.ELECTRICIAN]
        owners = [crew for crew in catalog.crews if crew.role is Role.OWNER]
        if len(hired) != 1 or any(crew.rate_cents for crew in owners):
            raise NotReckonedError("One electrician and an owner whose time is free are reckoned.")
        self.rate_cents = hired[0].rate_cents
        if hired[0].call_out_cents or hired[0].permit_cents or hired[0].pace != 1 or hired[0].set_up_hours:
            raise NotReckonedError("An electrician by the hour alone is reckoned.")

    def recipe(self, name: str) -> Recipe:
        """A recipe of the catalog."""
        return self.catalog.recipes[name]

    def _least(self, kind: str, per: str, asked: dict[str, object]) -> tuple[Decimal, str]:
        """The least price of a part with these attributes, and its name."""
        found = []
        for offer in self.catalog.offers:
            part = self.parts[offer.part]
            supplier = self.suppliers[offer.supplier]
            if part.kind != kind or any(part.attributes.get(name) != value for name, value in asked.items()):
                continue
            if offer.per != per or offer.condition is not Condition.NEW or offer.available is not None:
                raise NotReckonedError(f"{offer.part}: new things, {per}, without limit are reckoned.")
            if (
                supplier.tax
                or supplier.order_fee_cents
                or supplier.delivery_cents
                or supplier.cut_charge_cents
            ):
                raise NotReckonedError(f"{supplier.id} charges more than the goods.")
            if offer.price_cents is not None:
                found.append((offer.price_cents, part.name))
        if not found:
            raise NotReckonedError(f"No {kind} with {asked} has a price.")
        return min(found)

    def piece(self, kind: str, **asked: object) -> Line:
        """One of a kind, bought."""
        cents, name = self._least(kind, "each", asked)
        if self.kinds[kind].resale:
            raise NotReckonedError(f"Nothing comes back of a {kind} here.")
        return Line(f"{name}, bought", whole_cents(cents))

    def length(self, kind: str, feet: int, **asked: object) -> Iterator[Line]:
        """A length of a kind, bought in one piece, and what comes back of it at the end."""
        a_foot, name = self._least(kind, "ft", asked)
        price = whole_cents(a_foot * feet)
        yield Line(f"{name}, {feet} ft, bought", price)
        share = self.kinds[kind].resale.get(Condition.NEW, Decimal(0))
        if share:
            yield Line(f"{name}, {feet} ft, comes back at the end", -whole_cents(a_foot * feet * share))

    def run_ft(self, recipe: str, route_ft: Decimal) -> int:
        """A route with what the recipe adds, in whole feet."""
        found = self.recipe(recipe)
        feet = route_ft + found.extra_ft
        if found.waste or feet != int(feet):
            raise NotReckonedError(f"{recipe}: whole feet without waste are reckoned.")
        return int(feet)

    def made(self, recipe: str) -> Iterator[Line]:
        """The parts of a recipe, whose attributes the catalog leaves no choice of, and its work."""
        for part in self._by_the_run(recipe).parts:
            piece = self.piece(part.kind, **part.attributes)
            yield Line(piece.what, whole_cents(piece.cents * part.quantity))
        yield from self.work(recipe)

    def work(self, recipe: str) -> Iterator[Line]:
        """The work of a recipe alone."""
        for entry in self._by_the_run(recipe).tasks:
            task = self.tasks[entry.task]
            low, likely, high = task.hours
            hours = (low + 4 * likely + high) / 6 * entry.quantity
            rate = self.rate_cents if Role.OWNER not in task.who else Decimal(0)
            yield Line(task.name, whole_cents(hours * rate))

    def _by_the_run(self, recipe: str) -> Recipe:
        found = self.recipe(recipe)
        if found.quote is not None or any(entry.per != "run" for entry in (*found.tasks, *found.parts)):
            raise NotReckonedError(f"{recipe}: parts and tasks by the run are reckoned.")
        return found
