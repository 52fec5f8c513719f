"""Rules across the shop file and the catalog: small functions, each of one thing that must hold."""

from collections.abc import Iterator
from dataclasses import replace

from costplan.checks import (
    check_catalog,
    check_days,
    check_effects,
    check_ends,
    check_events,
    check_gear,
    check_grounds,
    check_jobs,
    check_labor,
    check_layouts,
    check_leases,
    check_lengths,
    check_loads,
    check_motors,
    check_places,
    check_plates,
    check_prices,
    check_quotes,
    check_recipes,
    check_rooms,
    check_sellers,
    check_service,
    check_tandems,
    check_there,
    check_usual,
    check_values,
    check_wear,
)
from costplan.files.csv_reader import Table
from costplan.files.problems import Problem, errors_of, in_order
from costplan.model.catalog import Catalog
from costplan.model.loading import LoadedCatalog, LoadedShop
from costplan.model.pair import Pair
from costplan.model.partly import found_by, partly
from costplan.model.shop import Shop
from costplan.standards import usual
from costplan.standards.citations import cited

RULES = (
    *check_rooms.RULES,
    *check_plates.RULES,
    *check_motors.RULES,
    *check_gear.RULES,
    *check_service.RULES,
    *check_loads.RULES,
    *check_tandems.RULES,
    *check_there.RULES,
    *check_grounds.RULES,
    *check_ends.RULES,
    *check_events.RULES,
    *check_values.RULES,
    *check_usual.RULES,
    *check_leases.RULES,
    *check_lengths.RULES,
    *check_prices.RULES,
    *check_days.RULES,
    *check_catalog.RULES,
    *check_jobs.RULES,
    *check_quotes.RULES,
    *check_labor.RULES,
    *check_recipes.RULES,
    *check_wear.RULES,
    *check_effects.RULES,
    *check_sellers.RULES,
    *check_layouts.RULES,
    *check_places.RULES,
)
"""Every rule, in no order that matters."""

FAR_FIGURES = frozenset(figure.code for figure in usual.figures().values()) | {
    *check_prices.QUESTIONS,
    *check_days.QUESTIONS,
    *check_usual.QUESTIONS,
    *check_ends.QUESTIONS,
    *check_lengths.QUESTIONS,
    *check_recipes.QUESTIONS,
}
"""Codes of questions about figures that can hardly be meant and that move an answer; every command shows them in full."""


def pair_of(shop: LoadedShop, catalog: LoadedCatalog) -> Pair | None:
    """What the rules look at; None when either could not be read."""
    if shop.shop is None or catalog.catalog is None or catalog.offers is None:
        return None
    return Pair(shop.shop, shop.places, catalog.catalog, catalog.places, catalog.offers)


def check_shop(shop: LoadedShop, catalog: LoadedCatalog) -> list[Problem]:
    """What does not fit within and between a shop file and its catalog, as far as they could be read.

    The problems of reading them are not repeated here.
    """
    pair = pair_of(shop, catalog)
    if pair is None:
        table = catalog.offers or Table(str(catalog.folder), (), {}, (), {}, 2, ())
        seen = Pair(shop_as_read(shop), shop.places, catalog_as_read(catalog), catalog.places, table)
        return in_order(found_by(RULES, seen, questions=False))
    problems = list(found_by(RULES, pair))
    if not errors_of(problems):
        problems += check_layouts.of_layouts(pair, RULES)
    edition = pair.shop.code.edition
    return in_order([_cited(problem, edition) for problem in _once(problems)])


def _once(problems: list[Problem]) -> Iterator[Problem]:
    """The problems without questions about figures that are refused anyhow."""
    refused = {problem.at for problem in errors_of(problems)}
    for problem in problems:
        if problem.severity == "error" or problem.code not in FAR_FIGURES or problem.at not in refused:
            yield problem


def _cited(problem: Problem, edition: int | None) -> Problem:
    """The problem with sections of the code by the numbers of the edition in force."""
    return replace(problem, message=cited(problem.message, edition), mend=cited(problem.mend, edition))


def shop_as_read(shop: LoadedShop) -> Shop:
    """The shop, or as much of it as could be read."""
    return shop.shop or partly(Shop, shop.sections)


def catalog_as_read(catalog: LoadedCatalog) -> Catalog:
    """The catalog, or as much of it as could be read."""
    return catalog.catalog or partly(Catalog, catalog.sections)
