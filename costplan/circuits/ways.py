"""The ways of powering a machine, and which of them are open to it."""

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import product

from costplan.circuits.currents import load_current_a, minimum_ampacity_a
from costplan.circuits.numbered import numbered
from costplan.circuits.size_types import CannotSizeError, Load, MotorFit, MotorPlate
from costplan.circuits.volts import best_fed, fed_from, near
from costplan.model import labels
from costplan.model.choices import DROPS, RUNS, Family, LoadKind, Method, Service, Supply, runs_of
from costplan.model.heaters import PORTABLE_HEATER_A, heater_may_stay
from costplan.model.nameplate import Electrical
from costplan.model.shop import CordChoices, Machine, Panel, Shop
from costplan.standards import motor_frames, receptacles


@numbered
@dataclass(frozen=True, order=True)
class Way:
    """One way of powering one machine.

    `slack_ft` is the extra machine cord of a drop, or the coil of a cord; `family` is None when hard-wired.
    `supply` says where a three-phase machine gets its phases; `other_panel` is the panel used once the machine
    is retooled to a load that `panel` cannot feed. `relocated` says that a drop is moved along with its machine
    instead of being made anew; `pooled` that what the machine has today is given up, and what it needs comes from
    what anybody gives up, or is made; `quoted` names a quoted way, which has no sizes; `gone` that the machine is taken
    away today and has none. `sized_by` is the drive that is there for which the circuit is made, a part, empty for the
    smallest on sale; `swaps_drive` that the drive it has today is given up, too. `first_cord_ft` is the length of a cord
    that is there, taken as it is though it is longer than the first place asks for, 0 for no longer than that;
    `exchanges` that at every move its cord is given up for another, or for itself. `ground_fault_receptacle` says that
    where ground-fault protection is needed at 120 V, a receptacle that has it is put in instead of such a breaker.
    `wired_in` says that a cord from beside the panel has no connector but is wired into the machine; `grip` says which
    of the grips that fit its jacket holds a cord that goes into the machine, 0 for the smallest. `beside` is how
    the run to an outlet beside the panel is made, where not by armored cable. `volts` says which of several volts that
    plate and panel have it is fed at, 0 where there is no such choice. `least_awg` is the wire that its run and its cord
    have from the first, since a later load asks for it, empty for no heavier than each load asks for.
    """

    method: Method
    panel: str
    family: Family | None
    slack_ft: Decimal = Decimal(0)
    spare_conductor: bool = False
    service: Service | None = None
    supply: Supply = Supply.PANEL
    other_panel: str = ""
    relocated: bool = False
    pooled: bool = False
    quoted: str = ""
    gone: bool = False
    sized_by: str = ""
    swaps_drive: bool = False
    first_cord_ft: int = 0
    exchanges: bool = False
    ground_fault_receptacle: bool = False
    wired_in: bool = False
    grip: int = 0
    beside: Method | None = None
    volts: int = 0
    least_awg: str = ""

    @property
    def into_machine(self) -> bool:
        """Whether a cord that is made goes into the machine itself: it is wired in, or takes the place of the machine's own."""
        return self.wired_in or (self.method in DROPS and bool(self.slack_ft))

    @property
    def hangs(self) -> bool:
        """Whether its cord ends in a connector at the machine, where it is unplugged."""
        return self.method in (Method.CORD, Method.CEILING) and not self.wired_in

    @property
    def as_built(self) -> "Way":
        """The way as far as its circuits go: what is given up for them makes no other circuit."""
        if not (self.pooled or self.exchanges or self.swaps_drive or self.relocated or self.gone):
            return self
        return replace(self, pooled=False, exchanges=False, swaps_drive=False, relocated=False, gone=False)

    @property
    def run(self) -> "Way":
        """The way as far as its run goes: what its cord is like makes no other run, where the sizes are the same."""
        return replace(
            self.as_built,
            slack_ft=Decimal(0),
            spare_conductor=False,
            service=None,
            first_cord_ft=0,
            grip=0,
        )

    @property
    def hard_wired(self) -> bool:
        """Whether it ends in a disconnect instead of a receptacle."""
        return self.family is None and not self.quoted

    @property
    def signature(self) -> str:
        """The kind of way by which `ledger.same_plan` tells plans apart: method with ending, source, or the quote's name."""
        return self.group

    @property
    def group(self) -> str:
        """The method with its ending, its source of three-phase and its choice of volts, or the quote's name: a key."""
        return self.in_words(labels.KEYS)

    @property
    def label(self) -> str:
        """The group as it is printed."""
        return self.in_words(labels.LABELS)

    @property
    def short(self) -> str:
        """The group as narrow columns have it."""
        return self.in_words(labels.SHORT)

    def in_words(self, words: labels.WayWords, *, at_any_volts: bool = False) -> str:
        """The group in some words, perhaps without the choice of volts."""
        if self.gone:
            return "taken away"
        said = self.quoted or self._run(words)
        if self.supply is not Supply.PANEL and not self.quoted:
            said = f"{self.supply}, {said}"
        return f"{said}, at {self.volts} V" if self.volts and not at_any_volts else said

    def _run(self, words: labels.WayWords) -> str:
        run = words.methods[self.method]
        if self.method in DROPS:
            if self.hard_wired:
                return f"{run}, {words.hard_wired}"
            return f"{run}, {words.longer_cord}" if self.slack_ft else run
        return f"{run}, {words.wired_in}" if self.wired_in else run

    def describe(self) -> str:
        """The way in one phrase."""
        words = [self.label, f"from {self.panel}"] if self.panel else [self.label]
        if self.quoted:
            return ", ".join(words)
        if self.other_panel:
            words.append(f"later from {self.other_panel}")
        if self.family:
            words.append(labels.ENDS[self.family])
        if self.method is Method.CORD:
            words.append(labels.spare_length(self.slack_ft))
        elif self.slack_ft:
            words.append(f"{self.slack_ft:f} ft longer")
        said = {
            "spare conductor": self.spare_conductor,
            labels.JACKETS[self.service] if self.service else "": self.service,
            "moved along": self.relocated,
            f"at first a cord of {self.first_cord_ft} ft": self.first_cord_ft,
            f"for the drive {self.sized_by}": self.sized_by,
            "ground-fault receptacle": self.ground_fault_receptacle,
            "with the larger grip that fits": self.grip,
            "outlet beside the panel in conduit": self.beside is Method.CONDUIT,
            "outlet beside the panel by cable": self.beside is Method.WALL,
            f"wire of {self.least_awg} AWG from the first": self.least_awg,
        }
        return ", ".join([*words, *(word for word, holds in said.items() if holds)])


