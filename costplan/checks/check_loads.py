"""Rules over promises and converters: who runs at once, who starts by itself, what a converter gives and is fed by."""

from collections.abc import Iterator
from decimal import Decimal

from costplan.checks.check_gear import other_source, three_phase
from costplan.circuits.shared_gear import main_needs
from costplan.files.problems import Problem
from costplan.files.yaml_reader import Trail
from costplan.model import converters
from costplan.model.brought import rating_of
from costplan.model.catalog import Part
from costplan.model.choices import LoadKind
from costplan.model.gear import Gear, GearKind
from costplan.model.pair import NO_EFFECT, Pair, Rule, percent, plain, unknown
from costplan.model.system import System
from costplan.standards import overcurrent
from costplan.standards.converters import supply_breaker_a

MOST_NAMED = 8
"""How many machines a question names. A choice."""
NO_INTERLOCK = "people promise that, and a promise is no interlock"


def limited_sets_are_known(pair: Pair) -> Iterator[Problem]:
    """Of at_most: known machines, each in one promise only, and more of them than may run."""
    service = pair.shop.service
    if service is None:
        return
    machines = {machine.name: machine for _, machine in pair.machines()}
    named: dict[str, str] = {name: "at_once" for names in service.at_once for name in names}
    named |= {name: "takes_turns" for name, machine in machines.items() if machine.takes_turns is not None}
    for number, most in enumerate(service.at_most):
        trail: Trail = ("service", "at_most", number)
        for position, name in enumerate(most.of):
            where = (*trail, "of", position)
            if name not in machines:
                yield pair.in_shop("at-most-machine", where, *unknown("machine", name, machines))
            elif name in named:
                message = f'is "{name}", of which {named[name]} says already with whom it runs'
                yield pair.in_shop(
                    "at-most-twice", where, message, "say it once: delete it in one of the two"
                )
            named.setdefault(name, "at_most")
        count = sum(machines[name].count if name in machines else most.count for name in most.of)
        if most.count >= count:
            message = f"is {most.count}, and there are {count} of them, so all of them may run"
            mend = f"{NO_EFFECT}, or write fewer"
            yield pair.in_shop("at-most-all", (*trail, "count"), message, mend, question=True)


def promises_are_no_interlocks(pair: Pair) -> Iterator[Problem]:
    """Questions about machines that switch themselves on, whatever was promised of them, and whether any does."""
    service = pair.shop.service
    sets = [] if service is None else [*service.at_once, *(most.of for most in service.at_most)]
    promised = {name for names in sets for name in names}
    if service is None and all(panel.rating_a is None for panel in pair.shop.panels):
        return
    said, motors, heaters = False, list[str](), list[tuple[Trail, str]]()
    for trail, machine in pair.machines():
        said = said or machine.starts_by_itself is not None
        if machine.name not in promised and machine.takes_turns is None:
            continue
        motors += [machine.name] if machine.motor else []
        heaters += (
            [(trail, machine.name)] if machine.kind is LoadKind.HEATER and machine.unattended is None else []
        )
        if machine.unattended:
            message = (
                f'is true, so "{machine.name}" always counts as running, though it is said to wait for others'
            )
            mend = "nobody is there to keep that promise: ask an electrician for an interlock; with one, write false"
            yield pair.in_shop("runs-unattended", (*trail, "unattended"), message, mend, question=True)
        if machine.starts_by_itself:
            message = f'is true, so "{machine.name}" always counts as running, though it is said to wait: {NO_INTERLOCK}'
            mend = "ask an electrician for an interlock; with one, write false"
            yield pair.in_shop("starts-by-itself", (*trail, "starts_by_itself"), message, mend, question=True)
    if sets and motors and not said:
        message = f"counts only those that are said to run together; {NO_INTERLOCK}"
        mend = (
            "does one start by itself, as a compressor or an automatic collector does? Write starts_by_itself: true "
            "there; if none does, write false at one of the machines"
        )
        word = "at_once" if service is not None and service.at_once else "at_most"
        yield pair.in_shop("promise", ("service", word), message, mend, question=True, key=True)
    if heaters:
        trail = heaters[0][0]
        names = ", ".join(name for _, name in heaters)
        message = f"is a heater said to wait for others ({names}), and a kiln or an oven often runs overnight"
        mend = (
            "does it ever run with nobody there to keep that? Write unattended: true, and it counts beside whatever else "
            "runs; if never, false"
        )
        yield pair.in_shop("heater-promised", (*trail, "load"), message, mend, question=True)


