"""Things set free, as the program counts them: when, how many, who may use them again."""

from dataclasses import dataclass, field

from costplan.circuits.needs import Item, Return
from costplan.program.program import Terms
from costplan.years.stream import Date, Use


@dataclass
class Stock:
    """Things alike set free at one date: the variables that count them, and those that use them again."""

    scenario: str
    date: Date
    left: Return
    terms: Terms = field(default_factory=dict)
    pipes: dict[int, str] = field(default_factory=dict)
    unused: int | None = None


def in_time(stock: Stock, use: Use) -> bool:
    """Whether what is set free then can serve a use that begins at its date; today's, later uses of every scenario."""
    return stock.scenario in ("", use.scenario) and stock.date <= use.since


def say(item: Item) -> str:
    """The item in the words of a variable's name."""
    words = f"{item.spec.kind} " + " ".join(value for _, value in item.spec.equal)
    words += f"{item.spec.tie.machine}{item.spec.tie.hangs or ''}"
    if item.spec.outlet is not None:
        words += f"{item.outlet.end or item.outlet.quote} at {item.outlet.place} from {item.outlet.panel}"
    sizes = " ".join(f"{name}>={value}" for name, value in item.spec.at_least)
    return f"{words} {sizes} {item.length_ft or ''}".strip()
