"""What stands between a circuit and a machine: a drive, another motor, or a transformer for other volts."""

from dataclasses import dataclass, replace
from decimal import Decimal

from costplan.circuits.currents import load_current_a
from costplan.circuits.facts import DRIVE, Facts
from costplan.circuits.motor_swap import MOTOR, other_motor, swapped
from costplan.circuits.needs import Bundle, Charge, Item, Need, Slowed, StockNeed, make_spec
from costplan.circuits.size_types import CannotSizeError, Load, WiresBy
from costplan.circuits.transformer import transformed
from costplan.circuits.volts import fed_from, near
from costplan.circuits.ways import Way, feeds
from costplan.model import converters
from costplan.model.catalog import Part
from costplan.model.choices import TRANSFORMER, LoadKind, Supply
from costplan.model.shop import Machine, Panel
from costplan.standards import motors
from costplan.standards.loads import continuous_factor

WATTS_PER_HP = 746
_ASKS = {
    Supply.DRIVE: (DRIVE, "drive"),
    Supply.MOTOR: (MOTOR, "motor swap"),
    Supply.TRANSFORMER: (TRANSFORMER, TRANSFORMER),
}


@dataclass(frozen=True, slots=True)
class Supplied:
    """The load a circuit feeds, the device between it and the machine, and the power lost in that, in watts."""

    load: Load
    device: StockNeed | None = None
    lost_w: Decimal = Decimal(0)


def panel_for(facts: Facts, machine: Machine, way: Way, load: Load) -> str:
    """The way's panel if it can feed the load, else its other panel, else the nearest that can.

    Names break ties. Raises CannotSizeError when no panel can.
    """
    panels = facts.panels
    for named in (way.panel, way.other_panel):
        if named and feeds(panels[named], load):
            return named
    able = [name for name, panel in panels.items() if feeds(panel, load) and name not in facts.gear]
    if not able:
        fed = fed_from(panels[way.panel], load) if way.panel in panels else None
        raise CannotSizeError(
            (fed.why_not if fed is not None else "")
            or f"no panel feeds {load.volts} V, {load.phases}-phase: add such a panel, or leave out the machine or "
            "the change"
        )
    return min(able, key=lambda name: (facts.routes.fixed_ft(name, machine.at), name))


def must_start(facts: Facts, machine: Machine, panel: str, load: Load) -> None:
    """Raises CannotSizeError when a converter above the panel cannot start the motor, or gives too little power."""
    for gear, part in facts.converters_above(panel):
        why = converters.refuses(part, load.hp, machine.power_needed, motor=load.motor)
        if why is not None:
            raise CannotSizeError(f"{gear.name} {why}: take another converter or a drive")


def supplies_known(facts: Facts) -> tuple[Supply, ...]:
    """What may stand between a panel and a machine that the catalog has parts and a recipe for."""
    return tuple(
        supply
        for supply, (kind, recipe) in _ASKS.items()
        if kind in facts.kinds and any(recipe in book for book in (facts.shop.recipes, facts.catalog.recipes))
    )


def supplied(facts: Facts, machine: Machine, load: Load, supply: Supply, sized_by: str = "") -> Supplied:
    """What the circuit feeds when the machine asks for this load. Raises CannotSizeError.

    sized_by: the drive whose input the circuit is for, a part; left out, the smallest on sale that suits.

    A drive's input is sized as a continuous load, 125 % of its rated input current (NFPA 70 430.122(A)).
    """
    if supply is Supply.PANEL or load.phases == 1:
        return Supplied(load)
    if supply is Supply.DRIVE:
        return _by_drive(facts, machine, load, sized_by)
    return _by_motor(facts, machine, load)


def through_transformer(facts: Facts, machine: Machine, load: Load, panel: Panel) -> Supplied:
    """What a panel of other volts than the plate's feeds through a transformer. Raises CannotSizeError."""
    known = near(panel, load)
    if known is None:
        raise CannotSizeError(
            f"{panel.name} has its plate's volts, or none that a transformer brings near them"
        )
    made = transformed(facts, load, *known)
    return Supplied(made.load, _device(facts, machine, Need(made.spec, 1), TRANSFORMER))


def running_w(load: Load) -> Decimal:
    """Power the load takes at full load, watts: a motor's shaft power, else volts times amperes.

    A motor's own losses are the same whatever feeds it and are left out.
    """
    if load.motor and load.hp is not None:
        return load.hp * WATTS_PER_HP
    return draw_va(load, load_current_a(load)[0])


def draw_va(load: Load, current_a: Decimal) -> Decimal:
    """Volt-amperes of a current at the load's volts and phases."""
    return current_a * load.volts * (Decimal(3).sqrt() if load.phases == 3 else 1)


def counts_longer(load: Load) -> bool:
    """Whether a machine's load is continuous and no motor, so that it counts at 125 % wherever it passes.

    Of motors the largest alone counts a quarter more (NFPA 70 430.24), and welders go by Article 630.
    """
    return load.continuous and not load.motor and not load.kind.welds


