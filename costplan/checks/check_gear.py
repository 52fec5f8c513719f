"""Rules over shared gear and the service: ratings that fit, feeds that lead somewhere, limits that hold."""

from collections.abc import Iterator
from decimal import Decimal

from costplan.files.problems import Problem
from costplan.files.yaml_reader import Trail
from costplan.model import converters
from costplan.model.brought import panels_of, rating_of
from costplan.model.catalog import Part
from costplan.model.choices import Supply
from costplan.model.gear import SERVICE, Gear, GearKind
from costplan.model.nameplate import Electrical
from costplan.model.pair import Pair, Rule, plain, unknown
from costplan.model.quoted import only_quoted
from costplan.model.routes import add_routes, only_feeds, reaches_nothing
from costplan.model.shop import Machine
from costplan.model.spelled_out import placed
from costplan.model.system import LINE_VOLTS, System, feeds, phases
from costplan.standards import motors

FROM_SHELF = ("cord", "plug", "connector", "receptacle", "disconnect", "breaker", "drive", "motor")
HUNG_BY = ("overhead cord", "pendant")

_PART_ATTRIBUTES: dict[str, tuple[str, ...]] = {
    "phase converter": ("volts", "largest_motor_hp", "output_a", "input_a", "idle_w", "efficiency"),
    "panel": ("family", "phases", "rating_a", "spaces", "volts"),
    "load manager": ("rating_a",),
}
_RECIPES: dict[GearKind, tuple[str, ...]] = {
    GearKind.SUBPANEL: ("feeder", "subpanel"),
    GearKind.CONVERTER: ("feeder", "phase converter"),
    GearKind.UTILITY: ("utility three-phase",),
    GearKind.UPGRADE: ("service upgrade",),
    GearKind.MANAGER: ("load manager",),
    GearKind.TANDEM: ("tandem breaker",),
    GearKind.MAIN: ("main disconnect",),
}


def gear_has_its_own_name(pair: Pair) -> Iterator[Problem]:
    """Gear that brings a panel shares its name with no panel, place or other gear."""
    taken = {panel.name: "a panel" for panel in pair.shop.panels}
    taken |= {spot.name: "a place" for spot in pair.shop.places} | {SERVICE: "the service"}
    for index, gear in enumerate(pair.shop.gear):
        if gear.name in taken:
            message = f'is "{gear.name}", which is the name of {taken[gear.name]}'
            yield pair.in_shop("gear-repeated", ("gear", index, "name"), message, "give it another name")
        taken.setdefault(gear.name, "other gear")


def gear_parts_are_known(pair: Pair) -> Iterator[Problem]:
    """The parts that gear names are in the catalog, of the right kind, with their ratings."""
    parts = pair.parts()
    for index, gear in enumerate(pair.shop.gear):
        kind = "load manager" if gear.kind is GearKind.MANAGER else "phase converter"
        for word, asked in (("part", kind), ("panel_part", "panel")):
            name = getattr(gear, word)
            if name is None:
                continue
            trail: Trail = ("gear", index, word)
            if name not in parts:
                of_kind = [part.id for part in parts.values() if part.kind == asked]
                yield pair.in_shop("gear-part", trail, *unknown("part", name, of_kind or parts))
            else:
                yield from _rated(pair, trail, parts[name], asked)


def _rated(pair: Pair, trail: Trail, part: Part, asked: str) -> Iterator[Problem]:
    if part.kind != asked:
        message = f'is "{part.id}", which is a {part.kind}, not a {asked}'
        yield pair.in_shop("gear-part-kind", trail, message, f"name a part of kind {asked}")
        return
    missing = [name for name in _PART_ATTRIBUTES[asked] if name not in part.attributes]
    odd = [
        f"{name} {part.attributes[name]}"
        for name in _PART_ATTRIBUTES[asked]
        if isinstance(part.attributes.get(name), Decimal)
        and rating_of(part, name) is None
        and (name, part.attributes[name]) != ("idle_w", 0)
    ]
    if missing:
        message = f'is "{part.id}", which lacks {", ".join(missing)} in parts.yaml'
        yield pair.in_shop("gear-part-rating", trail, message, "add them from its nameplate")
    if odd:
        message = f'is "{part.id}", which says {", ".join(odd)} in parts.yaml'
        yield pair.in_shop("gear-part-rating", trail, message, "write numbers above 0, from its nameplate")
    share = rating_of(part, "efficiency")
    if share is not None and share > 1:
        message = f'is "{part.id}", whose efficiency of {plain(share)} is above 1'
        yield pair.in_shop("gear-part-rating", trail, message, "write a share: 0.9")


