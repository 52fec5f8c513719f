"""What of a machine's present circuit or plate cannot stand: wire, breaker and receptacle against what the machine asks for.

Such a circuit is not refused: the plan changes it. But nobody should learn that from a shopping list.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal

from costplan.circuits.breaker import appliance_limit_a, motor_limit_a
from costplan.circuits.cords_as_they_stand import asked_of_present_cords
from costplan.circuits.currents import load_current_a, minimum_ampacity_a, text
from costplan.circuits.facts import Facts
from costplan.circuits.listing import LISTING, at_a_panel, turns_on_listing
from costplan.circuits.run_parts import WIRING
from costplan.circuits.size_types import CannotSizeError, Load, Wiring
from costplan.circuits.volts import fed_from
from costplan.circuits.ways import load_of
from costplan.circuits.wire import Asked, current_carrying, largest_on_welders_wire_a, temperature_column
from costplan.files.problems import Problem
from costplan.files.yaml_reader import Trail
from costplan.model.choices import LoadKind, Method
from costplan.model.circuits_there import Present
from costplan.model.pair import Pair
from costplan.model.quoted import only_quoted
from costplan.model.shop import Machine
from costplan.model.spelled_out import placed
from costplan.standards import conductors, receptacles, tables, welders
from costplan.standards.citations import cited

UNSAFE = (
    "is that really so? It is unsafe as it stands: have it put right first; the plan gives it another circuit"
)

READ_MARKS = (
    "read the marks of its breaker, its receptacle or switch, and the machine: with 75 C at both ends it may stay, write "
    "terminals: 75 then; until it is known the plan gives it another circuit"
)


@dataclass(frozen=True, slots=True)
class _Stands:
    """A present circuit with what its machine draws and what its wires must carry, in amperes, and why."""

    pair: Pair
    trail: Trail
    now: Present
    load: Load
    current_a: Decimal
    ampacity_a: Decimal
    why: str
    asked: Asked
    marks_said: bool

    @property
    def warm(self) -> Asked | None:
        """What is asked where both ends are marked for 75 C; None where marks are said, or change nothing (110.14(C))."""
        unknown = (
            not self.marks_said
            and self.asked.wiring in (Wiring.CONDUIT, Wiring.ARMORED)
            and self.asked.column_c < 75
        )
        return replace(self.asked, column_c=75) if unknown else None

    @property
    def receptacle(self) -> receptacles.Configuration | None:
        """Its receptacle; None where it is hard-wired."""
        return receptacles.known(self.now.configuration)

    def told(self, code: str, word: str, message: str, mend: str = UNSAFE) -> Problem:
        """A question about it."""
        said = cited(message, self.pair.shop.code.edition)
        return self.pair.in_shop(code, (*self.trail, "now", word), said, mend, question=True)


def asked_as_it_stands(pair: Pair, facts: Facts) -> Iterator[Problem]:
    """Questions of `check` about circuits that are there and unsafe, or smaller than their machines ask for, and about
    breakers on plates below what wires must carry."""
    yield from asked_of_present_cords(pair, facts)
    shop = placed(pair.shop)
    for trail, machine in pair.machines():
        if not machine.volts or only_quoted(pair.shop, machine):
            continue
        yield from _plate(pair, trail, machine)
        yield from _appliance(pair, trail, machine)
        yield from _listing(pair, facts, trail, machine)
        if trail[0] != "machines" or machine.now is None or machine.arrives or machine.now.drive is not None:
            continue
        here = shop.machines[int(trail[1])].at
        stands = _stands(pair, facts, trail, machine, machine.now, here)
        if stands is not None:
            yield from _mating(stands, machine)
            yield from _wire(stands)
            yield from _breaker(stands)


def _plate(pair: Pair, trail: Trail, machine: Machine) -> Iterator[Problem]:
    """Questions about the maker's breaker, where it is below what the wires must carry."""
    load = load_of(machine)
    try:
        ampacity_a, reason = minimum_ampacity_a(load, load_current_a(load)[0])
    except (CannotSizeError, LookupError):
        return
    for word, said_a in (("breaker", load.maker_breaker_a), ("largest_breaker", load.breaker_at_most_a)):
        if said_a is not None and said_a < ampacity_a:
            message = f"is {said_a} A, below what its wires must carry ({reason.detail}; {reason.source})"
            mend = "read amperes, hp and breaker again; as it stands, the breaker of the plate counts (NEC 110.3(B))"
            said = cited(message, pair.shop.code.edition)
            yield pair.in_shop("plate-breaker-small", (*trail, word), said, mend, question=True)


