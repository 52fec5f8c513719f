"""Cases worked by hand of converters' feeds, what they give, and loads of panels and services.

Section numbers of NFPA 70, 2023, are named beside each; whoever worked them had not read this program. Shops are
invented.
"""

from decimal import Decimal
from typing import Any

import pytest
from strategies import MILL, PANEL, SAW, WALL_ONLY, make_catalog, make_gear_shop, with_gear

from costplan.circuits.capacity import Capacity
from costplan.circuits.demand import Balance
from costplan.circuits.facts import Facts
from costplan.circuits.shared_gear import candidate
from costplan.model import converters
from costplan.model.catalog import Part
from costplan.model.choices import SurplusRule
from costplan.model.gear import SERVICE
from costplan.program.bench import Bench
from costplan.program.ranking import best_plans
from costplan.standards.overcurrent import fused_switch_a


def part(**attributes: Any) -> Part:
    return Part.model_validate(
        {"id": "converter", "kind": "phase converter", "name": "c", "attributes": attributes}
    )


# the feed of a converter, 455.6 to 455.8 --------------------------------------------------------------


@pytest.mark.parametrize(
    ("input_a", "least_a", "most_a"),
    [
        # 44 x 1.25 = 55, no standard size: 60; 45 is the first that carries 44
        ("44", 45, 60),
        # 32 x 1.25 = 40, a standard size: no next size
        ("32", 35, 40),
        ("32.1", 35, 45),
        ("17", 20, 25),
        ("27", 30, 35),
        ("40", 40, 50),
        ("50", 50, 70),
        ("52", 60, 70),
    ],
)
def test_the_breaker_of_a_converter(input_a: str, least_a: int, most_a: int) -> None:
    assert converters.breaker_bounds_a(part(input_a=Decimal(input_a)), 2023) == (least_a, most_a)


def test_what_the_plate_says_rules() -> None:
    """110.3(B): a smaller largest fuse, and a larger smallest one."""
    assert converters.breaker_bounds_a(part(input_a=44, breaker_at_most_a=50), 2023) == (45, 50)
    assert converters.breaker_bounds_a(part(input_a=44, breaker_at_least_a=60), 2023) == (60, 60)
    assert converters.breaker_bounds_a(part(input_a=44, breaker_at_least_a=70), 2023) == (70, 70)


CASE_11: dict[str, Any] = {"largest_motor_hp": 7.5, "output_a": 30, "input_a": 44}


def rotary(breaker: int | None = None, **more: Any) -> Facts:
    catalog = make_catalog(**with_gear())
    parts = [
        found.model_copy(
            update={
                "attributes": found.attributes
                | {word: Decimal(str(value)) for word, value in CASE_11.items()}
            }
        )
        if found.id == "converter-5"
        else found
        for found in catalog.parts
    ]
    changes = {} if breaker is None else {"converter": {"breaker": breaker}}
    machines = [
        MILL | WALL_ONLY | {"name": name, "hp": hp} for name, hp in (("five", 5), ("three", 3), ("other", 3))
    ]
    shop = make_gear_shop(machines, ("converter",), gear_changes=changes, service={"amps": 100} | more)
    return Facts(shop, catalog.model_copy(update={"parts": parts}))


def test_case_11_the_feed() -> None:
    """55 A of wire: 6 AWG (55 A at 60 C), ground 10; 60 A breaker; disconnect of 115 %: 50.6 A."""
    facts = rotary()
    found = candidate(facts, facts.gear["converter"])
    size = found.input_size
    assert size is not None
    assert (size.minimum_ampacity_a, size.awg, size.grounding_awg) == (55, "6", "10")
    assert (size.breaker_a, size.poles) == (60, 2)
    disconnect = next(need for need in found.bundle.needs if need.spec.kind == "disconnect")
    assert dict(disconnect.spec.at_least)["rating_a"] == Decimal("50.6")


@pytest.mark.parametrize("breaker_a", [45, 50, 60])
def test_case_11_a_breaker_that_is_there_is_accepted(breaker_a: int) -> None:
    facts = rotary(breaker_a)
    size = candidate(facts, facts.gear["converter"]).input_size
    assert size is not None
    assert (size.breaker_a, size.awg) == (breaker_a, "6")


