"""Groups, quoted ways and rules in words; common practice, no source. All prices invented."""

import re
from collections.abc import Iterable
from dataclasses import replace

import pytest
from strategies import (
    DRILL,
    KINDS,
    MILL,
    SAW,
    WALL_ONLY,
    make_catalog,
    make_gear_shop,
    make_shop,
    ranked,
    with_gear,
)

from costplan.circuits.facts import Facts
from costplan.circuits.ways import Way
from costplan.ledger.plan import Plan
from costplan.model.choices import Method
from costplan.model.nameplate import Electrical
from costplan.program.ranked import Ranked
from costplan.reports.counted import several
from costplan.reports.sizes import NOT_THERE, sizes_text
from costplan.reports.words import (
    assumptions,
    difference,
    hour_factor_lines,
    machines_on_cords,
    nameplate,
    stands_at,
    title,
)

FACTS = Facts(make_shop([SAW, DRILL]), make_catalog())
WALL = Way(Method.WALL, "panel", None)
CORD = Way(Method.CORD, "panel", None)
QUOTED = Way(Method.CORD, "", None, quoted="cord reel by the dealer")


class Split(Plan):
    """A plan whose machines are many."""

    split: tuple[tuple[str, Way, int], ...] = ()

    def shares(self) -> list[tuple[str, Way, int]]:
        """The split that was given."""
        return sorted(self.split)


def split(*shares: tuple[str, Way, int]) -> Ranked:
    known = ranked(FACTS.shop, FACTS.catalog)[0]
    values = {name: getattr(known.plan, name) for name in known.plan.__dataclass_fields__}
    plan = Split(**values)
    object.__setattr__(plan, "split", shares)
    return replace(known, plan=plan)


def test_a_group_that_is_split_says_how_many_are_powered_which_way() -> None:
    plan = split(("saw", CORD, 7), ("saw", WALL, 5), ("drill", WALL, 1))
    assert title(FACTS, plan) == "cord: 7 of the 12 saws; wall drop, hard-wired: drill, 5 of the 12 saws"


def test_a_group_that_is_not_split_says_how_many_there_are() -> None:
    assert title(FACTS, split(("saw", CORD, 12), ("drill", WALL, 1))) == (
        "cord: 12 saws; wall drop, hard-wired: drill"
    )


def test_plans_differ_by_how_many_of_a_group_have_which_way() -> None:
    one, other = split(("saw", CORD, 7), ("saw", WALL, 5)), split(("saw", CORD, 12))
    assert difference(FACTS, one, other) == (
        "7 of the 12 saws by cord from panel, 5 of the 12 saws by wall drop, hard-wired from panel"
    )
    assert difference(FACTS, one, one) == "the same ways"


def test_a_quoted_way_goes_by_its_name_and_needs_no_panel() -> None:
    plan = split(("saw", QUOTED, 12))
    assert title(FACTS, plan) == "cord reel by the dealer: 12 saws"
    assert QUOTED.describe() == "cord reel by the dealer"
    assert machines_on_cords(plan.plan) == 12


def test_the_rules_of_visits_and_resale_are_named() -> None:
    assert "hired moves of a year in one visit" in assumptions(FACTS)
    assert assumptions(FACTS).endswith("resale at the end: a share of the price paid")
    each = Facts(make_shop([SAW], hired_visits="each move"), make_catalog())
    assert "each hired move a visit of its own" in assumptions(each)


def _lines(kinds: Iterable[dict[str, object]]) -> str:
    return assumptions(Facts(make_shop([SAW]), make_catalog(kinds=list(kinds))))


def test_a_share_that_falls_over_the_life_is_named_for_all_or_for_some() -> None:
    falling = {"resale_rule": "straight line over life"}
    assert _lines(kind | falling for kind in KINDS).endswith(
        "a share of the price paid that falls over its life"
    )
    some = (kind | (falling if kind["kind"] == "cord" else {}) for kind in KINDS)
    assert _lines(some).endswith("for some parts one that falls over their life")


