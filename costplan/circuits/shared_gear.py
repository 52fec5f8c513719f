"""Shared gear resolved: what it takes to put in, to run and to move, and what it gives and takes in panels."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import ROUND_CEILING, Decimal
from typing import Any

from costplan.circuits.buildings import NOT_PRICED, apart
from costplan.circuits.facts import Facts
from costplan.circuits.heavier import sized
from costplan.circuits.lives import life_of
from costplan.circuits.needs import NOTHING, Attribute, Bundle, Charge, Need, Slowed, Spec, make_spec
from costplan.circuits.quoted_work import quoted_bundle
from costplan.circuits.run_parts import breaker_need, conduit_size, wiring_needs
from costplan.circuits.size_types import CannotSizeError, CircuitSize, Load, WiresBy, Wiring
from costplan.circuits.walls import walls_of_run
from costplan.model import converters, tandems
from costplan.model.catalog import Part, Recipe
from costplan.model.choices import LoadKind
from costplan.model.gear import SERVICE, Gear, GearKind
from costplan.model.ratings import FUSE, FUSED_DISCONNECT
from costplan.model.shop import Panel
from costplan.model.system import LINE_VOLTS, System, has_neutral, phases
from costplan.model.tandems import TandemPair
from costplan.standards.converters import disconnect_a
from costplan.standards.overcurrent import fused_switch_a, largest_standard_size_a

CONVERTER_KIND = "phase converter"
NO_RECIPE = Recipe()


@dataclass(frozen=True)
class Candidate:
    """Gear that may be put in, with what follows from it.

    `bundle` is what one costs to put in, `again` what it costs once more when the shop moves, `yearly` what it
    costs at the end of each year it is there, `renewed` what replacing it after `life_years` takes, `overhauled`
    what is done to it every `overhauled_every` years.
    `spaces` are the poles one takes in other panels, negative where it frees them; `input_size` sizes its feed.
    """

    gear: Gear
    at_most: int
    bundle: Bundle
    again: Bundle
    yearly: Bundle
    renewed: Bundle = NOTHING
    life_years: int | None = None
    overhauled: Bundle = NOTHING
    overhauled_every: int | None = None
    spaces: Mapping[str, int] = field(default_factory=dict)
    idle_va: int = 0
    input_size: CircuitSize | None = None
    feeder_ft: int = 0

    @property
    def name(self) -> str:
        """Its name."""
        return self.gear.name

    @property
    def written(self) -> str:
        """The name of its entry in the shop file where that stands for several pieces of gear, else empty."""
        return "" if self.gear.entry == self.gear.name else self.gear.entry

    @property
    def above(self) -> str | None:
        """The panel it is fed from, None when the service feeds it."""
        return None if self.gear.fed_from in (None, SERVICE) else self.gear.fed_from


def candidate(facts: Facts, gear: Gear) -> Candidate:
    """What putting the gear in takes. Raises CannotSizeError and NoRouteError."""
    make = {
        GearKind.SUBPANEL: _subpanel,
        GearKind.CONVERTER: _converter,
        GearKind.UTILITY: _utility,
        GearKind.UPGRADE: _upgrade,
        GearKind.MANAGER: _manager,
        GearKind.TANDEM: _tandem,
        GearKind.MAIN: _main,
    }
    made = make[gear.kind](facts, gear)
    fees = tuple(Charge(what, cents) for what, cents in gear.fees.items())
    bundle = made.bundle
    if gear.quote_cents is not None:
        bundle = Bundle(charges=(Charge(f"{gear.entry}, quoted", gear.quote_cents),))
    bundle = replace(bundle, charges=(*bundle.charges, *fees))
    yearly = made.yearly
    if gear.yearly_fee_cents:
        yearly = replace(
            yearly, charges=(*yearly.charges, Charge(f"yearly charge, {gear.entry}", gear.yearly_fee_cents))
        )
    if gear.overhaul is not None:
        due = gear.overhaul
        work = quoted_bundle(
            f"overhaul of {gear.name}", due.money_cents, due.hours, due.own_hours, permit=due.permit
        )
        made = replace(made, overhauled=work, overhauled_every=due.every)
    if gear.installed:
        return replace(
            made, bundle=NOTHING, yearly=yearly, spaces={}, again=_stays_behind(facts, made.bundle)
        )
    return replace(made, bundle=bundle, yearly=yearly, again=_stays_behind(facts, bundle))


def exactly(part: Part) -> Need:
    """A need for one part with just these attributes."""
    return Need(make_spec(part.kind, dict(part.attributes)), 1)


def _wearing(facts: Facts, part: Part, life: int | None) -> Need:
    """The part, worn out after the gear's own life instead of that of its kind."""
    nominal = life_of(facts, part)
    if life is None or nominal is None or nominal == life:
        return exactly(part)
    # Rounded up, so that the life times the share is not a hair below the years that are meant.
    share = (Decimal(life) / nominal).quantize(Decimal("1e-9"), ROUND_CEILING)
    return replace(exactly(part), share=share)


