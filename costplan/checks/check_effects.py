"""Rules over figures that count for nothing where they stand: each is asked about, so that none is silent."""

from collections import Counter
from collections.abc import Iterator, Sequence
from decimal import Decimal

from costplan.circuits.clamps import KIT_RECIPE
from costplan.files.problems import Problem
from costplan.files.yaml_reader import Trail
from costplan.model.catalog import (
    BESIDE_BY_CABLE,
    BESIDE_IN_CONDUIT,
    HARD_WIRED_LEAD,
    HEATER_LEAD,
    MACHINE_LEAD,
    MACHINE_SWITCH,
    MOVED_DROP_RECIPES,
    PIGTAILS,
    Kind,
    Part,
    Quote,
    Recipe,
)
from costplan.model.choices import Supply
from costplan.model.gear import PANELS, SERVICE, Gear, GearKind
from costplan.model.labor import Role
from costplan.model.pair import NO_EFFECT, Pair, Rule
from costplan.model.quoted import only_quoted, quotes_only
from costplan.model.shop import Machine

_GEAR_WORDS: dict[str, tuple[GearKind, ...]] = {
    "part": (GearKind.CONVERTER, GearKind.MANAGER),
    "panel_part": PANELS,
    "fed_from": (GearKind.SUBPANEL, GearKind.CONVERTER),
    "at": PANELS,
    "system": (GearKind.UTILITY, GearKind.SUBPANEL),
    "amps_a": (GearKind.UTILITY, GearKind.MAIN),
    "to_a": (GearKind.UPGRADE,),
    "panel": (GearKind.TANDEM,),
    "at_most": (GearKind.TANDEM,),
    "machines": (GearKind.MANAGER,),
    "holds_to_a": (GearKind.MANAGER,),
    "life_years": (GearKind.CONVERTER,),
    "hours_per_year": (GearKind.CONVERTER,),
    "breaker_a": (GearKind.CONVERTER,),
}
"""Words of gear that belong to some kinds only."""
_LASTING_KINDS = frozenset({"panel", "load manager", "tandem breaker", "service equipment"})
"""Kinds of gear parts that are never replaced."""
_RUNS = frozenset(
    {
        "wall drop",
        "conduit drop",
        "armored drop",
        "ceiling outlet",
        "outlet beside panel",
        BESIDE_IN_CONDUIT,
        BESIDE_BY_CABLE,
    }
)
_WITH_EXTRA = _RUNS | {"feeder", "cord set", HARD_WIRED_LEAD, HEATER_LEAD, MACHINE_LEAD}
_WITH_WASTE = _RUNS | {"feeder"}
_OF_A_CIRCUIT = frozenset(
    {
        *_RUNS,
        "feeder",
        "take out",
        *MOVED_DROP_RECIPES,
        "receptacle",
        "change receptacle",
        "disconnect",
        MACHINE_SWITCH,
        HARD_WIRED_LEAD,
        HEATER_LEAD,
        MACHINE_LEAD,
        PIGTAILS,
        "breaker",
        "ground-fault breaker",
        "change breaker",
        "machine plug",
        "cord set",
        "cord end",
        "make safe",
    }
)
"""Recipes whose work is told of the circuit that it is for, its wires among it."""
_BY_THE_FOOT = _RUNS | {"feeder", "take out", *MOVED_DROP_RECIPES, *KIT_RECIPE.values()}
_FOR_THE_SHOP = frozenset(
    {
        "feeder",
        "subpanel",
        "phase converter",
        "utility three-phase",
        "service upgrade",
        "load manager",
        "tandem breaker",
        "main disconnect",
    }
)
"""Recipes of work that is no machine's."""


# gear, service, panels --------------------------------------------------------------------------------


def gear_says_what_its_kind_uses(pair: Pair) -> Iterator[Problem]:
    """Gear says nothing that belongs to another kind of gear."""
    for index, gear in enumerate(pair.shop.gear):
        for word, kinds in _GEAR_WORDS.items():
            if word in gear.model_fields_set and getattr(gear, word) is not None and gear.kind not in kinds:
                alias = Gear.model_fields[word].alias or word
                message = f"does not belong to a {gear.kind}"
                mend = f"delete it, or change kind:; it belongs to {', '.join(kinds)}"
                yield pair.in_shop("gear-other-kind", ("gear", index, alias), message, mend, key=True)


