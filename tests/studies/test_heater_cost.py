"""A large heater of which nobody said whether it stays: the fixed run is priced, and the money of the answer is told.

Rule: NFPA 70 400.12(1), a cord is no substitute for fixed wiring; 110.3(B), its maker's instructions. Until it is answered the
answer that cannot hurt is the base. Prices are those of `strategies`, all invented.
"""

from decimal import Decimal
from typing import Any

import pytest
from strategies import make_catalog, make_shop, store_offers

from costplan.circuits.facts import Facts
from costplan.model.choices import Method
from costplan.reports.terminal import comparison_text
from costplan.studies.comparison import Comparison, compare
from costplan.studies.wanted import Wanted

KILN: dict[str, Any] = {"name": "kiln", "at": "bench C", "volts": 240, "amps": 24, "load": "heater"}
ROVING = {
    "scenarios": [
        {
            "name": "moves",
            "weight": "100 %",
            "events": [{"every": 1, "machine": "kiln", "new_spot": True}],
        }
    ],
    "years": 5,
}


def compared(**words: Any) -> Comparison:
    shop = make_shop([KILN | words], **ROVING)
    return compare(Facts(shop, make_catalog(store_offers())), Wanted(plans=2))


def method(comparison: Comparison) -> Method:
    return next(way.method for _, way, _ in comparison.best.plan.shares())


def test_until_it_is_said_the_fixed_run_is_the_base() -> None:
    assert method(compared()) is not Method.CORD
    assert method(compared(never_moves=False)) is Method.CORD


def test_the_money_of_the_answer_is_the_difference_of_the_two_optima() -> None:
    """A second opinion: the whole solved with `never_moves: false` written."""
    unsaid, said = compared(), compared(never_moves=False)
    less = Decimal(unsaid.best.present_value_cents - said.best.present_value_cents) / 100
    assert less > 0
    (sentence,) = unsaid.hinges
    assert f"USD {less:,.2f} less" in sentence
    assert sentence in " ".join(comparison_text(unsaid).split())


@pytest.mark.parametrize(
    "words",
    [
        {"never_moves": False},
        {"never_moves": True},
        {"amps": 18},
        {"load": "other"},
        {"ways": {"only": ["cord"]}},
    ],
)
def test_nothing_is_told_where_nothing_is_open(words: dict[str, Any]) -> None:
    """Up to 20 A it may be carried about; what the file asks for by `only` is questioned elsewhere, not closed."""
    if words.get("never_moves"):
        shop = make_shop([KILN | words])
        assert compare(Facts(shop, make_catalog(store_offers())), Wanted(plans=1)).hinges == ()
    else:
        assert compared(**words).hinges == ()


def test_where_a_cord_is_no_cheaper_that_is_said() -> None:
    """Nothing ever moves, and it stands beside the panel: the fixed run is the cheaper one whatever the answer is."""
    shop = make_shop([KILN | {"at": "bench D"}])
    (sentence,) = compare(Facts(shop, make_catalog(store_offers())), Wanted(plans=1)).hinges
    assert sentence.endswith("with one the whole would cost no less")
