"""What turns on facts nobody said: ground-fault protection and tamper-resistant receptacles that are priced, or not, for an
unknown edition, place or use."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from costplan.circuits.circuit import Builder, Circuit
from costplan.circuits.facts import Facts
from costplan.circuits.ground_fault import NEWEST_READING, ONE_LINE_V, ground_fault
from costplan.circuits.needs import Bundle, Item, Need
from costplan.circuits.receptacle_marks import Asked, listed, tamper_resistant
from costplan.circuits.run_parts import (
    breaker_need,
    may_protect,
    receptacle_need,
)
from costplan.circuits.size_types import CircuitSize
from costplan.circuits.things import Made, PartKind
from costplan.ledger.holding import written
from costplan.ledger.pricing import TODAY, Pricer
from costplan.ledger.steps import Act
from costplan.model.choices import Method
from costplan.model.money import format_cents, to_cents
from costplan.model.ratings import GROUND_FAULT, TAMPER_RESISTANT
from costplan.program.ranked import Ranked
from costplan.sourcing.market import Market
from costplan.studies.hinges import pricer_of
from costplan.years.calendar import first_standings

EDITIONS = (2014, 2017, 2020, NEWEST_READING)
"""Editions in use, by which 210.8 differs."""


@dataclass(frozen=True, slots=True)
class Turning:
    """Protection, of people or against tampering, of circuits alike that turns on what nobody said.

    `cents` is what it adds to one circuit, None where nobody sells such a device at a price.
    `others` take turns on the circuit of `machine`, whose one breaker protects them as well.
    """

    machine: str
    count: int
    cents: int | None
    others: tuple[str, ...] = ()

    @property
    def all_cents(self) -> int:
        """What it adds to all of them, as far as it is known."""
        return (self.cents or 0) * self.count


def turns_on_edition(facts: Facts, circuit: Circuit) -> bool:
    """Whether the edition, which nobody said, decides its protection."""
    if facts.shop.code.edition is not None or not circuit.size.protected:
        return False
    return any(not _asked(facts, circuit, edition) for edition in EDITIONS)


def turns_on_place(facts: Facts, circuit: Circuit) -> bool:
    """Whether what NEC 210.8(B) makes of its place, which nobody said, decides its protection."""
    rules = facts.rules_at(space_of(facts, circuit), circuit.standing.there)
    if circuit.size.protected or rules.occupancy.dwelling or rules.ground_fault_place is not None:
        return False
    return _asked(facts, circuit, rules.edition or NEWEST_READING, listed=True)


def turns_on_machine(facts: Facts, circuit: Circuit) -> bool:
    """Whether a cord leads from an outlet without protection to a machine at whose place an outlet would have it.

    By its letter NFPA 70 210.8 goes by the receptacle; in the field one protects it (common practice, no source).
    """
    if _method(circuit) is not Method.CORD or circuit.size.protected or turns_on_place(facts, circuit):
        return False
    rules = facts.rules_at(circuit.standing.place, circuit.standing.there)
    size = circuit.size
    return ground_fault(circuit.supplied.load, size.configuration, size.breaker_a, rules)[0]


def space_of(facts: Facts, circuit: Circuit) -> str:
    """The place whose rules hold for an outlet: the panel's where it is beside that."""
    beside = circuit.outlet_place not in facts.spaces
    return facts.place_of_panel(circuit.panel) if beside else circuit.outlet_place


def _asked(facts: Facts, circuit: Circuit, edition: int, *, listed: bool = False) -> bool:
    rules = replace(facts.rules_at(space_of(facts, circuit), circuit.standing.there), edition=edition)
    if listed:
        rules = replace(rules, ground_fault_place=True)
    return ground_fault(circuit.supplied.load, circuit.size.configuration, circuit.size.breaker_a, rules)[0]


def _tampering(facts: Facts, circuit: Circuit, edition: int | None = None) -> Asked:
    rules = facts.rules_at(space_of(facts, circuit))
    rules = rules if edition is None else replace(rules, edition=edition)
    return tamper_resistant(circuit.size.configuration, _method(circuit), rules)


def _method(circuit: Circuit) -> Method:
    run = circuit.outlet.item.outlet.run
    assert run is not None
    return run


def extra_cents(pricer: Pricer, circuit: Circuit, outlets: int = 1) -> int | None:
    """What ground-fault protection adds to a circuit today: the cheaper of breaker and receptacle with it, less the plain ones.

    outlets: how many outlets of it have a receptacle of their own, where machines that take turns share its breaker.
    With its tax and the hours that differ, as a counter sells one; None where nobody has a price for either.
    """
    plain = replace(circuit.size, ground_fault=False, ground_fault_receptacle=False)
    without = _devices_cents(pricer, circuit, plain)
    by_breaker = _devices_cents(pricer, circuit, replace(plain, ground_fault=True))
    marks = listed(circuit.receptacle)
    in_receptacle = may_protect(pricer.facts, _method(circuit), plain.configuration, marks)
    if in_receptacle and circuit.supplied.load.volts == ONE_LINE_V:
        by_receptacle = _devices_cents(pricer, circuit, replace(plain, ground_fault_receptacle=True))
    else:
        by_receptacle = None
    if without is None:
        return None
    extras = [by_breaker - without] if by_breaker is not None else []
    extras += [(by_receptacle - without) * outlets] if by_receptacle is not None else []
    return min(extras, default=None)


