"""Horsepower marks of plugs, connectors and receptacles, and the start of plugged motors: cases worked by hand.

Source: NFPA 70 430.102, 430.109(F), 430.110(A), 422.33, 210.21(B)(1), and the usual marks of UL 498 by configuration, all from
memory; motor currents from Tables 430.248 and 430.250. A mark that is not surely known counts as too small: the dearer reading.
The catalog is the demo, whose parts are invented.
"""

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from shipped_shops import demo_catalog
from strategies import Row, make_shop

from costplan.circuits.change import alter, arrive
from costplan.circuits.circuit import Builder, Circuit, Standing
from costplan.circuits.facts import Facts
from costplan.circuits.needs import Slot
from costplan.circuits.present import begin
from costplan.circuits.ways import Way, load_of
from costplan.model.catalog import Catalog
from costplan.model.choices import Family, Method
from costplan.reports.bill import bill_of_materials
from costplan.reports.noted import noted
from costplan.reports.remarks import Topic
from costplan.reports.scope import scope_sheet
from costplan.reports.scope_text import scope_text
from costplan.reports.sizes import sizes_text
from costplan.reports.work_list import work_list
from costplan.standards.receptacles import next_larger, usual_mark_hp
from costplan.studies.comparison import Comparison, compare
from costplan.studies.hinges import switches_today, turns_on_marks
from costplan.studies.wanted import Wanted

ROOT = Path(__file__).resolve().parents[2]
SPLIT: Row = {"name": "panel", "system": "120/240 single-phase", "breakers": "family A", "spaces_free": 12}
DELTA: Row = {"name": "panel", "system": "240 three-phase", "breakers": "family B", "spaces_free": 12}
SLASH: Row = {"name": "panel", "system": "120/208 three-phase", "breakers": "family A", "spaces_free": 12}
WYE: Row = {"name": "panel", "system": "277/480 three-phase", "breakers": "family C", "spaces_free": 12}
PLANER: Row = {"volts": 240, "phases": 3, "hp": 5}
SAW: Row = {"volts": 240, "hp": 3, "amps": 12.8, "plug": "NEMA 6-20"}


def marked(hp: dict[str, int], *configurations: str) -> Catalog:
    """The catalog whose plugs, connectors and receptacles of these configurations state a mark."""
    parts = [
        part.model_copy(update={"attributes": part.attributes | {name: Decimal(n) for name, n in hp.items()}})
        if part.attributes.get("configuration") in configurations
        else part
        for part in demo_catalog().parts
    ]
    return demo_catalog().model_copy(update={"parts": parts})


def facts(machine: Row, panel: Row, catalog: Catalog | None = None, **more: object) -> Facts:
    shop = make_shop(
        [{"name": "it", "at": "bench A"} | machine],
        panels=[panel],
        routes=[
            {"from": start, "to": end, "fixed": 30, "cord": 30}
            for start, end in (("panel", "bench A"), ("panel", "bench B"), ("bench A", "bench B"))
        ],
        building={"patching": False, "construction": "type V", "finished_walls": True},
        code={"edition": 2020, "occupancy": "commercial", "ground_fault_place": False},
        **more,
    )
    return Facts(shop, catalog or demo_catalog())


def builder(known: Facts, family: Family = Family.STRAIGHT, method: Method = Method.CORD) -> Builder:
    return Builder(known, known.shop.machines[0], Way(method, "panel", family))


def standing(known: Facts) -> Standing:
    return Standing(0, "bench A", load_of(known.shop.machines[0]), 0, Decimal(1), "today")


def circuit(
    machine: Row, panel: Row, family: Family = Family.STRAIGHT, catalog: Catalog | None = None
) -> Circuit:
    known = facts(machine, panel, catalog)
    return builder(known, family).build(standing(known))


STRAIGHT, LOCKING = Family.STRAIGHT, Family.LOCKING