def installed_gear_is_paid_for(pair: Pair) -> Iterator[Problem]:
    """Questions about what gear would cost that is there already."""
    for index, gear in enumerate(pair.shop.gear):
        for word, value in (("quote", gear.quote_cents), ("fees", gear.fees)):
            if gear.installed and value:
                message = f'is said, but "{gear.name}" is there already, so it costs nothing to have'
                where: Trail = ("gear", index, word)
                yield pair.in_shop("gear-installed-cost", where, message, NO_EFFECT, question=True, key=True)


def gear_parts_last(pair: Pair) -> Iterator[Problem]:
    """Questions about lives of parts that are never replaced."""
    lists: tuple[tuple[str, str, Sequence[Kind | Part]], ...] = (
        ("kinds.yaml", "kinds", pair.catalog.kinds),
        ("parts.yaml", "parts", pair.catalog.parts),
    )
    for file, name, entries in lists:
        for index, entry in enumerate(entries):
            if entry.kind in _LASTING_KINDS and entry.life_years is not None:
                message = f"is said of a {entry.kind}, which is never replaced"
                where: Trail = (name, index, "life")
                yield pair.in_file(file, "life-no-effect", where, message, NO_EFFECT, question=True)


def peaks_are_used(pair: Pair) -> Iterator[Problem]:
    """Whether a machine is in the measured peak is said of machines of today, where a peak was measured, and of each."""
    service = pair.shop.service
    measured = service is not None and service.measured_peak is not None
    if service is not None and measured and service.other_load_a:
        message = "is said, but a peak was measured, which holds it"
        yield pair.in_shop(
            "other-load-measured", ("service", "other_load"), message, NO_EFFECT, question=True
        )
    for trail, machine in pair.machines():
        where = (*trail, "in_measured_peak")
        if measured and machine.now is not None and "in_measured_peak" not in machine.model_fields_set:
            message = f'is not said of "{machine.name}", which has a circuit today: it counts on top of the measured peak'
            mend = "was it in use while the peak was recorded? Then write true, else false"
            yield pair.in_shop("measured-peak-unsaid", where, message, mend, question=True)
        if not machine.in_measured_peak:
            continue
        if trail[0] == "next_machines" or machine.arrives > 0:
            message = "is said of a machine that is not there yet, so no peak measured before can hold it"
            yield pair.in_shop("measured-peak-later", where, message, "delete it")
        elif not measured:
            message = "is said, but the service has no measured_peak"
            mend = "it has no effect; write the peak that was measured, or delete it"
            yield pair.in_shop("measured-peak-missing", where, message, mend, question=True)


# machines ---------------------------------------------------------------------------------------------


def next_machines_have_no_circuit(pair: Pair) -> Iterator[Problem]:
    """A machine that is not bought yet is not powered yet."""
    for index, machine in enumerate(pair.shop.next_machines):
        if machine.now is not None:
            message = "is said of a machine that you do not have yet"
            mend = "delete it; an outlet that is there already belongs under installed:"
            yield pair.in_shop("next-machine-now", ("next_machines", index, "now"), message, mend, key=True)


def turns_are_taken_by_several(pair: Pair) -> Iterator[Problem]:
    """Questions about machines that take turns with no other."""
    counts: Counter[str] = Counter()
    for _, machine in pair.machines():
        counts[machine.takes_turns or ""] += machine.count
    for trail, machine in pair.machines():
        if machine.takes_turns is not None and counts[machine.takes_turns] == 1:
            message = f'is "{machine.takes_turns}", which no other machine says'
            mend = "it has no effect; write the same word for the other one, or delete it"
            yield pair.in_shop("takes-turns-alone", (*trail, "takes_turns"), message, mend, question=True)