def _devices_cents(pricer: Pricer, circuit: Circuit, size: CircuitSize) -> int | None:
    """What the breaker and the receptacle of a circuit take today; None where one has no price."""
    facts = pricer.facts
    most_a = int(dict(circuit.breaker.item.spec.at_most)["rating_a"])
    breaker = breaker_need(facts, circuit.panel, size, most_a, ground_fault=size.ground_fault)
    receptacle = receptacle_need(size, listed=listed(circuit.receptacle))
    prices = [_price_cents(pricer.market, need) for need in (breaker, receptacle)]
    work = facts.expanded("ground-fault breaker" if size.ground_fault else "breaker", size=size)
    lacking = [need for need in work.needs if pricer.market.forecast(need) is None]
    if lacking or any(price is None for price in prices):
        return None
    work = work.slowed(facts.slowed_at_panel(circuit.panel))
    lines = pricer.effort(Bundle((), work.work, work.charges), TODAY, "", "")
    return sum(price or 0 for price in prices) + sum(line.amount_cents for line in lines)


def _price_cents(market: Market, need: Need) -> int | None:
    bought = market.forecast(need)
    return None if bought is None else to_cents(bought.cost_cents)


@dataclass(frozen=True, slots=True)
class _Made:
    """Circuits alike, or one that machines share: who is on it, and how many outlets with a receptacle it has.

    `serves` are the circuits of all machines on it, `circuit` the first of them.
    """

    names: tuple[str, ...]
    count: int
    circuit: Circuit
    outlets: frozenset[Item]
    serves: tuple[Circuit, ...]

    def protected_cents(self, pricer: Pricer) -> int | None:
        """What ground-fault protection adds."""
        return extra_cents(pricer, self.circuit, len(self.outlets))

    def resistant_cents(self, pricer: Pricer) -> int | None:
        """What tamper-resistant receptacles cost more than plain ones."""
        marks = {*listed(self.circuit.receptacle)}
        plain, other = (
            _price_cents(pricer.market, receptacle_need(self.circuit.size, listed=tuple(each)))
            for each in (marks - {TAMPER_RESISTANT}, marks | {TAMPER_RESISTANT})
        )
        return None if plain is None or other is None else (other - plain) * len(self.outlets)

    def has_resistant(self, facts: Facts) -> bool:
        """Whether a tamper-resistant receptacle for it is on offer; what nobody offers is asked for beside the machine."""
        size = self.circuit.size
        protects = (GROUND_FAULT,) if size.ground_fault_receptacle else ()
        return facts.has_receptacle(size.configuration, TAMPER_RESISTANT, *protects)


def _made_today(facts: Facts, ranked: Ranked) -> Iterator[_Made]:
    """Circuits that end in a receptacle whose breaker or receptacle is bought today; those on one breaker are one."""
    standings = first_standings(facts.shop)
    bought = {
        line.step.machine
        for line in ranked.lines
        if line.year == 0 and line.step is not None and _device_bought(line.step.act, line.step.kind)
    }
    together: dict[object, list[_Made]] = {}
    for name, way, count in ranked.plan.made_here():
        standing = standings.get(name)
        if standing is None or standing.year:
            continue
        circuit: Circuit = Builder(facts, facts.machines[name], way).build(standing)
        if circuit.size.configuration is not None:
            key = ranked.plan.shared_by(circuit) or (name, way)
            made = _Made((name,), count, circuit, frozenset({circuit.outlet.item}), (circuit,))
            together.setdefault(key, []).append(made)
    for found in together.values():
        names = tuple(dict.fromkeys(name for made in found for name in made.names))
        if bought.isdisjoint(names):
            continue
        shared = len(found) > 1 or ranked.plan.shared_by(found[0].circuit) is not None
        outlets = frozenset(item for made in found for item in made.outlets)
        serves = tuple(made.circuit for made in found)
        yield _Made(names, 1 if shared else found[0].count, found[0].circuit, outlets, serves)


def _device_bought(act: Act, kind: str) -> bool:
    return act is Act.BUY and kind in (Made.OUTLET, PartKind.BREAKER, PartKind.RECEPTACLE)


# in words -----------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Unsaid:
    """An answer that nobody gave: on which of today's circuits it turns, what it adds to one, and what is said of it.

    `words` have the amounts in place of `{told}`.
    """

    turns: Callable[[Facts, _Made], bool]
    adds: Callable[[_Made, Pricer], int | None]
    words: str


def _tampering_turns_on_edition(facts: Facts, made: _Made) -> bool:
    if facts.shop.code.edition is not None or TAMPER_RESISTANT not in listed(made.circuit.receptacle):
        return False
    return made.has_resistant(facts) and any(
        _tampering(facts, made.circuit, edition) is not Asked.YES for edition in EDITIONS
    )


