"""Which parts of a catalog a shop can use: for each need of each way the cheapest that one supplier sells new."""

from collections.abc import Collection, Iterable, Iterator

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Bundle, Need, Return, StockNeed
from costplan.circuits.shared_gear import Candidate
from costplan.ledger.options import survey
from costplan.model.catalog import Catalog, Condition, Offer, Part
from costplan.model.choices import SurplusRule
from costplan.model.ratings import GROUND_FAULT, TAMPER_RESISTANT
from costplan.sourcing.deal import Deal
from costplan.sourcing.market import Market
from costplan.years.stream import Stream


def main_supplier(catalog: Catalog) -> str:
    """The supplier that sells most parts new at a price; the first in the catalog's order of those."""
    sold = [offer for offer in catalog.offers if _new(offer)]
    counts = {
        supplier.id: len({o.part for o in sold if o.supplier == supplier.id})
        for supplier in catalog.suppliers
    }
    return max(counts, key=lambda supplier: counts[supplier])


def of_one_supplier(catalog: Catalog, supplier: str) -> Catalog:
    """The catalog with what one supplier sells new, and nothing else."""
    offers = [offer for offer in catalog.offers if offer.supplier == supplier and _new(offer)]
    return catalog.model_copy(update={"offers": offers})


def usable_parts(facts: Facts) -> frozenset[str]:
    """Ids of the parts that some way of some machine could take, and of all parts that have no size.

    Of parts that serve the same need the cheapest is kept, so that the comparison is the same as with all of them.
    Parts without a size are kept since work that is added later, such as a move, asks for them too.
    """
    market = Market(facts, SurplusRule.NEW_ONLY)
    seen = survey(facts)
    kept = {part.id for part in facts.catalog.parts if not part.attributes}
    for gear in facts.shop.gear:
        kept |= {part for part in (gear.part, gear.panel_part) if part is not None}
    streams = (option.stream for found in seen.options.values() for option in found)
    for need in {need.each: None for bundle in _bundles(streams, seen.gear) for need in bundle.needs}:
        kept |= _cheapest(market, need)
    kept |= _one_of_each_kind(facts.catalog, kept)
    return frozenset(kept | _protecting_alike(facts.catalog, kept))


def _one_of_each_kind(catalog: Catalog, kept: Collection[str]) -> set[str]:
    """The cheapest part of every kind that a recipe names and that has none yet: nothing to buy is asked about."""
    kinds = {part.id: part.kind for part in catalog.parts}
    named = {part.kind for recipe in catalog.recipes.values() for part in recipe.parts}
    named -= {kinds[part] for part in kept}
    priced = sorted(
        (offer for offer in catalog.offers if _new(offer)), key=lambda offer: offer.price_cents or 0
    )
    cheapest = {kinds[offer.part]: offer.part for offer in reversed(priced)}
    return {cheapest[kind] for kind in named if kind in cheapest}


def _protecting_alike(catalog: Catalog, kept: Collection[str]) -> set[str]:
    """Parts that differ from kept ones only in whom they protect: what an unknown edition or use turns on needs both."""

    protecting = (GROUND_FAULT, TAMPER_RESISTANT)

    def plain(part: Part) -> tuple[object, ...]:
        return part.kind, *sorted((n, str(v)) for n, v in part.attributes.items() if n not in protecting)

    alike = {plain(part) for part in catalog.parts if part.id in kept}
    return {part.id for part in catalog.parts if plain(part) in alike}


def _new(offer: Offer) -> bool:
    return offer.condition is Condition.NEW and offer.price_cents is not None and offer.available is None


def _cheapest(market: Market, need: Need) -> set[str]:
    """The cheapest part for a need by each way of buying it: singly or by the foot, in packs, in each length of reel."""
    best: dict[object, Deal] = {}
    for deal in market.usable(need):
        before = best.get(deal.pack)
        if before is None or deal.unit_cents < before.unit_cents:
            best[deal.pack] = deal
    return {deal.part.id for deal in best.values()}


def _bundles(streams: Iterable[Stream], gear: Iterable[Candidate]) -> Iterator[Bundle]:
    for stream in streams:
        yield from (deed.bundle for deed in stream.deeds)
        yield from (bundle for given in stream.given for bundle in _of_return(given.left))
        for use in stream.uses:
            yield from _of_thing(use.thing)
            yield from (taken.bundle for taken in use.taken_out)
            lefts = [end.left for _, end in use.ends if end is not None and end.left is not None]
            for left in [*lefts, *(left for _, _, left in use.parted)]:
                yield from _of_return(left)
    for entry in gear:
        yield from (entry.bundle, entry.again, entry.renewed, entry.overhauled, entry.yearly)


def _of_thing(thing: StockNeed) -> Iterator[Bundle]:
    yield from (thing.bought, thing.reused)
    for wear in thing.wears:
        yield wear.work if wear.need is None else Bundle((wear.need,)) + wear.work
    for inner in (*thing.inner, *thing.along, *thing.ends):
        yield from _of_thing(inner)


def _of_return(left: Return) -> Iterator[Bundle]:
    yield from (left.unused, left.taken_out)
    for inner in left.inner:
        yield from _of_return(inner)