def old_motors_are_replaced(pair: Pair) -> Iterator[Problem]:
    """Questions about the worth of a motor that nothing ever replaces."""
    three_phase = pair.later_three_phase()
    for trail, machine in pair.machines():
        swapped = machine.motor and (machine.phases == 3 or machine.name in three_phase)
        if machine.old_motor_worth_cents and not (swapped and Supply.MOTOR not in machine.ways.forbid_supply):
            message = "is said, but no other motor can come in its place"
            where = (*trail, "old_motor_worth")
            yield pair.in_shop("old-motor-stays", where, message, NO_EFFECT, question=True)


def quoted_machines_need_no_words(pair: Pair) -> Iterator[Problem]:
    """Questions about words that count for ways from the catalog, of machines and shops that have quotes only."""
    shop = pair.shop
    for trail, machine in pair.machines():
        if only_quoted(shop, machine):
            for word in _catalog_words(machine):
                message = f'is said, but "{machine.name}" has quoted ways only'
                where: Trail = (*trail, *word)
                yield pair.in_shop("quoted-no-effect", where, message, NO_EFFECT, question=True, key=True)
    if quotes_only(shop):
        for name in ("cords", "recipes", "owner_does", "installed", "hour_factors"):
            if name in shop.model_fields_set and getattr(shop, name) not in (None, [], {}):
                message = "is said, but all machines have quoted ways only"
                yield pair.in_shop("quoted-no-effect", (name,), message, NO_EFFECT, question=True, key=True)


def _catalog_words(machine: Machine) -> Iterator[tuple[str, ...]]:
    said = {
        "own_cord": "own_cord_said_ft" in machine.model_fields_set,
        "neutral": machine.neutral,
        "continuous": machine.continuous is not None,
        "breaker": machine.breaker_a is not None,
        "load": not machine.motor,
        "takes_turns": machine.takes_turns is not None,
        "cord": machine.cord is not None,
        "least_heat": machine.least_heat is not None,
        **dict(machine.of_motors),
        "other_load": machine.other_load_a,
        "control_transformer": machine.control_transformer,
        "starts_by_itself": machine.starts_by_itself is not None,
        "unattended": machine.unattended is not None,
        "power_needed": machine.power_needed != 1,
    }
    yield from ((word,) for word, is_said in said.items() if is_said)
    if machine.ways.hard_wired is not None:
        yield "ways", "hard_wired"
    if machine.ways.fused:
        yield "ways", "fused"
    if machine.ways.forbid_supply:
        yield "ways", "forbid_supply"


# money, code, places ----------------------------------------------------------------------------------


def electricity_is_used(pair: Pair) -> Iterator[Problem]:
    """Questions about hours without a price of electricity, and about a price or its growth without hours."""
    shop = pair.shop
    price = shop.money.electricity_cents_per_kwh
    hours: list[tuple[Trail, Decimal]] = [
        ((*trail, "full_load_hours"), machine.full_load_hours)
        for trail, machine in pair.machines()
        if not only_quoted(shop, machine)
    ]
    hours += [
        (("gear", index, "hours_per_year"), gear.hours_per_year or Decimal(0))
        for index, gear in enumerate(shop.gear)
    ]
    said = [where for where, count in hours if count]
    if not price and "electricity_cents_per_kwh" not in shop.money.model_fields_set:
        for where in said:
            message = "is said, but there is no price of electricity"
            mend = "it has no effect; write electricity_per_kwh: under money:, or delete it"
            yield pair.in_shop("electricity-no-price", where, message, mend, question=True)
    if price and not said:
        message = "is said, but no machine or gear has hours a year"
        mend = "it has no effect; write full_load_hours: for the machines, or delete it"
        where = ("money", "electricity_per_kwh")
        yield pair.in_shop("electricity-price-alone", where, message, mend, question=True)
    if shop.money.growth.electricity and not (price and said):
        what = "no hours a year of any machine or gear" if price else "no price of electricity"
        where = ("money", "growth", "electricity")
        message = f"is said, but there is {what}"
        yield pair.in_shop("electricity-growth-alone", where, message, NO_EFFECT, question=True)