def test_case_11_the_service_has_no_more_than_the_plate_says() -> None:
    """44 A at the worst, 10,560 VA, whatever runs behind it."""
    rules = Capacity(rotary())
    draws = [
        ("five", "converter", 6319, 3, 1),
        ("three", "converter", 3991, 3, 1),
        ("other", "converter", 3991, 3, 1),
    ]
    on = rules.by_limit(draws)
    idle = {"converter": 400}
    assert rules.balance(on[SERVICE], [], idle, 2).worst_va == 44 * 240
    # one 3 hp alone: 3,991 / 0.9 and a quarter, and the idling
    alone = rules.by_limit(draws[1:2])[SERVICE]
    assert rules.balance(alone, [], idle, 2).worst_va == 4435 + 1109 + 400


def test_case_11_two_at_once() -> None:
    """At most two of three: the heaviest two, 15.2 and 9.6 A, and a quarter of the larger, 28.6 of 30 A."""
    rules = Capacity(rotary(at_most=[{"count": 2, "of": ["five", "three", "other"]}]))
    draws = [
        ("five", "converter", 6319, 3, 1),
        ("three", "converter", 3991, 3, 1),
        ("other", "converter", 3991, 3, 1),
    ]
    on = rules.by_limit(draws)["output of converter"]
    assert amperes(rules.balance(on, [], {}, 3), 240, 3) == Decimal("28.6")


# loads of a service, 220.87, 220.60, 430.24 ------------------------------------------------------------

COMPRESSOR = SAW | {"name": "compressor", "hp": 5} | {"plug": None}
TABLE_SAW = SAW | {"amps": 12.8}
COLLECTOR = SAW | {"name": "collector", "amps": 10}
PEAK = {"amps": 38, "seen": "2026-09-30", "days": 30}


def amperes(found: Balance, volts: int, phases: int) -> Decimal:
    line = volts * (Decimal(3).sqrt() if phases == 3 else 1)
    return (found.worst_va / line).quantize(Decimal("0.1"))


def workshop(words: dict[str, dict[str, Any]] | None = None, **service: Any) -> Capacity:
    bare = {word: value for word, value in COMPRESSOR.items() if word not in ("plug", "amps")}
    machines = [
        machine | (words or {}).get(str(machine["name"]), {}) for machine in (bare, TABLE_SAW, COLLECTOR)
    ]
    panels = [
        PANEL,
        PANEL | {"name": "sub", "rating": 60, "other_load": 18, "fed_from": "panel"},
    ]
    shop = make_gear_shop(machines, panels=panels, service={"amps": 100, "measured_peak": PEAK} | service)
    return Capacity(Facts(shop, make_catalog(**with_gear())))


def left_a(rules: Capacity, limit: str, panel: str = "panel", *names: str) -> Decimal:
    va = {"compressor": 28 * 240, "saw": 3072, "collector": 2400}
    draws = [(name, panel, drawn, 2, 1) for name, drawn in va.items() if not names or name in names]
    found = rules.balance(rules.by_limit(draws)[limit], [], {}, 2)
    return ((rules.limits[limit].free_va - found.worst_va) / Decimal(240)).quantize(Decimal("0.1"))


def test_case_12_all_three() -> None:
    """38 x 1.25 + 28 + 12.8 + 10 + 25 % of 28 = 105.3: 5.3 A over."""
    assert left_a(workshop(), SERVICE) == Decimal("-5.3")


THREE = ["compressor", "saw", "collector"]


def test_case_12_at_most_two_of_three() -> None:
    """220.60, the heaviest pair: 47.5 + 40.8 + 7 = 95.3."""
    assert left_a(workshop(at_most=[{"count": 2, "of": THREE}]), SERVICE) == Decimal("4.7")


def test_case_12_a_compressor_keeps_no_promise() -> None:
    """It starts while two others run, 105.3; with one other at a time it is 95.3 again."""
    own = {"compressor": {"starts_by_itself": True}}
    assert left_a(workshop(own, at_most=[{"count": 2, "of": THREE}]), SERVICE) == Decimal("-5.3")
    assert left_a(workshop(own, at_most=[{"count": 1, "of": THREE}]), SERVICE) == Decimal("4.7")
    assert left_a(workshop(own, at_once=[["compressor"], ["saw", "collector"]]), SERVICE) == Decimal("-5.3")


def test_case_12_a_panel_counts_its_own_present_load() -> None:
    """60 A: 18 + 28 + 7 + 12.8 + 10 = 75.8, the pair 65.8; without the compressor 18 + 12.8 + 10 + 3.2 = 44.0."""
    assert left_a(workshop(), "sub", "sub") == Decimal("-15.8")
    assert left_a(workshop(at_most=[{"count": 2, "of": THREE}]), "sub", "sub") == Decimal("-5.8")
    assert left_a(workshop(), "sub", "sub", "saw", "collector") == Decimal(16)