def may_be_wired_in(machine: Machine) -> bool:
    """Whether a cord may be wired into the machine: it has no plug of its own, or its maker allows that it goes."""
    bare = machine.plug is None or machine.plug_may_change
    return bare and machine.ways.hard_wired is not False


def load_of(machine: Machine, retooled: Electrical | None = None) -> Load:
    """The load that a machine's nameplate describes, or the one that it has once it is retooled."""
    bare = _without_plug(machine, retooled or machine)
    plug = None if machine.plug_may_change and not receptacles.has_ground(machine.plug) else machine.plug
    taken = [known for known in bare.rated if plug is not None and _fits(plug, known.volts, bare)]
    if plug is None or not taken:
        return bare
    # Where another plug may go on its cord, the other volts of its plate stay a choice.
    rated = bare.rated if machine.plug_may_change and machine.cord is not None else tuple(taken)
    bare = replace(bare, volts=taken[-1].volts, amps_a=taken[-1].amps_a, rated=rated)
    outgrown = retooled is not None and _outgrows(bare, plug)
    return bare if outgrown else replace(bare, plug=plug)


def _fits(plug: str, volts: int, load: Load) -> bool:
    return receptacles.fits(plug, volts, load.phases, neutral=load.neutral and volts != 120)


def _outgrows(load: Load, plug: str) -> bool:
    """Whether a retooled machine draws more than the plug that it came with carries; `load` is without the plug."""
    try:
        current_a = load_current_a(load)[0] if load.amps_a is None else load.amps_a
        asked_a = minimum_ampacity_a(load, current_a)[0] if load.kind is LoadKind.WELDER else current_a
        return asked_a > receptacles.find_configuration(plug).rating_a
    except CannotSizeError:
        return False


def _without_plug(machine: Machine, nameplate: Electrical) -> Load:
    return Load(
        volts=int(nameplate.volts),
        phases=nameplate.phases,
        neutral=nameplate.neutral and nameplate.volts != 120,
        kind=machine.kind,
        hp=nameplate.hp,
        amps_a=nameplate.amps_a,
        continuous=machine.kind is LoadKind.HEATER if nameplate.continuous is None else nameplate.continuous,
        maker_breaker_a=_whole(nameplate.breaker_a),
        duty_cycle=machine.duty_cycle,
        effective_a=machine.effective_a,
        breaker_at_most_a=_whole(nameplate.breaker_at_most_a),
        terminals_c=machine.terminals_c,
        listed=machine.listed,
        rated=nameplate.rated(heater=machine.kind is LoadKind.HEATER),
        more=tuple(
            MotorPlate(motor.what, motor.hp, motor.amps_a, motor.phases or nameplate.phases)
            for motor in nameplate.more_motors
        ),
        other_a=nameplate.other_load_a,
        fit=_fit(nameplate),
        least_heat=machine.least_heat,
        one_operation=machine.one_operation,
    )


