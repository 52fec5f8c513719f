"""Clamps of plugs, connectors and kits against the jacket of the cord that goes in, worked by hand.

NFPA 70 400.14, from memory: a cord's fitting holds it so that no pull reaches the terminals, and a listed one is used
within its range (110.3(B)). Jackets and ranges are typical figures from memory, in inches; prices are invented.
"""

from dataclasses import replace
from decimal import Decimal
from types import SimpleNamespace
from typing import Any

import pytest
from shipped_shops import demo_catalog
from strategies import make_shop, offer, ranked
from test_cord_grips import JACKETS, catalog

from costplan.checks.check_places import grips_and_jackets_are_known
from costplan.circuits.change import arrive
from costplan.circuits.circuit import Builder
from costplan.circuits.facts import Facts
from costplan.circuits.needs import make_spec
from costplan.circuits.ways import Way
from costplan.model.catalog import Catalog
from costplan.model.choices import Family, Method, Service
from costplan.model.shop import Shop
from costplan.program.ranked import NoPlanError, Ranked
from costplan.reports.bill import bill_of_materials
from costplan.reports.shopping import list_of
from costplan.studies.comparison import compare
from costplan.studies.wanted import Wanted
from costplan.years.calendar import first_standings

Row = dict[str, Any]
SAW: Row = {
    "name": "saw",
    "at": "bench A",
    "volts": 240,
    "amps": 16,
    "plug": "NEMA 6-20",
    "ways": {"only": ["cord"]},
}
THIN, THICK = "12/3 SOOW", "10/3 SOOW"
"""0.60 and 0.67 in; 20 A over two wires ask for 12 AWG (Table 400.5(A)(1))."""
WIDE = ("0.30", "0.75")


def shop_of(machine: Row = SAW) -> Shop:
    cords: Row = {"slack": [0], "families": ["straight"], "spare_conductor": False, "service": ["hard"]}
    return make_shop([machine], cords=cords)


def sold(*ranges: tuple[str, str, tuple[str, str] | None], cheap: str = THICK) -> Catalog:
    """Both cords, one of them for half the price, and these plugs, connectors and kits, as `kind, part, range` each."""
    base = catalog([THIN, THICK])
    known = {part: clamp for _, part, clamp in ranges}
    parts = []
    for part in base.parts:
        clamp = known.get(part.id)
        stated = (
            {} if clamp is None else {"jacket_from_in": Decimal(clamp[0]), "jacket_to_in": Decimal(clamp[1])}
        )
        parts.append(part.model_copy(update={"attributes": part.attributes | stated}))
    offers = [
        row.model_copy(update={"price_cents": Decimal(100)}) if row.part == cheap else row
        for row in base.offers
    ]
    return base.model_copy(update={"parts": parts, "offers": offers})


def bought(found: Catalog, machine: Row = SAW) -> tuple[Ranked, dict[str, str]]:
    """The best plan, and its parts with what is to be read on each."""
    shop = shop_of(machine)
    plan = ranked(shop, found)[0]
    return plan, {row.part: row.read for row in bill_of_materials(Facts(shop, found), plan)}


@pytest.mark.parametrize(
    ("kind", "part"), [("plug", "plug-6-20"), ("connector", "connector-6-20"), ("overhead kit", "kit")]
)
@pytest.mark.parametrize(("high", "cord"), [("0.66", THIN), ("0.67", THICK), ("0.75", THICK)])
def test_a_stated_range_rules_the_cord(kind: str, part: str, high: str, cord: str) -> None:
    """The cheaper cord is 0.67 in: a clamp to 0.66 keeps it out, one to 0.67 takes it."""
    _, parts = bought(sold((kind, part, ("0.30", high))))
    assert {name for name in parts if name in JACKETS} == {cord}


def test_the_narrower_of_two_ends_rules() -> None:
    _, parts = bought(sold(("plug", "plug-6-20", WIDE), ("connector", "connector-6-20", ("0.30", "0.62"))))
    assert THICK not in parts
    assert THIN in parts


def test_a_clamp_that_opens_too_far_does_not_hold_a_thin_cord() -> None:
    """From 0.65 in on: 12/3 with 0.60 in slips, 10/3 does not, though it is the dearer here and thicker than asked."""
    _, parts = bought(sold(("plug", "plug-6-20", ("0.65", "0.90")), cheap=THIN))
    assert {name for name in parts if name in JACKETS} == {THICK}


def test_where_no_clamp_holds_the_way_is_closed_and_says_so() -> None:
    found = sold(("plug", "plug-6-20", ("0.20", "0.50")))
    with pytest.raises(NoPlanError, match=r"no plug, connector or kit on offer clamps a jacket of 0\.60 in"):
        compare(Facts(shop_of(), found), Wanted(plans=1))


