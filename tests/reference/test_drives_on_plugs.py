"""A drive on a cord or a plug: its lead, what holds it, the mark of what it is unplugged by, who wires it. Worked by hand.

Source: NFPA 70 430.122(A) (125 % of the rated input), 400.5(A) with Table 400.5(A)(1) column B (two conductors that carry:
12 AWG 25 A, 10 AWG 30 A, 8 AWG 40 A, 6 AWG 55 A), 240.5, 400.14, 430.102, 430.109(F), all from memory. A lead of 6 ft is
common practice, no source. The demo's drives, invented, take 14.3 A for 2 hp, 21 A for 3 hp and 33 A for 5 hp from one phase.
"""

from decimal import Decimal
from functools import cache

import pytest
from shipped_shops import demo_catalog
from strategies import Row
from test_plug_marks import PLANER, SPLIT, facts, marked, standing

from costplan.circuits.change import arrive
from costplan.circuits.circuit import Builder, Circuit
from costplan.circuits.facts import Facts
from costplan.circuits.needs import Need, Slot
from costplan.circuits.present import begin
from costplan.circuits.ways import Way, refusal
from costplan.model.catalog import Catalog
from costplan.model.choices import Family, Method, Supply
from costplan.model.ratings import horsepower_mark
from costplan.program.bench import Bench
from costplan.reports.bill import bill_of_materials
from costplan.reports.noted import noted
from costplan.reports.remarks import Topic
from costplan.reports.scope import scope_sheet
from costplan.reports.scope_text import scope_text
from costplan.reports.sizes import sizes_text
from costplan.reports.work_list import work_list
from costplan.standards import conductors
from costplan.standards.cords import cord_sizes
from costplan.studies.comparison import Comparison, compare
from costplan.studies.wanted import Wanted

LATHE: Row = {"volts": 240, "phases": 3, "hp": 3}
SMALL: Row = {"volts": 240, "phases": 3, "hp": 2}
MARK = horsepower_mark(240, 1)
BY_BREAKER: Row = {"disconnected_by": "breaker"}


def way(method: Method = Method.CORD, family: Family | None = Family.STRAIGHT, **more: object) -> Way:
    return Way(method, "panel", family, supply=Supply.DRIVE, **more)  # type: ignore[arg-type]


def built(machine: Row, by: Way | None = None, catalog: Catalog | None = None) -> Circuit:
    known = facts(machine, SPLIT, catalog)
    return Builder(known, known.shop.machines[0], by or way()).build(standing(known))


def bought(machine: Row, by: Way) -> dict[Slot, list[tuple[str, str, int]]]:
    """Cords and grips by the thing that they are bought with: kind, size, how many or how long."""
    known = facts(machine, SPLIT)
    step = arrive(Builder(known, known.shop.machines[0], by), standing(known))
    found = {
        slot: [_told(need) for need in thing.bought.needs if need.spec.kind in ("cord", "cord grip")]
        for slot, thing in step.change.begun
    }
    return {slot: told for slot, told in found.items() if told}


def awg_of(magnitude: object) -> str:
    """The gauge whose magnitude is asked for: the thicker, the greater."""
    return next(awg for awg in cord_sizes() if conductors.awg_rank(awg) == magnitude)


def _told(need: Need) -> tuple[str, str, int]:
    low = dict(need.spec.at_least)
    size = f"{awg_of(low['awg'])}/{low['conductors']}" if need.spec.kind == "cord" else ""
    return need.spec.kind, size, need.length_ft or need.quantity


@pytest.mark.parametrize(
    ("machine", "awg", "configuration"),
    [(SMALL, "12", "NEMA 6-20"), (LATHE, "10", "NEMA 6-30"), (PLANER, "6", "NEMA 6-50")],
)
@pytest.mark.parametrize("method", [Method.CORD, Method.WALL, Method.CEILING])
def test_a_bought_drive_on_a_plug_has_a_lead_and_two_grips(
    machine: Row, awg: str, configuration: str, method: Method
) -> None:
    """14.3 A x 1.25 = 17.9 A behind 20 A: 12 AWG; 21 x 1.25 = 26.25 A: 10 AWG; 33 x 1.25 = 41.25 A, 8 AWG carries 40: 6 AWG."""
    known = bought(machine | BY_BREAKER, way(method))
    assert known[Slot.DEVICE] == [("cord grip", "", 2), ("cord", f"{awg}/3", 6)]
    assert Slot.SWITCH not in known
    assert built(machine | BY_BREAKER, way(method)).size.configuration == configuration