def test_case_12_what_ran_in_the_peak_is_not_added_again() -> None:
    """47.5 + 28 + 12.8 + 7 = 95.3."""
    assert left_a(workshop({"collector": {"in_measured_peak": True}}), SERVICE) == Decimal("4.7")


@pytest.mark.parametrize(("base", "worst"), [(45, "86.25"), (0, "41.25")])
def test_never_below_the_plain_heaviest_pair(base: int, worst: str) -> None:
    """Compressor 12 A, kiln 20 (no motor), saw 17, two at once: 37 and a quarter of 17; the honest reading is 98.25."""
    kiln = SAW | {"name": "kiln", "load": "heater"}
    machines = [SAW, kiln, SAW | {"name": "compressor"}]
    for own, more in ((False, 0), (True, 12)):
        words = {"starts_by_itself": True} if own else {}
        shop = make_gear_shop(
            [machines[0], machines[1], machines[2] | words],
            service={
                "amps": 200,
                "other_load": base,
                "at_most": [{"count": 2, "of": ["saw", "kiln", "compressor"]}],
            },
        )
        rules = Capacity(Facts(shop, make_catalog(**with_gear())))
        on = rules.by_limit(
            [("saw", "panel", 4080, 2, 1), ("kiln", "panel", 4800, 2, 1), ("compressor", "panel", 2880, 2, 1)]
        )
        taken = rules.limits[SERVICE].taken_va + rules.balance(on[SERVICE], [], {}, 2).worst_va
        assert taken == (Decimal(worst) + more) * 240


# one-pole circuits load one line -------------------------------------------------------------------------


def lines(system: str, *draws: tuple[str, int, int]) -> list[Decimal]:
    """Amperes on each line of a 100 A service, heaviest first, of motors and heaters with volt-amperes and poles."""
    machines = [
        SAW | {"name": name, "load": "motor" if name.startswith("motor") else "heater"}
        for name, _, _ in draws
    ]
    panel = PANEL | {"system": system}
    shop = make_gear_shop(machines, panels=[panel], service={"amps": 100, "system": system})
    rules = Capacity(Facts(shop, make_catalog(**with_gear())))
    on = rules.by_limit([(name, "panel", va, poles, 1) for name, va, poles in draws])
    found = rules.balance(on[SERVICE], [], {}, rules.lines(SERVICE))
    line = Decimal(240) if rules.lines(SERVICE) == 2 else 208 * Decimal(3).sqrt()
    return [(va / line).quantize(Decimal("0.1")) for va in found.lines_va]


SPLIT = "120/240 single-phase"


def test_a_vacuum_of_12_a_at_120_v_loads_one_line_with_12_a() -> None:
    assert lines(SPLIT, ("vacuum", 1440, 1)) == [12, 0]
    assert lines(SPLIT, ("vacuum", 1440, 1), ("other", 1440, 1)) == [12, 12]
    assert lines(SPLIT, ("vacuum", 1440, 1), ("other", 1440, 1), ("third", 1440, 1)) == [24, 12]


def test_a_vacuum_and_a_heater_beside_a_saw() -> None:
    """12.8 A and a quarter on both lines, 12.5 A on one and 12 A on the other; the quarter is not on the vacuum too."""
    found = lines(SPLIT, ("motor saw", 3072, 2), ("motor vacuum", 1440, 1), ("heater", 1500, 1))
    assert found == [Decimal("28.5"), Decimal("28.0")]


WYE = "120/208 three-phase"
LINES = (("motor big", 11097, 3), ("motor two", 3890, 2), ("first", 1440, 1), ("second", 1920, 1))


def test_three_phases_by_lines() -> None:
    """30.8 A on all with a quarter more are 38.5; 18.7 on two; 12 and 16 A best on the third, and never spread."""
    assert lines(WYE, *LINES) == [Decimal("66.5"), Decimal("57.2"), Decimal("57.2")]


def test_an_exact_fit_fits() -> None:
    """Twice 30.8 A, 7.7 A, 18.7 A and 12 A on one line are 100.0 A of 100."""
    rules_line = 30.8 + 30.8 + 7.7 + 18.7 + 12
    assert rules_line == pytest.approx(100)
    machines = [SAW | {"name": name, "load": "motor"} for name in ("big", "more", "two")]
    machines += [SAW | {"name": "lamp", "load": "heater"}]
    shop = make_gear_shop(machines, panels=[PANEL | {"system": WYE}], service={"amps": 100, "system": WYE})
    rules = Capacity(Facts(shop, make_catalog(**with_gear())))
    on = rules.by_limit(
        [
            ("big", "panel", 11097, 3, 1),
            ("more", "panel", 11097, 3, 1),
            ("two", "panel", 3890, 2, 1),
            ("lamp", "panel", 1440, 1, 1),
        ]
    )[SERVICE]
    all_on_one = sum(draw.va for draw in on) + max(draw.extra_va for draw in on)
    assert all_on_one <= rules.limits[SERVICE].free_va < all_on_one + 20


