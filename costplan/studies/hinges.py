"""Answers that nobody gave, with the money of the best plan that turns on each: a small function an answer."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from costplan.circuits.circuit import Builder, Circuit
from costplan.circuits.facts import Facts
from costplan.circuits.things import Made
from costplan.circuits.ways import UNSAID_HEATER
from costplan.ledger.holding import written
from costplan.ledger.lines import present_value
from costplan.ledger.options import Option
from costplan.ledger.pricing import Pricer
from costplan.ledger.simulation import walk
from costplan.ledger.steps import Act
from costplan.model.choices import Method
from costplan.model.money import format_cents
from costplan.program.bench import Bench, Built
from costplan.program.clashes import shop_with_more_spaces
from costplan.program.clock import Clock
from costplan.program.ranked import NoPlanError, Ranked
from costplan.program.ranking import best_plans
from costplan.sourcing.market import Market
from costplan.studies.gear_why import needs_spaces
from costplan.years.calendar import buildings_assumed, first_standings

AT_LEAST_SECONDS = 30.0
"""So long a plan with cords to heaters is looked for, whatever is left of the time."""
SOLVED_AGAIN = 1000
"""With more ways than this another solve takes more than about a second; a choice, no source."""
ASSUMED = "as in this building: its service and phases, panels with spaces enough, walls, and who may wire it"
"""What is taken of a building of which nothing is known."""


def pricer_of(facts: Facts, ranked: Ranked) -> Pricer:
    """Prices for more of what a plan buys and hires, by whoever sells it as the shop allows."""
    return Pricer(facts, Market(facts, facts.shop.money.surplus), ranked.plan.hiring)


def money(facts: Facts, cents: int) -> str:
    """An amount with its currency, `USD 12.40`."""
    return f"{facts.shop.currency} {format_cents(cents)}"


def amount_words(facts: Facts, cents: int | None) -> str:
    """The same of what may have no price."""
    return "an amount nobody has a price for" if cents is None else money(facts, cents)


# solved anew --------------------------------------------------------------------------------------


def turns_on_heaters(bench: Bench, best: Ranked, clock: Clock) -> Iterator[str]:
    """What the total would be less by with cords to heaters of which nobody said whether they stay.

    Solved anew with those cords allowed and all else as it is (NFPA 70 400.12(1); until it is said the fixed run counts).
    """
    facts = bench.facts
    waiting = [name for name, options in bench.priced_survey.options.items() if any(map(_waits, options))]
    if not waiting:
        return
    names = ", ".join(dict.fromkeys(written(facts, name) for name in waiting))
    asked = f"nobody said whether {names} stays, so it has no cord from beside the panel here (never_moves, NEC 400.12)"
    left = clock.share(1)
    seconds = None if left is None else max(left, AT_LEAST_SECONDS)
    try:
        other = best_plans(_with_cords(bench), 1, clock=Clock(seconds))[0]
    except NoPlanError:
        yield f"{asked}: what that would save was not found in the time given (--time-limit)"
        return
    on_cords = {name for name, way, _ in other.plan.shares() if way.method is Method.CORD}
    less_cents = best.present_value_cents - other.present_value_cents
    if less_cents <= 0 or not on_cords & set(waiting):
        yield f"{asked}: with one the whole would cost no less"
        return
    about = "" if other.proven and best.proven else "about "
    yield (
        f"{asked}: with one, where it moves and its maker allows that, the whole would cost {about}"
        f"{money(facts, less_cents)} less"
    )


def _waits(option: Option) -> bool:
    return option.refused == UNSAID_HEATER


def _with_cords(bench: Bench) -> Bench:
    """The same bench with cords to those heaters allowed."""
    options = {
        name: tuple(replace(option, refused=None) if _waits(option) else option for option in known)
        for name, known in bench.priced_survey.options.items()
    }
    return replace(bench, priced_survey=replace(bench.priced_survey, options=options))


def turns_on_spaces(bench: Bench, best: Ranked, clock: Clock) -> str:
    """What the total and today's cash turn on the free spaces of a panel for lack of which gear is put in; else empty.

    Solved once, with as many more as the plan would do with; not in shops of more than SOLVED_AGAIN ways.
    """
    needed = next(needs_spaces(bench.facts, best), None)
    if (
        needed is None
        or not best.proven
        or sum(map(len, bench.priced_survey.options.values())) > SOLVED_AGAIN
    ):
        return ""
    name, panel, more = needed
    roomy = shop_with_more_spaces(bench.facts, {panel: more})
    if roomy is None:
        return ""
    frame = bench.frame(Clock()).with_more_spaces(roomy, {panel: more})
    try:
        other = best_plans(
            replace(bench, facts=roomy, built=Built(frame=frame)), 1, clock=Clock(clock.share(4))
        )[0]
    except NoPlanError:
        return ""
    less_cents = best.present_value_cents - other.present_value_cents
    if less_cents <= 0 or not other.proven:
        return ""
    cash_cents, free = best.outlay_cents - other.outlay_cents, _free(roomy, panel)
    cash = f", and today's cash {money(bench.facts, cash_cents)} less" if cash_cents > 0 else ""
    gone = name not in {bought.name for bought in other.plan.gear}
    without = f", without {bench.facts.gear[name].entry}" if gone else ""
    return (
        f"count the free spaces of {panel} again: with {more} more ({free} in place of {free - more}) the whole would cost "
        f"{money(bench.facts, less_cents)} less{cash}{without}"
    )


def _free(facts: Facts, panel: str) -> int:
    """The free spaces of a panel as the file says them."""
    return next(entry.spaces_free for entry in facts.written.panels if entry.name == panel)


# the plan walked anew -----------------------------------------------------------------------------


def turns_on_capped_runs(facts: Facts, best: Ranked) -> Iterator[str]:
    """What the plan would cost more if a landlord wants runs out that were made safe before and lie capped in the wall."""
    lease = facts.written.building.lease
    if lease is None or not lease.take_out or lease.capped_too is not None:
        return
    too = lease.model_copy(update={"capped_too": True})
    building = facts.written.building.model_copy(update={"lease": too})
    other = Facts(facts.written.model_copy(update={"building": building}), facts.catalog)
    more_cents = _walked_cents(other, best) - _walked_cents(facts, best)
    if more_cents:
        yield (
            "nobody said whether runs made safe before come out with the lease too, so they stay capped in the wall here "
            f"(capped_too): with them this plan costs {money(facts, more_cents)} more"
        )


def _walked_cents(facts: Facts, ranked: Ranked) -> int:
    """The plan walked anew, in today's money."""
    return present_value(walk(facts, pricer_of(facts, ranked), ranked.plan, ranked.chosen).lines)


