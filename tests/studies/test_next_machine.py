"""The next machine: the difference of two optima, worked by hand in the smallest shop. All prices invented.

The shop has a drill that is powered already and costs nothing, so the power of a saw is what the saw's circuit
costs on its own in `test_features`: 618.60 by a cord, 780.00 by a wall drop.
"""

from dataclasses import replace
from typing import Any

import pytest
from strategies import DRILL, PANEL, SAW, make_catalog, make_shop, one_pole, store_offers

from costplan.circuits.facts import Facts
from costplan.model.shop import NextMachine
from costplan.program.bench import Bench
from costplan.reports.next_columns import next_data
from costplan.reports.next_page import next_text, other_work_cents, own_work, parts_difference
from costplan.reports.next_screen import next_screen
from costplan.reports.parts import NextPart
from costplan.studies.asked_next import NextAnswer
from costplan.studies.next_machine import (
    Benches,
    CountedCost,
    NextPrice,
    price_machines,
    turning_count,
    with_alike,
)

Row = dict[str, Any]

NOW: Row = {
    "method": "wall drop",
    "panel": "panel",
    "configuration": "NEMA 5-20",
    "breaker": "20 A",
    "poles": 1,
    "awg": "12",
}
THERE: Row = DRILL | {"now": NOW, "ways": {"only": ["wall drop"], "hard_wired": False}}
BOUGHT: Row = SAW | {"price": 1000, "worth_at_end": "50 %", "ways": {"hard_wired": False}}


def facts_with(**more: Any) -> Facts:
    return Facts(make_shop([THERE], **more), make_catalog())


def priced(machine: Row, **more: Any) -> NextPrice:
    return price_machines(facts_with(**more), [NextMachine.model_validate(machine)])[0]


@pytest.fixture(scope="module")
def saw() -> NextPrice:
    return priced(BOUGHT)


def test_power_is_the_best_circuit_and_the_machine_is_price_less_worth(saw: NextPrice) -> None:
    assert saw.without.present_value_cents == 0
    assert saw.power_cents == 61860
    assert saw.machine_cents == 100000 - 50000
    assert saw.total_cents == 61860 + 50000
    assert saw.proven


def test_a_price_that_could_make_the_power_cheaper_is_missed_and_said() -> None:
    unpriced = [
        offer | ({"price": None} if offer["part"].startswith("nm-") else {}) for offer in store_offers()
    ]
    facts = Facts(make_shop([THERE]), make_catalog(unpriced))
    price = price_machines(facts, [NextMachine.model_validate(BOUGHT | {"at": "bench D"})])[0]
    assert price.without_threat is None
    assert price.with_threat is not None
    assert "Incomplete with the saw: incomplete is saw by wall drop (no price for" in next_text([price])
    assert next_data(NextAnswer((price,)))["machines"][0]["incomplete"] is True


def test_a_second_one_shares_the_visit_and_the_permit(saw: NextPrice) -> None:
    assert saw.second_power_cents == 61860 - 5000 - 6000


def test_every_kind_of_run_is_priced(saw: NextPrice) -> None:
    power = {variant.words: variant.power_cents for variant in saw.variants}

    assert power["by a cord from beside the panel"] == 61860
    assert power["by a fixed drop"] == 78000


def test_the_page_adds_up(saw: NextPrice) -> None:
    spent = sum(row.amount_cents for row in own_work(saw)) + other_work_cents(saw)
    parts = sum(cents for _, _, cents in parts_difference(saw))

    # electrician 3 h at 100, owner 3 h at 20, call-out 50, permit 60; parts as in the header of test_features
    assert spent == 30000 + 6000 + 5000 + 6000
    assert parts == 18700
    text = next_text([saw])
    assert "saw: 1,118.60 all in, of it 618.60 for power and 500.00 for the machine" in text
    assert next_data(NextAnswer((saw,)))["machines"][0]["power"] * 100 == saw.power_cents


def test_the_first_screen_has_the_answer_first_in_23_rows_of_80(saw: NextPrice) -> None:
    """618.60 of power and 500 of machine, as worked by hand above; the smallest terminal has 24 rows of 80 columns."""
    rivals = [
        replace(saw, machine=saw.machine.model_copy(update={"name": f"saw {'x' * n}"})) for n in range(30)
    ]
    for prices in ([saw], [saw, *rivals]):
        lines = next_screen(prices).splitlines()
        assert len(lines) <= 23
        assert max(map(len, lines)) <= 80
        assert lines[0].startswith("saw costs about USD 1,11")
        assert lines[-1] == "More: --show machines,ways,money,room,work,buy,count,all"
    text = " ".join(next_screen([saw]).split())
    assert "500 for the machine, 619 for its power" in text
    # parts 187; an electrician's three hours, his call-out and the permit 410; three hours of the owner's
    assert "It takes: parts 187, hired work 410, 3.0 hours of your own work." in text
    assert "panel from 12 to 10 free spaces" in text
    assert "lock out and test first" in text


def test_a_part_alone_is_printed_between_the_answers(saw: NextPrice) -> None:
    alone = next_text([saw], parts=[NextPart.BUY])
    assert "saw: what to buy for it" in alone
    assert "the work it takes" not in alone
    assert alone.count("saw: 1,118.60 all in") == 2