def kinds_are_not_new_anyway(pair: Pair) -> Iterator[Problem]:
    """Questions about kinds that must be new by the shop file although the catalog says so already."""
    kinds = pair.kinds()
    for index, name in enumerate(pair.shop.must_be_new):
        if name in kinds and kinds[name].must_be_new:
            message = f'names "{name}", which the catalog says must be new already'
            where: Trail = ("must_be_new", index)
            yield pair.in_shop("must-be-new-already", where, message, NO_EFFECT, question=True)


def slow_places_are_worked_at(pair: Pair) -> Iterator[Problem]:
    """Questions about what makes work slower where nobody works."""
    shop = pair.shop
    panels = {panel.name for panel in shop.panels} | {gear.name for gear in shop.gear if gear.brings_panel}
    busy = worked_at(pair)
    for index, spot in enumerate(shop.places):
        if spot.hour_factors and spot.name not in busy:
            message = f'is said of "{spot.name}", where no machine stands or comes to and no panel hangs'
            where: Trail = ("places", index, "hour_factors")
            yield pair.in_shop("hour-factor-no-work", where, message, NO_EFFECT, question=True, key=True)
    for index, route in enumerate(shop.routes):
        if route.hour_factors and not (route.start in panels and route.end in busy):
            what = (
                "between two places"
                if route.start not in panels
                else "to where no machine stands or comes to"
            )
            message = f"is said of a way {what}, along which nothing is worked"
            where = ("routes", index, "hour_factors")
            yield pair.in_shop("hour-factor-no-work", where, message, NO_EFFECT, question=True, key=True)


def worked_at(pair: Pair) -> set[str]:
    """Every place where a machine stands or may come to, a panel hangs, or an outlet is."""
    shop = pair.shop
    found = {machine.at for _, machine in pair.machines()}
    found |= {machine.now.place or "" for _, machine in pair.machines() if machine.now is not None}
    found |= {panel.place or "" for panel in shop.panels}
    found |= {gear.at or "" for gear in shop.gear} | {outlet.place for outlet in shop.installed}
    for scenario in shop.scenarios:
        found |= {event.move or event.arrives or "" for event in scenario.events}
        if scenario.rearranged is not None:
            found |= set(scenario.rearranged.among)
    for layout in shop.layouts:
        found |= {*layout.at.values(), *(machine.at for machine in layout.brought)}
    return found


def coordinates_measure_something(pair: Pair) -> Iterator[Problem]:
    """Questions about coordinates from which no length is ever taken, since all are measured or nothing is to measure."""
    shop = pair.shop
    at = {spot.name for spot in shop.places if spot.at_ft is not None}
    measured = {(r.start, r.end) for r in shop.routes if r.fixed_ft is not None or r.cord_ft is not None}
    hang = [(panel.name, panel.place) for panel in shop.panels]
    hang += [(gear.name, gear.at) for gear in shop.gear if gear.brings_panel]
    used: set[str] = set()
    for panel, place in hang:
        if place in at:
            reached = {name for name in at if (panel, name) not in measured}
            used |= reached | ({place} if reached else set())
    for gear in shop.gear:
        feeder = (gear.fed_from or SERVICE, gear.at or "")
        if gear.brings_panel and feeder not in measured and gear.at in at:
            used |= {gear.at or "", *(place for panel, place in hang if panel == gear.fed_from and place)}
    for one in at:
        for other in at - {one}:
            if (one, other) not in measured and (other, one) not in measured:
                used |= {one, other}
    for index, spot in enumerate(shop.places):
        if spot.name in at - used:
            message = "is said, but every length from here is measured, or there is nowhere to measure to"
            mend = "it has no effect; give other places coordinates too, or delete it"
            yield pair.in_shop("place-at-unused", ("places", index, "at"), message, mend, question=True)


# the catalog ------------------------------------------------------------------------------------------


