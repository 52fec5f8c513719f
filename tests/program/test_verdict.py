"""When rows are complete, when a winner is named, and what is said first when something is not known.

Totals start from tests/program/test_features.py: the saw by wall drop 780.00, by cord 618.60; all prices invented.
That no winner is named beside an incomplete way that could be cheaper follows common practice, no source.
"""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import DRILL, LATHE, PANEL, SAW, WALL_ONLY, make_catalog, make_shop, store_offers

from costplan.circuits.facts import Facts
from costplan.ledger.holding import UnknownWordsError, means
from costplan.model.catalog import Catalog
from costplan.model.shop import Shop
from costplan.program.ranked import NoPlanError
from costplan.reports.data import comparison_data
from costplan.reports.noted import noted
from costplan.reports.remarks import Topic
from costplan.reports.rounded import about, between, in_steps
from costplan.reports.terminal import comparison_text
from costplan.reports.verdict_words import missing, verdict
from costplan.studies.comparison import Comparison, compare
from costplan.studies.wanted import Wanted

Row = dict[str, Any]

WHY = "left out to keep the test small"
ONLY_THE_CEILING_MORE: Row = {
    "building": {"patching": False, "forbid": {"conduit drop": WHY, "armored drop": WHY}},
}
NEAR_SAW: Row = SAW | {"at": "bench D"}
"""3 ft from the panel: there the wall drop, 538.00, beats the cord, 579.00."""


def catalog_without(*marks: str, **more: Any) -> Catalog:
    """The store with no price for parts whose ids begin so."""
    offers = [
        offer | ({"price": None} if offer["part"].startswith(marks) else {}) for offer in store_offers()
    ]
    return make_catalog(offers, **more)


def compared(shop: Shop, catalog: Catalog | None = None, **more: Any) -> Comparison:
    return compare(Facts(shop, catalog or make_catalog()), Wanted(**more))


def about_topic(result: Comparison, topic: Topic) -> tuple[str, ...] | None:
    """What the best plan is said to have of a topic; None where nothing is said."""
    said = {entry.topic: entry.about for entry in noted(result.facts, result.best)}
    return said.get(topic)


def forbidding(method: str, reason: str) -> Row:
    return {"ways": {"hard_wired": False, "forbid": {method: reason}}}


# rows of the matrix ----------------------------------------------------------------------------------


def test_a_missing_price_makes_the_row_incomplete_and_leaves_the_pure_ways_unjudged() -> None:
    # 120 V machines take cord with three wires, the saw too; the drill stays complete by wall drop
    result = compared(make_shop([SAW, DRILL]), catalog_without("cord-"))
    cords = result.matrix["cords", "surplus"]
    assert cords.present_value_cents is None
    assert [gap.machine for gap in cords.gaps] == ["drill", "saw"]
    assert all("no price for cord" in gap.reason for gap in cords.gaps)
    assert result.pure_plans is None
    assert result.turning == ()
    first = missing(result)[0]
    assert first.startswith("No verdict between fixed drops and cords: 2 machines (drill, saw) have no cord")
    assert "all by" not in verdict(result)
    text = comparison_text(result)
    assert text.index("No verdict") < text.index("best complete mix")
    assert "incomplete, at least" in text


def test_an_incomplete_row_costs_at_least_what_is_known_of_it() -> None:
    # the cord of the saw: 618.60 without its cable's 90 and the 36 that 40 % of it would have fetched
    result = compared(make_shop([SAW]), catalog_without("cord-"))
    assert result.matrix["cords", "surplus"].at_least_cents == 61860 - 9000 + 3600


def test_the_data_say_what_is_missing_in_which_cell() -> None:
    data = comparison_data(compared(make_shop([SAW]), catalog_without("cord-")))
    assert data["matrix"]["cords"] == {"new": None, "surplus": None}
    assert [(entry["row"], entry["column"]) for entry in data["matrix_incomplete"]] == [
        ("cords", "new"),
        ("cords", "surplus"),
    ]
    assert {entry["machine"] for entry in data["matrix_incomplete"][0]["missing"]} == {"saw"}
    assert data["pure_difference"] is None