def _fit(plate: Electrical) -> MotorFit:
    """What a motor in its motor's place must match; a shaft that is not said is that of the frame."""
    shaft_in = plate.shaft_in
    if shaft_in is None and plate.frame is not None:
        shaft_in = motor_frames.shaft_of_frame_in(plate.frame)
    return MotorFit(
        plate.rpm,
        plate.frame,
        shaft_in,
        plate.enclosure,
        plate.two_speed,
        plate.brake,
        plate.control_transformer,
    )


def _whole(amps: Decimal | None) -> int | None:
    return None if amps is None else int(amps)


def feeds(panel: Panel, load: Load) -> bool:
    """Whether a panel can feed the load."""
    fed = fed_from(panel, load)
    return fed is not None and fed.load is not None


def panels_for(panels: Iterable[Panel], load: Load) -> list[str]:
    """Names of the panels that can feed the load."""
    return [panel.name for panel in panels if feeds(panel, load)]


def refusal(shop: Shop, machine: Machine, way: Way) -> str | None:
    """Why the way is not allowed for the machine, None when it is."""
    only = machine.ways.only
    runs = [run for run in runs_of(way.method) if only is None or run in only]
    if not runs:
        return "the shop file allows only other ways for this machine"
    plug = _plug_refuses(machine, way)
    if plug is not None:
        return plug
    if way.method is Method.CORD and not way.quoted and heater_may_stay(machine):
        return UNSAID_HEATER
    if _cord_is_fixed_wiring(machine, way):
        return (
            "it is a heater that never moves, and a cord does not replace fixed wiring (NEC 400.12); where the inspector "
            "accepts one, write ways: {only: [cord]}"
        )
    if _plug_on_bare_heater(machine, way):
        return BARE_HEATER
    supply = machine.ways.forbid_supply.get(way.supply)
    reasons = [machine.ways.forbid.get(run) or supply or shop.building.forbid.get(run) for run in runs]
    return reasons[0] if all(reasons) else None


UNSAID_HEATER = (
    "it is a heater and nobody said whether it stays, and a cord does not replace fixed wiring (NEC 400.12): its fixed run is "
    "priced; where it moves and its maker allows a longer cord, write never_moves: false"
)
"""Why a large heater has no cord until its owner has answered."""


BARE_HEATER = (
    "it is a heater with bare ends, and only one that its maker meant for a cord takes a plug (NEC 422.16(A), from memory), "
    "whose cord would be in no price: where it has one, write its cord: (and its plug:), else it is hard-wired"
)
"""Why a large heater that nobody described a cord of has no plug."""


def _plug_on_bare_heater(machine: Machine, way: Way) -> bool:
    """Whether a large heater that came with bare ends would get a plug; not where the file or what is there says so."""
    bare = machine.plug is None and machine.cord is None and machine.kind is LoadKind.HEATER
    large = (machine.amps_a or 0) > PORTABLE_HEATER_A
    on_plug = machine.now is not None and machine.now.configuration is not None
    asked_for = machine.never_moves is False and "never_moves" in machine.model_fields_set
    asked_for = asked_for or machine.ways.only is not None or machine.ways.hard_wired is False
    return bare and large and not (way.hard_wired or way.quoted or on_plug or asked_for)


def _cord_is_fixed_wiring(machine: Machine, way: Way) -> bool:
    """Whether a cord from beside the panel would stand in for the fixed wiring of a fixed heater (NFPA 70 400.12(1)).

    One that is there today, that somebody quoted, or that the file asks for by `only` is questioned, not refused.
    """
    fixed = machine.never_moves and machine.kind is LoadKind.HEATER
    there = machine.now is not None and machine.now.method is Method.CORD
    return fixed and way.method is Method.CORD and not (way.quoted or there or machine.ways.only is not None)


def _plug_refuses(machine: Machine, way: Way) -> str | None:
    """Why a way would cut off or exchange the plug that a machine came with; None when it does not.

    Exchanging the plug of a listed machine's cord voids its listing (NFPA 70 110.3(B)).
    """
    if machine.plug is None or machine.plug_may_change or way.quoted:
        return None
    if way.supply not in (Supply.PANEL, Supply.TRANSFORMER):
        return _drive_refuses(machine, way)
    told = "; where its maker allows that, write plug_may_change: true"
    if not way.hard_wired and load_of(machine).plug is None and receptacles.known(machine.plug) is not None:
        return f"it came with a plug for other volts ({machine.plug}), which stays{told}"
    if _ends_as_now(machine, way):
        return None
    if way.hard_wired:
        return (
            f"it came with a plug ({machine.plug}), which is not cut off{told}"
            if machine.ways.hard_wired is None
            else None
        )
    if way.method not in DROPS:
        return None
    if way.slack_ft:
        return f"the cord that it came with is not exchanged for a longer one{told}"
    own = receptacles.known(machine.plug)
    if own is not None and own.family != way.family:
        return f"it came with another plug ({machine.plug}), which stays{told}"
    return None


