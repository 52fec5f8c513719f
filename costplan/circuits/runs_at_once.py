"""What runs at once, asked where nobody said: all machines count as running, which few services carry."""

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, Decimal

from costplan.circuits.capacity import Capacity, Limit, line_amperes, system_of
from costplan.circuits.currents import load_current_a
from costplan.circuits.demand import Draw
from costplan.circuits.facts import Facts
from costplan.circuits.ground_fault import ONE_LINE_V
from costplan.circuits.listing import at_a_panel
from costplan.circuits.size_types import CannotSizeError, Load
from costplan.circuits.supply import counted_va, supplied
from costplan.circuits.ways import load_of, panels_for
from costplan.files.problems import Problem
from costplan.files.yaml_reader import Trail
from costplan.model.choices import Supply
from costplan.model.gear import SERVICE, AtMost, GearKind
from costplan.model.pair import Pair
from costplan.model.shop import Machine
from costplan.model.system import feeds

NEAR = Decimal("0.5")
"""From which share of what is left of a rating it is asked what runs at once, since what is left for more turns on it; a
choice, no source."""

_RAISES = (GearKind.UPGRADE, GearKind.MANAGER, GearKind.UTILITY)
"""Gear that may raise a limit, or hold machines back."""


def asked_what_runs_at_once(pair: Pair, facts: Facts) -> Iterator[Problem]:
    """A question of `check` about each service or panel rating that all machines together come near to, or pass."""
    yield from _passed(pair, facts)
    service = pair.shop.service
    if service is not None and (service.at_once or service.at_most):
        return
    for name, limit, trail, draws, sum_va in _sums(pair, facts):
        if limit.free_va < 0:
            yield _loaded_above(pair, facts, limit, trail)
            continue
        count = sum(draw.count for draw in draws)
        turns = {draw.club for draw in draws if draw.club is not None}
        loads = len(turns) + sum(draw.count for draw in draws if draw.club is None)
        if loads < 2 or sum_va < limit.free_va * NEAR:
            continue
        system = system_of(facts, name)
        together_a, left_a = line_amperes(system, sum_va), line_amperes(system, limit.free_va)
        message = (
            f"leaves {left_a:.1f} A, and the {count} machines that hang on it count for {together_a:.1f} A"
            + (
                ", with the turns that are stated; nothing says which of the others run together"
                if turns
                else " all at once; nothing says which ones run together"
            )
        )
        promised = "service: at_once or at_most, or " if service is not None else ""
        rest = "all but those that take turns" if turns else "all of them"
        mend = f"as it stands, {rest} count as running; write {promised}takes_turns: at those that never run together"
        yield pair.in_shop("runs-at-once", trail, message, mend, question=True)


@dataclass(frozen=True, slots=True)
class Passed:
    """A rating that what runs at once passes from a year on: whose it is, the amperes together, and those left for them."""

    name: str
    together_a: Decimal
    left_a: Decimal
    year: int
    trail: Trail

    @property
    def words(self) -> str:
        """The same in words."""
        whose = "the service" if self.name == SERVICE else self.name
        since = f" from year {self.year} on" if self.year else ""
        draws = f"what runs at once draws up to {self.together_a:.0f} A a line{since}"
        return f"{draws}, and {whose} has {self.left_a:.0f} A for it"


def passed_at_once(pair: Pair, facts: Facts) -> Iterator[Passed]:
    """Each rating that what runs at once passes, in the first year in which it does; at_most counted."""
    found: set[str] = set()
    for year in years_of_change(pair):
        for name, limit, trail, _, sum_va in _sums(pair, facts, year):
            if sum_va > limit.free_va >= 0 and name not in found:
                found.add(name)
                system = system_of(facts, name)
                together_a, left_a = line_amperes(system, sum_va), line_amperes(system, limit.free_va)
                yield Passed(name, together_a, left_a, year, trail)


def _passed(pair: Pair, facts: Facts) -> Iterator[Problem]:
    """A question about each rating that is passed by what was said to run at once, or once all machines are there.

    Where gear may raise a limit, or feed machines past it, the plan decides.
    """
    service = pair.shop.service
    said = service is not None and (service.at_once or service.at_most)
    if any(gear.kind in _RAISES or gear.fed_from == SERVICE for gear in pair.shop.gear):
        return
    for passed in passed_at_once(pair, facts):
        if said or passed.year:
            message = f"is passed: {passed.words}"
            mend = (
                "as it stands compare finds no plan: say who takes turns or how few run at once (service: at_most), or write "
                "gear: a service upgrade, a load manager"
            )
            yield pair.in_shop("passed-at-once", passed.trail, message, mend, question=True)