def panels_are_rated_for_their_volts(pair: Pair) -> Iterator[Problem]:
    """The panel that gear brings is rated for the volts between its lines."""
    parts, panels = pair.parts(), panels_of(pair.shop, pair.catalog.parts)
    for index, gear in enumerate(pair.shop.gear):
        rated = rating_of(parts.get(gear.panel_part or ""), "volts")
        asked = LINE_VOLTS[panels[gear.name].system] if gear.name in panels else 0
        if rated is not None and rated < asked:
            message = f'is "{gear.panel_part}", rated {plain(rated)} V, and it has {asked} V between lines'
            trail: Trail = ("gear", index, "panel_part")
            yield pair.in_shop("gear-panel-volts", trail, message, f"name a panel of {asked} V or more")


def gear_recipes_are_known(pair: Pair) -> Iterator[Problem]:
    """Work that gear takes has a recipe, unless it is quoted."""
    known = {*pair.catalog.recipes, *pair.shop.recipes}
    for index, gear in enumerate(pair.shop.gear):
        for name in _RECIPES[gear.kind]:
            if name not in known and gear.quote_cents is None and not gear.installed:
                message = f'is "{gear.kind}", but there is no recipe "{name}"'
                mend = f'add "{name}" to recipes.yaml, or write a quote: for this gear'
                yield pair.in_shop("gear-recipe", ("gear", index, "kind"), message, mend)


def gear_is_somewhere(pair: Pair) -> Iterator[Problem]:
    """Gear names known places, panels and machines."""
    shop = pair.shop
    places = pair.places()
    panels = pair.panels()
    machines = {machine.name for machine in shop.machines} | {entry.name for entry in shop.next_machines}
    for index, gear in enumerate(shop.gear):
        trail: Trail = ("gear", index)
        if gear.at is not None and gear.at not in places:
            yield pair.in_shop("gear-at", (*trail, "at"), *unknown("place", gear.at, places))
        if gear.fed_from is not None and gear.fed_from not in {*panels, SERVICE}:
            message, mend = unknown("panel", gear.fed_from, {*panels, SERVICE})
            yield pair.in_shop("gear-fed-from", (*trail, "fed_from"), message, mend)
        if gear.panel is not None and gear.panel not in panels:
            yield pair.in_shop("gear-panel", (*trail, "panel"), *unknown("panel", gear.panel, panels))
        for position, name in enumerate(gear.machines or ()):
            if name not in machines:
                where = (*trail, "machines", position)
                yield pair.in_shop("gear-machine", where, *unknown("machine", name, machines))


def feeds_are_known(pair: Pair) -> Iterator[Problem]:
    """Panels are fed from known panels, and machines that run at once are known."""
    shop = pair.shop
    panels = pair.panels()
    machines = {machine.name for machine in shop.machines} | {entry.name for entry in shop.next_machines}
    for number, names in enumerate(shop.service.at_once if shop.service else ()):
        for position, name in enumerate(names):
            if name not in machines:
                where: Trail = ("service", "at_once", number, position)
                yield pair.in_shop("at-once-machine", where, *unknown("machine", name, machines))
    candidates = {gear.name for gear in shop.gear if not gear.installed}
    for index, panel in enumerate(shop.panels):
        trail: Trail = ("panels", index, "fed_from")
        if panel.fed_from is not None and panel.fed_from not in panels:
            yield pair.in_shop("panel-fed-from", trail, *unknown("panel", panel.fed_from, panels))
        elif panel.fed_from in candidates:
            message = f'is "{panel.fed_from}", which is not there yet, but this panel is'
            mend = "write installed: true for that gear, or move this panel to gear:"
            yield pair.in_shop("panel-fed-from", trail, message, mend)


def panels_do_not_feed_each_other(pair: Pair) -> Iterator[Problem]:
    """Every panel leads back to the service."""
    above = {panel.name: panel.fed_from for panel in panels_of(pair.shop, pair.catalog.parts).values()}
    named = [("panels", index, panel.name) for index, panel in enumerate(pair.shop.panels)]
    named += [("gear", index, gear.name) for index, gear in enumerate(pair.shop.gear)]
    for word, index, start in named:
        seen, name = [start], above.get(start)
        while name is not None and name not in seen:
            seen.append(name)
            name = above.get(name)
        if name == start:
            message = f"leads in a circle: {' from '.join([*seen, start])}"
            mend = "one of them must be fed from the service"
            yield pair.in_shop("panel-circle", (word, index, "fed_from"), message, mend)