def test_a_forbidden_way_is_a_stated_exception_and_the_row_is_still_complete() -> None:
    result = compared(make_shop([SAW, DRILL | forbidding("cord", "the aisle must stay free")]))
    cords = result.matrix["cords", "surplus"]
    assert (cords.exceptions, cords.gaps) == (("drill",), ())
    assert cords.present_value_cents is not None
    assert "(no cord for drill)" in verdict(result)
    assert "cords; drill by the cheapest other way" in comparison_text(result)
    assert comparison_data(result)["matrix_exceptions"]["cords"] == ["drill"]


def test_a_row_that_no_machine_may_have_is_no_row() -> None:
    result = compared(make_shop([SAW | forbidding("cord", "no cords here")]))
    assert result.matrix["cords", "surplus"].why_not == "no machine may have such a way"
    assert result.pure_plans is None


def test_a_way_that_cannot_be_built_leaves_its_row_incomplete() -> None:
    """Cord may not hang in air of 56 C (NFPA 70 Table 310.15(B)(1), 60 C column); cable in the wall may be there."""
    result = compared(make_shop([SAW], code={"edition": 2020, "ambient_c": 56}))
    cords = result.matrix["cords", "surplus"]
    assert cords.present_value_cents is None
    assert "56 C" in cords.gaps[0].reason
    assert missing(result)[0].startswith(
        "No verdict between fixed drops and cords: 1 machine (saw) has no cord"
    )


def test_a_long_run_is_told_and_not_refused() -> None:
    routes = [{"from": "panel", "to": "bench A", "fixed": 900, "cord": 25}]
    result = compared(make_shop([SAW | WALL_ONLY], routes=routes))
    assert result.matrix["fixed drops", "surplus"].present_value_cents is not None
    # 2 x 900 ft x 1.24 ohm per 1000 ft of 10 AWG x 16 A = 35.7 V of 240 V (NFPA 70 Chapter 9 Table 8)
    assert about_topic(result, Topic.VOLTAGE_DROP) == ("saw (14.9 %)",)


def test_one_missing_price_that_closes_a_way_for_several_machines_is_said_with_their_number() -> None:
    shop = make_shop([SAW, DRILL, LATHE], **ONLY_THE_CEILING_MORE)
    result = compared(shop, catalog_without("kit"))
    (closed,) = result.closed
    assert closed.machines == ("drill", "lathe", "saw")
    assert any("3 machines (drill, lathe, saw)" in line for line in missing(result))


# the winner ------------------------------------------------------------------------------------------


def test_no_winner_beside_an_incomplete_way_that_could_be_cheaper() -> None:
    result = compared(make_shop([NEAR_SAW]), catalog_without("nm-"))
    # the wall drop is 538.00 of which 8 are its cable, the cord 579.00
    assert result.best.present_value_cents == 57900
    assert result.threat is not None
    assert result.threat.at_least_cents == 53000
    (line,) = [line for line in missing(result) if line.startswith("No winner is named")]
    assert "saw by wall drop" in line
    assert "less than 49.00" in line
    assert "best complete mix" in verdict(result)
    assert comparison_data(result)["winner_named"] is False


def test_a_winner_beside_an_incomplete_way_that_costs_more_whatever_the_price() -> None:
    result = compared(make_shop([SAW]), catalog_without("nm-"))
    # the wall drop without its cable is 750.00, the cord 618.60
    assert result.matrix["fixed drops", "surplus"].at_least_cents == 75000
    assert result.threat is None
    assert comparison_data(result)["winner_named"] is True


def test_the_incomplete_way_is_forgotten_once_it_is_forbidden() -> None:
    shop = make_shop([NEAR_SAW | forbidding("wall drop", "no holes")])
    assert compared(shop, catalog_without("nm-")).threat is None


