"""Figures that know how far they reach: to all arithmetic they are their likely figure."""

import pickle
from decimal import Decimal
from typing import Any

import pytest
from pydantic import ValidationError

from costplan.model.amending import cells_of
from costplan.model.catalog import Offer
from costplan.model.conditions import Money
from costplan.model.labor import Crew
from costplan.model.offers import READERS
from costplan.model.ranges import Ranged, ends_of

THREE = Ranged(Decimal(40), Decimal(55), Decimal(80))


def test_a_range_is_its_likely_figure_to_all_arithmetic() -> None:
    assert THREE == 55
    assert THREE * 2 == 110
    assert ends_of(THREE * 2) is None
    assert ends_of(THREE) == (40, 55, 80)
    assert ends_of(pickle.loads(pickle.dumps(THREE))) == (40, 55, 80)


def test_a_range_rises() -> None:
    with pytest.raises(ValueError, match="do not rise"):
        Ranged(Decimal(2), Decimal(1), Decimal(3))


def crew(rate: Any) -> Crew:
    return Crew.model_validate({"name": "one", "role": "electrician", "rate": rate})


def test_files_have_one_figure_or_three() -> None:
    assert ends_of(crew(95).rate_cents) is None
    assert ends_of(crew(["$80", 95, "120.00"]).rate_cents) == (8000, 9500, 12000)
    assert crew([80, 95, 120]).rate_cents == crew(95).rate_cents
    assert ends_of(Money.model_validate({"discount_rate": ["-1 %", 0, "2 %"]}).discount_rate) == (
        Decimal("-0.01"),
        0,
        Decimal("0.02"),
    )


def test_a_range_outlives_a_copy_and_being_read_again() -> None:
    once = crew([80, 95, 120])
    assert ends_of(once.model_copy(update={"name": "two"}).rate_cents) == (8000, 9500, 12000)
    assert (
        ends_of(Crew.model_validate({"name": "one", "role": "owner", "rate": once.rate_cents}).rate_cents)
        is not None
    )


@pytest.mark.parametrize(
    "rate",
    [[80, 95], [95, 80, 120], [-1, 95, 120], [0, 0, 10], [0, 0, 0], [], [80, [95], 120], "[80, 95, 120]"],
)
def test_all_else_is_refused(rate: Any) -> None:
    with pytest.raises(ValidationError):
        crew(rate)


def test_an_offer_keeps_its_range_where_it_is_written_again() -> None:
    offer = Offer.model_validate(
        {"part": "p", "supplier": "s", "condition": "new", "price": ["0.125", 6, 11], "per": "ft"}
    )
    assert cells_of(offer)["price"] == "[0.125/6.00/11.00]"
    assert ends_of(READERS["price"](cells_of(offer)["price"])) == ends_of(offer.price_cents or Decimal(0))
