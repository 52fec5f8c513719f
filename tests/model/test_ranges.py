"""Figures that know how far they reach: to all arithmetic they are their mean, (low + 4 likely + high) / 6."""

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
from costplan.model.ranges import TENTH_OF_A_CENT, Ranged, ends_of

THREE = Ranged(Decimal(40), Decimal(55), Decimal(80))


def test_a_range_is_its_mean_to_all_arithmetic() -> None:
    # (40 + 4 x 55 + 80) / 6 = 56.666666667
    assert str(THREE + 0) == "56.666666667"
    assert str(THREE * 2) == "113.333333334"
    assert Ranged(Decimal(40), Decimal(55), Decimal(80), TENTH_OF_A_CENT) == Decimal("56.7")
    assert Ranged(Decimal(40), Decimal(55), Decimal(80), counts=Decimal(55)) == 55
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
    # (8000 + 4 x 9500 + 12000) / 6 = 9666.67 cents
    assert crew([80, 95, 120]).rate_cents == Decimal("9666.7")
    # Nothing at the likely figure is something on average: 10.00 / 6.
    assert crew([0, 0, 10]).rate_cents == Decimal("166.7")
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
    [[80, 95], [95, 80, 120], [-1, 95, 120], [0, 0, 0], [], [80, [95], 120], "[80, 95, 120]"],
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