@pytest.mark.parametrize(
    ("configuration", "hp"),
    [
        ("NEMA 5-15", "0.5"),
        ("NEMA 5-20", "1"),
        ("NEMA 6-15", "1.5"),
        ("NEMA L6-20", "2"),
        ("NEMA 6-30", "2"),
        ("NEMA L15-20", "3"),
        ("NEMA 15-30", "3"),
        ("NEMA 15-50", "7.5"),
        ("NEMA L16-20", "5"),
        ("NEMA L16-30", "10"),
    ],
)
def test_usual_marks(configuration: str, hp: str) -> None:
    assert usual_mark_hp(configuration) == Decimal(hp)


@pytest.mark.parametrize("configuration", ["NEMA 6-50", "NEMA 15-60", "IEC 60309 30 A 3P+E 250 V 9h", None])
def test_marks_that_nobody_surely_knows(configuration: str | None) -> None:
    assert usual_mark_hp(configuration) is None


def test_the_next_larger_one_of_a_family() -> None:
    larger = [next_larger(code) for code in ("NEMA L16-20", "NEMA 15-20", "NEMA L15-30")]
    assert [device and device.code for device in larger] == ["NEMA L16-30", "NEMA 15-30", None]


@pytest.mark.parametrize(
    ("machine", "panel", "family", "configuration", "breaker_a", "switched"),
    [
        # 5 hp, 15.2 A: 20 A devices carry it, and are marked 3 hp; 30 A ones are marked no higher.
        (PLANER, DELTA, STRAIGHT, "NEMA 15-20", 20, True),
        (PLANER, DELTA, LOCKING, "NEMA L15-20", 20, True),
        # 2 hp, 12 A: 2 hp is not below 2 hp.
        ({"volts": 240, "hp": 2}, SPLIT, STRAIGHT, "NEMA 6-20", 20, False),
        ({"volts": 240, "hp": 2}, SPLIT, LOCKING, "NEMA L6-20", 20, False),
        # 3 hp bare, 17 A: 30 A devices are marked 2 hp, and the mark of a 6-50 is not surely known.
        ({"volts": 240, "hp": 3}, SPLIT, STRAIGHT, "NEMA 6-30", 30, True),
        ({"volts": 240, "hp": 3}, SPLIT, LOCKING, "NEMA L6-30", 30, True),
        # A listed machine with its own plug: 430.109(F) and 422.33 ask for no mark.
        (SAW, SPLIT, STRAIGHT, "NEMA 6-20", 20, False),
        # 480 V: 5 hp passes on an L16-20; 7-1/2 and 10 hp take the L16-30 on the same 20 A circuit (210.21(B)(1)).
        ({"volts": 480, "phases": 3, "hp": 5}, WYE, LOCKING, "NEMA L16-20", 20, False),
        ({"volts": 480, "phases": 3, "hp": 7.5}, WYE, LOCKING, "NEMA L16-30", 20, False),
        ({"volts": 480, "phases": 3, "hp": 10}, WYE, LOCKING, "NEMA L16-30", 20, False),
        # 120 V: 1 hp passes exactly; a portable 1/3 hp needs no mark, and what never moves is not portable.
        ({"volts": 120, "hp": 1}, SPLIT, STRAIGHT, "NEMA 5-20", 20, False),
        ({"volts": 120, "hp": "3/4"}, SPLIT, STRAIGHT, "NEMA 5-20", 20, False),
        (
            {"volts": 120, "hp": "1/3"},
            SPLIT,
            Family.PIN_AND_SLEEVE,
            "IEC 60309 20 A 2P+E 125 V 4h",
            20,
            False,
        ),
        (
            {"volts": 120, "hp": "1/3", "never_moves": True},
            SPLIT,
            Family.PIN_AND_SLEEVE,
            "IEC 60309 20 A 2P+E 125 V 4h",
            20,
            True,
        ),
        # No motor, no mark.
        ({"volts": 240, "amps": 16, "load": "other"}, SPLIT, STRAIGHT, "NEMA 6-20", 20, False),
    ],
)
def test_a_plug_is_marked_for_its_motor_or_a_switch_is_at_the_machine(
    machine: Row, panel: Row, family: Family, configuration: str, breaker_a: int, switched: bool
) -> None:
    made = circuit(machine, panel, family)
    assert (made.size.configuration, made.size.breaker_a) == (configuration, breaker_a)
    assert made.machine_plug == (machine.get("plug") or configuration)
    assert (made.switch is not None) is switched