def test_a_machine_that_comes_later_is_paid_for_later() -> None:
    later = priced(BOUGHT | {"arrives": 2}, money={"discount_rate": "10 %"})
    price = next(line for line in later.own_lines if line.what.endswith("price"))

    assert price.year == 2
    assert price.present_value_cents == round(100000 / 1.1**2)
    assert later.outlay_cents == 0


def test_rivals_stand_side_by_side_cheapest_first() -> None:
    dear = NextMachine.model_validate(BOUGHT | {"name": "dear saw", "price": 3000})
    cheap = NextMachine.model_validate(BOUGHT)
    prices = price_machines(facts_with(), [dear, cheap], second=False)

    assert [price.machine.name for price in prices] == ["saw", "dear saw"]
    assert "dear saw costs 1,000.00 more" in next_text(prices)
    assert prices[0].second_power_cents is None


def test_machines_alike_run_in_turn_where_the_file_says_so() -> None:
    service = {"amps": 100, "at_once": [["drill"], ["saw"]]}
    facts = facts_with(service=service)
    alike = with_alike(facts, NextMachine.model_validate(BOUGHT), 3)

    assert alike.shop.service is not None
    assert alike.shop.service.at_once == [["drill"], ["saw"], ["saw no. 2"], ["saw no. 3"]]
    assert [machine.name for machine in alike.shop.machines[1:]] == ["saw", "saw no. 2", "saw no. 3"]


def test_the_turning_count_is_the_first_at_which_shared_gear_is_cheaper() -> None:
    counted = [CountedCost(1, 100, 300), CountedCost(2, 200, 310), CountedCost(3, 330, 320)]

    assert turning_count(counted) == 3
    assert turning_count(counted[:2]) is None
    assert turning_count([CountedCost(1, None, 300)]) == 1


def test_a_full_panel_shows_in_the_price() -> None:
    full = [PANEL | {"spaces_free": 0, "tandems": 4, "one_pole_circuits": [one_pole(4)]}]
    gear = [{"name": "slim", "kind": "tandem breaker", "panel": "panel", "at_most": 2, "quote": 40}]
    price = priced(BOUGHT, panels=full, gear=gear)

    # two poles, so two quotes of 40
    assert price.power_cents == 61860 + 2 * 4000
    assert price.with_it.plan.gear[0].count == 2


def test_the_first_machine_of_a_shop_without_any() -> None:
    facts = Facts(make_shop([]), make_catalog())
    prices = price_machines(facts, [NextMachine.model_validate(BOUGHT)], second=False)

    assert (prices[0].without.present_value_cents, prices[0].power_cents) == (0, 61860)
    assert "saw: 1,118.60 all in" in next_text(prices)
    assert next_data(NextAnswer(tuple(prices)))["machines"][0]["power"] * 100 == 61860


SHOPS_ALIKE: dict[str, tuple[Row, bool]] = {
    "nothing there": ({}, True),
    "a drop there": ({"now": NOW}, True),
    "a drop there that the saw could take over": ({"now": NOW, "at": "bench A"}, False),
    "a cord there": (
        {"now": NOW | {"method": "cord", "cord": {"length": 30, "awg": 12, "conductors": 3}}},
        False,
    ),
}


@pytest.mark.parametrize("name", SHOPS_ALIKE)
def test_a_shop_surveyed_on_from_the_one_without_the_machine_is_as_surveyed_anew(name: str) -> None:
    """The drill keeps its ways where the saw changes none of them: a pooled one comes where they may exchange."""
    more, kept = SHOPS_ALIKE[name]
    facts = Facts(make_shop([DRILL | {"ways": {"hard_wired": False}} | more]), make_catalog())
    benches, machine = Benches(facts), NextMachine.model_validate(BOUGHT)
    for count in (1, 2):
        anew = Bench.over(with_alike(facts, machine, count), facts.shop.money.surplus)
        found = benches.with_alike(machine, count)
        assert found.priced_survey == anew.priced_survey
        assert found.whole_survey == anew.whole_survey
    one = benches.with_alike(machine).whole_survey.options["drill"]
    assert (
        all(a is b for a, b in zip(one, benches.without.whole_survey.options["drill"], strict=False)) == kept
    )


def test_the_first_screen_asks_for_the_ways_of_the_cheapest_alone() -> None:
    """Two saws, one 10.00 dearer: its ways and a second one are not asked for, and the cheaper's are the same."""
    saws = [
        NextMachine.model_validate(BOUGHT | {"name": name, "price": price})
        for name, price in (("saw", 1000), ("other saw", 1020))
    ]
    whole = price_machines(facts_with(), saws)
    screen = price_machines(facts_with(), saws, second=False, all_ways=False)
    assert [price.total_cents for price in screen] == [price.total_cents for price in whole]
    assert [(v.words, v.power_cents) for v in screen[0].variants] == [
        (v.words, v.power_cents) for v in whole[0].variants
    ]
    assert whole[1].variants
    assert not screen[1].variants
    assert screen[0].with_two is None
    assert next_screen(screen, [], (), 80) == next_screen(whole, [], (), 80)