def converter_input(facts: Facts, gear: Gear) -> Load:
    """The load a converter is to the circuit that feeds it.

    Its conductors carry 125 % of the rated single-phase input current (NFPA 70 455.6(A)(1), as for a continuous
    load); its breaker is the one that the shop file states, else 125 % of that current or the next standard size up
    (455.7), no more than its plate allows and no less than that asks for (110.3(B)).
    """
    part = facts.parts[gear.part or ""]
    input_a = part.number("input_a")
    breaker_a = int(gear.breaker_a or converters.usual_breaker_a(part, facts.rules.edition))
    volts, by = int(part.number("volts")), WiresBy.CONVERTER
    return Load(volts, 1, False, LoadKind.OTHER, None, input_a, True, breaker_a, wires_by=by)


def feeder_load(panel: Panel) -> Load:
    """A feeder sized to the panel's own rating; it carries a neutral where the system has one."""
    try:
        rating = largest_standard_size_a(int(panel.rating_a or 0), None)
    except LookupError as error:
        raise CannotSizeError(str(error.args[0])) from error
    return Load(
        LINE_VOLTS[panel.system],
        phases(panel.system),
        has_neutral(panel.system),
        LoadKind.OTHER,
        None,
        Decimal(rating),
        False,
        rating,
        wires_by=WiresBy.FEEDER,
    )


def _subpanel(facts: Facts, gear: Gear) -> Candidate:
    panel = facts.panels[gear.name]
    feeder, size, length_ft = _feeder(facts, gear, feeder_load(panel))
    mounted = _expanded(facts, gear, "subpanel").slowed(_slowed_there(facts, gear))
    bundle = Bundle((exactly(facts.parts[gear.panel_part or ""]),)) + feeder + mounted
    spaces = {} if gear.fed_from == SERVICE else {gear.fed_from or "": size.poles}
    return Candidate(gear, 1, bundle, NOTHING, NOTHING, spaces=spaces, input_size=size, feeder_ft=length_ft)


def _converter(facts: Facts, gear: Gear) -> Candidate:
    part = facts.parts[gear.part or ""]
    feeder, size, length_ft = _feeder(facts, gear, converter_input(facts, gear))
    least_a = disconnect_a(part.number("input_a"))
    low: dict[str, Attribute] = {
        "rating_a": least_a,
        "poles": size.poles,
        "volts": facts.line_volts(gear.fed_from or ""),
    }
    disconnect = Need(make_spec("disconnect", {}, low), 1)
    panel = exactly(facts.parts[gear.panel_part or ""])
    slowed = _slowed_there(facts, gear)
    work = _expanded(facts, gear, "phase converter").slowed(slowed)
    life = gear.life_years or life_of(facts, part)
    machine = _wearing(facts, part, life)
    bundle = Bundle((machine, panel, disconnect)) + feeder + work
    panel_work = _expanded(facts, gear, "subpanel") + facts.expanded("disconnect", size=size)
    bundle = bundle + panel_work.slowed(slowed)
    idle_w, price = part.number("idle_w"), facts.shop.money.electricity_cents_per_kwh
    cents = idle_w * (gear.hours_per_year or 0) / 1000 * price
    yearly = Bundle(charges=(Charge(f"electricity to idle {gear.name}", round(cents, 2), energy=True),))
    return Candidate(
        gear,
        1,
        bundle,
        NOTHING,
        yearly if cents else NOTHING,
        renewed=Bundle((machine,)) + work,
        life_years=life,
        spaces={gear.fed_from or "": size.poles},
        idle_va=_up(idle_w),
        input_size=size,
        feeder_ft=length_ft,
    )


def _utility(facts: Facts, gear: Gear) -> Candidate:
    work = _expanded(facts, gear, "utility three-phase").slowed(_slowed_there(facts, gear))
    return Candidate(gear, 1, work, NOTHING, NOTHING)


def _upgrade(facts: Facts, gear: Gear) -> Candidate:
    service = facts.shop.service
    volts = LINE_VOLTS[service.system] if service is not None else facts.highest_line_volts
    low: dict[str, Attribute] = {"rating_a": gear.to_a or Decimal(0), "volts": volts}
    need = Need(make_spec("service equipment", {}, low), 1)
    return Candidate(gear, 1, Bundle((need,)) + _expanded(facts, gear, "service upgrade"), NOTHING, NOTHING)


def _manager(facts: Facts, gear: Gear) -> Candidate:
    needs = (exactly(facts.parts[gear.part]),) if gear.part else ()
    return Candidate(gear, 1, Bundle(needs) + _expanded(facts, gear, "load manager"), NOTHING, NOTHING)