def converters_fit(pair: Pair) -> Iterator[Problem]:
    """A converter hangs on a single-phase panel and starts the largest motor that needs it."""
    panels = panels_of(pair.shop, pair.catalog.parts)
    parts = pair.parts()
    for index, gear in enumerate(pair.shop.gear):
        part = parts.get(gear.part or "")
        if gear.kind is not GearKind.CONVERTER or part is None:
            continue
        above = panels.get(gear.fed_from or "")
        if above is not None and phases(above.system) == 3:
            message = f'is "{above.name}", which has three phases already'
            yield pair.in_shop(
                "converter-fed",
                ("gear", index, "fed_from"),
                message,
                "feed a converter from a single-phase panel",
            )
        volts = rating_of(part, "volts")
        if volts is not None and volts != LINE_VOLTS[System.DELTA_240]:
            message = f'is "{part.id}", a {plain(volts)} V converter; its panel here is 240 V'
            yield pair.in_shop("converter-volts", ("gear", index, "part"), message, "name a 240 V converter")
        most_hp = rating_of(part, "largest_motor_hp")
        if most_hp is not None:
            yield from _large_motors(pair, index, gear, most_hp)


def _large_motors(pair: Pair, index: int, gear: Gear, most_hp: Decimal) -> Iterator[Problem]:
    large = [
        (name, plate) for name, plate in three_phase(pair) if plate.hp is not None and plate.hp > most_hp
    ]
    if not large:
        return
    name, plate = max(large, key=lambda entry: entry[1].hp or 0)
    asked = motors.hp_words(plate.hp or Decimal(0))
    message = (
        f'is "{gear.part}", which starts motors up to {motors.hp_words(most_hp)} hp; "{name}" has {asked} hp'
    )
    if other_source(pair, name, plate):
        mend = "that machine must get its three phases elsewhere; take a larger one to let both compete"
        yield pair.in_shop("converter-small", ("gear", index, "part"), message, mend, question=True)
    else:
        mend = "name a larger converter, or give the machine another source of three-phase"
        yield pair.in_shop("converter-small", ("gear", index, "part"), message, mend)


def three_phase(pair: Pair) -> Iterator[tuple[str, Electrical]]:
    """Every three-phase nameplate with its machine's name, today's and those after a retooling."""
    for machine in (*pair.shop.machines, *pair.shop.next_machines):
        if machine.phases == 3 and not only_quoted(pair.shop, machine):
            yield machine.name, machine
    for scenario in pair.shop.scenarios:
        for event in scenario.events:
            if event.retool is not None and event.machine is not None and event.retool.phases == 3:
                yield event.machine, event.retool


def other_source(pair: Pair, name: str, plate: Electrical) -> bool:
    """Whether a machine could get three phases from a large enough converter, another panel, a drive or a motor."""
    parts = pair.parts()
    of_gear = {gear.name: parts.get(gear.part or "") for gear in pair.shop.gear if gear.part is not None}
    for panel in panels_of(pair.shop, pair.catalog.parts).values():
        if not any(feeds(panel.system, volts, 3, neutral=plate.neutral) for volts in plate.nominal):
            continue
        part = of_gear.get(panel.name)
        if part is None or plate.hp is None:
            return True
        if converters.refuses(part, plate.hp, _power_needed(pair, name), motor=True) is None:
            return True
    return bool(supplies_left(pair, name, plate))


def _power_needed(pair: Pair, name: str) -> Decimal:
    return next((machine.power_needed for _, machine in pair.machines() if machine.name == name), Decimal(1))


def supplies_left(pair: Pair, name: str, plate: Electrical) -> list[Supply]:
    """Sources of three-phase besides panels that suit a machine and that the catalog has parts for."""
    machine = next((m for m in (*pair.shop.machines, *pair.shop.next_machines) if m.name == name), None)
    single = any(
        any(feeds(panel.system, volts, 1, neutral=plate.neutral) for volts in plate.nominal)
        for panel in panels_of(pair.shop, pair.catalog.parts).values()
    )
    if machine is None or not single or not machine.motor:
        return []
    recipes = {*pair.catalog.recipes, *pair.shop.recipes}
    found = []
    for supply, kind, recipe in (
        (Supply.DRIVE, "drive", "drive"),
        (Supply.MOTOR, "motor", "motor swap"),
    ):
        has = any(part.kind == kind and _large_enough(part, plate) for part in pair.catalog.parts)
        if (
            has
            and recipe in recipes
            and supply not in machine.ways.forbid_supply
            and not unsuited(supply, plate)
        ):
            found.append(supply)
    return found