def self_starters_are_said(pair: Pair) -> Iterator[Problem]:
    """One question, where loads are counted: which motors start by themselves, if none is said to or not to.

    Where people promise which machines run together, the question about that promise asks it.
    """
    shop, service = pair.shop, pair.shop.service
    rated = [index for index, panel in enumerate(shop.panels) if panel.rating_a is not None]
    if (service is None and not rated) or (service is not None and (service.at_once or service.at_most)):
        return
    known = [machine for _, machine in pair.machines()]
    motors = [machine.name for machine in known if machine.motor]
    if not motors or any(machine.starts_by_itself is not None for machine in known):
        return
    more = f" and {len(motors) - MOST_NAMED} more" if len(motors) > MOST_NAMED else ""
    message = f"is to carry {', '.join(motors[:MOST_NAMED])}{more}, and nothing says which of them start by themselves"
    mend = (
        "a compressor, a pump or an automatic collector does: write starts_by_itself: true there, and it counts as running "
        "whatever else runs; if none does, write false at one of them"
    )
    trail: Trail = ("service", "amps") if service is not None else ("panels", rated[0], "rating")
    yield pair.in_shop("self-starters", trail, message, mend, question=True)


def present_loads_are_said(pair: Pair) -> Iterator[Problem]:
    """One question about panels whose rating counts while nobody said what else hangs on them, there or at the service."""
    service = pair.shop.service
    if service is not None and (service.measured_peak or "other_load_a" in service.model_fields_set):
        return
    silent = [
        (index, panel)
        for index, panel in enumerate(pair.shop.panels)
        if panel.rating_a is not None and "other_load_a" not in panel.model_fields_set
    ]
    if silent:
        names = ", ".join(panel.name for _, panel in silent)
        message = f"is all taken to be free for the machines ({names}): nothing says what else hangs on it"
        mend = "lights, heat, the house? Write other_load: with amperes, the continuous part at 125 %, or 0 A for nothing"
        yield pair.in_shop(
            "panel-other-load", ("panels", silent[0][0], "rating"), message, mend, question=True
        )


def converters_are_fed_rightly(pair: Pair) -> Iterator[Problem]:
    """The breaker said of a converter is a standard size within NEC 455.7 and what its plate says."""
    parts = pair.parts()
    for index, gear in enumerate(pair.shop.gear):
        part = parts.get(gear.part or "")
        if gear.breaker_a is not None and part is not None and rating_of(part, "input_a") is not None:
            yield from _breaker(pair, ("gear", index, "breaker"), part, gear.breaker_a)


def _breaker(pair: Pair, trail: Trail, part: Part, breaker_a: Decimal) -> Iterator[Problem]:
    edition = pair.shop.code.edition
    input_a = rating_of(part, "input_a") or Decimal(0)
    try:
        least_a, most_a = converters.breaker_bounds_a(part, edition)
    except LookupError as error:
        yield pair.in_shop(
            "converter-breaker", trail, f"cannot be looked up: {error.args[0]}", "ask the maker"
        )
        return
    shown = f"is {plain(breaker_a)} A"
    bounds = f"from {least_a} to {most_a} A feed it"
    if breaker_a not in overcurrent.standard_sizes_a(edition):
        message = f"{shown}, no standard size (NEC 240.6(A)); breakers {bounds}"
        yield pair.in_shop("converter-breaker", trail, message, "read the breaker's handle again")
    elif breaker_a > most_a:
        message = f"{shown}, too large for {part.id}, which takes {plain(input_a)} A: {bounds} (NEC 455.7)"
        yield pair.in_shop(
            "converter-breaker-large", trail, message, f"have it changed for {most_a} A or less"
        )
    elif breaker_a < least_a:
        message = f"{shown}, too small for {part.id}, which takes {plain(input_a)} A: {bounds}"
        yield pair.in_shop("converter-breaker-small", trail, message, f"have it changed for {most_a} A")
    elif breaker_a < min(input_a * Decimal("1.25"), Decimal(most_a)):
        message = f"{shown}, below 125 % of the {plain(input_a)} A that {part.id} takes, so it may trip when that starts"
        mend = f"ask whether it holds; {most_a} A is usual"
        yield pair.in_shop("converter-breaker-trips", trail, message, mend, question=True)