def test_what_a_clamp_must_hold_is_asked_beside_it_where_nobody_states_it() -> None:
    """10 AWG on a plug of 20 A is thicker than usual, and asked of both ends; 12 AWG is not. A mesh has few jackets: always."""
    asked = "read its clamp: it must take a cord 10/3, 0.67 in across"
    plan, parts = bought(sold())
    assert {part for part, read in parts.items() if read == asked} >= {"plug-6-20", "connector-6-20"}
    assert parts["kit"] == "read its size: it must take a cord 10/3, 0.67 in across"
    listed = {part.part: part.read for part in list_of(Facts(shop_of(), sold()), plan).parts}
    assert listed["plug-6-20"] == asked
    stated = sold(("plug", "plug-6-20", WIDE))
    assert bought(stated)[1]["plug-6-20"] == ""
    read = {part: words for part, words in bought(sold(cheap=THIN))[1].items() if words}
    assert read == {"kit": "read its size: it must take a cord 12/3, 0.60 in across"}
    assert bought(sold(("overhead kit", "kit", WIDE)))[1]["kit"] == ""


def test_only_the_ends_on_a_thick_cord_are_spoken_of() -> None:
    """The saw's 30 ft of 10/3 come off the one remnant of 30 ft; the lathe's cord is 12/3, and has the same plug and kit."""
    lathe = SAW | {"name": "lathe", "at": "bench C"}
    found = sold(cheap=THIN)
    row = max(each.row for each in found.offers) + 1
    remnant = found.offers[0].model_validate(
        {"row": row, **offer(THICK, "store", "0.01", "piece of 30 ft", available=1)}
    )
    found = found.model_copy(update={"offers": [*found.offers, remnant]})
    cords: Row = {"slack": [0], "families": ["straight"], "spare_conductor": False, "service": ["hard"]}
    both = [machine | {"ways": {"only": ["cord"], "hard_wired": False}} for machine in (SAW, lathe)]
    shop = make_shop(both, cords=cords)
    parts = {row.part: row.read for row in bill_of_materials(Facts(shop, found), ranked(shop, found)[0])}
    for part in ("plug-6-20", "connector-6-20"):
        assert parts[part] == "read its clamp: 1 for saw must take a cord 10/3, 0.67 in across"
    assert parts["kit"].startswith(
        "read its size: 1 for saw must take a cord 10/3, 0.67 in across; 1 for lathe"
    )


@pytest.mark.parametrize(("kind", "narrow"), [("plug", "plug-6-20"), ("overhead kit", "kit")])
def test_a_part_of_a_narrow_clamp_is_left_for_one_that_holds(kind: str, narrow: str) -> None:
    """Two of a kind: the cheaper holds 0.50 at most, so that the dearer is bought for a cord of 0.60."""
    found = sold((kind, narrow, ("0.20", "0.50")), cheap=THIN)
    base = next(part for part in found.parts if part.id == narrow)
    stated = base.attributes | {"jacket_to_in": Decimal("0.75")}
    wide = base.model_copy(update={"id": "wide", "attributes": stated})
    row = max(each.row for each in found.offers) + 1
    dear = found.offers[0].model_validate({"row": row, **offer("wide", "store", 40)})
    both = found.model_copy(update={"parts": [*found.parts, wide], "offers": [*found.offers, dear]})
    _, parts = bought(both)
    assert ("wide" in parts, narrow in parts) == (True, False)


def with_wide(found: Catalog, narrow: str, price: int, clamp: Row) -> Catalog:
    """The catalog with another part beside a narrow one, `wide`, of this clamp."""
    base = next(part for part in found.parts if part.id == narrow)
    kept = {name: value for name, value in base.attributes.items() if not name.startswith("jacket")}
    wide = base.model_copy(update={"id": "wide", "attributes": kept | clamp})
    row = max(each.row for each in found.offers) + 1
    dear = found.offers[0].model_validate({"row": row, **offer("wide", "store", price)})
    return found.model_copy(update={"parts": [*found.parts, wide], "offers": [*found.offers, dear]})


@pytest.mark.parametrize(("kind", "narrow"), [("plug", "plug-6-20"), ("overhead kit", "kit")])
def test_a_stated_one_that_does_not_fit_is_no_offer_beside_one_of_unknown_size(
    kind: str, narrow: str
) -> None:
    """The cheaper holds 0.50 at most and the cord is 0.60: the dearer, which nobody measured, is bought and asked about."""
    found = with_wide(sold((kind, narrow, ("0.20", "0.50")), cheap=THIN), narrow, 40, {})
    _, parts = bought(found)
    assert ("wide" in parts, narrow in parts) == (True, False)