def recipes_use_their_figures(pair: Pair) -> Iterator[Problem]:
    """Questions about figures of recipes that their work does not ask for."""
    for complain, trail, name, recipe in pair.recipes():
        for word, message in _unused(name, recipe):
            where: Trail = (*trail, *word)
            yield complain("recipe-no-effect", where, message, NO_EFFECT, question=True)
        if trail[0] in ("machines", "next_machines") and name in _FOR_THE_SHOP:
            message = "is work on shared gear, which is no machine's"
            mend = "it has no effect; move it to recipes: of the shop"
            yield complain("recipe-not-machines", trail, message, mend, question=True)


def _unused(name: str, recipe: Recipe) -> Iterator[tuple[tuple[str | int, ...], str]]:
    if recipe.extra_ft and name not in _WITH_EXTRA:
        yield ("extra",), f"is said, but {name} has no length"
    if recipe.waste and name not in _WITH_WASTE:
        yield ("waste",), f"is said, but none is counted for {name}"
    if recipe.quote is not None:
        for word, entries in (
            ("parts", recipe.parts),
            ("tasks", recipe.tasks),
            ("charges", recipe.charges),
        ):
            if entries:
                yield (word,), "is said beside a quote, which takes its place"
    if name not in _BY_THE_FOOT:
        yield from _by_the_foot(name, recipe)
    if name not in _OF_A_CIRCUIT:
        for index, part in enumerate(recipe.parts):
            if part.per == "wire":
                yield ("parts", index, "per"), f"is wire, but {name} is not told how many, so none is taken"


def _by_the_foot(name: str, recipe: Recipe) -> Iterator[tuple[tuple[str | int, ...], str]]:
    """What a recipe without a length counts by the foot."""
    for python_word, value in recipe.quote or ():
        if python_word in ("per_ft_cents", "hours_per_ft", "own_hours_per_ft") and value:
            word = Quote.model_fields[python_word].alias or python_word
            yield ("quote", word), f"is said, but {name} has no length"
    for index, part in enumerate(recipe.parts):
        if part.per == "ft":
            yield ("parts", index, "per"), f"is ft, but {name} has no length, so none is taken"
    for index, task in enumerate(recipe.tasks):
        if task.per == "ft":
            yield ("tasks", index, "per"), f"is ft, but {name} has no length, so none is done"
    for index, charge in enumerate(recipe.charges):
        if charge.per == "ft":
            yield ("charges", index, "per"), f"is ft, but {name} has no length, so none is paid"


def own_permits_have_a_price(pair: Pair) -> Iterator[Problem]:
    """Questions about permits for the owner's own work whose price nobody wrote down."""
    owner = next((crew for crew in pair.crews().values() if crew.role is Role.OWNER), None)
    if owner is None or "permit_cents" in owner.model_fields_set:
        return
    mend = f"write permit: for the crew {owner.name}; until then his permits cost nothing"
    message = f"needs a permit for work that {owner.name} does, who has no price for one"
    for index, task in enumerate(pair.catalog.tasks):
        if task.permit and task.who == [Role.OWNER]:
            where: Trail = ("tasks", index, "permit")
            yield pair.in_file("labor.yaml", "own-permit-price", where, message, mend, question=True)
    steps = [
        (("quoted_ways", index, word), phase)
        for index, way in enumerate(pair.shop.quoted_ways)
        for word, phase in (("put_in", way.put_in), ("move", way.move), ("renew", way.renew))
    ]
    steps += [(("gear", index, "overhaul"), gear.overhaul) for index, gear in enumerate(pair.shop.gear)]
    for trail, phase in steps:
        if phase is not None and phase.permit and max(phase.own_hours) and not max(phase.hours):
            yield pair.in_shop("own-permit-price", (*trail, "permit"), message, mend, question=True)


RULES: tuple[Rule, ...] = (
    gear_says_what_its_kind_uses,
    installed_gear_is_paid_for,
    gear_parts_last,
    peaks_are_used,
    next_machines_have_no_circuit,
    turns_are_taken_by_several,
    old_motors_are_replaced,
    quoted_machines_need_no_words,
    electricity_is_used,
    kinds_are_not_new_anyway,
    slow_places_are_worked_at,
    coordinates_measure_something,
    recipes_use_their_figures,
    own_permits_have_a_price,
)
