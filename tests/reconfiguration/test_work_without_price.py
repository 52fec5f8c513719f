"""What becomes of the verdict when a part that only work on what is there takes has no price.

A wire nut, which nobody prices, is made part of a recipe. Then no plan may do that work; what it would cost at least is
what the plain reckoner finds with the nut for nothing, and it is said wherever that is less than the best complete plan.
"""

import pytest
from drawn_anew import Drawn, shop_of, shops
from hypothesis import given, settings
from hypothesis import strategies as st
from soak import examples
from totals_anew import TINY, WIDE, product_cents, read, reckoned_cents

from costplan.circuits.facts import Facts
from costplan.model.catalog import Catalog, Kind, Offer, Part, RecipePart
from costplan.model.choices import SurplusRule
from costplan.program.bench import Bench
from costplan.program.clock import Clock
from costplan.program.ranked import NoPlanError
from costplan.program.ranking import best_plans
from costplan.reports.layouts_text import layouts_text
from costplan.reports.verdict_words import missing
from costplan.studies.comparison import compare
from costplan.studies.gaps import threat
from costplan.studies.wanted import Wanted

CHANGES = ("change receptacle", "change breaker")
FORTUNE = 1_000_000
NEW_S13, CHANGED_S13 = 91000, 42000
"""s13 by hand: two new runs; both receptacles and breakers changed."""


def with_nut(catalog: Catalog, recipe: str, dollars: int | None) -> Catalog:
    """The catalog in which a recipe takes a wire nut at that price; None: nobody gives one."""
    offer = {
        "part": "nut",
        "supplier": "store",
        "condition": "new",
        "price": dollars,
        "per": "each",
        "row": 900,
    }
    changed = catalog.recipes[recipe].model_copy(update={"parts": [RecipePart(kind="wire nut")]})
    return catalog.model_copy(
        update={
            "kinds": [*catalog.kinds, Kind(kind="wire nut")],
            "parts": [*catalog.parts, Part(id="nut", kind="wire nut", name="wire nut")],
            "offers": [*catalog.offers, Offer.model_validate(offer)],
            "recipes": {**catalog.recipes, recipe: changed},
        }
    )


@pytest.mark.parametrize("recipe", CHANGES)
def test_no_winner_is_named_where_only_changing_the_ends_lacks_a_price(recipe: str) -> None:
    result = compare(Facts(read("s13"), with_nut(TINY, recipe, None)), Wanted(plans=1))
    assert result.best.present_value_cents == NEW_S13
    assert result.threat is not None
    assert result.threat.at_least_cents == CHANGED_S13
    assert {(machine, what) for machine, _, what in result.threat.ways} == {
        (machine, "no price for wire nut, to change the ends of a run that is there")
        for machine in ("drill", "saw")
    }
    drops = result.matrix["fixed drops", "new"]
    assert drops.at_least_cents == CHANGED_S13
    no_verdict, no_winner = missing(result)
    assert "2 machines (drill, saw) may have a cheaper fixed drop that is not complete" in no_verdict
    assert "420.00, less than the 910.00" in no_winner


@pytest.mark.parametrize("name", ["s1", "s8"])
def test_a_price_that_no_better_plan_takes_is_not_missed(name: str) -> None:
    result = compare(Facts(read(name), with_nut(TINY, "change receptacle", None)), Wanted(plans=1))
    assert result.threat is None
    assert missing(result) == []


def test_a_layout_tells_of_the_price_it_lacks_and_is_held_against_no_other() -> None:
    shop = read("s13")
    back = [{"name": "back", "at": {"saw": "A", "drill": "C"}}]
    shop = type(shop).model_validate(shop.model_dump(by_alias=True, exclude_unset=True) | {"layouts": back})
    text = layouts_text(compare(Facts(shop, with_nut(TINY, "change breaker", None)), Wanted(plans=1)))
    assert "not known: incomplete" in text
    assert '"same places": incomplete is drill by wall drop (no price for wire nut' in text


@settings(max_examples=examples(20))
@given(shops(), st.sampled_from(CHANGES))
def test_what_the_work_costs_at_least_is_the_total_with_the_part_for_nothing(
    drawn: Drawn, recipe: str
) -> None:
    shop = shop_of(drawn.row())
    facts = Facts(shop, with_nut(WIDE, recipe, None))
    free, dear = (reckoned_cents(shop, with_nut(WIDE, recipe, dollars)) for dollars in (0, FORTUNE))
    bench = Bench.over(facts, SurplusRule.ALLOWED)
    try:
        best = best_plans(bench, 1)[0]
    except NoPlanError:
        assert dear is None or dear >= FORTUNE * 100 / 2
        return
    assert best.present_value_cents == dear
    found = threat(bench, best, Clock())
    assert (None if found is None else found.at_least_cents) == (None if free == dear else free)


def test_the_nut_for_nothing_changes_no_total() -> None:
    assert product_cents(read("s13"), with_nut(TINY, "change breaker", 0)) == CHANGED_S13