# read off its lines -------------------------------------------------------------------------------


def assumed_of_the_next_building(facts: Facts, best: Ranked) -> Iterator[str]:
    """For each scenario with a move to a building that nobody described: that its work is assumed, and what it comes to."""
    for scenario, years in buildings_assumed(facts.shop).items():
        for year in years:
            lines = [line for line in best.lines if (line.scenario, line.year) == (scenario, year)]
            cents = sum(line.present_value_cents for line in lines)
            yield (
                f"the later move ({scenario}, year {year}) is reckoned {ASSUMED}; nobody looked (new_building): of this "
                f"total {money(facts, cents)} is counted in that year"
            )


def turns_on_marks(facts: Facts, plans: Sequence[Ranked]) -> Iterator[str]:
    """What of today's total turns on marks of plugs that are not known to be enough, and whether the best plan does."""
    told = [f"{name} {words}" for name, words, _ in switches_today(facts, plans[0])]
    if told:
        yield (
            "a switch stands at machines whose plug is not known to be marked for their motor: where plug and outlet are, "
            f"write the mark in parts.yaml, and it is left out ({', '.join(told)})"
        )
    without = [
        plan.present_value_cents - sum(cents or 0 for _, _, cents in switches_today(facts, plan))
        for plan in plans
    ]
    least = min(range(len(plans)), key=lambda index: (without[index], index))
    if least:
        yield (
            f"the best plan turns on those marks: without the switches plan {least + 1} is the cheapest, by about "
            f"{money(facts, without[0] - without[least])}; read the marks first"
        )


def switches_today(facts: Facts, ranked: Ranked) -> Iterator[tuple[str, str, int | None]]:
    """Machines that get a switch for an unknown mark today: the name with how many, its money in words and in cents."""
    bought = {step.machine for step in ranked.steps if step.kind == Made.OWN_SWITCH and step.act is Act.BUY}
    if not bought:
        return
    pricer, standings = pricer_of(facts, ranked), first_standings(facts.shop)
    for name, way, count in ranked.plan.made_here():
        if name in bought and name in standings:
            circuit: Circuit = Builder(facts, facts.machines[name], way).build(standings[name])
            if circuit.plug_marks.switched:
                each, cents = f"{count} x " if count > 1 else "", _switch_cents(pricer, circuit)
                total = None if cents is None else cents * count
                yield written(facts, name), f"{each}{switch_words(pricer, circuit)}", total


def _switch_cents(pricer: Pricer, circuit: Circuit) -> int | None:
    """What the switch at a machine takes today, cents: its parts with tax, and hours; None where a part has no price."""
    if circuit.switch is None:
        return 0
    inner = (thing.bought for thing in circuit.switch.inner)
    return pricer.bought_today_cents((circuit.switch.bought, *inner))


def switch_words(pricer: Pricer, circuit: Circuit) -> str:
    """The money of the switch, `USD 288.00`."""
    return amount_words(pricer.facts, _switch_cents(pricer, circuit))