EDITION = Unsaid(
    lambda facts, made: turns_on_edition(facts, made.circuit),
    _Made.protected_cents,
    "code edition unknown: where editions differ on ground-fault protection the dearer one is priced; ask the "
    "inspector; {told} turns on it",
)
"""Protection that is priced though some edition in use does not ask for it."""
EDITION_FOR_RESISTANT = Unsaid(
    _tampering_turns_on_edition,
    _Made.resistant_cents,
    "code edition unknown: before 2017 receptacles of 250 V are not asked to be tamper-resistant (NEC 406.12), "
    "here they are; {told} of today's total turns on it",
)
"""Tamper-resistant receptacles that are priced though some edition in use does not ask for them."""
SMALL_CHILDREN = Unsaid(
    lambda facts, made: made.has_resistant(facts) and _tampering(facts, made.circuit) is Asked.UNSAID,
    _Made.resistant_cents,
    "nobody said whether it is a preschool, an elementary school or child care (small_children), so receptacles are "
    "priced as in other schools; where it is, tamper-resistant ones (NEC 406.12) are {told} more",
)
"""Plain receptacles that would be tamper-resistant if small children are there."""
PLACE = Unsaid(
    lambda facts, made: turns_on_place(facts, made.circuit),
    _Made.protected_cents,
    "nobody said whether these outlets are in a place that NEC 210.8(B) lists, as a service bay or a damp room "
    "(ground_fault_place), so the total has no protection for it; where they are, {told} more; ask the inspector",
)
"""Circuits without protection that would have it if their place were listed."""
AT_THE_MACHINES = Unsaid(
    lambda facts, made: any(turns_on_machine(facts, circuit) for circuit in made.serves),
    _Made.protected_cents,
    "cords lead from outlets beside the panel, which no section asks to protect, to machines in a place where outlets "
    "are protected (NEC 210.8 goes by the receptacle): protecting these outlets as well is {told} more, in no total "
    "here; where cords win by less than that, it decides: ask the electrician and the inspector",
)
"""Outlets beside the panel without protection, that would have it where a machine on their cord stands."""
UNSAID = (EDITION, EDITION_FOR_RESISTANT, SMALL_CHILDREN, PLACE, AT_THE_MACHINES)


def turning_on(unsaid: Unsaid, facts: Facts, ranked: Ranked) -> tuple[Turning, ...]:
    """Circuits made today that turn on what nobody said."""
    pricer = pricer_of(facts, ranked)
    return tuple(
        Turning(made.names[0], made.count, unsaid.adds(made, pricer), made.names[1:])
        for made in _made_today(facts, ranked)
        if unsaid.turns(facts, made)
    )


@dataclass(frozen=True, slots=True)
class InQuestion:
    """Ground-fault protection of today's circuits that turns on what nobody said, in cents.

    `priced_cents` is in the total though some edition does not ask for it; `left_out_cents` is in no total and may be asked
    for. `unpriced` says that some of what is left out has no price.
    """

    priced_cents: int
    left_out_cents: int
    unpriced: bool


def in_question(facts: Facts, ranked: Ranked) -> InQuestion:
    """What of ground-fault protection is in a plan's cash of today, or is not, though nobody knows whether it is asked for."""
    priced = turning_on(EDITION, facts, ranked)
    left_out = [entry for unsaid in (PLACE, AT_THE_MACHINES) for entry in turning_on(unsaid, facts, ranked)]
    return InQuestion(
        sum(entry.all_cents for entry in priced),
        sum(entry.all_cents for entry in left_out),
        any(entry.cents is None for entry in left_out),
    )


def unknown_words(facts: Facts, best: Ranked) -> Iterator[str]:
    """What is asked of edition and places, with the money of today that turns on it, by circuit and in all."""
    for unsaid in UNSAID:
        told = _told(facts, turning_on(unsaid, facts, best))
        if unsaid is EDITION and facts.shop.code.edition is None and best.plan.made_here():
            told = f"{told} of today's total" if told else "of today's circuits none"
        if told:
            yield unsaid.words.format(told=told)


def _told(facts: Facts, found: tuple[Turning, ...]) -> str:
    """The amounts of all circuits and of each; empty where there is none."""
    if not found:
        return ""
    each: dict[str, list[Turning]] = {}
    for entry in found:
        names = dict.fromkeys(written(facts, name) for name in (entry.machine, *entry.others))
        each.setdefault(" and ".join(names), []).append(entry)
    listed = ", ".join(
        f"{name} {' + '.join(dict.fromkeys(_amount(entry) for entry in entries))}"
        for name, entries in each.items()
    )
    least = "at least " if any(entry.cents is None for entry in found) else ""
    in_all = format_cents(sum(entry.all_cents for entry in found))
    return f"{least}{facts.shop.currency} {in_all} ({listed})"


def _amount(entry: Turning) -> str:
    if entry.cents is None:
        return "no price for such a device"
    times = f"{entry.count} x " if entry.count > 1 else ""
    return f"{times}{format_cents(entry.cents)}"
