"""Next machines as they are asked for, by name or described, and the answer about them."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from pydantic import ValidationError

from costplan.checks.check_usual import odd_figures
from costplan.circuits.facts import Facts
from costplan.files.asked import WrongUseError
from costplan.model.left_out import Without
from costplan.model.mistakes import said_of
from costplan.model.shop import NextMachine
from costplan.program.clock import Clock, Tick
from costplan.program.ranked import NoPlanError
from costplan.studies.beside import beside
from costplan.studies.next_machine import (
    Benches,
    CountedCost,
    NextPrice,
    by_count,
    price_machines,
    with_a_way,
    without_any,
)

MOST_ALIKE = 12
"""How many machines alike are priced at most."""
NEEDED = ("price", "volts", "at")
"""What a described machine cannot do without, besides its name."""


@dataclass(frozen=True, slots=True)
class OddFigure:
    """A figure of a described machine that is far from usual, and what to look at."""

    machine: str
    field: str
    words: str


@dataclass(frozen=True)
class NextAnswer:
    """Machines priced, the cheapest all in first; so many like that one; those that have no way; what is asked about them."""

    prices: tuple[NextPrice, ...]
    counted: tuple[CountedCost, ...] = ()
    left_out: tuple[Without, ...] = ()
    asked: tuple[OddFigure, ...] = ()

    @property
    def facts(self) -> Facts:
        """The shop with the cheapest of them, without the machines that have no way."""
        return self.prices[0].facts


def asked_machines(
    facts: Facts, names: Sequence[str], described: Mapping[str, object] | None = None
) -> list[NextMachine]:
    """Those of the shop file by name, none for all, or the one that is described. Raises WrongUseError."""
    if described is not None:
        if names:
            raise WrongUseError("describe one machine with --name, or name machines of the file, not both")
        return [described_machine(facts, described)]
    known = {machine.name: machine for machine in facts.shop.next_machines}
    if not known:
        raise WrongUseError(
            "the shop file has no next_machines; add some, or describe one with --name, --price, --volts, --hp, --at"
        )
    for name in names:
        if name not in known:
            raise WrongUseError(f'there is no next machine "{name}"; there are {", ".join(sorted(known))}')
    return [known[name] for name in names] or list(known.values())


def described_machine(facts: Facts, values: Mapping[str, object]) -> NextMachine:
    """A machine that is not in the file, of fields as they would stand there. Raises WrongUseError."""
    missing = [word for word in ("name", *NEEDED) if values.get(word) is None]
    if missing:
        needs = ", ".join(f"--{word}" for word in missing)
        raise WrongUseError(f"a machine described here also needs {needs}")
    places = sorted(spot.name for spot in facts.shop.places)
    if values["at"] not in places:
        raise WrongUseError(f'--at "{values["at"]}": there is no such place; there are {", ".join(places)}')
    taken = {machine.name for machine in (*facts.shop.machines, *facts.shop.next_machines)}
    if values["name"] in taken:
        raise WrongUseError(f'--name "{values["name"]}" is the name of another machine; choose another')
    try:
        return NextMachine.model_validate(dict(values))
    except ValidationError as error:
        lines = []
        for found in error.errors():
            words = said_of(found)
            lines.append(f"--{'.'.join(map(str, found['loc'])) or values['name']} {words}")
        raise WrongUseError("\n".join(lines)) from None


def asked_about(machine: NextMachine, currency: str) -> Iterator[OddFigure]:
    """Figures of a described machine that are far from usual, as files are asked about."""
    for trail, _, message, mend in odd_figures(machine, (), currency):
        yield OddFigure(machine.name, str(trail[-1]), f"{message}: {mend}")


def answer_next(
    facts: Facts,
    machines: Iterable[NextMachine],
    *,
    up_to: int = 0,
    seconds: float | None = None,
    second: bool = True,
    all_ways: bool = True,
    tick: Tick = bool,
) -> NextAnswer:
    """Price them, and so many like the cheapest; second, all_ways: as for `price_machines`. Raises NoPlanError."""
    chosen, share = list(machines), None if seconds is None else seconds / (2 if up_to else 1)
    benches = Benches(facts)
    clock = Clock(share)
    with beside(lambda: without_any(benches, len(chosen), clock, tick), pays=True) as solved:
        ready, out = with_a_way(benches, chosen)
        # Built while the other process still proves the shop without them.
        for machine in ready[:1] if solved.under_way else ():
            benches.with_alike(machine).build(clock)
        base = solved.result() if ready else None
    if not ready:
        raise NoPlanError([f"{entry.machine}: {'; '.join(entry.reasons)}" for entry in out])
    prices = price_machines(
        benches, ready, second=second, all_ways=all_ways, seconds=clock.left, tick=tick, base=base
    )
    counted = by_count(benches, prices[0].machine, up_to, seconds=share, tick=tick) if up_to else []
    written = {machine.name for machine in facts.shop.next_machines}
    asked = (asked_about(machine, facts.shop.currency) for machine in chosen if machine.name not in written)
    return NextAnswer(tuple(prices), tuple(counted), out, tuple(each for found in asked for each in found))