def test_the_larger_plug_keeps_the_wire_of_the_circuit() -> None:
    """7-1/2 hp at 480 V, 11 A: 12/4 cord (20 A, Table 400.5(A)(1)) on 20 A; receptacle, plug and connector are L16-30."""
    known = facts({"volts": 480, "phases": 3, "hp": 7.5}, WYE)
    step = arrive(builder(known, LOCKING), standing(known))
    ends = {
        slot: dict(need.item.spec.equal)["configuration"]
        for slot, need in step.change.begun
        if slot in (Slot.PLUG, Slot.CONNECTOR, Slot.MACHINE_PLUG)
    }
    assert ends == dict.fromkeys((Slot.PLUG, Slot.CONNECTOR, Slot.MACHINE_PLUG), "NEMA L16-30")
    made = step.circuit
    assert made is not None
    assert made.cord_size is not None
    assert (made.size.awg, made.cord_size.awg, made.plug_marks.smaller) == ("12", "12", "NEMA L16-20")


def test_no_larger_plug_goes_on_a_cord_that_does_not_carry_it() -> None:
    """Its own 12 AWG cord carries 20 A with three conductors (Table 400.5(A)(1)): no 30 A plug, so the switch."""
    made = circuit({"volts": 480, "phases": 3, "hp": 7.5, "cord": {"awg": "12"}}, WYE, LOCKING)
    assert (made.size.configuration, made.switch is not None) == ("NEMA L16-20", True)
    thick = circuit({"volts": 480, "phases": 3, "hp": 7.5, "cord": {"awg": "8"}}, WYE, LOCKING)
    assert (thick.size.configuration, thick.switch is not None) == ("NEMA L16-30", False)


@pytest.mark.parametrize(
    ("machine", "panel", "least_a", "mark"),
    [
        # 5 hp, 240 V: 115 % of 28 A is 32.2 A (430.110(A)), so the 30 A switch is too small whatever it is marked.
        ({"volts": 240, "hp": 5}, SPLIT, Decimal("32.2"), ("hp_240_v_1_phase", Decimal(5))),
        # 15 hp, 208 V: 115 % of 46.2 A is 53.13 A; the mark of a 15-60 is not surely known.
        ({"volts": 208, "phases": 3, "hp": 15}, SLASH, Decimal("53.13"), ("hp_208_v_3_phase", Decimal(15))),
    ],
)
def test_the_switch_has_the_amperes_and_the_mark(
    machine: Row, panel: Row, least_a: Decimal, mark: tuple[str, Decimal]
) -> None:
    made = circuit(machine, panel)
    assert made.switch is not None
    spec = made.switch.bought.needs[0].spec
    assert (spec.kind, spec.if_stated) == ("disconnect", (mark,))
    assert dict(spec.at_least)["rating_a"] >= least_a
    serving = [part.id for part in demo_catalog().parts if spec.met_by(part)]
    assert serving
    assert not any("-30" in part for part in serving)


# what the catalog states --------------------------------------------------------------------------