def test_a_cord_that_goes_into_the_drive_takes_the_place_of_its_lead() -> None:
    """The cord brings the grip for what goes in, the drive has the one for what goes out; the switch ahead has its own two."""
    longer = bought(LATHE | BY_BREAKER, way(Method.WALL, slack_ft=Decimal(10)))
    assert longer[Slot.DEVICE] == [("cord grip", "", 1)]
    assert [kind for kind, _, _ in longer[Slot.CABLE]].count("cord grip") == 1
    wired_in = bought(LATHE, way(wired_in=True))
    assert wired_in[Slot.DEVICE] == [("cord grip", "", 1)]
    assert wired_in[Slot.SWITCH] == [("cord grip", "", 2), ("cord", "10/3", 6)]


def test_a_hard_wired_drive_has_neither_lead_nor_grips() -> None:
    known = bought(LATHE, way(Method.CONDUIT, None))
    assert Slot.DEVICE not in known


@pytest.mark.parametrize("method", [Method.CORD, Method.WALL, Method.CEILING])
def test_what_a_drive_is_unplugged_by_is_marked_for_the_motor(method: Method) -> None:
    """A 6-30 is usually marked 2 hp, below 3 hp, and the mark of the 6-50 is not known: a switch, with leads of its own."""
    circuit = built(LATHE, way(method))
    assert (circuit.plug_marks.switched, circuit.plug_marks.motor) == (True, "3 hp at 240 V, 1-phase")
    assert circuit.switch is not None
    assert dict(circuit.switch.item.spec.if_stated) == {MARK: 3}
    known = bought(LATHE, way(method))
    assert known[Slot.SWITCH] == known[Slot.DEVICE] == [("cord grip", "", 2), ("cord", "10/3", 6)]


def test_a_mark_that_is_not_below_the_motor_will_do() -> None:
    """2 hp on a 6-20, usually marked 2 hp; parts that state 3 hp, or the next larger ones that do, need no switch either."""
    assert built(SMALL).switch is None
    assert built(SMALL).plug_marks.usual_hp == 2
    stated = marked({MARK: 3}, "NEMA 6-30")
    assert built(LATHE, way(), stated).switch is None
    larger = built(LATHE, way(), marked({MARK: 3}, "NEMA 6-50"))
    assert (larger.size.configuration, larger.size.breaker_a, larger.switch) == ("NEMA 6-50", 30, None)
    assert larger.plug_marks.smaller == "NEMA 6-30"


@pytest.mark.parametrize(("by", "switched"), [("breaker", False), ("own switch", True), (None, True)])
def test_its_breaker_in_sight_disconnects_a_drive_and_its_own_switch_does_not(
    by: str | None, switched: bool
) -> None:
    machine = LATHE | ({"disconnected_by": by} if by else {})
    assert (built(machine).switch is not None) is switched


@pytest.mark.parametrize(("plug", "switched"), [("NEMA 6-20", True), ("NEMA 6-30", False)])
def test_only_a_plug_that_stays_is_left_to_its_owner(plug: str, switched: bool) -> None:
    """The plug that a drive's line cord has is asked about; another in its place is one that the plan answers for."""
    assert (built(LATHE | {"plug": plug, "plug_may_change": True}).switch is not None) is switched


THERE: Row = {
    "method": "wall drop",
    "panel": "panel",
    "configuration": "NEMA 6-30",
    "breaker": 30,
    "awg": "10",
    "drive": "drive-3",
}


def present(machine: Row, **now: object) -> Facts:
    return facts(machine | {"now": THERE | now}, SPLIT)


def test_a_drive_that_is_there_keeps_its_line_cord_and_is_asked_about() -> None:
    known = present(LATHE | {"ways": {"only": ["wall drop"], "hard_wired": False}})
    builder = Builder(known, known.shop.machines[0], way(Method.WALL))
    assert begin(builder, standing(known)).step.change.begun == ()
    best = compare(known, Wanted(plans=1)).plans[0]
    said = {entry.topic: entry.about for entry in noted(known, best)}
    assert said[Topic.LINE_CORD_OF_DRIVE] == ("it",)
    assert Topic.LEAD_OF_DRIVE not in said
    (mark,) = said[Topic.HORSEPOWER_MARK]
    assert "usually marked 2 hp" in mark
    assert "3 hp at 240 V, 1-phase" in mark


@cache
def lathe() -> Comparison:
    only = {"only": ["conduit drop"], "hard_wired": False, "forbid_supply": {"single-phase motor": "no"}}
    return compare(facts(LATHE | {"ways": only}, SPLIT), Wanted(plans=1))


