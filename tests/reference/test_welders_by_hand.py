"""Welders worked by hand: wire, breaker, receptacle of arc and resistance welders, behind a plug and hard-wired.

Source: cases worked by hand from NFPA 70 Article 630, editions 2014 to 2023, by somebody who had not read the program, with
the section beside each. Article 630 Part III, 630.13 and 210.21(B)(1) Exception 2 are from memory. Plates are invented.
"""

import math
from decimal import Decimal
from typing import Any

import pytest
from strategies import make_catalog, make_shop

from costplan.circuits.facts import Facts
from costplan.circuits.fuses import fuse_a
from costplan.circuits.run_parts import disconnect_need
from costplan.circuits.size_types import CannotSizeError, CircuitSize, Rules, Wiring
from costplan.circuits.sizing import size_circuit
from costplan.circuits.ways import load_of
from costplan.circuits.wire import largest_on_welders_wire_a
from costplan.model.choices import Family, Occupancy
from costplan.model.shop import Machine
from costplan.standards import tables, welders

RULES = Rules(2023, Occupancy.COMMERCIAL, False, Decimal("0.05"), Decimal(30))
ARC_62 = {"volts": 240, "amps": 62, "load": "welder", "duty_cycle": "20 %", "plug": "NEMA 6-50"}
ARC_46 = {"volts": 240, "amps": 46, "load": "welder", "duty_cycle": "40 %"}
SPOT_120 = {"volts": 240, "amps": 120, "load": "spot welder"}


def load(**words: Any) -> Any:
    return load_of(Machine.model_validate({"name": "it", "at": "bench C"} | words))


def sized(
    family: Family | None = None, wiring: Wiring = Wiring.CONDUIT, terminals: int = 60, **words: Any
) -> CircuitSize:
    return size_circuit(load(**words, terminals=terminals), wiring, family, Decimal(20), RULES)


def why(size: CircuitSize, what: str) -> str:
    return "; ".join(f"{each.detail} [{each.source}]" for each in size.reasons if each.what == what)


# the table ---------------------------------------------------------------------------------------------


def test_factors_of_resistance_welders_are_roots_of_the_duty_cycle() -> None:
    """Table 630.31(A)(2): 5 % 0.22, 7.5 % 0.27, 10 % 0.32 ... 50 % 0.71, which heating by the square of the current gives."""
    for row in tables.table(welders.RESISTANCE_FACTORS):
        duty = Decimal(row["duty_cycle_percent"]) / 100
        assert welders.resistance_factor(duty) == Decimal(row["factor"])
        assert abs(float(row["factor"]) - math.sqrt(duty)) < 0.006
    assert welders.resistance_factor(Decimal("0.01")) == Decimal("0.22")
    assert welders.resistance_factor(Decimal("0.11")) == Decimal("0.39")


def test_the_table_of_resistance_welders_ends_at_half() -> None:
    with pytest.raises(CannotSizeError, match=r"Table 630\.31\(A\)\(2\) has no row for 60"):
        sized(**SPOT_120, duty_cycle="60 %", one_operation=True)


# arc welders -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("terminals", "awg"), [(60, "6"), (75, "8")])
def test_an_arc_welder_above_its_plugs_amperes(terminals: int, awg: str) -> None:
    """62 A at 20 %: 0.45 x 62 = 27.9 A (630.11(A)); 6-50R by 210.21(B)(1) Exception 2; 50 A usual; 2 x 62 to 125 (630.12(A)).

    What is pulled behind an outlet: 8 AWG with 75 C ends, else 6 AWG; 10 AWG is the least by the code.
    """
    size = sized(Family.STRAIGHT, terminals=terminals, **ARC_62)
    assert (size.minimum_ampacity_a, size.breaker_a, size.configuration) == (
        Decimal("27.90"),
        50,
        "NEMA 6-50",
    )
    assert (size.awg, size.awg_at_least, size.grounding_awg) == (awg, "10", "10")
    assert size.breaker_at_most_a == 50
    assert "at most 125 A [NFPA 70 630.12(A)]" in why(size, "welder limit")
    assert "would allow 10 AWG for this welder alone" in why(size, "wire of its outlet")
    assert "Exception 2" in why(size, "receptacle's rating")