def test_marks_that_the_catalog_states_go_before_the_usual_ones() -> None:
    """Both parts of the pair state 5 hp: no switch, and only parts that state it serve. One of them is not enough."""
    both = marked({"hp_240_v_3_phase": 5}, "NEMA 15-20")
    made = circuit(PLANER, DELTA, catalog=both)
    assert (made.switch, made.plug_marks.all_stated) == (None, True)
    known = facts(PLANER, DELTA, both)
    step = arrive(builder(known), standing(known))
    (connector,) = [need for slot, need in step.change.begun if slot is Slot.CONNECTOR]
    assert connector.item.spec.at_least == (("hp_240_v_3_phase", Decimal(5)),)
    lone = both.model_copy(
        update={
            "parts": [
                part if part.kind != "plug" else next(p for p in demo_catalog().parts if p.id == part.id)
                for part in both.parts
            ]
        }
    )
    assert circuit(PLANER, DELTA, catalog=lone).switch is not None


def test_a_stated_mark_below_the_usual_one_does_not_serve() -> None:
    """NEMA 6-20 is usually marked 2 hp; where it states 1 hp the 6-30 is taken; where that does too, a switch."""
    low = marked({"hp_240_v_1_phase": 1}, "NEMA 6-20")
    assert circuit({"volts": 240, "hp": 2}, SPLIT, catalog=low).size.configuration == "NEMA 6-30"
    lower = marked({"hp_240_v_1_phase": 1}, "NEMA 6-20", "NEMA 6-30")
    made = circuit({"volts": 240, "hp": 2}, SPLIT, catalog=lower)
    assert (made.size.configuration, made.switch is not None) == ("NEMA 6-20", True)
    assert circuit({"volts": 240, "hp": 1}, SPLIT, catalog=low).switch is None
    other_volts = marked({"hp_240_v_3_phase": 1}, "NEMA 6-20")
    assert circuit({"volts": 240, "hp": 2}, SPLIT, catalog=other_volts).switch is None


# in plans -----------------------------------------------------------------------------------------


def planned(machine: Row, panel: Row, run: str, *, hard_wired: bool, **more: object) -> Comparison:
    ways = {
        "only": [run],
        "hard_wired": hard_wired,
        "forbid_supply": {"drive": "no", "single-phase motor": "no"},
    }
    return compare(facts(machine | {"ways": ways}, panel, **more), Wanted(plans=1))  # type: ignore[arg-type]


def switches(found: Comparison) -> list[str]:
    return [row.part for row in bill_of_materials(found.facts, found.plans[0]) if "disconnect" in row.part]


def test_the_cord_pays_for_a_switch_as_the_hard_wired_drop_does() -> None:
    """One switch on either side, 30 A 240 V 3-pole marked 7-1/2 hp, and the same work of mounting it."""
    on_cord = planned(PLANER, DELTA, "cord", hard_wired=False)
    wired = planned(PLANER, DELTA, "conduit drop", hard_wired=True)
    assert switches(on_cord) == switches(wired) == ["disconnect-3p-30"]
    mounted = [
        [line.quantity for line in found.plans[0].lines if line.task == "mount-disconnect"]
        for found in (on_cord, wired)
    ]
    assert mounted == [[1], [1]]
    (row,) = scope_sheet(on_cord).circuits
    assert (
        "then a disconnect, 3-pole, 20 A 240 V or more, lockable, marked for at least 5 hp at 240 V, 3-phase"
        in row.cord
    )
    (work,) = [row for row in scope_sheet(on_cord).work if "disconnect" in row.words]
    assert (work.place, "between its cord and its motor" in work.words) == ("bench A", True)
    # What turns on the mark is told where prices are, and not on the scope sheet, which has none.
    assert any("marked for their motor" in said and "USD" in said for said in on_cord.warnings)
    assert not any("marked for their motor" in said for said in wired.warnings)
    assert "USD" not in scope_text(scope_sheet(on_cord))
    said = {entry.topic: entry.about for entry in noted(on_cord.facts, on_cord.plans[0])}
    assert "NEMA 15-20 is usually marked 3 hp" in said[Topic.HORSEPOWER_MARK][0]


