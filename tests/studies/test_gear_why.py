"""Why gear is in a plan, counted by hand from panels and service without it; the money of a space against another solve.

Shops invented.
"""

from typing import Any

import pytest
from strategies import (
    DRILL,
    MILL,
    PANEL,
    SAW,
    WALL_ONLY,
    Row,
    make_catalog,
    make_gear_shop,
    one_pole,
    scenario,
    with_gear,
)

from costplan.circuits.facts import Facts
from costplan.model.choices import SurplusRule
from costplan.program.bench import Bench
from costplan.program.clashes import shop_with_more_spaces
from costplan.program.clock import Clock
from costplan.program.ranked import Ranked
from costplan.program.ranking import best_plans
from costplan.reports.gear_reasons import gear_reasons
from costplan.reports.room import gear_text, room_data
from costplan.studies import hinges
from costplan.studies.hinges import turns_on_spaces

DEAR = {"drive-3": 2000, "drive-5": 2000, "motor-3": 2000}
"""Prices at which drives and motors are out of the question."""
LATHE = SAW | {"name": "lathe", "at": "bench E"} | WALL_ONLY
RETOOLED = {"year": 2, "machine": "drill", "retool": {"volts": 240, "amps": 16}}
MACHINES = [SAW | WALL_ONLY, DRILL | WALL_ONLY]
TWO_SPACES = [PANEL | {"spaces_free": 2}]


def solved(prices: dict[str, int] | None = None, **shop: Any) -> tuple[Bench, Ranked]:
    """The bench of a shop and its best plan."""
    facts = Facts(make_gear_shop(**shop), make_catalog(**with_gear(prices=prices)))
    bench = Bench.over(facts, SurplusRule.ALLOWED)
    return bench, best_plans(bench, 1)[0]


def test_a_subpanel_says_which_spaces_lack_without_it() -> None:
    """Saw and drill take 3 poles of 2; the drill's second from year 2 makes it 4."""
    bench, best = solved(
        machines=MACHINES, names=("subpanel",), panels=TWO_SPACES, scenarios=[scenario(RETOOLED)]
    )
    said = "without it panel lacks 1 space today and 2 in year 2 (drill takes 1 more)"
    assert gear_reasons(bench.facts, best) == {"subpanel": said}
    assert f"subpanel: {said}." in " ".join(gear_text(bench.facts, best).split())
    assert room_data(bench.facts, best)["gear"][0]["why"] == said  # type: ignore[index]


def test_what_tandem_breakers_could_make_is_said_beside_it() -> None:
    """Of 2 that the label allows two circuits of 20 A make 1; the panel lacks 2 from year 2 on."""
    panels = [PANEL | {"spaces_free": 2, "tandems": 2, "one_pole_circuits": [one_pole(2)]}]
    bench, best = solved(
        machines=MACHINES, names=("subpanel", "tandems"), panels=panels, scenarios=[scenario(RETOOLED)]
    )
    assert gear_reasons(bench.facts, best) == {
        "subpanel": "without it panel lacks 1 space today and 2 in year 2 (drill takes 1 more), of which tandem breakers "
        "could make 1 at the most"
    }
    assert "with 1 more (3 in place of 2)" in turns_on_spaces(bench, best, Clock())


def test_a_subpanel_with_room_above_claims_no_lack() -> None:
    """The saw may hang on it alone, and its panel has room."""
    routes: Row = {"machines": [SAW | WALL_ONLY], "names": ("second main",)}
    bench, best = solved(**routes, panels=[PANEL | {"spaces_free": 0}])
    assert gear_reasons(bench.facts, best) == {"second main": "it feeds saw"}
    assert turns_on_spaces(bench, best, Clock()) == ""


@pytest.mark.parametrize(
    ("shop", "prices", "said"),
    [
        # a motor of 16 A at 125 % (NFPA 70 430.24) is 20 A, beside 45 A on 60 A
        (
            {"machines": [SAW | WALL_ONLY], "names": ("upgrade",), "service": {"amps": 60, "other_load": 45}},
            {},
            {"upgrade": "without it service lacks 5.0 A today"},
        ),
        # two motors of 16 A, the largest at 125 %, are 36 A of 30 A
        (
            {
                "machines": [SAW | WALL_ONLY, LATHE],
                "names": ("manager",),
                "gear_changes": {"manager": {"machines": ["saw", "lathe"], "holds_to": 16}},
                "service": {"amps": 30},
            },
            {},
            {"manager": "without it service lacks 6.0 A today"},
        ),
        ({"machines": [MILL | WALL_ONLY], "names": ("converter",)}, DEAR, {"converter": "it feeds mill"}),
    ],
    ids=["upgrade", "manager", "converter"],
)
def test_other_gear_says_what_it_is_for(shop: Row, prices: dict[str, int], said: dict[str, str]) -> None:
    bench, best = solved(prices, **shop)
    assert gear_reasons(bench.facts, best) == said


def test_the_money_of_a_space_is_that_of_the_shop_with_one_more(monkeypatch: pytest.MonkeyPatch) -> None:
    """Solved on rows that are moved, against the shop read with one space more and solved anew."""
    bench, best = solved(machines=MACHINES, names=("subpanel",), panels=TWO_SPACES)
    roomy = shop_with_more_spaces(bench.facts, {"panel": 1})
    assert roomy is not None
    anew = best_plans(Bench.over(roomy, SurplusRule.ALLOWED), 1)[0]
    less = best.present_value_cents - anew.present_value_cents
    cash = best.outlay_cents - anew.outlay_cents
    assert less > 0
    assert turns_on_spaces(bench, best, Clock()) == (
        "count the free spaces of panel again: with 1 more (3 in place of 2) the whole would cost "
        f"USD {less / 100:,.2f} less, and today's cash USD {cash / 100:,.2f} less, without subpanel"
    )
    assert best_plans(Bench.over(bench.facts, SurplusRule.ALLOWED), 1)[0].lines == best.lines
    monkeypatch.setattr(hinges, "SOLVED_AGAIN", 1)
    assert turns_on_spaces(bench, best, Clock()) == ""
