"""What prices, hours and other figures of a small shop usually are, so that those typed in a wrong unit are asked about.

Nothing is reckoned from these tables. All of them are common practice without a source, in US dollars; currencies near
the dollar are asked by the same figures.
"""

from dataclasses import dataclass
from decimal import Decimal
from functools import cache

from costplan.standards import conductors, receptacles, tables

FIGURES = "common_practice_figures"
PRICES = "common_practice_prices"
HOURS = "common_practice_hours"
CURRENCIES = "common_practice_currencies"
BEYOND = Decimal(5)
"""From how many times the usual most, or what share of the usual least, a price or hours are asked about: a figure in
the wrong unit is off by 12, 25, 60 or 100 times, while trades differ by three. A choice, no source."""
ANY_RECIPE = "*"
BY_THE_CONDUCTOR = "ft and conductor"


@dataclass(frozen=True, slots=True)
class Usual:
    """A range in which a figure usually is."""

    low: Decimal
    high: Decimal


@dataclass(frozen=True, slots=True)
class UsualFigure:
    """What a word of an entry usually says, and from where on it is asked about."""

    unit: str
    usual: Usual
    below: Decimal
    above: Decimal
    nothing_is_asked: bool
    code: str
    mend: str

    def is_odd(self, value: Decimal) -> bool:
        """Whether a value, in the table's unit, is to be asked about."""
        if value == 0:
            return self.nothing_is_asked
        return not self.below <= value <= self.above


@cache
def figures() -> dict[tuple[str, str], UsualFigure]:
    """Every figure that is asked about, by the entry's name and its word in the file."""
    return {
        (row["entry"], row["word"]): UsualFigure(
            unit=row["unit"],
            usual=Usual(Decimal(row["usual_low"]), Decimal(row["usual_high"])),
            below=Decimal(row["asked_below"]),
            above=Decimal(row["asked_above"]),
            nothing_is_asked=row["nothing"] == "asked",
            code=row["code"],
            mend=row["mend"],
        )
        for row in tables.table(FIGURES)
    }


def near_a_dollar(currency: str) -> bool:
    """Whether a currency is worth about a dollar, so that these figures say something of it."""
    return any(row["currency"] == currency for row in tables.table(CURRENCIES))


@dataclass(frozen=True, slots=True)
class Size:
    """What tells how dear a part of a kind is: its amperes, wire size or horsepower, and the family of its contacts."""

    amperes: Decimal | None = None
    awg: str | None = None
    hp: Decimal | None = None
    family: str = ""
    conductors: int = 1


def size_of_configuration(code: str) -> Size | None:
    """The size of a receptacle configuration; None for one that the tables do not have."""
    known = receptacles.known(code)
    return None if known is None else Size(amperes=Decimal(known.rating_a), family=known.family)


def usual_price(kind: str, size: Size) -> tuple[Usual, str] | None:
    """What one piece or one foot of a part usually costs new, in dollars, and its unit; None where nothing is known."""
    for row in tables.table(PRICES):
        if row["kind"] == kind and row["family"] in ("", size.family) and _up_to(row, size):
            by_wire = row["per"] == BY_THE_CONDUCTOR
            many = size.conductors if by_wire else 1
            usual = Usual(Decimal(row["usual_low"]) * many, Decimal(row["usual_high"]) * many)
            return usual, "a foot" if by_wire or row["per"] == "ft" else "each"
    return None


def _up_to(row: tables.Row, size: Size) -> bool:
    """Whether a row is for parts of that size: the first that holds is the nearest."""
    match row["size"]:
        case "":
            return True
        case "awg":
            return size.awg is not None and conductors.awg_rank(size.awg) <= conductors.awg_rank(row["up_to"])
        case word:
            figure = size.amperes if word == "amperes" else size.hp
            return figure is not None and figure <= Decimal(row["up_to"])


def usual_hours(recipe: str, per: str) -> Usual | None:
    """Man-hours of one task of a recipe, once a run, a foot, an end or a visit; None where nothing is known."""
    for row in tables.table(HOURS):
        if row["recipe"] in (recipe, ANY_RECIPE) and row["per"] == per:
            return Usual(Decimal(row["usual_low"]), Decimal(row["usual_high"]))
    return None