def _appliance(pair: Pair, trail: Trail, machine: Machine) -> Iterator[Problem]:
    """Questions about a heater whose plug is for more than its breaker may be, unless its plate names a larger one."""
    load, plug = load_of(machine), receptacles.known(machine.plug)
    try:
        current_a = load_current_a(load)[0]
    except (CannotSizeError, LookupError):
        return
    limit_a = appliance_limit_a(load, current_a)
    there_a = int(machine.now.breaker_a) if machine.now is not None else 0
    by_plug_a = 0 if plug is None or load.plug is None else plug.rating_a
    if limit_a is None or max(by_plug_a, there_a) <= limit_a:
        return
    what = f"a breaker of {there_a} A" if there_a > limit_a else f"its plug, {machine.plug},"
    message = (
        f"is {text(current_a)} A of heat, whose breaker is at most {limit_a} A, 150 % or the next standard size, unless its "
        f"plate names a larger one (NFPA 70 422.11(E), from memory); {what} is for {max(by_plug_a, there_a)} A"
    )
    mend = "read the largest breaker or fuse off its plate and write largest_breaker:; as it stands, the smaller one is taken"
    yield pair.in_shop("heater-breaker", (*trail, "amps"), message, mend, question=True)


def _listing(pair: Pair, facts: Facts, trail: Trail, machine: Machine) -> Iterator[Problem]:
    """Questions about a motor with a plug whose circuit turns on the machine's listing, which nobody said."""
    load = at_a_panel(pair.shop.panels, load_of(machine))
    if (
        load is None
        or load.amps_a is None
        or not (turns := turns_on_listing(load, facts.rules_at(machine.at)))
    ):
        return
    message = (
        f"makes a circuit of {turns}: amperes rule beside horsepower only on a listed machine ({LISTING})"
    )
    mend = "look for a testing laboratory's mark: write listed: true or false; as it stands, it is taken as listed"
    yield pair.in_shop(
        "listing-unsaid", (*trail, "amps"), cited(message, pair.shop.code.edition), mend, question=True
    )


def _stands(
    pair: Pair, facts: Facts, trail: Trail, machine: Machine, now: Present, here: str
) -> _Stands | None:
    """The present circuit as it is judged; None where other questions come first, of volts, sizes or places."""
    panel = facts.panels.get(now.panel)
    fed = None if panel is None else fed_from(panel, load_of(machine))
    if (
        fed is None
        or fed.load is None
        or (now.configuration and receptacles.known(now.configuration) is None)
    ):
        return None
    load = fed.load
    space = facts.place_of_panel(now.panel) if now.method is Method.CORD else now.place or here
    rules = facts.rules_at(space)
    try:
        current_a, _ = load_current_a(load)
        ampacity_a, reason = minimum_ampacity_a(load, current_a)
        column = temperature_column(load, WIRING[now.method], rules, ampacity_a)
        asked = Asked(WIRING[now.method], current_carrying(load), ampacity_a, rules.ambient_c, *column)
        asked.protection_a(now.awg)
    except (CannotSizeError, LookupError, ValueError):
        return None
    why = f"{reason.detail}; {reason.source}"
    said = load.terminals_c is not None or "terminals_c" in pair.shop.code.model_fields_set
    return _Stands(pair, trail, now, load, current_a, ampacity_a, why, asked, said)