def test_the_makers_breaker_of_an_arc_welder_may_be_above_its_receptacle() -> None:
    """60 A behind the 50 A outlet is permitted by Exception 2 where the maker's sheet says so; the wire is that of 60 A."""
    size = sized(Family.STRAIGHT, **ARC_62, breaker=60)
    assert (size.breaker_a, size.configuration, size.awg) == (60, "NEMA 6-50", "6")
    assert sized(Family.STRAIGHT, **ARC_62, largest_breaker=50).breaker_a == 50


def test_only_an_arc_welder_may_be_above_its_plug() -> None:
    """Exception 2 is for arc welders: a spot welder, an oven and a motor of 62 A have no way with a 6-50 plug."""
    for kind in ("spot welder", "other"):
        with pytest.raises(CannotSizeError, match="carries 50 A and the nameplate asks for 62 A"):
            sized(Family.STRAIGHT, volts=240, amps=62, load=kind, plug="NEMA 6-50")
    with pytest.raises(CannotSizeError, match=r"carries 20 A and the nameplate asks for 27\.9 A"):
        sized(Family.STRAIGHT, **(ARC_62 | {"plug": "NEMA 6-20"}))


def test_a_smaller_plug_that_came_with_an_arc_welder_stays_and_none_is_invented() -> None:
    """46 A at 40 %, 28.98 A, with a 6-30 plug: a 6-30R by Exception 2. Without a plug its outlet carries all of it."""
    assert sized(Family.STRAIGHT, **ARC_46, plug="NEMA 6-30").configuration == "NEMA 6-30"
    assert sized(Family.STRAIGHT, **ARC_46).configuration == "NEMA 6-50"


@pytest.mark.parametrize(
    ("wiring", "terminals", "most_a"),
    [(Wiring.CABLE, 60, 60), (Wiring.CONDUIT, 60, 60), (Wiring.CONDUIT, 75, 70)],
)
def test_a_hard_wired_arc_welder_goes_by_its_duty_cycle(wiring: Wiring, terminals: int, most_a: int) -> None:
    """46 A at 40 %: 28.98 A, 10 AWG in both columns, 50 A usual, most 2 x 30 = 60 or 2 x 35 = 70 (630.12(B))."""
    size = sized(None, wiring, terminals, **ARC_46)
    assert (size.awg, size.breaker_a, size.breaker_most_a, size.grounding_awg) == ("10", 50, most_a, "10")
    assert "240.4(G)" in why(size, "conductor")
    assert not why(size, "wire of its outlet")


@pytest.mark.parametrize(("terminals", "awg", "most_a"), [(60, "10", 60), (75, "12", 50)])
def test_effective_amperes_take_no_factor(terminals: int, awg: str, most_a: int) -> None:
    """I1eff 22 A, I1max 42 A: 22 A, 10 AWG at 60 C, 12 AWG at 75 C, whose limit of 2 x 25 = 50 A just suits the breaker."""
    size = sized(None, terminals=terminals, volts=240, amps=42, load="welder", effective_amps=22)
    assert (size.minimum_ampacity_a, size.awg, size.breaker_a, size.breaker_most_a) == (22, awg, 50, most_a)


def test_the_wire_of_a_welder_is_thick_enough_for_its_breaker() -> None:
    """90 A, I1eff 25 A: 10 AWG carries 30 A, and 2 x 30 = 60 A is below a 90 A breaker; 6 AWG, 2 x 55 = 110 (630.12(B))."""
    size = sized(None, volts=240, amps=90, load="welder", effective_amps=25)
    assert (size.breaker_a, size.awg) == (90, "6")


def test_a_three_phase_arc_welder_at_480_volts() -> None:
    """35 A at 60 %: 0.78 x 35 = 27.3 A, 10 AWG, 40 A usual, most 60 A by the wire, 70 A by the welder."""
    size = sized(None, volts=480, phases=3, amps=35, load="welder", duty_cycle="60 %")
    assert (size.minimum_ampacity_a, size.awg, size.breaker_a) == (Decimal("27.30"), "10", 40)
    assert (size.breaker_most_a, size.poles, size.grounding_awg) == (60, 3, "10")
    assert "at most 70 A" in why(size, "welder limit")


def test_cable_in_a_wall_is_not_refused_for_its_breaker() -> None:
    """120 A at 20 %: 54 A, 4 AWG cable of 70 A, which may be behind 140 A (630.12(B)); the breaker is 125 A."""
    size = sized(None, Wiring.CABLE, volts=240, amps=120, load="welder", duty_cycle="20 %")
    assert (size.minimum_ampacity_a, size.breaker_a, size.awg) == (Decimal("54.00"), 125, "4")


