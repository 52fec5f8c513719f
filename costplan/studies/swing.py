"""How far the total moves when one figure of the catalog is another: prices, hours, rates, fees.

An approximation and named as one: the plan is held as it is, only the figure moves.
"""

from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.ledger.lines import Line, LineKind, Pocket
from costplan.model.labor import Role
from costplan.model.money import to_cents
from costplan.program.ranked import Ranked

SHARE = Decimal("0.25")
"""How far each figure is moved, up or down: a quarter of it."""
_FEES = (LineKind.CALL_OUT, LineKind.PERMIT, LineKind.MINIMUM, LineKind.FEE, LineKind.CUT, LineKind.FREIGHT)
_OF_PRICE = (LineKind.PART, LineKind.TAX, LineKind.MARKUP, LineKind.RISK, LineKind.RESALE)


@dataclass(frozen=True, slots=True)
class Swing:
    """What it is, where it is written, and how many cents the total moves when it is a quarter more or less."""

    what: str
    where: str
    swing_cents: int


def swings(facts: Facts, ranked: Ranked, known: Collection[Role]) -> list[Swing]:
    """The figures behind a plan's total, those that move it most first; `known`: whose rates are not invented.

    A plan's total is a sum in which each figure is a factor of some lines, so a quarter of the figure is a quarter of their
    present value, what comes back of a price included.
    """
    behind: dict[tuple[str, str], int] = defaultdict(int)
    sold = {offer.row: offer.part for offer in facts.catalog.offers}
    for line in ranked.lines:
        for name in _behind(facts, line, sold, known):
            behind[name] += line.present_value_cents
    found = [Swing(what, where, abs(to_cents(cents * SHARE))) for (what, where), cents in behind.items()]
    return sorted((figure for figure in found if figure.swing_cents), key=lambda f: (-f.swing_cents, f.what))


def _behind(
    facts: Facts, line: Line, sold: Mapping[int, str], known: Collection[Role]
) -> Iterator[tuple[str, str]]:
    """The figures that a line is a product of, each with where it is written."""
    if line.offer_row and line.kind in _OF_PRICE:
        part = sold[line.offer_row]
        yield f"price of {facts.parts[part].name}", f"offers.csv, {part}"
    elif line.kind is LineKind.LABOR:
        if line.task in facts.tasks:
            yield f"hours to {facts.tasks[line.task].name}", f"labor.yaml, task {line.task}"
        own = line.pocket is Pocket.OWN_TIME
        if own and Role.OWNER not in known:
            yield "what an hour of yours is worth", "labor.yaml, crew owner"
        elif not own and Role.ELECTRICIAN not in known and line.crew:
            yield f"what {line.crew} charges an hour", "crews: in the shop file"
    elif line.kind in _FEES:
        yield (
            f"{line.kind} of {line.what}" if line.kind is LineKind.FEE else str(line.kind),
            "labor.yaml, crews",
        )