def test_a_thicker_cord_later_hangs_from_a_kit_of_its_own() -> None:
    """16 A today, 12/3 of 0.60 in: kit to 0.62; 24 A from year 1, 10/3 of 0.67 in: another, which holds from 0.63 in.

    Were it certain to grow, the thicker cord would be bought at once.
    """
    found = sold(("overhead kit", "kit", ("0.50", "0.62")), cheap=THIN)
    found = with_wide(found, "kit", 40, {"jacket_from_in": Decimal("0.63"), "jacket_to_in": Decimal("0.74")})
    events = [{"year": 1, "machine": "saw", "retool": {"volts": 240, "amps": 24}}]
    cords: Row = {"slack": [0], "families": ["straight"], "spare_conductor": False, "service": ["hard"]}
    saw = {name: value for name, value in SAW.items() if name != "plug"}
    saw["ways"] = {"only": ["cord"], "hard_wired": False}
    shop = make_shop(
        [saw],
        cords=cords,
        scenarios=[{"name": "grows", "weight": "0.1", "events": events}, {"name": "stays", "weight": "0.9"}],
    )
    plan = ranked(shop, found)[0]
    kits = {(line.year, line.amount_cents) for line in plan.lines if line.what == "overhead cord kit"}
    assert kits == {(0, 1500), (1, 4000)}
    cords_bought = {
        (line.year, line.what.split(",")[0]) for line in plan.lines if line.what.startswith("cord 1")
    }
    assert cords_bought >= {(0, f"cord {THIN}"), (1, f"cord {THICK}")}


@pytest.mark.parametrize(
    ("amps", "ways", "kind", "low", "high"),
    [
        # 12/3 SOOW is 0.60 in (20 A over two wires, Table 400.5(A)(1)); 8/3 SOOW is 0.81 in (36 A asks for 8 AWG, 40 A).
        (16, "cord", "overhead kit", "0.50", "0.62"),
        (36, "cord", "overhead kit", "0.75", "0.99"),
        (16, "ceiling outlet", "drop grip", "0.50", "0.62"),
        (36, "ceiling outlet", "drop grip", "0.75", "0.99"),
    ],
)
def test_the_demo_buys_a_mesh_of_the_size_of_its_cord(
    amps: int, ways: str, kind: str, low: str, high: str
) -> None:
    machine: Row = {"name": "saw", "at": "bench A", "volts": 240, "amps": amps, "load": "other"}
    facts = Facts(shop_of(machine), demo_catalog())
    way = Way(Method(ways), "panel", Family.STRAIGHT, service=Service.HARD)
    builder = Builder(facts, facts.shop.machines[0], way)
    begun = arrive(builder, first_standings(facts.shop)["saw"]).change.begun
    (need,) = [need for _, thing in begun for need in thing.bought.needs if need.spec.kind == kind]
    fits = {
        (str(part.attributes["jacket_from_in"]), str(part.attributes["jacket_to_in"]))
        for part in facts.parts_meeting(need.spec)
    }
    assert fits == {(low, high)}


def test_a_spec_that_a_part_may_leave_unsaid_but_not_pass() -> None:
    part = next(part for part in sold().parts if part.id == THICK)
    asked = make_spec("cord", {}, {"awg": "12"})
    assert asked.met_by(part)
    low, high = (Decimal("0.60"), Decimal("0.66"))
    ruled = replace(asked, if_stated=(("jacket_in", low),), most_if_stated=(("jacket_in", high),))
    unsaid = part.model_copy(
        update={"attributes": {k: v for k, v in part.attributes.items() if k != "jacket_in"}}
    )
    assert not ruled.met_by(part)
    assert ruled.met_by(unsaid)
    assert ruled.covers(asked)
    assert asked.covers(ruled)  # what nobody stated is not held against it
    assert "no jacket_in above 0.66" in ruled.describe()
    assert not replace(asked, most_if_stated=(("jacket_in", Decimal(1)),)).covers(ruled)


def test_half_a_range_is_asked_about_and_a_turned_one_is_a_mistake() -> None:
    def said(attributes: Row) -> list[str]:
        base = sold()
        parts = [
            part.model_copy(update={"attributes": part.attributes | attributes})
            if part.id == "plug-6-20"
            else part
            for part in base.parts
        ]
        pair: Any = SimpleNamespace(
            catalog=base.model_copy(update={"parts": parts}),
            shop=shop_of(),
            in_file=lambda _, code, *rest, **more: code,
        )
        found: list[Any] = list(grips_and_jackets_are_known(pair))
        return [code for code in found if code != "jacket-unknown"]

    assert said({"jacket_from_in": Decimal("0.3")}) == ["clamp-unknown"]
    assert said({"jacket_from_in": Decimal("0.3"), "jacket_to_in": Decimal("0.2")}) == ["grip-range"]
    assert said({"jacket_to_in": Decimal("0.2")}) == []