def years_of_change(pair: Pair) -> list[int]:
    """Today, and the years in which machines of the file arrive."""
    return sorted({0, *(machine.arrives for machine in pair.shop.machines)})


def most_at_once(pair: Pair, facts: Facts) -> int | None:
    """How many of the machines that may wait can run at once within every rating; None where no promise can be written."""
    service = pair.shop.service
    names = [each.name for each in pair.shop.machines if each.takes_turns is None and not each.always_counts]
    if service is None or len(names) < 2:
        return None

    def fits(count: int) -> bool:
        promise = service.model_copy(update={"at_once": [], "at_most": [AtMost(count=count, of=names)]})
        shop = pair.shop.model_copy(update={"service": promise})
        return not list(passed_at_once(replace(pair, shop=shop), Facts(shop, facts.catalog)))

    everyone = sum(each.count for each in pair.shop.machines if each.name in names)
    return bisect_left(range(1, everyone + 1), 1, key=lambda count: 0 if fits(count) else 1)


def _sums(pair: Pair, facts: Facts, year: int = 0) -> Iterator[tuple[str, Limit, Trail, Sequence[Draw], int]]:
    """The service and every panel with a rating, with the machines of a year: where that stands, what hangs on it,
    and what that sums to, volt-amperes.
    """
    capacity = Capacity(facts)
    marks: dict[str, Trail] = {SERVICE: ("service", "amps")}
    marks |= {panel.name: ("panels", index, "rating") for index, panel in enumerate(pair.shop.panels)}
    for name, trail in marks.items():
        limit = capacity.limits.get(name)
        if limit is not None:
            draws = capacity.by_limit(_on(pair, facts, name, year)).get(name, [])
            yield name, limit, trail, draws, capacity.balance(draws, [], {}, capacity.lines(name)).worst_va


def _loaded_above(pair: Pair, facts: Facts, limit: Limit, rated: Trail) -> Problem:
    """The question about a rating below what hangs on it besides the machines of the file."""
    system = system_of(facts, limit.name)
    taken_a, most_a = line_amperes(system, limit.taken_va), line_amperes(system, limit.most_va)
    owner = pair.shop.service if limit.name == SERVICE else facts.panels[limit.name]
    word = "other_load" if owner is not None and owner.other_load_a else "measured_peak"
    named = "the service" if limit.name == SERVICE else f'"{limit.name}"'
    message = (
        f"comes to {taken_a:.1f} A, more than the {most_a:.0f} A that {named} is rated, and no machine of this file is "
        "counted yet"
    )
    mend = "read both again: amperes of one line, no watts and no sum of the lines; as it stands, nothing new fits on it"
    trail = (*rated[:-1], word) if word == "other_load" or limit.name == SERVICE else rated
    return pair.in_shop("load-above-rating", trail, message, mend, question=True)


def _on(pair: Pair, facts: Facts, limit: str, year: int) -> Iterator[tuple[str, str, int, int, int]]:
    """The machines of a year that hang on a limit whatever way they get, each with panel, volt-amperes, poles and count.

    Counted as a plan counts them: at the volts they are fed at, of three phases that no panel has the input of a drive.
    """
    for trail, machine in pair.machines():
        if trail[0] != "machines" or not machine.volts or machine.arrives > year:
            continue
        if machine.leaves is not None and machine.leaves <= year:
            continue
        asked, fed = load_of(machine), fed_load(facts, machine)
        known = panels_for(pair.shop.panels, fed)
        load = at_a_panel(pair.shop.panels, fed)
        if load is None or not known or (limit != SERVICE and known != [limit]):
            continue
        try:
            drawn_va = counted_va(asked, load, load_current_a(load)[0])
        except (CannotSizeError, LookupError):
            continue
        poles = 3 if load.phases == 3 else 1 if load.volts == ONE_LINE_V else 2
        for name, member in facts.machines.items():
            if facts.group_of.get(name, name) == machine.name:
                yield name, known[0], int(drawn_va.to_integral_value(ROUND_CEILING)), poles, member.count


def fed_load(facts: Facts, machine: Machine) -> Load:
    """What a machine's circuit feeds: a drive, where no panel has its three phases and a drive suits it."""
    load = load_of(machine)
    if load.phases == 1 or panels_for(facts.shop.panels, load):
        return load
    for panel in facts.shop.panels:
        for volts in sorted({known.volts for known in load.rated} or {load.volts}, reverse=True):
            if feeds(panel.system, volts, 1, neutral=False):
                amps_a = next((known.amps_a for known in load.rated if known.volts == volts), load.amps_a)
                at_volts = replace(load, volts=volts, amps_a=amps_a, rated=())
                try:
                    return supplied(facts, machine, at_volts, Supply.DRIVE).load
                except CannotSizeError:
                    continue
    return load
