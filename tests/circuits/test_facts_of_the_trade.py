"""What every shop owner and electrician knows; common practice, no source."""

from typing import Any

import pytest
from strategies import DELTA, PANEL, SAW, make_catalog, make_shop, ranked

from costplan.circuits.facts import Facts
from costplan.circuits.needs import NOTHING
from costplan.ledger.crews import do, hirings
from costplan.ledger.options import survey


def electrician_hours(place: str) -> float:
    """Hours of hired work for a wall drop to a place today."""
    facts = Facts(
        make_shop([SAW | {"at": place, "ways": {"only": ["wall drop"], "hard_wired": False}}]), make_catalog()
    )
    hiring = hirings(facts)[0]
    option = next(option for option in survey(facts).options["saw"] if option.open)
    uses = [use.thing for use in option.stream.uses if use.since[0] == 0]
    things = uses + [inner for thing in uses for inner in thing.inner]
    bundle = sum(
        [*(deed.bundle for deed in option.stream.deeds), *(thing.bought for thing in things)], NOTHING
    )
    doings = [do(facts, hiring, work, today=True) for work in bundle.work]
    return float(sum(doing.hours for doing in doings if doing.crew is hiring.crew))


def test_a_drop_of_30_ft_takes_the_electrician_much_longer_than_one_of_3_ft() -> None:
    """Common practice, no source: footage is most of the labor of a long run."""
    near, far = electrician_hours("bench D"), electrician_hours("bench E")
    assert far - near == pytest.approx(0.1 * (30 - 3))
    assert far > 1.5 * near - 1


RETOOLS: dict[str, dict[str, Any]] = {
    "120 V": {"volts": 120, "amps": 16},
    "three-phase": {"volts": 240, "phases": 3, "amps": 14},
}


@pytest.mark.parametrize("to", RETOOLS)
def test_a_four_wire_cord_serves_everything_with_only_its_ends_changed(to: str) -> None:
    """Common practice, no source: the spare conductor of a 12/4 cord is a phase, a neutral, or idle."""
    shop = make_shop(
        [SAW | {"ways": {"only": ["cord"]}}],
        panels=[PANEL, DELTA],
        scenarios=[
            {"name": "all", "weight": 1, "events": [{"year": 2, "machine": "saw", "retool": RETOOLS[to]}]}
        ],
        cords={"slack": [0], "families": ["straight"], "spare_conductor": True, "service": ["hard"]},
    )
    options = [
        option for option in survey(Facts(shop, make_catalog())).options["saw"] if option.way.spare_conductor
    ]
    single = next(option for option in options if option.way.panel == "panel")
    kinds = {use.thing.item.spec.kind for use in single.stream.uses if use.since[0] == 2}
    assert {"plug", "connector"} <= kinds
    assert "cord" not in kinds


def test_a_machine_that_will_turn_three_phase_gets_its_fourth_wire_today() -> None:
    """Common practice, no source: the fourth wire costs little, a second cable costs a cable."""
    shop = make_shop(
        [SAW | {"at": "bench C", "ways": {"only": ["cord"]}}],
        panels=[PANEL, DELTA],
        scenarios=[
            {
                "name": "all",
                "weight": 1,
                "events": [{"year": 1, "machine": "saw", "retool": RETOOLS["three-phase"]}],
            }
        ],
        cords={"slack": [0], "families": ["straight"], "spare_conductor": True, "service": ["hard"]},
    )
    (way,) = ranked(shop, make_catalog())[0].plan.ways["saw"]
    assert way.spare_conductor
