"""Machines that have no possible way are left out of the plan, so that the others get their answer."""

from collections.abc import Iterable, Iterator

from costplan.checks.check_rooms import NO_WAY, WITHOUT_IT
from costplan.circuits.facts import Facts
from costplan.circuits.ways import load_of
from costplan.files.problems import Problem
from costplan.ledger.on_offer import gear_to_be_had, open_by_purchase
from costplan.ledger.options import Option, gear_of, walked_until_one_will_do
from costplan.model.choices import SurplusRule
from costplan.model.left_out import without_machines
from costplan.model.pair import Pair
from costplan.model.shop import Machine
from costplan.program.bench import Bench
from costplan.program.clashes import without_a_way_together
from costplan.program.ranked import NoPlanError
from costplan.program.ranking import by_reason
from costplan.sourcing.market import Market
from costplan.studies.gaps import lacks_later, least_lacking, what_lacks


def bench_of_the_rest(facts: Facts, rule: SurplusRule, known: Bench | None = None) -> Bench:
    """The shop surveyed under a sourcing rule, without the machines that have no way in isolation.

    `Bench.facts` is then the shop in which they are `LeftOut`. known: as for `Bench.over`. Raises NoPlanError when no
    machine has a way.
    """
    bench, out = _without_those(Bench.over(facts, rule, known=known), rule)
    if out and set(out) >= {facts.group_of.get(name, name) for name in facts.machines}:
        raise NoPlanError([f"{name}: {'; '.join(reasons)}" for name, reasons in out.items()])
    return bench


def _without_those(bench: Bench, rule: SurplusRule) -> tuple[Bench, dict[str, tuple[str, ...]]]:
    """The bench without the machines that have no way, in isolation and then together; and those, with why."""
    facts, out = bench.facts, dict[str, tuple[str, ...]]()
    everyone = {facts.group_of.get(name, name) for name in facts.machines}
    while set(out) < everyone and (more := machines_without_a_way(bench)):
        out |= more
        bench = Bench.over(Facts(without_machines(facts.written, out), facts.catalog), rule, known=bench)
    return bench, out


def the_rest(facts: Facts) -> Facts:
    """The facts without the machines that have no way, by the shop's own rule of sourcing. Raises NoPlanError."""
    return facts if _all_by_purchase(facts) else bench_of_the_rest(facts, facts.shop.money.surplus).facts


def machines_without_a_way(bench: Bench) -> dict[str, tuple[str, ...]]:
    """Machines by the name the user wrote of which some have no open way, whatever others do; and why.

    Where every machine has one alone, those that must go without since others have what is there and nobody sells more.
    A group of which only a part has none is left out whole, since its machines are alike.
    """
    out: dict[str, tuple[str, ...]] = {}
    for name, options in bench.priced_survey.options.items():
        if not any(option.open for option in options):
            out.setdefault(bench.facts.group_of.get(name, name), tuple(_reasons(bench, name)))
    if not out and bench.pricers:
        together = without_a_way_together(
            bench.facts, bench.priced_survey, bench.pricers, bench.open_options()
        )
        for name, reason in together.items():
            out.setdefault(bench.facts.group_of.get(name, name), (reason,))
    return out


def asked_of_check(pair: Pair, facts: Facts, known: Iterable[Problem]) -> Iterator[Problem]:
    """Questions of `check` about every machine that has no way, there or thought of; `known` are those it has already."""
    shop = facts.written
    everyone = Facts(
        shop.model_copy(update={"machines": [*shop.machines, *shop.next_machines]}), facts.catalog
    )
    if _all_by_purchase(everyone):
        return
    out = _without_those(Bench.over(everyone, shop.money.surplus), shop.money.surplus)[1]
    told = {problem.trail[:2] for problem in known if problem.code in NO_WAY}
    for trail, machine in pair.machines():
        reasons = out.get(machine.name, ())
        if reasons and trail not in told:
            message = f"has no possible way: {'; '.join(reasons)}"
            yield pair.in_shop("machine-no-way", (*trail, "name"), message, WITHOUT_IT, question=True)


def _all_by_purchase(facts: Facts) -> bool:
    """Whether every machine has a way that can be bought, found without walking all of them."""
    market = Market(facts, facts.shop.money.surplus)
    gear_out = gear_to_be_had(market, *gear_of(facts))[1]
    return all(
        any(isinstance(way, Option) and open_by_purchase(market, way, gear_out) for way in walk)
        for _, walk in walked_until_one_will_do(facts)
    )


def _reasons(bench: Bench, name: str) -> list[str]:
    """Why a machine has no way: the least that is lacking, what cannot be sized or reached, then what the file forbids."""
    options = bench.priced_survey.options[name]
    said = [(entry.way, entry.reason) for entry in bench.priced_survey.unbuildable if entry.machine == name]
    said += [(option.way, option.refused) for option in options if option.refused is not None]
    unpriced = [option for option in options if option.refused is None]
    if unpriced:
        least = least_lacking(bench, unpriced)
        lacks, later = what_lacks(bench, least), lacks_later(bench, least)
        then = f", {later}; until then it has a way" if later else ""
        return [f"{lacks}{then} ({least.way.label}, which lacks least)", *by_reason(said)]
    reasons = list(dict.fromkeys(reason for _, reason in said))
    if not reasons:
        return [_not_fed(bench.facts.machines[name])]
    return reasons if len(reasons) == 1 else by_reason(said)


def _not_fed(machine: Machine) -> str:
    load = load_of(machine)
    neutral = " with a neutral" if load.neutral else ""
    return (
        f"no panel feeds {load.volts} V {load.phases}-phase{neutral}: read the nameplate again, or add such a panel or "
        "gear that brings one"
    )