def _drive_refuses(machine: Machine, way: Way) -> str | None:
    """Why a machine's three-phase plug keeps it from a drive or another motor; None for a plug that is the drive's own.

    It would go into an outlet on the drive's output, which no recipe makes (common practice, no source), and no line cord of
    a drive ends in it. A file that asks for hard wiring takes it off, as it does from a panel.
    """
    if load_of(machine).plug is None or (way.hard_wired and machine.ways.hard_wired is True):
        return None
    if machine.now is not None and machine.now.drive is not None:
        return (
            f"its three-phase plug ({machine.plug}) hangs on what its drive puts out, in an outlet that now: does not "
            "describe: leave plug out, or write the one of the drive's line cord"
        )
    allowed = (
        "where its maker allows that the plug comes off, write plug_may_change: true, or hard_wired: true for its ways to wire "
        "the drive for good"
    )
    if way.supply is Supply.MOTOR:
        return f"its plug ({machine.plug}) is three-phase, and another motor would be of one phase; {allowed}"
    return (
        f"its three-phase plug ({machine.plug}) would need an outlet of its own on what a drive puts out, labelled and for "
        "this motor alone, which is not priced: ask the drive's maker whether its output may end in one and what stops it "
        f"before the plug is pulled, and an electrician for it as a quoted way; {allowed}"
    )


def _ends_as_now(machine: Machine, way: Way) -> bool:
    """Whether the machine hangs on such a run with such an ending today, whatever plug the file says that it came with."""
    now = machine.now
    if now is None or now.method is not way.method:
        return False
    device = receptacles.known(now.configuration)
    return way.hard_wired if now.configuration is None else device is not None and device.family == way.family


@dataclass(frozen=True, slots=True, order=True)
class Source:
    """Where a machine's circuits start: a panel, what makes its three phases, and the panel for later loads."""

    panel: str
    supply: Supply = Supply.PANEL
    other_panel: str = ""


def sources(panels: Sequence[Panel], loads: Sequence[Load], supplies: Iterable[Supply]) -> list[Source]:
    """Every place the circuits of a machine could start from.

    loads: what it asks for over the years, today's first; supplies: what may stand between a panel and the machine.
    """
    if not loads:
        return []
    found = [Source(first, Supply.PANEL, other) for first, other in _pairs(panels, loads)]
    for supply in supplies:
        if supply is Supply.TRANSFORMER:
            found += [Source(panel.name, supply) for panel in panels if near(panel, loads[0]) is not None]
        elif any(load.phases == 3 for load in loads):
            asked = [at_single_phase(load) for load in loads]
            found += [Source(first, supply, other) for first, other in _pairs(panels, asked)]
    return list(dict.fromkeys(found))


def at_single_phase(load: Load) -> Load:
    """What a panel must feed where a drive or another motor makes do with one phase; a three-phase plug is not for it."""
    return load if load.phases == 1 else replace(load, phases=1, plug=None)


def _pairs(panels: Sequence[Panel], loads: Sequence[Load]) -> Iterator[tuple[str, str]]:
    """A panel for today's load, and where it cannot feed a later one, each panel that can.

    Where no panel has the load's volts, those of other volts are looked at, and what is in the way is said of them.
    """
    for first, _ in best_fed(panels, loads[0]):
        rest = [load for load in loads if not feeds(first, load)]
        able = [panel.name for panel in panels if all(feeds(panel, load) for load in rest)]
        if not rest or not able:
            yield first.name, ""
        else:
            yield from ((first.name, other) for other in able)


def all_ways(
    shop: Shop,
    machine: Machine,
    sources: Iterable[Source],
    load: Load,
    *,
    changes: bool = True,
    can_relocate: Collection[Method] = (),
) -> Iterator[Way]:
    """Every way of powering the machine that could be built, allowed or not.

    changes: whether it, or the shop, ever moves or is retooled; only then can slack and spare conductors pay.
    can_relocate: methods whose outlets can be moved along, for a machine that moves.
    """
    for source in sources:
        for method in RUNS:
            for way in _of_method(shop, machine, method, source.panel, load, changes):
                if source.supply is Supply.TRANSFORMER and not way.hard_wired:
                    continue
                known = replace(way, supply=source.supply, other_panel=source.other_panel)
                yield known
                if method in can_relocate:
                    yield replace(known, relocated=True)


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
    return load.neutral or receptacles.brings_neutral(load.plug, load.volts)
