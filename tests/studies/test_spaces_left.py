"""Breaker spaces left today and at the least later, counted by hand; all that says them says the same. Shops invented."""

from strategies import DRILL, PANEL, SAW, make_catalog, make_shop, scenario

from costplan.circuits.facts import Facts
from costplan.ledger.ledger import PanelRoom
from costplan.model.choices import SurplusRule
from costplan.model.shop import NextMachine
from costplan.program.bench import Bench
from costplan.program.ranking import best_plans
from costplan.reports.before_after import spaces_words
from costplan.reports.next_page import next_text, spaces_when_it_comes
from costplan.reports.parts import NextPart
from costplan.reports.room import room_data, room_text
from costplan.studies.next_machine import price_machines
from costplan.studies.spaces_left import Least, SpacesLeft, Taken, spaces_left

BY_CORD = DRILL | {"ways": {"only": ["cord"], "hard_wired": False}}
TO_TWO_POLES = {"year": 2, "machine": "drill", "retool": {"volts": 240, "amps": 16}}
BACK = {"year": 3, "machine": "drill", "retool": {"volts": 120, "amps": 16}}


def facts_of(*scenarios: dict[str, object]) -> Facts:
    """A drill of one pole in a panel with 6 spaces."""
    panels = [PANEL | {"spaces_free": 6}]
    return Facts(make_shop([BY_CORD], panels=panels, scenarios=list(scenarios)), make_catalog())


def test_a_retool_to_two_poles_takes_a_space_more_from_its_year_on() -> None:
    """6 less 1 are 5 today; in year 2 the drill has 2, so 4 are left: the same on page, sheet, data and with a next saw."""
    facts = facts_of(scenario(TO_TWO_POLES))
    ranked = best_plans(Bench.over(facts, SurplusRule.ALLOWED), 1)[0]
    least = Least("", 2, 4, (Taken("drill", 1),))
    assert spaces_left(facts, ranked) == [SpacesLeft(PanelRoom("panel", 6, 0, 1), least)]
    assert spaces_words(facts, ranked) == {"panel": "6 today, 5 after, 4 in year 2 (drill takes 1 more)"}
    said = "Least left later in panel: 4, in year 2, since drill takes 1 more."
    assert said in " ".join(room_text(facts, ranked).split())
    told = room_data(facts, ranked)["panels"][0]  # type: ignore[index]
    assert (told["least_left"], told["least_year"], told["least_scenario"]) == (4, 2, "")

    saw = SAW | {"price": 100, "ways": {"hard_wired": False}}
    for year, with_it in ((1, (3, 2)), (2, (2, 2))):
        price = price_machines(facts, [NextMachine.model_validate(saw | {"arrives": year})], second=False)[0]
        before, after = spaces_when_it_comes(price)[0]
        assert before is not None
        assert (after.room.left, after.least_left) == with_it
        assert (before.room.left, before.least_left) == (with_it[0] + 2, 4)
        text = next_text([price], parts=[NextPart.ROOM])
        assert ("spaces, least later" in text) is (year == 1)


def test_the_least_is_told_of_its_scenario_where_only_one_has_it() -> None:
    """Retooled there and back the year after: the least is in year 2 alone, and only if it is retooled."""
    facts = facts_of(
        scenario(TO_TWO_POLES, BACK, name="retooled", weight="0.5"), scenario(name="stays", weight="0.5")
    )
    ranked = best_plans(Bench.over(facts, SurplusRule.ALLOWED), 1)[0]
    least = spaces_left(facts, ranked)[0].least
    assert least is not None
    assert (least.scenario, least.year, least.left) == ("retooled", 2, 4)
    assert spaces_left(facts, ranked, since=3)[0].least is None
