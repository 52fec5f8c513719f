"""What lies on the shelf of the shipped demo: nobody's, so it serves no shop that is not invented."""

from functools import cache
from pathlib import Path

from costplan.files.csv_reader import Table, read_table
from costplan.files.problems import Problem
from costplan.files.shipped import shipped
from costplan.model.catalog import Condition, Offer
from costplan.model.offers import COLUMNS, REQUIRED, check_offers

DEMO = "demo"
"""What a shop file or --catalog says for the shipped demo catalog, whose prices are invented; its shelf is nobody's."""


def demo_folder() -> Path:
    """Where the shipped demo catalog is."""
    return shipped("catalogs") / DEMO


def is_demos(offer: Offer) -> bool:
    """Whether a row of a shelf is word for word one of the shipped demo's."""
    return offer.condition is Condition.ON_HAND and _as_written(offer) in _shelf()


def left_out(offer: Offer, table: Table) -> Problem:
    """A question about such a row, which is left out."""
    message = f'has "{offer.part}" on the shelf as the demo has it, which is invented, so it is left out'
    mend = "delete the row, or write what lies on your own shelf; costplan catalog copy leaves these rows out"
    at = table.at(offer.row, "part")
    return Problem("offer-demo-shelf", at, "", message, mend, severity="question")


@cache
def _shelf() -> frozenset[tuple[object, ...]]:
    offers, _ = check_offers(read_table(demo_folder() / "offers.csv", COLUMNS, REQUIRED), frozenset())
    return frozenset(_as_written(offer) for offer in offers if offer.condition is Condition.ON_HAND)


def _as_written(offer: Offer) -> tuple[object, ...]:
    return offer.part, offer.per, offer.available, offer.seen, offer.note
