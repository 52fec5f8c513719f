"""A catalog looked over: every question its prices raise, and a part's prices over time as rows."""

from collections.abc import Iterable, Iterator
from datetime import date
from pathlib import Path

from costplan.files.problems import At, Problem, UserMistakeError, errors_of
from costplan.files.yaml_reader import Trail
from costplan.model.history import Price, read_history
from costplan.model.loading import load_catalog_with_places
from costplan.sourcing.duplicates import repeated_offers, twin_parts, twin_suppliers
from costplan.sourcing.oddities import odd_prices, price_jumps, stale_offers, surplus_dearer_than_new
from costplan.sourcing.upkeep import open_catalog


def questions_about(folder: Path, today: date, oldest_days: int) -> Iterator[Problem]:
    """All that looks odd in a catalog's prices. Raises UserMistakeError when its files cannot be used."""
    loaded = load_catalog_with_places(folder)
    opened = open_catalog(folder)
    past, problems = read_history(folder)
    if errors_of(problems) or loaded.catalog is None:
        raise UserMistakeError(errors_of([*loaded.problems, *problems]))
    places = loaded.places

    def in_file(file: str, trail: Trail) -> At:
        return places[file].problem("", trail, "", "").at

    yield from stale_offers(opened.offers, today, opened.place, oldest_days)
    yield from odd_prices(opened.offers, opened.place)
    yield from surplus_dearer_than_new(opened.offers, opened.place)
    yield from price_jumps(opened.offers, past, opened.place)
    yield from repeated_offers(opened.offers, opened.place)
    yield from twin_parts(list(opened.parts.values()), in_file)
    yield from twin_suppliers(list(opened.suppliers.values()), in_file)


def history_rows(prices: Iterable[Price]) -> list[dict[str, str]]:
    """Prices over time as rows of words: the change is against the price before it of the same thing."""
    rows = []
    before: tuple[tuple[str, str, str], Price] | None = None
    for price in prices:
        offer = price.offer
        thing = offer.supplier, str(offer.condition), offer.per
        was = before[1].offer.price_cents if before and before[0] == thing else None
        change = ""
        if was and offer.price_cents is not None:
            change = f"{(offer.price_cents - was) / was * 100:+.1f} %" if offer.price_cents != was else "same"
        rows.append(
            {
                "supplier": offer.supplier,
                "condition": str(offer.condition),
                "per": offer.per,
                "price": "" if offer.price_cents is None else f"{offer.price_cents / 100:.2f}",
                "change": change,
                "seen": "" if offer.seen is None else offer.seen.isoformat(),
                "until": "now" if price.until is None else price.until.isoformat(),
                "note": offer.note,
            }
        )
        before = thing, price
    return rows