def test_slow_places_are_named_where_they_count() -> None:
    places = [{"name": "bench A", "hour_factors": ["brick"]}, {"name": "bench B"}]
    facts = Facts(make_shop([SAW], places=places, hour_factors={"brick": "1.5", "unused": 2}), make_catalog())
    assert hour_factor_lines(facts) == ["hours count x 1.5: brick (bench A)"]
    high = {"high": {"factor": 2, "ceiling_above": 10}}
    facts = Facts(make_shop([SAW], hour_factors=high, building={"ceiling_height": 12}), make_catalog())
    under = "under the ceiling of 12 ft, where no place or route says otherwise"
    assert hour_factor_lines(facts) == [f"hours count x 2: high ({under})"]


def test_a_machine_with_a_route_of_its_own_stands_so_far_from_the_panel() -> None:
    (machine,) = make_shop(
        [{"name": "saw", "volts": 240, "amps": 16, "route": {"fixed": 30, "cord": 25}}]
    ).machines
    assert stands_at(machine) == "fixed 30 ft, cord 25 ft from each panel"


def test_a_machine_without_a_nameplate_is_not_sized() -> None:
    facts = Facts(make_shop([{"name": "bench", "at": "bench A"}]), make_catalog())
    assert "nothing to size" in sizes_text(facts, None)


def test_a_machine_with_a_route_of_its_own_is_sized_by_its_lengths() -> None:
    machine = {"name": "saw", "volts": 240, "amps": 16, "count": 3, "route": {"fixed": 30, "cord": 25}}
    text = sizes_text(Facts(make_shop([machine]), make_catalog()), None)
    assert text.startswith("3 x saw\n")
    assert re.search(r"wall drop +panel +straight-blade +30\.0 ft ", text)
    assert "cord 30 ft of 12 AWG" in text


FEEDING = {"system": "120/240 single-phase", "breakers": "family A", "spaces_free": 12}
ROUTES = [{"from": "panel", "to": "bench A", "fixed": 30, "cord": 25}]


def test_a_machine_is_sized_from_the_panel_that_has_a_route_to_it() -> None:
    """The delta panel feeds it too, and comes first by name, but nobody measured a way from there."""
    machine = {"name": "saw", "at": "bench A", "volts": 240, "amps": 16, "count": 3}
    panels = [{**FEEDING, "name": "a delta", "system": "240 three-phase"}, {**FEEDING, "name": "panel"}]
    facts = Facts(make_shop([machine], panels=panels, routes=ROUTES), make_catalog())
    text = sizes_text(facts, "saw")
    assert re.search(r"wall drop +panel +straight-blade +30\.0 ft ", text)
    assert "a delta" not in text


def test_a_machine_is_sized_from_the_nearest_of_two_panels() -> None:
    machine = {"name": "saw", "at": "bench A", "volts": 240, "amps": 16}
    panels = [{**FEEDING, "name": "a far one"}, {**FEEDING, "name": "panel"}]
    routes = [*ROUTES, {"from": "a far one", "to": "bench A", "fixed": 90, "cord": 80}]
    text = sizes_text(Facts(make_shop([machine], panels=panels, routes=routes), make_catalog()), "saw")
    assert re.search(r"wall drop +panel +straight-blade +30\.0 ft ", text)
    assert "a far one" not in text


def test_the_cheapest_alone_is_of_panels_that_are_there() -> None:
    """The saw at bench C is 4 ft from a subpanel to be bought there and 60 ft from the panel."""
    saw = SAW | {"at": "bench C"} | WALL_ONLY
    catalog = make_catalog(**with_gear())
    told = sizes_text(Facts(make_gear_shop([saw], ("subpanel",)), catalog), "saw")
    assert "wall drop, from panel, straight-blade plugs" in told
    assert "the cheapest alone, and why" in told
    assert f"also from subpanel, {NOT_THERE}" in told
    there = make_gear_shop([saw], ("subpanel",), gear_changes={"subpanel": {"installed": True}})
    told = sizes_text(Facts(there, catalog), "saw")
    assert "wall drop, from subpanel, straight-blade plugs" in told
    assert "not there" not in told


def test_a_machine_that_only_gear_feeds_is_told_that_its_price_is_left_out() -> None:
    mill = MILL | {
        "ways": {"only": ["wall drop"], "forbid_supply": {"drive": "no", "single-phase motor": "no"}}
    }
    told = sizes_text(Facts(make_gear_shop([mill], ("converter",)), make_catalog(**with_gear())), "mill")
    assert f"the cheapest alone, if there were converter, {NOT_THERE}; why it is sized so:" in told


