"""Rules over what nobody sees from outside of an outlet that is there: two openings or one, and its ground."""

from collections.abc import Iterator
from decimal import Decimal

from costplan.checks.check_plates import drawn_at_a
from costplan.files.problems import Problem
from costplan.files.yaml_reader import Trail
from costplan.model.choices import Method
from costplan.model.circuits_there import Installed, Present
from costplan.model.installed import installed_size, protected_to_a, usual_ground_awg
from costplan.model.pair import Pair, Rule, plain
from costplan.model.shop import Machine
from costplan.standards import conductors, overcurrent, receptacles, tables

LARGEST_SHARED_A = 30
"""Circuits above it have no machines beside each other (NFPA 70 210.23(C), from memory)."""
PLUGGED_SHARE, FASTENED_SHARE = Decimal("0.8"), Decimal("0.5")
"""What one machine with a plug, or one fastened in place, may draw of a circuit with others (NFPA 70 210.23(A), (B))."""


def small_receptacles_are_duplex(pair: Pair) -> Iterator[Problem]:
    """A receptacle of fewer amperes than its breaker is one of two openings, 15 A on 20 A; else it is too small."""
    for word, trail, outlet in pair.outlets_there():
        device, breaker_a = receptacles.known(outlet.configuration), outlet.breaker_a
        if device is None or breaker_a is None or device.rating_a >= breaker_a:
            continue
        if not receptacles.may_be_behind(device.rating_a, breaker_a):
            continue
        if isinstance(outlet, Present) and _is_exchanged(pair, trail, device, breaker_a):
            continue
        where = (*trail, "configuration")
        name = f"is {device.code}, {device.rating_a} A, on a circuit of {plain(breaker_a)} A"
        if outlet.duplex is None:
            message = f"{name}, which only a duplex may be (NFPA 70 210.21(B)(1), {tables.cite(receptacles.CIRCUITS)})"
            mend = "has it two openings or one? Write duplex: true or false; as it stands, it is taken for a duplex"
            yield pair.in_shop(f"{word}-duplex", where, message, mend, question=True)
        elif not outlet.duplex:
            message = f"{name}, and alone on it: too small by NFPA 70 210.21(B)(1)"
            mend = f"have a receptacle of {plain(breaker_a)} A put in first, and write that"
            yield pair.in_shop(f"{word}-receptacle-small", where, message, mend)


def _is_exchanged(pair: Pair, trail: Trail, device: receptacles.Configuration, breaker_a: Decimal) -> bool:
    """Whether a machine draws too much for one of two openings, so that the receptacle goes whatever it has (210.21(B)(2))."""
    drawn_a = drawn_at_a(pair.shop.machines[int(trail[1])], device)
    return drawn_a is not None and not receptacles.carries(device.rating_a, breaker_a, drawn_a)


def grounds_suit_their_breakers(pair: Pair) -> Iterator[Problem]:
    """Questions about a ground that is said to be too thin for its breaker, and about one that may be, where nobody said."""
    for word, trail, outlet in pair.outlets_there():
        where = (*trail, "ground_awg")
        if outlet.ground_awg is not None and not conductors.is_awg(outlet.ground_awg):
            mend = "write AWG as it is printed on the jacket, 12/2 with 12 ground: 14, 12, 10"
            yield pair.in_shop(f"{word}-ground", where, f'is "{outlet.ground_awg}", not a wire size', mend)
            continue
        sizes = _sizes(pair, outlet)
        if sizes is None:
            continue
        breaker_a, awg = sizes
        asked = conductors.least_ground_awg(breaker_a, awg)
        source = f"{tables.cite(conductors.GROUNDING)}"
        if outlet.ground_awg is not None:
            if conductors.awg_rank(outlet.ground_awg) < conductors.awg_rank(asked):
                message = f"is {outlet.ground_awg} AWG, but behind {breaker_a} A a ground has {asked} AWG ({source})"
                there = word == "now"
                mend = (
                    "is that really so? It is unsafe as it stands; the plan keeps it behind a smaller breaker only"
                    if there
                    else "have it put right first, or leave the outlet out"
                )
                yield pair.in_shop(f"{word}-ground-thin", where, message, mend, question=there)
            continue
        usual = usual_ground_awg(awg)
        if conductors.awg_rank(asked) > conductors.awg_rank(usual):
            message = (
                f"is {breaker_a} A on {awg} AWG, which asks for a ground of {asked} AWG ({source}), "
                f"and a run of {awg} AWG mostly has {usual}"
            )
            conduit = outlet.method is Method.CONDUIT
            look = "see whether a wire or the metal conduit is its ground" if conduit else "read the jacket"
            mend = f"{look} and write ground_awg:; as it stands, its ground is taken to be thick enough"
            yield pair.in_shop(f"{word}-ground-unknown", (*trail, "breaker"), message, mend, question=True)


def _sizes(pair: Pair, outlet: Present | Installed) -> tuple[int, str] | None:
    """Its breaker in amperes and its wire; None where either is complained of elsewhere."""
    try:
        if isinstance(outlet, Installed):
            size = installed_size(outlet)
            breaker_a, awg = Decimal(size.breaker_a), size.awg
        else:
            breaker_a, awg = outlet.breaker_a, outlet.awg
        protected_to_a(awg)
        conductors.grounding_conductor_awg(int(breaker_a))
    except (LookupError, ValueError):
        return None
    standard = breaker_a in overcurrent.standard_sizes_a(pair.shop.code.edition)
    return (int(breaker_a), awg) if standard else None


def shared_circuits_carry_their_machines(pair: Pair) -> Iterator[Problem]:
    """A machine whose circuit has other outlets or loads is small enough for that, and needs none to itself."""
    for index, machine in enumerate(pair.shop.machines):
        now = machine.now
        if now is None or now.alone is not False:
            continue
        why = _why_alone(machine, now)
        if why:
            message = f"is false, but {why}"
            mend = (
                "leave now: out, so that it gets a circuit of its own; what else is on that one stays there"
            )
            yield pair.in_shop("now-shared", ("machines", index, "now", "alone"), message, mend)


def _why_alone(machine: Machine, now: Present) -> str:
    """Why a machine has its circuit to itself; empty where it may share it. Source: NFPA 70 210.23, 240.4(G), from memory."""
    breaker_a, device = now.breaker_a, receptacles.known(now.configuration)
    if machine.kind.welds:
        return "a welder's breaker is for the welder alone (NFPA 70 630.12, 240.4(G))"
    if breaker_a > LARGEST_SHARED_A:
        return f"a circuit of {plain(breaker_a)} A is for one such machine (NFPA 70 210.23(C), from memory)"
    drawn_a = machine.amps_a if device is None else drawn_at_a(machine, device)
    share, source = (
        (FASTENED_SHARE, "210.23(A)(2)") if device is None else (PLUGGED_SHARE, "210.23(A)(1), (B)(2)")
    )
    if drawn_a is None or drawn_a <= breaker_a * share:
        return ""
    how = "fastened in place" if device is None else "with a plug"
    return (
        f"a machine {how} may draw {plain(breaker_a * share)} A at most beside others on {plain(breaker_a)} A, and it draws "
        f"{plain(drawn_a)} A (NFPA 70 {source}, from memory)"
    )


RULES: tuple[Rule, ...] = (
    small_receptacles_are_duplex,
    grounds_suit_their_breakers,
    shared_circuits_carry_their_machines,
)
