"""The ranges behind a line: low, likely and high of each figure that moves it, what of them counts, where they are written."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.files.yaml_reader import Places, place_by_names
from costplan.ledger.lines import Line, LineKind, Pocket
from costplan.model.catalog import Offer
from costplan.model.choices import RejectRule
from costplan.model.experience import expected_hours
from costplan.model.loading import OFFERS_FILE, place_in_file
from costplan.model.money import format_price
from costplan.model.ranges import Three, ends_of
from costplan.model.spelled_out import moves_of
from costplan.sourcing.deal import deal_of
from costplan.studies.case import SHOP_FILE
from costplan.studies.uncertain import GROWING, PRICED

MEAN = "(low + 4 likely + high) / 6"
OF_ALL_MEANS = f"{MEAN}, as a share of those of all scenarios"
WHOLE_MOVES = f"the whole number of moves in all years that is nearest to {MEAN}"


@dataclass(frozen=True, slots=True)
class LineRange:
    """A figure of a line that is a range, in its `unit`; money in cents where `money`, a share as a fraction.

    `counts` is what is reckoned with, and `how` how it is made of the three.
    """

    figure: str
    unit: str
    ends: Three
    counts: Decimal
    where: str
    how: str = MEAN
    money: bool = False
    share: bool = False

    def said(self, value: Decimal) -> str:
        """A value as text."""
        if self.money:
            return format_price(value)
        return f"{_short(value * 100)} %" if self.share else _short(value)

    def words(self) -> str:
        """All of it in a sentence."""
        low, likely, high = map(self.said, self.ends)
        return (
            f"{self.figure}, {self.unit}: low {low}, likely {likely}, high {high}; their mean counts, "
            f"{self.said(self.counts)} ({self.how}); {self.where}"
        )


def _short(value: Decimal) -> str:
    """A number with up to four decimals, and no zeros behind them."""
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return text or "0"


def by_the_foot(facts: Facts, task: str) -> bool:
    """Whether a task is done foot by foot wherever a recipe has it."""
    shop = facts.shop
    books = (facts.catalog.recipes, shop.recipes, *(machine.recipes for machine in shop.machines))
    recipes = [recipe for book in books for recipe in book.values()]
    asked = {
        (entry.per, entry.quantity) for recipe in recipes for entry in recipe.tasks if entry.task == task
    }
    return asked == {("ft", Decimal(1))}


def line_ranges(facts: Facts, line: Line, places: Mapping[str, Places]) -> tuple[LineRange, ...]:
    """The ranges that the files give for what moves a line; none for figures without a range of their own."""
    return tuple(_Ranges(facts, line, places).found())


@dataclass(frozen=True)
class _Ranges:
    facts: Facts
    line: Line
    places: Mapping[str, Places]

    def found(self) -> Iterator[LineRange]:
        yield from self._of_offer()
        yield from self._of_labor()
        yield from self._of_money()
        yield from self._of_scenario()

    def _at(self, file: str, *names: str) -> str:
        """Where it is written: the file and the line; the file alone where only that is known."""
        places = self.places.get(file)
        return place_by_names(places, *names) if places is not None else file or "the shop file"

    def _of_offer(self) -> Iterator[LineRange]:
        offer = next((one for one in self.facts.catalog.offers if one.row == self.line.offer_row), None)
        if offer is None or offer.price_cents is None:
            return
        line, currency, price = self.line, self.facts.shop.currency, offer.price_cents
        if line.kind in (*PRICED, LineKind.RESALE) and (ends := ends_of(price)):
            where = place_in_file(OFFERS_FILE, offer.row)
            yield LineRange("price", f"{currency} per {offer.per}", ends, Decimal(price), where, money=True)
        part = self.facts.parts[offer.part]
        kind, condition = self.facts.kinds[part.kind], offer.condition
        own = part.resale is not None
        kept = ((part if own else kind).resale or {}).get(condition)
        if line.kind is LineKind.RESALE and kept is not None and (ends := ends_of(kept)):
            entry = ("parts.yaml", "parts", part.id) if own else ("kinds.yaml", "kinds", kind.kind)
            where = self._at(*entry, "resale", condition)
            yield LineRange("resale", "a share of the price", ends, Decimal(kept), where, share=True)
        fails = self._failing(offer)
        follows = line.pocket is Pocket.ALLOWANCE or line.kind is LineKind.LABOR
        if follows and (ends := ends_of(fails)):
            where = self._at("kinds.yaml", "kinds", kind.kind, "reject", condition)
            yield LineRange("what fails", "a share of all", ends, Decimal(fails), where, share=True)

    def _failing(self, offer: Offer) -> Decimal:
        """The share of its pieces by which fails are counted; nothing where whole spares or a lot take its place."""
        part = self.facts.parts[offer.part]
        supplier = next(one for one in self.facts.catalog.suppliers if one.id == offer.supplier)
        spares = self.facts.shop.money.rejects is RejectRule.WHOLE_SPARES
        return deal_of(offer, part, self.facts.kinds[part.kind], supplier, spares=spares).reject

    def _of_labor(self) -> Iterator[LineRange]:
        line, facts = self.line, self.facts
        if line.kind is not LineKind.LABOR:
            return
        crew = next((one for one in (*facts.crews, facts.owner) if one.name == line.crew), None)
        if crew is not None and (ends := ends_of(crew.rate_cents)):
            own = any(one.name == crew.name for one in facts.shop.crews)
            where = self._at(SHOP_FILE if own else "labor.yaml", "crews", crew.name, "rate")
            rate = Decimal(crew.rate_cents)
            yield LineRange(
                f"rate of {crew.name}", f"{facts.shop.currency} an hour", ends, rate, where, money=True
            )
        hours = line.hours_range
        if hours is not None and hours[0] < hours[2]:
            where = (
                self._at("labor.yaml", "tasks", line.task, "hours")
                if line.task in facts.tasks
                else line.trace
            )
            unit = "foot" if by_the_foot(facts, line.task) else "unit"
            known = facts.experience.get(line.task)
            if known is not None and known.jobs:
                where += f", moved towards {known.jobs} of your jobs (jobs.yaml)"
            yield LineRange("hours", f"man-hours of one {unit}", hours, expected_hours(hours), where)

    def _of_money(self) -> Iterator[LineRange]:
        line, money = self.line, self.facts.shop.money
        price = money.electricity_cents_per_kwh
        if line.kind is LineKind.ELECTRICITY and (ends := ends_of(price)):
            where, unit = (
                self._at(SHOP_FILE, "money", "electricity_per_kwh"),
                f"{self.facts.shop.currency} a kWh",
            )
            yield LineRange("price of electricity", unit, ends, Decimal(price), where, money=True)
        if line.grown_years:
            word = GROWING.get(line.kind, "parts")
            rate: Decimal = getattr(money.growth, word)
            if ends := ends_of(rate):
                where = self._at(SHOP_FILE, "money", "growth", word)
                yield LineRange(f"growth of {word}", "a year", ends, Decimal(rate), where, share=True)
        if line.year and (ends := ends_of(money.discount_rate)):
            where = self._at(SHOP_FILE, "money", "discount_rate")
            yield LineRange("discount rate", "a year", ends, Decimal(money.discount_rate), where, share=True)

    def _of_scenario(self) -> Iterator[LineRange]:
        line = self.line
        plain = next((one for one in self.facts.shop.scenarios if one.name == line.scenario), None)
        if plain is not None and (ends := ends_of(plain.weight)):
            where = self._at(SHOP_FILE, "scenarios", plain.name, "weight")
            yield LineRange(
                f"weight of {plain.name}",
                "a share of all",
                ends,
                Decimal(plain.weight),
                where,
                OF_ALL_MEANS,
                share=True,
            )
        written = next((one for one in self.facts.written.scenarios if one.name == line.scenario), None)
        short = written.rearranged if written is not None else None
        if line.in_turn and short is not None and (ends := ends_of(short.often)):
            yearly, years = short.times_per_year is not None, self.facts.written.years
            moves = Decimal(len(moves_of(short, years)))
            word = "times_per_year" if yearly else "times_in_all"
            yield LineRange(
                "moves",
                "a year" if yearly else "in all years",
                ends,
                moves / max(years - 1, 1) if yearly else moves,
                self._at(SHOP_FILE, "scenarios", line.scenario, "rearranged", word),
                WHOLE_MOVES,
            )