def test_the_same_plan_twice_is_no_tie_of_two_ways() -> None:
    result = compared(make_shop([SAW, DRILL]), held={"saw": "cord", "drill": "wall drop"})
    fixed, cords = (result.matrix[row, "surplus"] for row in ("fixed drops", "cords"))
    assert fixed.present_value_cents == cords.present_value_cents
    assert result.pure_plans is None
    assert (result.turning, "cost the same" in verdict(result)) == ((), False)


def test_rankings_never_differ_in_the_panel_alone() -> None:
    panels = [PANEL, PANEL | {"name": "second"}]
    result = compared(make_shop([SAW, DRILL], panels=panels), plans=10)
    kinds = [tuple((m, way.group) for m, way, _ in plan.plan.shares()) for plan in result.plans]
    assert len(kinds) == len(set(kinds)) == 4


# holding ---------------------------------------------------------------------------------------------


def test_holding_takes_exact_words_only() -> None:
    shop = make_shop(
        [SAW], cords={"slack": [0, 15], "families": ["straight"], "service": ["hard"]}, scenarios=[]
    )
    result = compared(shop, held={"saw": "wall drop"}, plans=9)
    assert [[way.group for way in plan.plan.ways["saw"]] for plan in result.plans] == [["wall drop"]]


@pytest.mark.parametrize(
    ("words", "groups"),
    [
        ({"*": "fixed drop"}, {"wall drop"}),
        ({"*": "cord", "saw": "wall drop"}, {"wall drop", "cord"}),
        ({"saw": "cord from second", "drill": "cord"}, {"cord"}),
        ({"saw": "from second", "drill": "wall drop"}, {"wall drop", "cord"}),
    ],
)
def test_holding_every_machine_or_to_a_panel(words: dict[str, str], groups: set[str]) -> None:
    panels = [PANEL, PANEL | {"name": "second"}]
    result = compared(make_shop([SAW, DRILL], panels=panels), held=words)
    assert {way.group for _, way, _ in result.best.plan.shares()} == groups
    if "second" in words.get("saw", ""):
        assert [way.panel for way in result.best.plan.ways["saw"]] == ["second"]


@pytest.mark.parametrize("words", ["drop", "wall", "wall drop, hard-wired", "cord from attic", "Cord", ""])
def test_words_that_name_nothing_are_refused_with_what_there_is(words: str) -> None:
    with pytest.raises(
        UnknownWordsError, match=r"saw has no way .*; it could be .*cord.*wall drop.*\(panel\)"
    ):
        compared(make_shop([SAW, DRILL]), held={"saw": words})


def test_all_unknown_words_are_refused_at_once() -> None:
    with pytest.raises(UnknownWordsError) as caught:
        compared(make_shop([SAW, DRILL]), held={"saw": "wall", "drill": "air", "plane": "cord"})
    assert len(caught.value.reasons) == 3
    assert 'there is no machine "plane"; there are drill, saw' in caught.value.reasons


def test_holding_to_a_forbidden_way_leaves_no_plan_and_no_guess() -> None:
    with pytest.raises(NoPlanError, match="no cords here"):
        compared(make_shop([SAW | forbidding("cord", "no cords here")]), held={"saw": "cord"})


def test_a_way_is_named_by_its_group_or_as_a_fixed_drop() -> None:
    result = compared(make_shop([SAW]))
    ways = {way.group: way for plan in result.plans for _, way, _ in plan.plan.shares()}
    assert means("fixed drop", ways["wall drop"])
    assert not means("fixed drop", ways["cord"])
    assert means("cord, from panel", ways["cord"])


# what differences are worth --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("cents", "spread", "said"),
    [
        (40020, 51354, "about 400"),
        (31000, 5000, "about 310"),
        (36549, 240, "about 365"),
        (36549, None, "365.49"),
        (36549, 50, "365.49"),
        (3000, 20000, "less than 100"),
        (0, 20000, "about 0"),
        (123_456_00, 2_000_00, "about 123,500"),
    ],
)
def test_a_difference_is_said_as_exactly_as_it_is_known(cents: int, spread: int | None, said: str) -> None:
    assert about(cents, spread) == said