def test_a_switch_takes_two_grips_and_a_lead_of_its_cord() -> None:
    """NFPA 70 400.14, from memory: a strain relief for the cord in and one for the cord out; a lead of 6 ft is common practice,
    no source. 5 hp at 240 V, three-phase, is 15.2 A (Table 430.250): four wires of 12 AWG on a 20 A circuit. By the demo
    the cheapest, SJOOW, has a jacket of 0.47 in, which grips for 0.375 to 0.5 in hold. The lead from the plug into the switch,
    of a machine without a cord, has a third grip where it ends, and so has one wired in."""
    found = planned(PLANER, DELTA, "conduit drop", hard_wired=False)
    bill = {row.part: row for row in bill_of_materials(found.facts, found.plans[0])}
    assert bill["cord-grip-0-500"].quantity == 3
    (lead,) = [row for row in bill.values() if row.part.startswith("cord-12-4")]
    assert (lead.cuts_ft, lead.machines) == ((6, 6), ("it",))
    said = {entry.topic: entry.about for entry in noted(found.facts, found.plans[0])}
    assert said[Topic.SWITCH_ON_CORD] == ("it",)
    assert Topic.DISCONNECT_NOT_SEEN not in said
    wired_in = Builder(
        found.facts, found.facts.shop.machines[0], Way(Method.CORD, "panel", Family.STRAIGHT, wired_in=True)
    )
    step = arrive(wired_in, standing(found.facts))
    bought = {slot: need.bought for slot, need in step.change.begun}
    grips = [
        need.quantity
        for slot in (Slot.SWITCH, Slot.CABLE)
        for need in bought[slot].needs
        if need.spec.kind == "cord grip"
    ]
    assert grips == [2, 1]
    leads = [
        need.spec
        for slot in (Slot.SWITCH, Slot.CABLE)
        for need in bought[slot].needs
        if need.spec.kind == "cord"
    ]
    assert leads[0] == leads[1]  # the lead is one like the cord that goes in


def test_without_a_recipe_for_a_cord_that_is_wired_in_the_missing_grips_are_said() -> None:
    bare = demo_catalog().model_copy(
        update={
            "recipes": {
                name: each
                for name, each in demo_catalog().recipes.items()
                if name not in ("cord into machine", "machine lead")
            }
        }
    )
    known = facts(
        PLANER | {"ways": {"only": ["cord"], "forbid_supply": {"drive": "no", "single-phase motor": "no"}}},
        DELTA,
        bare,
    )
    found = compare(known, Wanted(plans=1))
    assert not [row for row in bill_of_materials(known, found.plans[0]) if "grip" in row.part]
    said = {entry.topic: entry.about for entry in noted(known, found.plans[0])}
    assert said[Topic.SWITCH_ON_CORD] == ("it (neither grips nor a lead are priced: no recipe has them)",)


def test_the_switch_moves_with_its_machine() -> None:
    """It is on the machine: a move buys no second one, and mounts none."""
    moves = [{"name": "moves", "weight": 1, "events": [{"year": 2, "machine": "it", "move": "bench B"}]}]
    found = planned(PLANER, DELTA, "cord", hard_wired=False, scenarios=moves)
    assert [line.year for line in found.plans[0].lines if line.task == "mount-disconnect"] == [0]


def test_a_larger_motor_gets_its_switch_when_it_is_put_in() -> None:
    known = facts({"volts": 240, "hp": 2}, SPLIT)
    made = builder(known)
    before = arrive(made, standing(known)).circuit
    assert before is not None
    assert before.switch is None
    larger = facts({"volts": 240, "hp": 3}, SPLIT).shop.machines[0]
    after = alter(made, before, Standing(2, "bench A", load_of(larger), 0, Decimal(1), "retooled"))
    assert Slot.SWITCH in [slot for slot, _ in after.change.begun]
    again = alter(
        made, after.circuit or before, Standing(3, "bench A", load_of(larger), 0, Decimal(1), "again")
    )
    assert Slot.SWITCH not in [slot for slot, _ in again.change.begun]