# what a converter that only starts motors gives ---------------------------------------------------------


@pytest.mark.parametrize(
    ("share", "hp", "needs_hp", "served"),
    [
        (None, 3, "1.5", True),  # two thirds: 2.0 of 3 hp
        (None, 3, "2.0", True),
        (None, 3, "3.0", False),
        ("0.6", 5, "2.5", True),
        ("0.6", 5, "4.0", False),
        ("0.6", 3, "2.0", False),
        ("0.8", 5, "2.5", True),
        ("0.8", 5, "4.0", True),  # just
        ("0.8", 3, "2.0", True),
    ],
)
def test_a_share_of_the_power(share: str | None, hp: int, needs_hp: str, served: bool) -> None:
    stated = {} if share is None else {"power_share": Decimal(share)}
    found = part(type="static", largest_motor_hp=Decimal(5), **stated)
    needed = Decimal(needs_hp) / hp
    assert (converters.refuses(found, Decimal(hp), needed, motor=True) is None) is served


def test_other_converters_give_all_of_it_and_bands_hold() -> None:
    whole = part(type="rotary", largest_motor_hp=Decimal(5))
    assert converters.refuses(whole, Decimal(5), Decimal(1), motor=True) is None
    band = part(type="static", largest_motor_hp=Decimal(3), smallest_motor_hp=Decimal(2))
    assert "from 2 hp" in (converters.refuses(band, Decimal(1), Decimal("0.5"), motor=True) or "")
    assert "only starts motors" in (converters.refuses(band, None, Decimal("0.5"), motor=False) or "")


@pytest.mark.parametrize(("words", "found"), [({}, None), ({"takes_turns": "by hand"}, {"converter"})])
def test_one_motor_to_a_unit(words: dict[str, str], found: set[str] | None) -> None:
    """Two machines on one converter that only starts motors: not both at once, but by turns."""
    catalog = make_catalog(**with_gear(prices={"drive-3": 9000, "drive-5": 9000, "motor-3": 9000}))
    attributes = {"type": "static", "output_a": Decimal(60)}
    parts = [
        known.model_copy(update={"attributes": known.attributes | attributes})
        if known.id == "converter-5"
        else known
        for known in catalog.parts
    ]
    words_of_both = WALL_ONLY | words | {"power_needed": 0.6}
    machines = [MILL | words_of_both, MILL | words_of_both | {"name": "lathe", "at": "bench A"}]
    facts = Facts(make_gear_shop(machines, ("converter",)), catalog.model_copy(update={"parts": parts}))
    best = best_plans(Bench.over(facts, SurplusRule.ALLOWED), 1)[0]
    by_converter = {name for name, way, _ in best.plan.shares() if way.panel == "converter"}
    assert (len(by_converter) == 2) is (found is not None)


@pytest.mark.parametrize(
    ("fuse_a", "switch_a"),
    [(20, 30), (30, 30), (35, 60), (50, 60), (60, 60), (70, 100), (90, 100), (175, 200)],
)
def test_clips_take_the_fuse(fuse_a: int, switch_a: int) -> None:
    """35 to 60 A fuses in the 60 A switch, 70 to 100 A in the 100 A one (common practice, no source)."""
    assert fused_switch_a(fuse_a) == switch_a


def test_a_main_disconnect_has_a_fuse_a_line_and_limits_the_service() -> None:
    """60 A of 100 A: two fuses on 120/240 V, and 60 A are left for the machines."""
    facts = Facts(make_gear_shop([SAW], ("main switch",), service={"amps": 100}), make_catalog(**with_gear()))
    switch, fuses = candidate(facts, facts.gear["main switch"]).bundle.needs
    assert (switch.spec.kind, switch.quantity, dict(switch.spec.at_least)["poles"]) == (
        "fused disconnect",
        1,
        2,
    )
    assert (fuses.spec.kind, fuses.quantity, dict(fuses.spec.at_least)["rating_a"]) == ("fuse", 2, 60)
    assert Capacity(facts).limits[SERVICE].most_va == 60 * 240
