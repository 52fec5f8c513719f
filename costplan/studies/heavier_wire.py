"""Heavier wire in one machine's fixed run, as an option: what it costs today, and what it is worth if a bigger machine comes.

The difference of proven plans: with the wire that today's machine needs and with the next heavier one, each where nothing comes
and where the bigger machine does. Every machine keeps its kind of way; breaker and outlet follow the machine that is there.
"""

from dataclasses import dataclass
from decimal import Decimal

from costplan.circuits.circuit import Builder
from costplan.circuits.facts import Facts
from costplan.circuits.ways import Way
from costplan.ledger.holding import written
from costplan.ledger.options import Option
from costplan.model.choices import DROPS
from costplan.model.events import Event, Scenario
from costplan.model.heavier_run import with_heavier_run
from costplan.model.nameplate import Retool
from costplan.program.clock import Clock, Tick
from costplan.program.ranked import Ranked
from costplan.program.ranking import best_plans
from costplan.standards import conductors
from costplan.studies.explained import RankedShop
from costplan.studies.left_out import bench_of_the_rest
from costplan.years.calendar import first_standings


class NoHeavierError(Exception):
    """There is no heavier wire to choose; the message says why."""


@dataclass(frozen=True, slots=True)
class Heavier:
    """The next heavier wire of a run, in cents; `year` is when the bigger machine comes, if it does.

    `cash_today_cents` and `more_cents` are what it costs more today, and over all years where nothing comes; `thin_cents` and
    `heavy_cents` what all comes to over all years where the bigger machine does, with today's wire and with the heavier one.
    """

    machine: str
    way: str
    awg: str
    heavier_awg: str
    year: int
    cash_today_cents: int
    more_cents: int
    thin_cents: int
    heavy_cents: int

    @property
    def saved_cents(self) -> int:
        """What it saves later where the bigger machine comes."""
        return self.thin_cents - self.heavy_cents + self.more_cents

    @property
    def break_even(self) -> Decimal | None:
        """From which chance on it pays; None where it does not even if the machine comes for certain."""
        if self.more_cents <= 0:
            return Decimal(0)
        return Decimal(self.more_cents) / self.saved_cents if self.saved_cents >= self.more_cents else None

    def worth_cents(self, chance: Decimal) -> int:
        """What it is ahead on average at a chance, below nothing where it is not worth it."""
        return round(chance * self.saved_cents - self.more_cents)


def heavier(
    case: RankedShop, name: str, bigger: Retool, year: int, clock: Clock, tick: Tick = bool
) -> Heavier:
    """The next heavier wire of a machine's run in the best plan; `bigger` is what the machine's plate says from `year` on.

    name: as the user wrote it. Raises NoHeavierError for a machine without a fixed run that is made today, and where no heavier
    wire is sold; NoPlanError where the bigger machine fits in no plan.
    """
    facts, best = case.facts, case.best
    ways = {way for each, way, count in best.plan.made_here() if count and written(facts, each) == name}
    if len({way.run for way in ways}) != 1:
        raise NoHeavierError(
            f"{name} has no run of one kind that plan 1 makes, so there is no wire to choose"
        )
    way = next(iter(ways))
    if way.method not in DROPS:
        raise NoHeavierError(
            f"{name} hangs on a cord in plan 1, and a heavier cord can be bought when it is needed"
        )
    before = facts.written
    if next(machine for machine in before.machines if machine.name == name).now is not None:
        raise NoHeavierError(f"{name} has its circuit already: what its run is made of is no choice any more")
    awg = _awg(facts, name, way)
    sizes = [
        size
        for size in conductors.building_wire_sizes()
        if conductors.awg_rank(size) > conductors.awg_rank(awg)
    ]
    if not sizes:
        raise NoHeavierError(f"{name} has {awg} AWG, and no heavier wire is known here")
    thick = Facts(with_heavier_run(before, name, sizes[0]), facts.catalog)
    found = _awg(thick, name, way)
    if found == awg:
        raise NoHeavierError(
            f"nobody sells {sizes[0]} AWG or heavier new for this run of {name}, as long as it is"
        )
    wanted = {(written(facts, each), used.signature) for each, used, _ in best.plan.shares()}

    def plan(known: Facts, words: str) -> Ranked:
        tick(f"proving it {words}")
        bench = bench_of_the_rest(known, known.shop.money.surplus)

        def same_way(option: Option) -> bool:
            of, used = written(known, option.machine), option.way
            # What is asked is today's wire, so that it is no choice of the plan's.
            return (of, used.signature) in wanted and (of != name or used.least_awg == way.least_awg)

        return best_plans(bench, 1, allowed=same_way, clock=Clock(clock.share(2)))[0]

    thin = plan(facts, f"with {awg} AWG")
    heavy = plan(thick, f"with {found} AWG")
    thin_then, heavy_then = (
        plan(_where_it_comes(known, name, bigger, year), "with the bigger machine")
        for known in (facts, thick)
    )
    return Heavier(
        name,
        way.label,
        awg,
        found,
        year,
        heavy.outlay_cents - thin.outlay_cents,
        heavy.present_value_cents - thin.present_value_cents,
        thin_then.present_value_cents,
        heavy_then.present_value_cents,
    )


def _awg(facts: Facts, name: str, way: Way) -> str:
    machine = next(machine for machine in facts.shop.machines if written(facts, machine.name) == name)
    standing = first_standings(facts.shop)[machine.name]
    return Builder(facts, machine, way).build(standing).size.awg


def _where_it_comes(facts: Facts, name: str, bigger: Retool, year: int) -> Facts:
    """The shop in which the bigger machine stands there from that year on, in every scenario."""
    comes = Event(year=year, machine=name, retool=bigger)
    known = facts.written.scenarios or [Scenario(name="as planned", weight=Decimal(1))]
    scenarios = [scenario.model_copy(update={"events": [*scenario.events, comes]}) for scenario in known]
    return Facts(facts.written.model_copy(update={"scenarios": scenarios}), facts.catalog)