def _mating(stands: _Stands, machine: Machine) -> Iterator[Problem]:
    """Questions about a plug that does not go into the receptacle, and about a receptacle that carries too little."""
    device, plug, now = stands.receptacle, receptacles.known(machine.plug), stands.now
    if device is None:
        return
    if plug is not None:
        mates = device in receptacles.taking(plug.code)
        adapted = now.cord is not None and device.system == plug.system
        if not mates and not adapted:
            between = " through its cord" if now.cord is not None else ""
            message = f"is {device.code}, into which the machine's plug, {plug.code}, does not go{between}"
            mend = "read both faces again; is there an adapter? It is unsafe as it stands, and the plan puts in what fits"
            yield stands.told("now-plug-mates", "configuration", message, mend)
    asks_a = stands.ampacity_a if stands.load.kind is LoadKind.WELDER else stands.current_a
    if asks_a > device.rating_a:
        message = (
            f"is {device.code}, which carries {device.rating_a} A, but the machine draws {text(asks_a)} A"
        )
        yield stands.told("now-receptacle-load", "configuration", message)
    elif stands.load.kind is not LoadKind.WELDER:
        yield from _one_of_two(stands, device, plug)


def _one_of_two(
    stands: _Stands, device: receptacles.Configuration, plug: receptacles.Configuration | None
) -> Iterator[Problem]:
    """Questions about a receptacle that is one of two openings, or may be, and then carries too little (210.21(B)(2))."""
    now, breaker_a = stands.now, stands.now.breaker_a
    most_a = receptacles.one_of_two_carries_a(device.rating_a, breaker_a)
    if most_a is None or stands.current_a <= most_a:
        return
    source = tables.cite(receptacles.PLUGGED_LOADS)
    draws = f"and the machine draws {text(stands.current_a)} A"
    if device.rating_a < breaker_a:
        fitting = (known.code for known in receptacles.taking(device.code) if known.rating_a >= breaker_a)
        wider = next(fitting, "larger")
        message = (
            f"is {device.code} on a circuit of {text(breaker_a)} A: one alone is too small (210.21(B)(1)), one of two "
            f"carries {most_a} A of a machine with a plug at most ({source}), {draws}"
        )
        mend = f"the plan puts in a {wider} one{'' if plug is None else ', which takes its plug'}; read both faces again"
        yield stands.told("now-receptacle-load", "configuration", message, mend)
    elif now.duplex or (now.duplex is None and receptacles.made_in_twos(device.code)):
        kind = "a duplex" if now.duplex else "mostly a duplex"
        message = (
            f"is {device.code}, {kind}, each opening of which carries {most_a} A of a machine with a plug at most "
            f"({source}), {draws}"
        )
        known = "" if now.duplex else "; or has it one opening already?"
        mend = f"have a single one put in, alone on its circuit, and write duplex: false{known}"
        yield stands.told("now-duplex-load", "configuration", message, mend)


