"""An electrician's markup is on the parts that he brings, and labor by the foot on the feet that are laid.

Source: cases worked by hand, with usual practice of the trade (common practice, no source). Shops and prices are invented.
"""

from decimal import Decimal
from typing import Any

from strategies import DRILL, SAW, make_catalog, make_shop

from costplan.circuits.facts import Facts
from costplan.ledger.lines import LineKind
from costplan.model.catalog import Catalog
from costplan.program.ranked import Ranked
from costplan.studies.comparison import compare
from costplan.studies.wanted import Wanted

Row = dict[str, Any]
WALL: Row = {"ways": {"only": ["wall drop"], "hard_wired": False}}


def planned(catalog: Catalog, machine: Row = SAW) -> Ranked:
    return compare(Facts(make_shop([machine | WALL]), catalog), Wanted(plans=1)).best


def by_kind(ranked: Ranked, kind: LineKind) -> int:
    return sum(line.amount_cents for line in ranked.lines if line.year == 0 and line.kind is kind)


def electricians(markup: str) -> Catalog:
    """The test's catalog, in which the electrician sells all parts at the same prices."""
    catalog = make_catalog()
    mine = [supplier.model_copy(update={"markup": Decimal(markup)}) for supplier in catalog.suppliers]
    return catalog.model_copy(update={"suppliers": mine})


def test_markup_is_a_line_of_its_own_on_his_parts_alone() -> None:
    plain, marked = planned(electricians("0")), planned(electricians("0.2"))
    parts = by_kind(plain, LineKind.PART)
    assert by_kind(marked, LineKind.PART) == parts
    assert by_kind(marked, LineKind.MARKUP) == parts / 5
    for kind in (LineKind.LABOR, LineKind.CALL_OUT, LineKind.PERMIT):
        assert by_kind(marked, kind) == by_kind(plain, kind)
    assert marked.present_value_cents == plain.present_value_cents + parts // 5
    assert by_kind(plain, LineKind.MARKUP) == 0


def test_what_the_owner_buys_carries_none() -> None:
    """The receptacle is on offer at the owner's own counter too, a cent dearer than the electrician's price without markup."""
    catalog = electricians("0.2")
    seller = catalog.suppliers[0]
    counter = seller.model_copy(update={"id": "own counter", "name": "own counter", "markup": Decimal(0)})
    known = next(
        offer for offer in catalog.offers if offer.part == "receptacle-6-20" and offer.supplier == seller.id
    )
    last = max(offer.row for offer in catalog.offers)
    own = known.model_copy(
        update={"supplier": "own counter", "price_cents": (known.price_cents or 0) + 1, "row": last + 1}
    )
    both = catalog.model_copy(
        update={"suppliers": [*catalog.suppliers, counter], "offers": [*catalog.offers, own]}
    )
    alone, found = planned(catalog), planned(both)
    assert own.row in {line.offer_row for line in found.lines}
    saved = by_kind(alone, LineKind.MARKUP) - by_kind(found, LineKind.MARKUP)
    assert saved * 5 == known.price_cents


def test_markup_is_printed_by_its_share() -> None:
    from costplan.reports.shopping import shopping_list
    from costplan.reports.shopping_text import shopping_text
    from costplan.reports.terminal import comparison_text

    result = compare(Facts(make_shop([SAW | WALL]), electricians("0.2")), Wanted(plans=1))
    assert "markup of 20 %" in shopping_text(shopping_list(result))
    assert "markup on parts that the electrician brings" in comparison_text(result)


def test_labor_by_the_foot_counts_the_feet_laid_and_parts_those_bought() -> None:
    """85 ft of route at 0.04 h: 3.4 h, whatever is bought: 85 + 5 = 90 ft, or with a tenth of waste 99 ft."""
    for waste, bought in (("0 %", 90), ("10 %", 99)):
        recipe = {
            "wall drop": {"extra": 5, "waste": waste, "tasks": [{"task": "foot-of-cable", "per": "ft"}]}
        }
        catalog = make_catalog(recipes=recipe, hours={"foot-of-cable": ["0.04"] * 3})
        routes = [{"from": "panel", "to": "bench A", "fixed": 85, "cord": 85}]
        shop = make_shop([SAW | WALL | {"drop_limit": "9 %"}], routes=routes)
        best = compare(Facts(shop, catalog), Wanted(plans=1)).best
        (laid,) = [
            line for line in best.lines if line.kind is LineKind.LABOR and line.task == "foot-of-cable"
        ]
        assert laid.hours == Decimal("3.4")
        lengths = {need.length_ft for need in best.needed_by if need.spec.kind == "building cable"}
        assert lengths == {bought}


def test_an_outlet_beside_the_panel_has_no_labor_by_the_foot() -> None:
    recipe = {"outlet beside panel": {"extra": 5, "tasks": [{"task": "foot-of-cable", "per": "ft"}]}}
    cord = {"ways": {"only": ["cord"], "hard_wired": False}}
    best = compare(Facts(make_shop([DRILL | cord]), make_catalog(recipes=recipe)), Wanted(plans=1)).best
    assert not any("foot of cable" in line.what for line in best.lines)