def unsuited(supply: Supply, plate: Electrical) -> str:
    """Why a machine's own motors do not allow a drive, or another motor in their place; empty where they do."""
    several = plate.more_motors
    if supply is Supply.MOTOR:
        several = [motor for motor in several if (motor.phases or plate.phases) == 3]
    said = {"more motors": bool(several), "two speeds": plate.two_speed, "a brake": plate.brake}
    has = [words for words, is_so in said.items() if is_so]
    if has:
        return f"it has {' and '.join(has)}"
    read = {"rpm": plate.rpm, "frame": plate.frame, "enclosure": plate.enclosure}
    unread = [word for word, value in read.items() if value is None]
    if supply is Supply.MOTOR and unread:
        return f"its plate is not read: {', '.join(unread)}"
    return ""


def _large_enough(part: Part, plate: Electrical) -> bool:
    hp = rating_of(part, "hp") or Decimal(0)
    return rating_of(part, "volts") in plate.nominal and (plate.hp is None or hp >= plate.hp)


def presents_are_known(pair: Pair) -> Iterator[Problem]:
    """What machines hang on now, and what lies on the shelf, is known."""
    shop = pair.shop
    panels, places = pair.panels(), pair.places()
    for index, machine in enumerate(shop.machines):
        yield from _present(pair, ("machines", index, "now"), machine, panels, places)
    parts, kinds = pair.parts(), pair.kinds()
    for index, stored in enumerate(shop.shelf):
        trail: Trail = ("shelf", index)
        if stored.part not in parts:
            yield pair.in_shop("shelf-part", (*trail, "part"), *unknown("part", stored.part, parts))
            continue
        kind = parts[stored.part].kind
        held = {*FROM_SHELF, *_hung_kinds(pair)}
        if kind not in held:
            message = f'is "{stored.part}", a {kind}, which the plan does not take from the shelf'
            mend = "write it in offers.csv as on-hand at 0; the shelf here holds " + ", ".join(sorted(held))
            yield pair.in_shop("shelf-kind", (*trail, "part"), message, mend)
            continue
        # A kind that kinds.yaml does not list is told of at its parts.
        by_length = kind in kinds and kinds[kind].sold != "each"
        if kind in kinds and by_length != (stored.length_ft is not None):
            message = f'is "{stored.part}", which is {"sold by length" if by_length else "counted"}'
            mend = "add length:" if by_length else "delete length:"
            yield pair.in_shop("shelf-length", (*trail, "part"), message, mend)


def _hung_kinds(pair: Pair) -> set[str]:
    """Kinds that cords hang from, counted by the piece."""
    books = [pair.catalog.recipes, pair.shop.recipes, *(machine.recipes for machine in pair.shop.machines)]
    hung = [book[name] for book in books for name in HUNG_BY if name in book]
    kinds = pair.kinds()
    return {
        part.kind
        for recipe in hung
        for part in recipe.parts
        if part.kind in kinds and kinds[part.kind].sold == "each"
    }


def _present(
    pair: Pair, trail: Trail, machine: Machine, panels: set[str], places: set[str]
) -> Iterator[Problem]:
    now = machine.now
    if now is None:
        return
    if now.panel not in panels:
        yield pair.in_shop("now-panel", (*trail, "panel"), *unknown("panel", now.panel, panels))
    if now.place is not None and now.place not in places:
        yield pair.in_shop("now-place", (*trail, "place"), *unknown("place", now.place, places))
    if now.drive is not None:
        yield from _drive_on_it(pair, (*trail, "drive"), machine, now.drive)
    if machine.arrives > 0:
        message = f"is said, but the machine arrives in year {machine.arrives}"
        yield pair.in_shop("now-later", trail, message, "delete now:, or arrives:")


