"""The ways of powering a machine, and which of them are open to it."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from itertools import product

from costplan.circuits.size_types import Load
from costplan.model.shop import CordChoices, Electrical, Family, Machine, Method, Service, Shop, System

DROPS = (Method.WALL, Method.CONDUIT, Method.ARMORED)

FEEDS: dict[System, tuple[tuple[int, int, bool], ...]] = {
    System.SINGLE_120_240: ((120, 1, True), (240, 1, True)),
    System.WYE_120_208: ((120, 1, True), (208, 1, True), (208, 3, True)),
    System.DELTA_240: ((240, 1, False), (240, 3, False)),
    System.WYE_277_480: ((480, 1, True), (480, 3, True)),
}
"""Volts, phases and whether a neutral goes with them, by system (IEEE/ANSI C84.1 nominal voltages)."""


@dataclass(frozen=True, slots=True, order=True)
class Way:
    """One way of powering one machine.

    `slack_ft` is the extra machine cord of a drop, or the coil of a cord; `family` is None when hard-wired.
    """

    method: Method
    panel: str
    family: Family | None
    slack_ft: Decimal = Decimal(0)
    spare_conductor: bool = False
    service: Service | None = None

    @property
    def hard_wired(self) -> bool:
        """Whether it ends in a disconnect instead of a receptacle."""
        return self.family is None

    @property
    def signature(self) -> tuple[str, str]:
        """What a person would call a different way: the method with its ending, and the panel."""
        return (self.group, self.panel)

    @property
    def group(self) -> str:
        """The method with its ending, in words."""
        if self.method in DROPS:
            if self.hard_wired:
                return f"{self.method}, hard-wired"
            return f"{self.method}, longer machine cord" if self.slack_ft else str(self.method)
        return str(self.method)

    def describe(self) -> str:
        """The way in one phrase."""
        words = [self.group, f"from {self.panel}"]
        if self.family:
            words.append(f"{self.family} ends")
        if self.method is Method.CORD:
            words.append(f"{self.slack_ft:f} ft slack" if self.slack_ft else "no slack")
        elif self.slack_ft:
            words.append(f"{self.slack_ft:f} ft longer")
        if self.spare_conductor:
            words.append("spare conductor")
        if self.service:
            words.append(f"{self.service} service")
        return ", ".join(words)


def load_of(nameplate: Electrical, *, motor: bool) -> Load:
    """The load a nameplate describes."""
    return Load(
        volts=int(nameplate.volts),
        phases=nameplate.phases,
        neutral=nameplate.neutral and nameplate.volts != 120,
        motor=motor,
        hp=nameplate.hp,
        amps_a=nameplate.amps_a,
        continuous=nameplate.continuous,
        maker_breaker_a=int(nameplate.breaker_a) if nameplate.breaker_a is not None else None,
    )


def feeds(system: System, load: Load) -> bool:
    """Whether a panel of this system can feed the load."""
    return any(
        (volts, phases) == (load.volts, load.phases) and (neutral or not load.neutral)
        for volts, phases, neutral in FEEDS[system]
    )


def panels_for(shop: Shop, load: Load) -> list[str]:
    """Names of the panels that can feed the load."""
    return [panel.name for panel in shop.panels if feeds(panel.system, load)]


def refusal(shop: Shop, machine: Machine, method: Method) -> str | None:
    """Why the method is not allowed for the machine, None when it is."""
    if machine.ways.only is not None and method not in machine.ways.only:
        return "the shop file allows only other ways for this machine"
    return machine.ways.forbid.get(method) or shop.building.forbid.get(method)


def all_ways(shop: Shop, machine: Machine, load: Load, *, changes: bool = True) -> Iterator[Way]:
    """Every way of powering the machine that could be built, allowed or not.

    changes: whether it, or the shop, ever moves or is retooled; only then can slack and spare conductors pay.
    """
    for panel in panels_for(shop, load):
        for method in Method:
            yield from _of_method(shop, machine, method, panel, load, changes)


def _of_method(
    shop: Shop, machine: Machine, method: Method, panel: str, load: Load, changes: bool
) -> Iterator[Way]:
    choices = shop.cords
    if not changes:
        choices = choices.model_copy(update={"slack_ft": [min(choices.slack_ft)], "spare_conductor": False})
    if method in DROPS:
        yield from _drops(choices, machine, method, panel, changes)
    elif machine.ways.hard_wired is not True:
        yield from _cords(choices, method, panel, load)


def _drops(
    choices: CordChoices, machine: Machine, method: Method, panel: str, changes: bool
) -> Iterator[Way]:
    hard_wired = machine.ways.hard_wired
    if hard_wired is not False:
        yield Way(method, panel, None)
    if hard_wired is True:
        return
    for family in choices.families:
        for slack in sorted({Decimal(0), *choices.slack_ft}) if changes else [Decimal(0)]:
            for service in choices.service if slack else (None,):
                yield Way(method, panel, family, slack, False, service)


def _cords(choices: CordChoices, method: Method, panel: str, load: Load) -> Iterator[Way]:
    spares = (
        (False, True) if choices.spare_conductor and load.phases == 1 and not _has_four(load) else (False,)
    )
    slacks = choices.slack_ft if method is Method.CORD else [Decimal(0)]
    for family, slack, spare, service in product(choices.families, slacks, spares, choices.service):
        yield Way(method, panel, family, slack, spare, service)


def _has_four(load: Load) -> bool:
    return load.neutral