def test_ways_that_are_not_allowed_are_not_told_as_if_they_were() -> None:
    ways = {"forbid": {"wall drop": "too hot", "cord": "too hot"}, "hard_wired": False}
    machine = {"name": "saw", "at": "bench A", "volts": 240, "amps": 16, "ways": ways}
    text = sizes_text(Facts(make_shop([machine]), make_catalog()), "saw")
    assert "not allowed (too hot): cord, straight-blade plugs; wall drop, straight-blade plugs" in text
    assert "2-pole" not in text


def test_a_three_phase_machine_whose_panel_has_no_route_is_sized_with_a_drive_or_told_so() -> None:
    machine = {"name": "planer", "at": "bench A", "volts": 240, "phases": 3, "hp": 5}
    panels = [{**FEEDING, "name": "delta", "system": "240 three-phase"}, {**FEEDING, "name": "panel"}]
    text = sizes_text(Facts(make_shop([machine], panels=panels, routes=ROUTES), make_catalog()), "planer")
    told = " ".join(text.split())
    assert re.search(r'wall drop, straight-blade plugs[^:]*: no route from panel "delta" to "bench A"', told)


def test_every_way_is_shown_at_each_of_a_plate_s_volts_in_short_lines() -> None:
    """1 hp, 115/230 V: 16 A at 120 V and 8 A at 240 V (Table 430.248); each kind of way has a line of its own at both."""
    ways = {"only": ["wall drop", "cord"], "hard_wired": False}
    machine = {"name": "saw", "at": "bench A", "volts": "115/230", "amps": "16/8", "hp": 1, "ways": ways}
    text = sizes_text(Facts(make_shop([machine]), make_catalog()), "saw")
    rows = [line.split("  ")[2].strip() for line in text.splitlines() if re.search(r"\d-pole {2,}", line)]
    best = re.search(r"^  ([^:]*?), from panel", text, re.M)
    assert best is not None
    shown = {*rows, best.group(1)}
    assert shown == {f"{way}, at {volts} V" for way in ("wall drop", "cord") for volts in (120, 240)}
    assert len(rows) == 3
    assert max(len(line) for line in text.splitlines() if "-pole " in line and "from panel" not in line) < 150


def test_a_group_is_sized_by_the_name_that_was_written_for_it() -> None:
    machine = {"name": "saw", "at": "bench A", "volts": 240, "amps": 16, "count": 3}
    moved = {
        "name": "moved",
        "weight": 1,
        "events": [{"year": 1, "machine": "saw", "how_many": 2, "new_spot": True}],
    }
    facts = Facts(make_shop([machine, SAW | {"name": "other"}], scenarios=[moved]), make_catalog())
    text = sizes_text(facts, "saw")
    assert "2 x saw 1-2\n" in text
    assert "saw 3\n" in text
    assert "other\n" not in text


@pytest.mark.parametrize(
    ("name", "count", "of", "words"),
    [
        ("lathe", 1, 4, "one of the 4 lathes"),
        ("lathes", 7, 12, "7 of the 12 lathes"),
        ("drill press", 2, 2, "2 drill presses"),
        ("battery", 2, 3, "2 of the 3 batteries"),
        ("lathe at 30 ft", 2, 2, "2 lathe at 30 ft"),
        ("saw", 1, 1, "saw"),
    ],
)
def test_members_of_a_group_are_told_in_plain_words(name: str, count: int, of: int, words: str) -> None:
    """English plurals; of a name with figures, or in the plural already, nothing is made."""
    assert several(name, count, of) == words


@pytest.mark.parametrize(
    ("volts", "amps", "words"),
    [("208/240", "26/23", "208/240 V 1-phase 26/23 A"), ("240", "12.8", "240 V 1-phase 12.8 A")],
)
def test_a_plate_of_several_volts_has_its_amperes_at_each(volts: str, amps: str, words: str) -> None:
    assert nameplate(Electrical(volts=volts, amps=amps)) == words  # type: ignore[call-arg]
