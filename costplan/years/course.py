"""The changes one machine's circuit goes through in one scenario, by one way of powering it."""

from dataclasses import dataclass

from costplan.circuits.change import Step, alter, leave, replace_cord
from costplan.circuits.circuit import Builder, Standing
from costplan.circuits.losses import energy_lost
from costplan.circuits.needs import NOTHING, Bundle, Change
from costplan.circuits.present import begin
from costplan.years.calendar import Life


@dataclass(frozen=True, slots=True)
class Dated:
    """A change at the end of a year; year 0 is today."""

    year: int
    change: Change


def course(builder: Builder, life: Life) -> tuple[Dated, ...]:
    """Every change of the machine's circuit, in order: arrival, moves, retooling, wear, departure.

    Yearly care and electricity lost come at the end of every year that the circuit was there.

    Raises CannotSizeError and NoRouteError when the way cannot serve one of its standings.
    """
    horizon = builder.facts.shop.years
    step: Step | None = None
    dated: list[Dated] = []
    by_year: dict[int, list[Standing]] = {}
    for standing in life.standings:
        by_year.setdefault(standing.year, []).append(standing)
    last = min(life.leaves, horizon) if life.leaves is not None else horizon
    new_since = 0
    for year in range(last + 1):
        here = by_year.get(year, [])
        circuit = step.circuit if step is not None else None
        lost = energy_lost(builder.facts, builder.machine, circuit) if circuit is not None else NOTHING
        if life.leaves == year and circuit is not None:
            dated += [Dated(year, Change("electricity lost in the year", lost))] if lost else []
            dated.append(Dated(year, leave(builder, circuit, life.leaves_why).change))
            break
        for standing in here:
            now = step.circuit if step is not None else None
            step = begin(builder, standing) if now is None else alter(builder, now, standing)
            dated.append(Dated(year, step.change))
            if circuit is None or _new_cable(step):
                new_since = year
        if (
            not here
            and circuit is not None
            and circuit.flexible
            and _worn(builder, year - new_since)
            and year < horizon
        ):
            step = replace_cord(builder, circuit, "the cord is worn out")
            dated.append(Dated(year, step.change))
            new_since = year
        care = _care(builder) if circuit is not None and circuit.flexible else NOTHING
        if care or lost:
            why = "yearly care of the cord" if care else "electricity lost in the year"
            dated.append(Dated(year, Change(why, care + lost if care and lost else care or lost)))
    return tuple(dated)


def _new_cable(step: Step) -> bool:
    return any(need.item.spec.kind == "cord" for need in step.change.stock_needs)


def _worn(builder: Builder, age: int) -> bool:
    kind = builder.facts.kinds.get("cord")
    return kind is not None and kind.life_years is not None and age >= kind.life_years


def _care(builder: Builder) -> Bundle:
    return builder.facts.brew(builder.recipe("yearly cord care"))