def test_fuses_of_a_welder_carry_it() -> None:
    """46 A at 40 %: 50 A fuses, not 30 A by its wires (630.12 speaks of any overcurrent device)."""
    assert fuse_a(load(**ARC_46), sized(None, **ARC_46)) == 50


# resistance welders ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "terminals", "ampacity", "awg", "most_a"),
    [
        (SPOT_120, 60, "60.00", "4", 225),
        (SPOT_120, 75, "60.00", "6", 200),
        (SPOT_120 | {"duty_cycle": "10 %"}, 60, "60.00", "4", 225),
        (SPOT_120 | {"duty_cycle": "10 %", "one_operation": True}, 75, "38.40", "8", 150),
        (SPOT_120 | {"amps": 80}, 60, "40.00", "8", 125),
        (SPOT_120 | {"amps": 80}, 75, "40.00", "8", 150),
        (SPOT_120 | {"amps": 80, "load": "seam welder"}, 60, "56.00", "4", 225),
        (SPOT_120 | {"amps": 80, "load": "seam welder"}, 75, "56.00", "6", 200),
        (SPOT_120 | {"amps": "20.83"}, 60, "10.415", "12", 60),
        (SPOT_120 | {"amps": "20.83"}, 75, "10.415", "12", 70),
    ],
)
def test_a_resistance_welder_hard_wired(
    words: dict[str, Any], terminals: int, ampacity: str, awg: str, most_a: int
) -> None:
    """50 % by hand, 70 % fed by itself (630.31(A)(1)), the factor for one operation only (A)(2); 300 % (630.32(A), (B))."""
    size = sized(None, terminals=terminals, **words)
    assert (size.minimum_ampacity_a, size.awg, size.breaker_most_a) == (Decimal(ampacity), awg, most_a)


@pytest.mark.parametrize(
    ("amps", "kind", "usual"),
    [
        (120, "spot welder", range(100, 151)),
        (80, "spot welder", range(80, 101)),
        (80, "seam welder", range(100, 126)),
        ("20.83", "spot welder", (30,)),
    ],
)
def test_usual_breakers_of_resistance_welders(amps: object, kind: str, usual: Any) -> None:
    """What a second person would pick, within 300 % (630.32)."""
    assert sized(None, volts=240, amps=amps, load=kind).breaker_a in usual


def test_an_outlet_of_a_resistance_welder_suits_its_breaker() -> None:
    """20.83 A: 30 A and a 6-30R, since 630 has no exception for its receptacle; 10 AWG, what such an outlet is pulled with."""
    size = sized(Family.STRAIGHT, volts=240, amps="20.83", load="spot welder")
    assert (size.breaker_a, size.configuration, size.awg) == (30, "NEMA 6-30", "10")


# what is there -----------------------------------------------------------------------------------------


def test_what_the_wire_of_a_welder_that_is_there_may_be_behind() -> None:
    """10 AWG at 60 C: 2 x 30 = 60 A of an arc welder, 3 x 30 = 90 A of a spot welder (630.12(B), 630.32(B)); else nothing."""
    assert largest_on_welders_wire_a(load(**ARC_46), "10") == 60
    assert largest_on_welders_wire_a(load(**SPOT_120), "10") == 90
    assert largest_on_welders_wire_a(load(volts=240, amps=46, load="other"), "10") == 0


@pytest.mark.parametrize(
    ("welder", "least_a"),
    [
        (SPOT_120, 60),  # varying operation, by hand: 50 % of 120 A (630.31(A)(1))
        (SPOT_120 | {"duty_cycle": "10 %", "one_operation": True}, 39),  # 0.32 x 120 A = 38.4 A
        (ARC_46, 50),  # the breaker by habit, though 46 x 0.63 = 28.98 A would carry it
    ],
)
def test_the_disconnect_of_a_welder(welder: dict[str, Any], least_a: int) -> None:
    """NFPA 70 630.33: not below the ampacity of 630.31, whatever the breaker; 630.13: an arc welder's suits its breaker."""
    known = Facts(make_shop([{"name": "it", "at": "bench A"} | welder]), make_catalog())
    size = sized(**welder)
    asked = dict(disconnect_need(known, "panel", size, load(**welder)).spec.at_least)
    assert asked["rating_a"] == least_a
    assert size.breaker_a >= least_a