def panels_behind_converters_are_protected(pair: Pair) -> Iterator[Problem]:
    """The panel that comes with a converter is rated for the breaker that feeds the converter.

    Nothing else is between that breaker and the panel, so it protects it (NFPA 70 408.36, from memory): two lines run
    straight through most converters. A question where both are there.
    """
    parts = pair.parts()
    for index, gear in enumerate(pair.shop.gear):
        part, panel = parts.get(gear.part or ""), parts.get(gear.panel_part or "")
        rating_a = rating_of(panel, "rating_a")
        if gear.kind is not GearKind.CONVERTER or part is None or rating_a is None:
            continue
        breaker_a = _feeding_a(gear, part, pair.shop.code.edition)
        if breaker_a is None or rating_a >= breaker_a:
            continue
        message = (
            f'is "{gear.panel_part}", rated {plain(rating_a)} A, and nothing protects it at that: a breaker of '
            f"{plain(breaker_a)} A feeds the converter (NEC 408.36)"
        )
        mend = f"name a panel of {plain(breaker_a)} A or more"
        if gear.installed:
            mend = f"ask an electrician for a main breaker of at most {plain(rating_a)} A at that panel"
        trail: Trail = ("gear", index, "panel_part")
        yield pair.in_shop("converter-panel-small", trail, message, mend, question=gear.installed)


def _feeding_a(gear: Gear, part: Part, edition: int | None) -> Decimal | None:
    """The breaker that feeds a converter: as stated, else as is bought; None where it cannot be known."""
    if gear.breaker_a is not None or rating_of(part, "input_a") is None:
        return gear.breaker_a
    try:
        return Decimal(converters.usual_breaker_a(part, edition))
    except LookupError:
        return None


def plates_of_converters_make_sense(pair: Pair) -> Iterator[Problem]:
    """Questions about a converter's plate: a minimum above what the code allows, a share of power that nobody stated."""
    parts = pair.parts()
    for index, gear in enumerate(pair.shop.gear):
        part = parts.get(gear.part or "")
        if gear.kind is not GearKind.CONVERTER or part is None:
            continue
        trail: Trail = ("gear", index, "part")
        share, input_a = rating_of(part, "power_share"), rating_of(part, "input_a")
        if share is not None and share > 1:
            message = f'is "{part.id}", whose power_share of {plain(share)} is above 1'
            yield pair.in_shop("converter-share", trail, message, "write a share: 0.67")
        if share is None and converters.power_share(part) < 1:
            message = (
                f'is "{part.id}", which only starts motors and does not say what share of their power it gives; '
                f"{percent(converters.power_share(part))} is taken"
            )
            mend = "ask for its sheet and write power_share: in parts.yaml"
            yield pair.in_shop("converter-share-unknown", trail, message, mend, question=True)
        asked_a = rating_of(part, "breaker_at_least_a")
        allowed_a = rating_of(part, "breaker_at_most_a")
        if None not in (asked_a, allowed_a) and (asked_a or 0) > (allowed_a or 0):
            message = (
                f'is "{part.id}", which asks for a breaker of {plain(asked_a or Decimal(0))} A and allows '
                f"{plain(allowed_a or Decimal(0))} A"
            )
            yield pair.in_shop("converter-plate", trail, message, "read the plate again")
        elif asked_a is not None and input_a is not None:
            most_a = supply_breaker_a(input_a, pair.shop.code.edition)
            if asked_a > most_a:
                message = (
                    f'is "{part.id}", whose plate asks for {plain(asked_a)} A where NEC 455.7 allows {most_a} A for '
                    f"{plain(input_a)} A; the plate is followed"
                )
                yield pair.in_shop("converter-plate", trail, message, "read the plate again", question=True)