@given(st.lists(st.integers(0, 10**7), min_size=3, max_size=3), st.integers(0, 10**6))
def test_differences_of_a_screen_are_those_of_the_totals_on_it(totals: list[int], spread: int) -> None:
    """So the dearer of two never shows the smaller difference; what the screen cannot tell apart is said to be less."""
    low, middle, high = sorted(totals)
    shown = [decimal_of(in_steps(cents, spread)) for cents in (low, middle, high)]
    near, far = between(middle, low, spread), between(high, low, spread)
    for words, gap in ((near, shown[1] - shown[0]), (far, shown[2] - shown[0])):
        said = decimal_of(words.removeprefix("about ").removeprefix("less than "))
        assert gap == 0 if words.startswith("less") else said == gap
    assert between(high, low) == f"{(Decimal(high) - low) / 100:,.2f}"


def decimal_of(words: str) -> Decimal:
    return Decimal(words.replace(",", ""))


@pytest.mark.parametrize(
    ("spread", "pair", "said"),
    [
        # a step of 10.00 for a spread of 151.00: 1,660 and 1,100 are 560 apart, exactly 551.77
        (15100, (165599, 110422), "about USD 560"),
        (15100, (110422, 165599), "about USD 560"),
        (15100, (110422, 109600), "less than USD 10"),
        (999, (165599, 110422), "USD 551.77"),
    ],
)
def test_a_difference_of_two_totals_by_hand(spread: int, pair: tuple[int, int], said: str) -> None:
    assert between(*pair, spread, "USD") == said


def test_a_cord_to_what_no_scenario_moves_is_asked_about() -> None:
    """A cord is no substitute for fixed wiring (NFPA 70 400.12): the note stands whether the file says never_moves or not."""
    on_cord = {"ways": {"only": ["cord"], "hard_wired": False}}
    stays = compared(make_shop([SAW | on_cord]))
    assert about_topic(stays, Topic.STILL_CORD) == ("saw",)
    moves = [
        {"name": "busy", "weight": 1, "events": [{"year": 2, "machine": "saw", "move": "bench C"}]},
    ]
    moved = compared(make_shop([SAW | on_cord], scenarios=moves))
    assert about_topic(moved, Topic.STILL_CORD) is None


def test_the_drop_is_looked_at_where_a_machine_comes_to_and_not_where_it_might_have_stood() -> None:
    """Nobody measured a cord to where the file has the drill; it comes to bench B, a long way from the panel."""
    routes = [
        {"from": "panel", "to": "bench A", "fixed": 30},
        {"from": "panel", "to": "bench B", "fixed": 200, "cord": 200},
    ]
    comes = [{"name": "busy", "weight": 1, "events": [{"year": 1, "machine": "drill", "arrives": "bench B"}]}]
    drill = DRILL | {"at": "bench A", "ways": {"only": ["cord"], "hard_wired": False}}
    cord = {"part": "cord-10-3", "supplier": "store", "condition": "new", "price": 3, "per": "ft"}
    result = compared(
        make_shop([drill], routes=routes, scenarios=comes), make_catalog([*store_offers(), cord])
    )
    found = about_topic(result, Topic.VOLTAGE_DROP)
    assert found is not None
    assert found[0].startswith("drill (")


def test_a_quote_passed_over_for_invented_prices_is_said() -> None:
    """A drop quoted at 2,000.00 against a few hundred of an estimate; with prices of one's own nothing is to be said."""
    quote = {"name": "their drop", "method": "wall drop", "machines": ["saw"], "put_in": {"money": 2000}}
    said = 'your quote "their drop" (2,000.00) is passed over for an estimate from invented prices (saw)'
    for invented, expected in (("prices", True), (True, False)):
        result = compared(
            make_shop([SAW | {"ways": {"from_catalog": True}}], quoted_ways=[quote], invented=invented)
        )
        assert any(said in words for words in result.warnings) == expected
