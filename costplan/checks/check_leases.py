"""Rules over the lease: it ends within the plan, and every scenario says what becomes of those who stay longer."""

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal

from costplan.files.problems import Problem
from costplan.files.yaml_reader import Trail
from costplan.model.conditions import Lease
from costplan.model.events import Scenario
from costplan.model.leases import stays_until, wired_before
from costplan.model.pair import Pair, Rule, year_mend
from costplan.model.spelled_out import spelled_out


def lease_is_planned(pair: Pair) -> Iterator[Problem]:
    """The lease ends within the years of the plan, and a scenario speaks of it only where there is one."""
    shop = pair.shop
    lease = shop.building.lease
    if lease is not None and lease.ends_year > shop.years:
        message = f"is {lease.ends_year}, after the {shop.years} years of the plan"
        mend = f"write {shop.years} if you leave with the lease, else plan for more years or delete the lease"
        mend = year_mend(shop, lease.ends_year, mend)
        yield pair.in_shop("lease-after-plan", ("building", "lease", "ends"), message, mend)
    for word in ("capped_too", "there_too") if lease is not None and not lease.take_out else ():
        if getattr(lease, word):
            message = "is true, but take_out is not, so that nothing comes out"
            mend = "it has no effect; write take_out: true beside it, or delete it"
            where: Trail = ("building", "lease", word)
            yield pair.in_shop("lease-capped-alone", where, message, mend, question=True)
    if lease is not None and lease.take_out and lease.there_too and not wired_before(shop):
        message = "is true, but no machine has a circuit now"
        mend = "it has no effect; write now: to the machines that have one, or delete it"
        yield pair.in_shop(
            "lease-there-none", ("building", "lease", "there_too"), message, mend, question=True
        )
    for number, scenario in enumerate(shop.scenarios):
        if lease is None and scenario.lease_ends_year is not None:
            mend = "it has no effect; write lease: under building:, or delete it"
            where = ("scenarios", number, "lease_ends")
            yield pair.in_shop("lease-none", where, "is said, but there is no lease", mend, question=True)


def nobody_stays_without_a_lease(pair: Pair) -> Iterator[Problem]:
    """Nobody works on wiring that is taken out; where a scenario does not say that the lease is renewed, it is asked."""
    lease, years = pair.shop.building.lease, pair.shop.years
    names = [machine.name for machine in pair.shop.machines]
    if lease is None or len(set(names)) < len(names):
        return
    shop = spelled_out(pair.shop).shop
    longer: dict[int, list[str]] = {}
    for number, scenario in enumerate(shop.scenarios or [Scenario(name="", weight=Decimal(1))]):
        said, until = scenario.lease_ends_year, stays_until(shop, scenario)
        if said is None and until > lease.ends_year:
            longer.setdefault(until, []).append(scenario.name)
        elif said is not None and said < until:
            message = f"is {said}, but machines stay in the building to year {until}"
            mend = (
                f"write the year to which the lease is renewed (above {years}: it does not end within the plan), "
                "or the event with shop_moves: true"
            )
            yield pair.in_shop("lease-too-short", ("scenarios", number, "lease_ends"), message, mend)
    if longer:
        yield _renewed(pair, lease, longer)


def _renewed(pair: Pair, lease: Lease, longer: Mapping[int, Sequence[str]]) -> Problem:
    """The question whether a lease is renewed in scenarios in which machines stay longer, by the year to which they do."""
    stay = " and ".join(
        f"to year {year}" + (f" in {', '.join(names)}" if names[0] else "") for year, names in longer.items()
    )
    out = "the wiring taken out then" if lease.take_out else "nothing taken out"
    message = f"is {lease.ends_year}, but machines stay {stay}: counted as renewed to then, {out}"
    years = pair.shop.years
    scenario = "each such scenario" if any(longer[max(longer)]) else "a scenario"
    mend = (
        f"is it renewed? write lease_ends: in {scenario}, with its year (above {years}: not within the plan), "
        "or the event with shop_moves: true"
    )
    where = ("building", "lease", "ends")
    return pair.in_shop("lease-before-plan", where, message, mend, question=True)


RULES: tuple[Rule, ...] = (lease_is_planned, nobody_stays_without_a_lease)