def counted_va(asked: Load, fed: Load, current_a: Decimal) -> Decimal:
    """What a circuit counts for on its panel, its feeders and the service, in volt-amperes.

    `asked` is the machine's own load, `fed` what its circuit feeds; a continuous one counts at 125 % (NFPA 70
    215.2(A)(1)(a), 215.3, 230.42(A)(1), from memory), which is no part of what it takes from the meter.
    """
    return draw_va(fed, current_a) * (continuous_factor() if counts_longer(asked) else 1)


def other_drives(facts: Facts, machine: Machine, load: Load) -> list[str]:
    """Drives that are there and suit the load, but not a circuit for the smallest on sale: each has its own."""
    current_a = load_current_a(load)[0]
    able = [part for part in facts.drives_there if _drives(part, load, current_a)] if load.motor else []
    try:
        usual = _by_drive(facts, machine, load, "").device
    except CannotSizeError:
        usual = None
    return [part.id for part in able if usual is None or not usual.item.spec.met_by(part)]


def _by_drive(facts: Facts, machine: Machine, load: Load, sized_by: str) -> Supplied:
    current_a = load_current_a(load)[0]
    if not load.motor:
        raise CannotSizeError("a drive runs motors only; this machine is no motor")
    _drive_suits(load)
    known = facts.drives_there if sized_by else facts.parts_by_kind.get(DRIVE, ())
    drives = [
        part for part in known if part.id == sized_by or (not sized_by and part.id in facts.priced_parts)
    ]
    fit = [part for part in drives if _drives(part, load, current_a)]
    if not fit:
        most = (
            f"{motors.hp_words(load.hp)} hp, {current_a:f} A" if load.hp is not None else f"{current_a:f} A"
        )
        raise CannotSizeError(
            f"no drive in the catalog with a price runs {most} at {load.volts} V from one phase"
        )
    best = min(fit, key=lambda part: (part.number("input_a"), part.id))
    input_a, efficiency = best.number("input_a"), best.number("efficiency")
    spec = make_spec(
        DRIVE,
        {"volts": load.volts},
        {"output_a": current_a, "efficiency": efficiency, **({"hp": load.hp} if load.hp is not None else {})},
        {"input_a": input_a},
    )
    fed = Load(
        load.volts,
        1,
        load.neutral,
        LoadKind.OTHER,
        load.hp,
        input_a,
        True,
        None,
        other_a=load.other_a,
        driven=True,
        wires_by=WiresBy.DRIVE,
    )
    return Supplied(
        fed, _device(facts, machine, Need(spec, 1), "drive"), running_w(load) * (1 / efficiency - 1)
    )


def _drive_suits(load: Load) -> None:
    """Raises CannotSizeError where a drive must not be put before a machine as it is; common practice, no source."""
    if load.more:
        others = ", ".join(motor.what for motor in load.more)
        raise CannotSizeError(
            f"a drive runs one motor, and it has more: {others}; they would need power of their own"
        )
    if load.fit.two_speed:
        raise CannotSizeError(
            "a drive's output is not switched, and its two-speed motor is: ask whether one speed wired for good will do"
        )
    if load.fit.brake:
        raise CannotSizeError(
            "its motor's brake must not hang on a drive's output: ask its maker whether the coil can have lines of its own"
        )


def _drives(part: Part, load: Load, current_a: Decimal) -> bool:
    return (
        part.number("volts") == load.volts
        and part.number("output_a") >= current_a
        and (load.hp is None or part.number("hp") >= load.hp)
    )


def _by_motor(facts: Facts, machine: Machine, load: Load) -> Supplied:
    if not load.motor:
        raise CannotSizeError("its motor can only be replaced when it is one")
    device = _device(facts, machine, Need(other_motor(facts, load), 1), "motor swap")
    return Supplied(swapped(load), _less_old_motor(machine, device))


def slowed_device(device: StockNeed, slowed: Slowed) -> StockNeed:
    """The device, with the work of fitting it as it is where the machine stands."""
    work = device.reused.slowed(slowed)
    return replace(device, bought=replace(device.bought, work=work.work), reused=work)


def _less_old_motor(machine: Machine, device: StockNeed) -> StockNeed:
    """The device, with what the machine's own motor fetches when it is taken out."""
    if not machine.old_motor_worth_cents:
        return device
    sold = Bundle(charges=(Charge(f"old motor of {machine.name}, sold", -machine.old_motor_worth_cents),))
    return replace(device, bought=device.bought + sold, reused=device.reused + sold)


def _device(facts: Facts, machine: Machine, need: Need, recipe: str) -> StockNeed:
    work = facts.expanded(recipe, machine)
    return StockNeed(Item(need.spec), Bundle((need,)) + work, reused=work)