def _tandem(facts: Facts, gear: Gear) -> Candidate:
    """Two circuits on a tandem breaker of the panel's family, whose halves are the breakers that are there.

    Raises CannotSizeError when the circuits are not known well enough.
    """
    panel = facts.panels[gear.panel or ""]
    work = _expanded(facts, gear, tandems.KIND).slowed(facts.slowed_at_panel(gear.panel or ""))
    if not isinstance(gear, TandemPair):
        if not gear.installed:
            reasons = "; ".join(tandems.why_no_more(panel)) or "too few of them"
            raise CannotSizeError(f"no two one-pole circuits of {panel.name} may go on one: {reasons}")
        return Candidate(gear, 1, work, NOTHING, NOTHING, spaces={panel.name: -1})
    low, high = gear.halves_a
    need = Need(
        make_spec(
            tandems.KIND,
            {"family": panel.breakers, tandems.SMALLER: low, tandems.LARGER: high},
            {"volts": facts.line_volts(panel.name)},
        ),
        1,
    )
    there = tandems.movable(panel)
    pairs = there[low] // 2 if low == high else min(there[low], there[high])
    most = min(gear.at_most, panel.tandems, pairs)
    return Candidate(gear, most, Bundle((need,)) + work, NOTHING, NOTHING, spaces={panel.name: -1})


def main_needs(gear: Gear, system: System) -> tuple[Need, Need]:
    """The switch of a main disconnect, whose clips take its fuses, and the fuses, one a line. Raises LookupError."""
    volts, fuse_a = LINE_VOLTS[system], int(gear.amps_a or 0)
    poles, switch_a = 3 if phases(system) == 3 else 2, fused_switch_a(fuse_a)
    low: dict[str, Attribute] = {"rating_a": switch_a, "poles": poles, "volts": volts}
    switch = make_spec(FUSED_DISCONNECT, {}, low, {"rating_a": switch_a})
    fuse = make_spec(FUSE, {}, {"rating_a": fuse_a, "volts": volts}, {"rating_a": fuse_a})
    return Need(switch, 1), Need(fuse, poles)


def _main(facts: Facts, gear: Gear) -> Candidate:
    """A fused switch ahead of the panels, with its fuses."""
    service = facts.shop.service
    assert service is not None
    bundle = Bundle(main_needs(gear, service.system)) + _expanded(facts, gear, "main disconnect")
    return Candidate(gear, 1, bundle, NOTHING, NOTHING)


def _slowed_there(facts: Facts, gear: Gear) -> Slowed:
    """What makes work slower where the gear's panel hangs, which a run from the ceiling does not."""
    return facts.slowed_at_panel(gear.name)


def _expanded(facts: Facts, gear: Gear, name: str, **sizes: Any) -> Bundle:
    return NOTHING if _recipe(facts, gear, name) is NO_RECIPE else facts.expanded(name, **sizes)


def _recipe(facts: Facts, gear: Gear, name: str) -> Recipe:
    """The recipe in force; gear that is quoted or there already does without one."""
    try:
        return facts.recipe(name)
    except KeyError:
        if gear.quote_cents is None and not gear.installed:
            raise
        return NO_RECIPE


def _feeder(facts: Facts, gear: Gear, load: Load) -> tuple[Bundle, CircuitSize, int]:
    """The run that feeds the gear, in conduit, with its breaker in the panel above.

    A feed from the service has no breaker and only the recipe's extra length; landing the breaker is part of
    the recipe of what is fed. Raises CannotSizeError where it would go to another building and nobody quoted it.
    """
    recipe = _recipe(facts, gear, "feeder")
    above = None if gear.fed_from == SERVICE else gear.fed_from
    outside = (
        apart(facts, above, gear.at or "") if above and not (gear.installed or gear.quote_cents) else None
    )
    if outside is not None:
        raise CannotSizeError(
            f"its feeder from {above} leaves the building: {outside}; {NOT_PRICED}: write quote: with what such a feeder costs"
        )
    route_ft = facts.routes.fixed_ft(above, gear.at or "") if above else Decimal(0)
    length_ft = facts.run_length_ft(recipe, route_ft)
    size = sized(load, Wiring.CONDUIT, None, route_ft, facts.rules)
    trade = conduit_size(size)
    laid_ft = route_ft if above else None
    run = _expanded(facts, gear, "feeder", length_ft=length_ft, laid_ft=laid_ft, size=size, trade_size=trade)
    if recipe.quote is None:
        run = run + Bundle(wiring_needs(facts, Wiring.CONDUIT, size, length_ft, trade))
    if above is None:
        run = run.slowed(_slowed_there(facts, gear))
    else:
        run = run + walls_of_run(facts, recipe, above, gear.at or "")
        run = run.slowed(facts.slowed(gear.at or "", above, along=True))
        at_most_a = max(size.breaker_at_most_a, size.breaker_a)
        run = run + Bundle((breaker_need(facts, above, size, at_most_a, ground_fault=False),))
    return run, size, length_ft


def _stays_behind(facts: Facts, bundle: Bundle) -> Bundle:
    """The bundle without the parts that come along in a move."""
    stays = tuple(need for need in bundle.needs if not _portable(facts, need.spec))
    return replace(bundle, needs=stays)


def _portable(facts: Facts, spec: Spec) -> bool:
    return spec.kind in facts.kinds and facts.kinds[spec.kind].portable


def _up(value: Decimal) -> int:
    return int(value.to_integral_value(ROUND_CEILING))