def _drive_on_it(pair: Pair, trail: Trail, machine: Machine, name: str) -> Iterator[Problem]:
    """The drive that is on a machine is a drive of the catalog, for a machine of three phases that it can run."""
    drives = {part.id: part for part in pair.catalog.parts if part.kind == "drive"}
    if name not in drives:
        yield pair.in_shop("now-drive", trail, *unknown("drive", name, drives))
    elif machine.phases != 3:
        message = "is said of a machine of one phase, which needs no drive to have three"
        yield pair.in_shop("now-drive-phases", trail, message, "say phases: 3, or delete drive:")
    elif not _large_enough(drives[name], machine):
        message = f'is "{name}", too small or of other volts for this machine, so another is put in'
        yield pair.in_shop("now-drive-small", trail, message, "read the drive's plate", question=True)


def overhauls_make_sense(pair: Pair) -> Iterator[Problem]:
    """Only converters are overhauled, and before the plan ends."""
    for index, gear in enumerate(pair.shop.gear):
        trail: Trail = ("gear", index, "overhaul")
        if gear.overhaul is None:
            continue
        if gear.kind is not GearKind.CONVERTER:
            message = f"is said of a {gear.kind}; only a phase converter is overhauled"
            yield pair.in_shop("gear-overhaul", trail, message, "delete it", key=True)
        elif gear.overhaul.every >= pair.shop.years:
            message = f"is {gear.overhaul.every}, so it never comes within {pair.shop.years} years"
            mend = "it has no effect; delete overhaul:, or plan for more years"
            yield pair.in_shop("gear-overhaul-never", (*trail, "every"), message, mend, question=True)


def gear_can_feed_places(pair: Pair) -> Iterator[Problem]:
    """Questions about panels from which no place is known to be reached."""
    shop = placed(pair.shop)
    places = {spot.name for spot in shop.places}
    for index, gear in enumerate(shop.gear):
        if gear.brings_panel and gear.at in places and reaches_nothing(shop, gear.name, gear.at):
            message = f'is "{gear.at}", from where no length to any place is known, so it can feed nothing'
            where: Trail = ("gear", index, "at")
            yield pair.in_shop("gear-no-route", where, message, add_routes(gear.name), question=True)
    for index, panel in enumerate(shop.panels if len(shop.panels) > 1 else ()):
        if reaches_nothing(shop, panel.name, panel.place) and not only_feeds(shop, panel.name):
            message = (
                f'is "{panel.name}", from where no length to any place is known, so it can feed no machine'
            )
            where = ("panels", index, "name")
            yield pair.in_shop("panel-no-route", where, message, add_routes(panel.name), question=True)


def panel_parts_have_the_phases(pair: Pair) -> Iterator[Problem]:
    """The panel that comes with gear has as many phases as what feeds it gives."""
    parts = pair.parts()
    panels = panels_of(pair.shop, pair.catalog.parts)
    for index, gear in enumerate(pair.shop.gear):
        part, panel = parts.get(gear.panel_part or ""), panels.get(gear.name)
        have = rating_of(part, "phases")
        if part is None or panel is None or have is None or not gear.brings_panel:
            continue
        asked = phases(panel.system)
        if have != asked:
            message = f'is "{part.id}", a {plain(have)}-phase panel, where {asked} phases arrive'
            mend = f"name a {asked}-phase panel"
            yield pair.in_shop("gear-panel-phases", ("gear", index, "panel_part"), message, mend)


def load_managers_are_large_enough(pair: Pair) -> Iterator[Problem]:
    """A load manager switches as much as it is to hold."""
    parts = pair.parts()
    for index, gear in enumerate(pair.shop.gear):
        rating_a = rating_of(parts.get(gear.part or ""), "rating_a")
        if gear.kind is GearKind.MANAGER and rating_a is not None and (gear.holds_to_a or 0) > rating_a:
            message = (
                f"is {plain(gear.holds_to_a or Decimal(0))} A, above the {plain(rating_a)} A of {gear.part}"
            )
            mend = "hold to less, or name a larger one"
            yield pair.in_shop("manager-small", ("gear", index, "holds_to"), message, mend)


RULES: tuple[Rule, ...] = (
    panel_parts_have_the_phases,
    load_managers_are_large_enough,
    overhauls_make_sense,
    gear_can_feed_places,
    gear_has_its_own_name,
    gear_parts_are_known,
    panels_are_rated_for_their_volts,
    gear_recipes_are_known,
    gear_is_somewhere,
    feeds_are_known,
    panels_do_not_feed_each_other,
    converters_fit,
    presents_are_known,
)
