"""Things set free, as the program counts them: when, how many, who may use them again."""

from dataclasses import dataclass, field

from costplan.circuits.needs import Item, Return
from costplan.program.program import Terms
from costplan.years.stream import Date, Use


@dataclass
class Stock:
    """Things alike set free at one date: the variables that count them, and those that use them again."""

    scenario: str
    """In which it is set free; empty for today, which belongs to all."""
    date: Date
    left: Return
    """One of the things as it is then, with its wear, and what it takes when nobody uses it again."""
    terms: Terms = field(default_factory=dict)
    """How many are set free, as a sum of variables."""
    used_by: dict[int, str] = field(default_factory=dict)
    """The variables that say how many serve a use again, each with that use's scenario."""
    unused: int | None = None
    """The variable that says how many nobody uses again, where that sets free what was in them."""


def in_time(stock: Stock, use: Use) -> bool:
    """Whether a stock may serve a use by its date.

    Stock set free today may serve any scenario; stock of a scenario only that one, and never an earlier use.
    """
    return stock.scenario in ("", use.scenario) and stock.date <= use.since


def say(item: Item) -> str:
    """The item in the words of a variable's name."""
    words = f"{item.spec.kind} " + " ".join(value for _, value in item.spec.equal)
    words += f"{item.spec.tie.machine}{item.spec.tie.hangs or ''}"
    if item.spec.outlet is not None:
        words += f"{item.outlet.end or item.outlet.quote} at {item.outlet.place} from {item.outlet.panel}"
    sizes = " ".join(f"{name}>={value}" for name, value in item.spec.at_least)
    return f"{words} {sizes} {item.length_ft or ''}".strip()