NOW: Row = {
    "method": "armored drop",
    "panel": "panel",
    "configuration": "NEMA 6-30",
    "breaker": 30,
    "awg": "10",
}


def test_what_is_there_is_asked_about_and_not_bought_for() -> None:
    """Nobody said what disconnects it today; the plan that keeps its circuit asks, another run brings the switch."""
    known = facts({"volts": 240, "hp": 3, "now": NOW}, SPLIT)
    stays = begin(builder(known, method=Method.ARMORED), standing(known)).step
    assert stays.change.begun == ()
    other = begin(builder(known), standing(known)).step
    assert Slot.SWITCH in [slot for slot, _ in other.change.begun]
    found = compare(known, Wanted(plans=1))
    said = {entry.topic: entry.about for entry in noted(known, found.plans[0])}
    assert said[Topic.DISCONNECT_NOT_SEEN] == (
        "it (nobody described what disconnects it today; NEMA 6-30 is usually marked 2 hp; it is for 3 hp at 240 V, 1-phase)",
    )
    assert Topic.HORSEPOWER_MARK not in said


def test_a_receptacle_that_stays_keeps_the_plug_that_fits_it() -> None:
    """7-1/2 hp, 240 V, 22 A: a 15-50 is marked for it; the 15-30 that is there carries it, stays, and is asked about."""
    ways = {"only": ["armored drop"], "hard_wired": False}
    there = NOW | {"configuration": "NEMA 15-30"}
    known = facts({"volts": 240, "phases": 3, "hp": 7.5, "now": there, "ways": ways}, DELTA)
    step = begin(builder(known, method=Method.ARMORED), standing(known)).step
    assert step.change.begun == ()
    assert step.circuit is not None
    assert (step.circuit.size.configuration, step.circuit.machine_plug) == ("NEMA 15-30", "NEMA 15-30")
    said = {entry.topic: entry.about for entry in noted(known, compare(known, Wanted(plans=1)).plans[0])}
    assert said[Topic.HORSEPOWER_MARK] == (
        "it (NEMA 15-30 is usually marked 3 hp; it is for 7-1/2 hp at 240 V, 3-phase)",
    )


def test_a_switch_from_the_shelf_is_fitted_once() -> None:
    shelf = [{"part": "disconnect-3p-30"}]
    found = planned(PLANER, DELTA, "cord", hard_wired=False, shelf=shelf)
    assert switches(found) == []
    lines = [
        line.words for line in work_list(found.facts, found.plans[0]).lines if "disconnect" in line.words
    ]
    assert lines == ["fit disconnect 3-pole 30 A to the it, from the shelf"]
    new = planned(PLANER, DELTA, "cord", hard_wired=False, shelf=[{"part": "disconnect-2p-30"}])
    lines = [line.words for line in work_list(new.facts, new.plans[0]).lines if "disconnect" in line.words]
    assert lines == ["fit a disconnect marked for its motor to the it, bought"]


def test_sizes_say_what_the_mark_is_and_what_turns_on_it() -> None:
    only = {
        "ways": {
            "only": ["cord"],
            "hard_wired": False,
            "forbid_supply": {"drive": "no", "single-phase motor": "no"},
        }
    }
    told = sizes_text(facts(PLANER | only, DELTA), None)
    assert "NEMA 15-20 is usually marked 3 hp, below the motor's 5 hp at 240 V, 3-phase: a switch" in told
    assert "turns on them; where plug and outlet are marked for it, write hp_240_v_3_phase" in told
    assert "a marked switch at the machine" in told
    assert "horsepower mark" not in sizes_text(facts(SAW, SPLIT), None)


# the start of a motor on a plug -------------------------------------------------------------------