def _wire(stands: _Stands) -> Iterator[Problem]:
    """Questions about wire that carries too little for the machine, or that its breaker does not protect."""
    now, asked, load = stands.now, stands.asked, stands.load
    carries_a, breaker_a = asked.ampacity_a(now.awg), int(now.breaker_a)
    warm = stands.warm
    if carries_a < stands.ampacity_a:
        message = (
            f"is {now.awg} AWG, which carries {text(carries_a)} A at {asked.column_c} C{_at_75(warm, now.awg)}, but the "
            f"machine asks for {text(stands.ampacity_a)} A ({stands.why})"
        )
        carries = warm is not None and warm.ampacity_a(now.awg) >= stands.ampacity_a
        if load.kind.welds:
            carries = carries and breaker_a <= largest_on_welders_wire_a(load, now.awg, 75)
        elif warm is not None and not (load.motor and now.configuration is None):
            carries = carries and breaker_a <= warm.protection_a(now.awg)
        yield stands.told("now-wire-thin", "awg", message, READ_MARKS if carries else UNSAFE)
    if breaker_a <= asked.protection_a(now.awg):
        return
    if load.motor and now.configuration is None:
        limit_a = motor_limit_a(load, stands.current_a)
        if breaker_a > limit_a:
            motor = f"a motor of {text(stands.current_a)} A"
            message = f"is {breaker_a} A, above the {limit_a} A that {motor} may have (NEC 430.52)"
            yield stands.told("now-breaker-large", "breaker", message)
    elif load.kind.welds:
        yield _of_a_welder(stands)
    else:
        marks = "" if asked.wiring is Wiring.CORD else f" with terminals for {asked.column_c} C"
        protects = warm is not None and breaker_a <= warm.protection_a(now.awg)
        also = f", {warm.protection_a(now.awg)} A with 75 C" if warm is not None and protects else ""
        message = (
            f"is {breaker_a} A on {now.awg} AWG, which at most {asked.protection_a(now.awg)} A protect{marks}{also} "
            "(NEC 240.4(B), (D), 110.14(C))"
        )
        stays = protects and warm is not None and warm.ampacity_a(now.awg) >= stands.ampacity_a
        yield stands.told("now-wire-breaker", "breaker", message, READ_MARKS if stays else UNSAFE)


def _of_a_welder(stands: _Stands) -> Problem:
    """A question about a welder's breaker above its wire: for it alone, or above that too (NFPA 70 630.12(B), 630.32(B))."""
    now, load, breaker_a = stands.now, stands.load, int(stands.now.breaker_a)
    rule = welders.cite_rule("wire", resistance=load.kind.resistance)
    column_c = None if stands.asked.wiring is Wiring.CORD else stands.asked.column_c
    most_a = largest_on_welders_wire_a(load, now.awg, column_c)
    if breaker_a <= most_a:
        message = f"is {breaker_a} A on {now.awg} AWG, which is for this welder alone ({rule}, 240.4(G))"
        ordinary = stands.warm is not None and breaker_a <= stands.warm.protection_a(now.awg)
        alone = (
            "With marks for 75 C at both ends it is an ordinary circuit, write terminals: 75 then; else more than the welder "
            "on it could overheat the wire"
            if ordinary
            else "A larger load on it would overheat the wire"
        )
        mend = f"is the outlet marked for the welder only? {alone}"
        return stands.told("now-welder-wire", "breaker", message, mend)
    warm, warm_a = stands.warm, largest_on_welders_wire_a(load, now.awg, 75)
    stays = breaker_a <= warm_a and warm is not None and warm.ampacity_a(now.awg) >= stands.ampacity_a
    message = (
        f"is {breaker_a} A on {now.awg} AWG, which may have {most_a} A at most for this welder alone, by the wire's "
        f"{column_c or conductors.terminal_column_c()} C column{f', {warm_a} A by that of 75 C' if stays else ''} "
        f"({rule}, 240.4(G), 110.14(C))"
    )
    return stands.told("now-wire-breaker", "breaker", message, READ_MARKS if stays else UNSAFE)


def _at_75(warm: Asked | None, awg: str) -> str:
    return "" if warm is None else f" ({text(warm.ampacity_a(awg))} A at 75 C)"


def _breaker(stands: _Stands) -> Iterator[Problem]:
    """Questions about a breaker below what the machine draws, or a continuous load's 125 % (NFPA 70 210.20(A))."""
    load, breaker_a = stands.load, int(stands.now.breaker_a)
    draws_a = stands.current_a if load.motor else stands.ampacity_a
    if breaker_a < draws_a:
        message = f"is {breaker_a} A, but the machine asks for {text(draws_a)} A"
        mend = "read handle and plate again; it opens in use, and the plan gives it a larger one"
        yield stands.told("now-breaker-small", "breaker", message, mend)