def test_lead_grips_and_switch_are_on_every_list() -> None:
    best, known = lathe().plans[0], lathe().facts
    bill = bill_of_materials(known, best)
    (cord,) = [row for row in bill if row.part.startswith("cord-10-3")]
    assert cord.cuts_ft == (6, 6)
    assert sum(row.quantity for row in bill if row.part.startswith("cord-grip")) == 4
    lines = [line.words for line in work_list(known, best).lines]
    assert any("on the lead into the it's drive, at least 10 AWG, 6 ft" in words for words in lines)
    assert not any("line cord" in words or "own cord" in words for words in lines)
    said = {entry.topic: entry.about for entry in noted(known, best)}
    assert said[Topic.LEAD_OF_DRIVE] == ("it",)
    assert "6-30 is usually marked 2 hp" in said[Topic.HORSEPOWER_MARK][0]
    sheet = scope_text(scope_sheet(lathe()))
    assert "plug NEMA 6-30, on the lead into its drive" in " ".join(sheet.split())
    assert "plug of a machine" not in sheet


def test_rows_of_a_size_sheet_name_the_switch_ahead_of_a_drive() -> None:
    sheet = sizes_text(facts(LATHE, SPLIT), None)
    plugged = [
        line for line in sheet.splitlines() if line.strip().startswith("drive, ") and "NEMA 6-30" in line
    ]
    assert len(plugged) > 1
    assert all("NEMA 6-30, switch" in line or "a marked switch" in line for line in plugged)


def test_one_row_says_who_wires_the_drive() -> None:
    """The row of the task that mounts it; whoever sets it, or reworks the controls, has a row without those words."""
    best, known = lathe().plans[0], lathe().facts
    sheet = scope_sheet(lathe())
    rows = [row for row in (*sheet.work, *sheet.owner_does) if "fit and wire the new drive" in row.words]
    assert [row.what for row in rows] == ["mount a drive at the machine and wire it"]
    fits = [line for line in work_list(known, best).lines if line.words.startswith("fit drive")]
    assert [line.who for line in fits] == ["owner"]


def test_without_a_recipe_the_missing_lead_is_said() -> None:
    recipes = {name: each for name, each in demo_catalog().recipes.items() if name != "cord into machine"}
    only = {"only": ["conduit drop"], "hard_wired": False, "forbid_supply": {"single-phase motor": "no"}}
    known = facts(LATHE | {"ways": only}, SPLIT, demo_catalog().model_copy(update={"recipes": recipes}))
    said = {entry.topic: entry.about for entry in noted(known, compare(known, Wanted(plans=1)).plans[0])}
    assert said[Topic.LEAD_OF_DRIVE] == ("it (neither grips nor a lead are priced: no recipe has them)",)


# a machine that came with a three-phase plug --------------------------------------------------------

PLUGGED: Row = LATHE | {"plug": "NEMA 15-20"}


def reasons(machine: Row) -> set[str]:
    """Why ways with a drive are out of the ranking."""
    known = facts(machine, SPLIT)
    found = Bench.over(known, known.shop.money.surplus).priced_survey
    return {
        str(option.refused)
        for options in found.options.values()
        for option in options
        if option.way.supply is Supply.DRIVE
    }


def test_a_three_phase_plug_goes_into_no_outlet_ahead_of_a_drive() -> None:
    """NEMA 15-20 has three phases, a drive's input one: the plug would need an outlet on the drive's output, not priced."""
    (reason,) = reasons(PLUGGED)
    assert "its three-phase plug (NEMA 15-20) would need an outlet of its own" in reason
    assert "for this motor alone" in reason
    (there,) = reasons(PLUGGED | {"now": THERE})
    assert "hangs on what its drive puts out" in there


def test_hard_wiring_that_the_file_asks_for_takes_a_three_phase_plug_off_for_a_drive_too() -> None:
    """As from a panel: the plug comes off for good, and the remark on a changed plug asks the maker; no other way opens."""
    known = facts(LATHE | {"plug": "NEMA 15-20", "ways": {"hard_wired": True}}, SPLIT)
    shop, machine = known.shop, known.shop.machines[0]
    assert refusal(shop, machine, way(Method.WALL, None)) is None
    assert "hard_wired: true" in (refusal(shop, machine, way(Method.CORD)) or "")
    unsaid = machine.model_copy(update={"ways": type(machine.ways)()})
    assert "what stops it before the plug is pulled" in (refusal(shop, unsaid, way(Method.WALL, None)) or "")


def test_where_its_plug_may_come_off_a_drive_is_what_it_is_for_bare_ends() -> None:
    """No three-phase plug or outlet is among the needs; the cord-and-plug ahead of the drive is the motor's disconnect only
    within its mark: 6-30 is usually marked 2 hp, the motor has 3 hp, so a marked switch is bought (NFPA 70 430.109(F))."""
    bare, plugged = built(LATHE), built(PLUGGED | {"plug_may_change": True})
    assert plugged.size.configuration == bare.size.configuration == "NEMA 6-30"
    assert plugged.switch is not None
    assert plugged.switch == bare.switch
    assert "None" in reasons(PLUGGED | {"plug_may_change": True})