@pytest.mark.parametrize(
    ("machine", "panel", "breaker_a"),
    [
        # 175 % of 28 A is 49 A: 50 A, as hard-wired, since the 40 A that 35 A asks for takes a 50 A receptacle anyway.
        ({"volts": 240, "phases": 3, "hp": 10}, DELTA, 50),
        ({"volts": 240, "hp": 5}, SPLIT, 50),
        # 175 % of 15.2 A is 26.6 A; its 20 A receptacle keeps the breaker at 20 A (210.21(B)(1)).
        (PLANER, DELTA, 20),
        # 175 % of 17 A is 29.75 A: the 30 A of its receptacle.
        ({"volts": 240, "hp": 3}, SPLIT, 30),
        # A listed machine with its plug goes by that.
        (SAW, SPLIT, 20),
    ],
)
def test_the_breaker_of_a_plugged_motor_has_the_margin_as_far_as_its_receptacle(
    machine: Row, panel: Row, breaker_a: int
) -> None:
    made = circuit(machine, panel)
    assert made.size.breaker_a == breaker_a
    # Anything may be plugged in there, so the wire suits the breaker, and the cord too (240.4, 240.5).
    assert made.cord_size is not None
    assert made.cord_size.breaker_at_most_a >= breaker_a


@pytest.mark.parametrize(
    ("machine", "panel", "said"),
    [
        (PLANER, DELTA, "it (20 A behind its receptacle, by habit at least 26.6 A)"),
        ({"volts": 240, "hp": 3}, SPLIT, ""),
        (SAW, SPLIT, ""),
        (SAW | {"amps": 17}, SPLIT, "it (20 A behind its receptacle, by habit at least 29.75 A)"),
        (SAW | {"amps": 17, "breaker": 20}, SPLIT, ""),
    ],
)
def test_a_plugged_motor_below_the_margin_is_spoken_of(machine: Row, panel: Row, said: str) -> None:
    found = planned(machine, panel, "cord", hard_wired=False)
    topics = {entry.topic: entry.about for entry in noted(found.facts, found.plans[0])}
    assert topics.get(Topic.MOTOR_START, ("",)) == (said,)
    assert Topic.DISCONNECT_IN_SIGHT not in topics


def test_it_is_said_where_another_plan_wins_without_the_switch() -> None:
    """A plan that is dearer by less than its switch would be the cheapest, were the mark of its plug known to be enough."""
    found = planned(PLANER, DELTA, "conduit drop", hard_wired=False)
    (switched,) = found.plans
    cents = sum(each for _, _, each in switches_today(found.facts, switched) if each is not None)
    assert cents > 0

    def beside(less: int) -> list[str]:
        """The sentences where the best plan has no switch and costs so much less than this one."""
        line = replace(switched.lines[0], present_value_cents=switched.lines[0].present_value_cents - less)
        plain = replace(switched, lines=(line, *switched.lines[1:]), steps=())
        return [words for words in turns_on_marks(found.facts, [plain, switched]) if "plan 2" in words]

    assert beside(cents + 1) == []
    (words,) = beside(cents - 100)
    assert "without the switches plan 2 is the cheapest, by about USD 1.00" in words


def test_later_runs_name_no_switch_that_the_machine_has() -> None:
    """It is mounted once, today: a run made at the next place ends in its receptacle; one of each has the switch with it."""
    moves = [{"name": "moves", "weight": 1, "events": [{"year": 2, "machine": "it", "move": "bench B"}]}]
    sheet = scope_sheet(planned(PLANER, DELTA, "conduit drop", hard_wired=False, scenarios=moves))
    later = " ".join(row.words for row in sheet.later)
    assert "receptacle NEMA 15-20R" in later
    assert "disconnect, 3-pole" not in later
    one = " ".join(sheet.each)
    assert (
        "receptacle NEMA 15-20R; then a disconnect, 3-pole, 20 A 240 V or more, lockable, marked for at least 5 hp"
        in one
    )
    done = [
        row.words
        for row in (*sheet.work, *sheet.owner_does)
        if "switch" in row.words or "disconnect, 3-pole" in row.words
    ]
    assert len(done) == 2
    assert any(words.endswith("the lead from its switch, into the machine") for words in done)
