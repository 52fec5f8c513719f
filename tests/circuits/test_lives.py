"""Nominal lives, lives at a machine, and which of them are worth telling apart.

Source of the rules: common practice, no source; the figures are worked by hand.
"""

from decimal import Decimal
from typing import Any

import pytest
from strategies import KINDS, make_catalog, make_shop, offer

from costplan.circuits.facts import Facts
from costplan.circuits.lives import OUTLASTS, life_of, lives_of, worn_after
from costplan.circuits.needs import Need, make_spec
from costplan.model.choices import SurplusRule
from costplan.sourcing.market import Market

PLUG = make_spec("plug", {"configuration": "NEMA 6-20"})
ALL = Decimal(1)


def plug(name: str, life: int | None) -> dict[str, Any]:
    row: dict[str, Any] = {"id": name, "kind": "plug", "name": name}
    row["attributes"] = {"configuration": "NEMA 6-20"}
    return row | ({} if life is None else {"life": life})


def facts(kind_life: int | None = 20, years: int = 10) -> Facts:
    """Plugs of 4, 10 and 12 years and of the kind's life; one that nobody offers, one without a price."""
    kinds = [kind | ({"life": kind_life} if kind["kind"] == "plug" and kind_life else {}) for kind in KINDS]
    catalog = make_catalog(
        [
            offer("cheap", "store", 5),
            offer("good", "store", 9),
            offer("dear", "store", None),
            offer("plug-6-20", "store", 12),
        ],
        kinds=kinds,
        more_parts=[plug("cheap", 4), plug("good", 10), plug("dear", 12), plug("unknown", 7)],
    )
    return Facts(make_shop(years=years), catalog)


def test_a_parts_life_else_its_kinds() -> None:
    known = facts()
    lives = [life_of(known, known.parts[name]) for name in ("cheap", "plug-6-20")]
    assert lives == [4, 20]
    assert life_of(facts(None), facts(None).parts["plug-6-20"]) is None


@pytest.mark.parametrize(
    ("life", "share", "years"), [(10, "1", 10), (10, "0.75", 7), (3, "0.5", 1), (1, "0.2", 1), (4, "2", 8)]
)
def test_a_machine_wears_a_part_to_a_share_of_its_life(life: int, share: str, years: int) -> None:
    assert worn_after(life, Decimal(share)) == years


@pytest.mark.parametrize(
    ("share", "horizon", "found"),
    [
        ("1", 10, (4, OUTLASTS)),
        ("1", 11, (4, 10, OUTLASTS)),
        ("1", 30, (4, 10, 12, 20)),
        ("1", 4, (OUTLASTS,)),
        ("0.5", 6, (4, 10, OUTLASTS)),
    ],
)
def test_lives_that_outlast_the_plan_are_one(share: str, horizon: int, found: tuple[int, ...]) -> None:
    """A life that ends on the last day outlasts the plan: nothing is replaced then."""
    assert lives_of(facts(), PLUG, Decimal(share), horizon) == found


def test_nothing_on_offer_has_the_life_of_its_kind() -> None:
    nothing = make_spec("plug", {"configuration": "NEMA 5-50"})
    assert lives_of(facts(), nothing, ALL, 10) == (OUTLASTS,)
    assert lives_of(facts(), nothing, ALL, 21) == (20,)


def test_the_market_offers_only_the_life_asked_for() -> None:
    known = facts()
    market = Market(known, SurplusRule.ALLOWED)

    def sold(lasts: int | None, share: str = "1") -> set[str]:
        return {deal.part.id for deal in market.usable(Need(PLUG, 1, 0, lasts, Decimal(share)))}

    assert sold(None) == {"cheap", "good", "plug-6-20"}
    assert sold(4) == {"cheap"}
    assert sold(OUTLASTS) == {"good", "plug-6-20"}
    assert sold(OUTLASTS, "0.5") == {"plug-6-20"}
    assert sold(7) == set()
    found = market.forecast(Need(PLUG, 1, 0, OUTLASTS))
    assert found is not None
    assert found.deal.part.id == "good"
    assert market.forecast(Need(PLUG, 1, 0, 7)) is None


def test_needs_of_any_life_stand_before_those_of_one() -> None:
    needs = [Need(PLUG, 1, 0, lasts) for lasts in (OUTLASTS, None, 4)]
    assert [need.lasts for need in sorted(needs)] == [None, 4, OUTLASTS]
    assert Need(PLUG, 3, 7, 4, Decimal(2)).each == Need(PLUG, 1, 7, 4, Decimal(2))
    assert hash(Need(PLUG, 1, 0, 4)) == hash(Need(PLUG, 1, 0, 4)) != hash(Need(PLUG, 1))