def converters_give_enough_power(pair: Pair) -> Iterator[Problem]:
    """Machines need no more of their power than a converter gives, or get their three phases elsewhere."""
    parts = pair.parts()
    needed = {machine.name: machine.power_needed for _, machine in pair.machines()}
    short = [
        (index, parts[gear.part])
        for index, gear in enumerate(pair.shop.gear)
        if gear.kind is GearKind.CONVERTER
        and gear.part in parts
        and converters.power_share(parts[gear.part]) < 1
    ]
    for index, part in short:
        trail: Trail = ("gear", index, "part")
        share = converters.power_share(part)
        for name, plate in three_phase(pair):
            exact = f'gives {percent(share)} of the power, and "{name}" needs'
            if needed[name] > share and not other_source(pair, name, plate):
                message = f'is "{part.id}", which {exact} {percent(needed[name])}'
                mend = "name another converter, or say power_needed: where the machine gets by with less"
                yield pair.in_shop("converter-share", trail, message, mend)
            elif needed[name] == share:
                message = f'is "{part.id}", which {exact} just that: nothing is left for a bad day'
                yield pair.in_shop("converter-share-exact", trail, message, "is that so?", question=True)
    for where, machine in pair.machines() if not short else ():
        if machine.power_needed != 1:
            message = (
                f"is {percent(machine.power_needed)}, but no converter here gives less than all of the power"
            )
            yield pair.in_shop("power-needed", (*where, "power_needed"), message, NO_EFFECT, question=True)


def main_disconnects_fit(pair: Pair) -> Iterator[Problem]:
    """A main disconnect has fuses of a standard size for all of the service, which somebody sells or quotes."""
    service = pair.shop.service
    mains = [(index, gear) for index, gear in enumerate(pair.shop.gear) if gear.kind is GearKind.MAIN]
    upgrades = [gear for gear in pair.shop.gear if gear.to_a is not None]
    for number, (index, gear) in enumerate(mains):
        trail: Trail = ("gear", index)
        fuse_a = gear.amps_a or Decimal(0)
        if number:
            message = f'is "{gear.name}", beside "{mains[0][1].name}", and there is one main disconnect'
            yield pair.in_shop("main-disconnect-twice", (*trail, "name"), message, "delete one of them")
        if fuse_a not in overcurrent.standard_sizes_a(pair.shop.code.edition):
            message = f"is {plain(fuse_a)} A, no standard size (NEC 240.6(A))"
            yield pair.in_shop(
                "main-disconnect-fuses", (*trail, "amps"), message, "write the size of its fuses"
            )
            continue
        if service is None:
            continue
        if fuse_a > service.amps_a and not upgrades:
            message = f"is {plain(fuse_a)} A, above the service's {plain(service.amps_a)} A"
            mend = "its fuses would not protect the service; write no more"
            yield pair.in_shop("main-disconnect-fuses", (*trail, "amps"), message, mend)
        for upgrade in upgrades:
            if (upgrade.to_a or 0) > fuse_a:
                message = f'is {plain(fuse_a)} A, too little for the {plain(upgrade.to_a or Decimal(0))} A of "{upgrade.name}"'
                mend = "write its fuses for that, or leave one of the two out"
                yield pair.in_shop("main-disconnect-fuses", (*trail, "amps"), message, mend)
        if gear.quote_cents is None and not gear.installed:
            yield from _sold(pair, (*trail, "amps"), gear, service.system)


def _sold(pair: Pair, trail: Trail, gear: Gear, system: System) -> Iterator[Problem]:
    """The switch and the fuses of a main disconnect are on offer, since every plan buys them."""
    parts = pair.parts()
    offered = {offer.part for offer in pair.catalog.offers if offer.price_cents is not None}
    for need in main_needs(gear, system):
        if not any(need.spec.met_by(parts[name]) for name in offered & set(parts)):
            least = dict(need.spec.at_least)
            rating = f"{plain(least['rating_a'])} A at {plain(least['volts'])} V"
            message = f"asks for a {need.spec.kind} of {rating}, which nobody sells at a price"
            mend = "add the part with its price, or write a quote: for this gear"
            yield pair.in_shop("main-disconnect-part", trail, message, mend)


RULES: tuple[Rule, ...] = (
    main_disconnects_fit,
    limited_sets_are_known,
    promises_are_no_interlocks,
    self_starters_are_said,
    present_loads_are_said,
    converters_are_fed_rightly,
    panels_behind_converters_are_protected,
    plates_of_converters_make_sense,
    converters_give_enough_power,
)
