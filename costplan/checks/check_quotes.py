"""Rules over quoted ways and strategies: names that are known, steps that can happen, machines that are covered."""

from collections.abc import Iterator

from costplan.files.problems import Problem
from costplan.files.yaml_reader import Trail
from costplan.model.catalog import Phase
from costplan.model.choices import DROPS, RUNS, Method, Supply
from costplan.model.labels import KEYS, LABELS, SHORT
from costplan.model.labor import Role
from costplan.model.pair import NO_EFFECT, Pair, Rule, dollars, unknown
from costplan.model.quoted import only_quoted, quoted_ways_of, quotes_only
from costplan.model.quotes import EVERY, FIXED_DROP, QuotedWay, Strategy
from costplan.model.shop import Machine, Shop
from costplan.model.spelled_out import SpelledOut, spelled_out


def printed_ways() -> dict[str, Method]:
    """Every way as files have it and as reports print it, with its method."""
    every = (run for words in (KEYS, LABELS, SHORT) for run in words.all_runs())
    runs: dict[str, Method] = {run: method for run, method in every if method in RUNS}
    supplies = [supply for supply in Supply if supply is not Supply.PANEL]
    return runs | {f"{supply}, {run}": method for supply in supplies for run, method in runs.items()}


def quoted_ways_are_known(pair: Pair) -> Iterator[Problem]:
    """Quoted ways have names of their own, and are for known machines and panels."""
    shop = pair.shop
    machines = {machine.name for machine in (*shop.machines, *shop.next_machines)}
    panels = pair.panels()
    taken: dict[str, str] = dict.fromkeys(printed_ways(), "a way from the catalog has")
    taken |= {FIXED_DROP: "strategies have for the cheapest drop"}
    for index, way in enumerate(shop.quoted_ways):
        trail: Trail = ("quoted_ways", index)
        if way.name in taken:
            message = f'is "{way.name}", a name that {taken[way.name]}'
            yield pair.in_shop("quoted-name", (*trail, "name"), message, "give it a name of its own")
        taken.setdefault(way.name, "another quoted way has")
        for position, name in enumerate(way.machines or ()):
            where = (*trail, "machines", position)
            if name not in machines:
                yield pair.in_shop("quoted-machine", where, *unknown("machine", name, machines))
            elif name in (way.machines or ())[:position]:
                yield pair.in_shop("quoted-machine-twice", where, f'names "{name}" twice', "delete one")
        if way.panel is not None and way.panel not in panels:
            yield pair.in_shop("quoted-panel", (*trail, "panel"), *unknown("panel", way.panel, panels))
        if (way.panel is None) != (way.poles == 0):
            has, lacks = ("panel", "poles") if way.panel is not None else ("poles", "panel")
            message = f"says {has}: but not {lacks}:, so no spaces are counted"
            yield pair.in_shop("quoted-poles", (*trail, has), message, f"add {lacks}:, or delete {has}:")


def quoted_work_can_be_done(pair: Pair) -> Iterator[Problem]:
    """Somebody is there for quoted hours."""
    roles = {crew.role for crew in pair.crews().values()}
    asks = (("hours", Role.ELECTRICIAN), ("own_hours", Role.OWNER))
    for trail, phase in _phases(pair.shop):
        for word, role in asks:
            if max(getattr(phase, word)) > 0 and role not in roles:
                message = f"asks for hours, but there is no crew with the role {role}"
                mend = f"add one under crews: with role: {role} and its rate"
                yield pair.in_shop(f"quoted-no-{role}", (*trail, word), message, mend)


def _phases(shop: Shop) -> Iterator[tuple[Trail, Phase]]:
    for index, way in enumerate(shop.quoted_ways):
        for word, phase in _steps(way):
            yield ("quoted_ways", index, word), phase
    for index, gear in enumerate(shop.gear):
        if gear.overhaul is not None:
            yield ("gear", index, "overhaul"), gear.overhaul


def _steps(way: QuotedWay) -> Iterator[tuple[str, Phase]]:
    yield "put_in", way.put_in
    if way.move is not None:
        yield "move", way.move
    if way.renew is not None:
        yield "renew", way.renew
    if way.take_out is not None:
        yield "take_out", way.take_out


def quoted_ways_make_sense(pair: Pair) -> Iterator[Problem]:
    """Questions about quotes that cost nothing or never come to be used."""
    shop = pair.shop
    plain = spelled(pair)
    for index, way in enumerate(shop.quoted_ways):
        trail: Trail = ("quoted_ways", index)
        if is_nothing(way.put_in):
            message = "costs nothing: no money, no hours"
            mend = "write what it takes, unless it is there already"
            yield pair.in_shop("quoted-free", (*trail, "put_in"), message, mend, question=True)
        if way.renew is not None and way.renew.every >= shop.years:
            message = f"is {way.renew.every}, so it never comes within {shop.years} years"
            mend = "it has no effect; delete renew:, or plan for more years"
            yield pair.in_shop("quoted-renew-never", (*trail, "renew", "every"), message, mend, question=True)
        if way.renew is not None and is_nothing(way.renew):
            message = "costs nothing: no money, no hours"
            mend = "write what it takes, or delete renew:"
            yield pair.in_shop("quoted-renew-free", (*trail, "renew"), message, mend, question=True)
        yield from _lease(pair, way, trail)
        if way.comes_back_cents > way.put_in.money_cents:
            message = f"is {dollars(way.comes_back_cents)}, more than the {dollars(way.put_in.money_cents)} of putting it in"
            yield pair.in_shop(
                "quoted-back-more", (*trail, "comes_back"), message, "is it meant?", question=True
            )
        if way.panel is None and not quotes_only(shop) and way.method is not Method.CORD:
            message = "takes no spaces of any panel, since it says no panel and poles"
            mend = "add panel: and poles:, so that the panel's room is kept"
            yield pair.in_shop("quoted-no-panel", trail, message, mend, question=True)
        if way.move is not None and plain is not None and not _moves_any(shop, way, plain):
            message = "is said, but no machine with this way ever moves"
            mend = "it has no effect; delete move:, or write the events"
            yield pair.in_shop("quoted-move-never", (*trail, "move"), message, mend, question=True)


def _lease(pair: Pair, way: QuotedWay, trail: Trail) -> Iterator[Problem]:
    lease = pair.shop.building.lease
    asked = lease is not None and lease.take_out
    if way.take_out is not None and not asked:
        message = "is said, but no lease asks for taking anything out"
        yield pair.in_shop("quoted-take-out-never", (*trail, "take_out"), message, NO_EFFECT, question=True)
    if way.take_out is None and asked and way.method is not Method.CORD:
        message = "does not say what taking it out costs, which the lease asks for at its end"
        mend = "add take_out:; without it taking out counts as nothing"
        yield pair.in_shop("quoted-no-take-out", trail, message, mend, question=True)
    if way.there_today and all(machine.arrives for machine in pair.shop.machines):
        message = "is said, but no machine is here today"
        yield pair.in_shop("quoted-there-nobody", (*trail, "there_today"), message, NO_EFFECT, question=True)


def quoted_machines_say_nothing_else(pair: Pair) -> Iterator[Problem]:
    """Questions about words of machines that count for ways from the catalog, or for quoted ways, only."""
    shop = pair.shop
    for at, machine in pair.machines():
        if machine.ways.from_catalog and not quoted_ways_of(shop, machine.name):
            message = f'is said, but "{machine.name}" has no quoted way to compete with'
            where = (*at, "ways", "from_catalog")
            yield pair.in_shop("from-catalog-alone", where, message, NO_EFFECT, question=True)
        for word in _FOR_THE_CATALOG if only_quoted(shop, machine) else ():
            if getattr(machine, word):
                message = f'is said, but "{machine.name}" has quoted ways only'
                alias = type(machine).model_fields[word].alias or word
                yield pair.in_shop(
                    "quoted-no-effect", (*at, alias), message, NO_EFFECT, question=True, key=True
                )


_FOR_THE_CATALOG = ("now", "lasts", "recipes", "full_load_hours", "old_motor_worth_cents")
"""What counts for ways from the catalog only."""


def is_nothing(phase: Phase) -> bool:
    """Whether a step takes no money and no hours."""
    return not phase.money_cents and not max(phase.hours) and not max(phase.own_hours)


def spelled(pair: Pair) -> SpelledOut | None:
    """The shop with its short forms written out; None while its machines' names are not their own."""
    names = [machine.name for machine in pair.shop.machines]
    return spelled_out(pair.shop) if len(set(names)) == len(names) else None


def _moves_any(shop: Shop, way: QuotedWay, plain: SpelledOut) -> bool:
    moved = {
        plain.group_of.get(event.machine or "", event.machine)
        for scenario in plain.shop.scenarios
        for event in scenario.events
        if event.move
    }
    return any(way in quoted_ways_of(shop, name or "") for name in moved)


def strategies_are_known(pair: Pair) -> Iterator[Problem]:
    """Strategies name known machines and ways that those machines have, and cover every machine once."""
    plain = spelled(pair)
    if plain is None:
        return
    seen: set[str] = set()
    for index, strategy in enumerate(pair.shop.strategies):
        trail: Trail = ("strategies", index)
        if strategy.name in seen:
            message = f'is "{strategy.name}", which another strategy has'
            yield pair.in_shop("strategy-repeated", (*trail, "name"), message, "give it another name")
        seen.add(strategy.name)
        yield from _covers(pair, (*trail, "ways"), strategy, plain)
        for name, words in strategy.ways.items():
            yield from _way(pair, (*trail, "ways", name), strategy, name, words)


def _covers(pair: Pair, trail: Trail, strategy: Strategy, plain: SpelledOut) -> Iterator[Problem]:
    groups = {machine.name for machine in pair.shop.machines}
    thought_of = {machine.name for machine in pair.shop.next_machines}
    known = {*groups, *plain.group_of, *thought_of, EVERY}
    for name in strategy.ways:
        where = (*trail, name)
        if name not in known:
            message, mend = unknown("machine", name, known)
            yield pair.in_shop("strategy-machine", where, message, mend, key=True)
        group = plain.group_of.get(name)
        if group is not None and group != name and group in strategy.ways:
            message = f'is named here, and within "{group}" as well'
            yield pair.in_shop("strategy-machine-twice", where, message, "delete one of the two", key=True)
    left = [
        name
        for name, group in plain.group_of.items()
        if name not in strategy.ways and group not in strategy.ways
    ]
    if left and EVERY not in strategy.ways:
        message = f"says nothing about {_listed(left)}"
        yield pair.in_shop("strategy-forgets", trail, message, 'name them, or add "*": for all the rest')
    if not left and EVERY in strategy.ways and not thought_of - set(strategy.ways):
        message = "covers nothing, since every machine is named"
        yield pair.in_shop(
            "strategy-rest-empty", (*trail, EVERY), message, NO_EFFECT, question=True, key=True
        )


def _way(pair: Pair, trail: Trail, strategy: Strategy, name: str, words: str) -> Iterator[Problem]:
    shop = pair.shop
    run, _, panel = words.partition(" from ")
    quoted = {way.name for way in shop.quoted_ways}
    printed = printed_ways()
    if words not in quoted and run not in printed and run != FIXED_DROP:
        message, mend = unknown("way", words, {*Method, *quoted})
        yield pair.in_shop("strategy-way", trail, message, f"{mend}; or a way as it is printed")
        return
    panels = pair.panels()
    if words not in quoted and panel and panel not in panels:
        yield pair.in_shop("strategy-panel", trail, *unknown("panel", panel, panels))
        return
    lacking = [machine.name for machine in _meant(shop, strategy, name) if not _has(shop, machine, words)]
    if lacking:
        own = sorted({way.name for machine in lacking for way in quoted_ways_of(shop, machine)})
        mend = "name a way that it has, or quote this one for it"
        mend += f"; quoted for it: {', '.join(own)}" if own else ""
        yield pair.in_shop("strategy-way-not-its", trail, f'is "{words}", no way of {_listed(lacking)}', mend)


def _meant(shop: Shop, strategy: Strategy, name: str) -> list[Machine]:
    """Machines that a line of a strategy is about."""
    if name == EVERY:
        return [machine for machine in shop.machines if machine.name not in strategy.ways]
    machines = [machine for machine in (*shop.machines, *shop.next_machines) if machine.name == name]
    return machines or [machine for machine in shop.machines if name.startswith(f"{machine.name} ")][:1]


def _has(shop: Shop, machine: Machine, words: str) -> bool:
    quoted = quoted_ways_of(shop, machine.name)
    if any(way.name == words for way in shop.quoted_ways):
        return any(way.name == words for way in quoted)
    if not only_quoted(shop, machine):
        return True
    if words == FIXED_DROP:
        return any(way.method in DROPS for way in quoted)
    return any(str(way.method) == words for way in quoted)


def _listed(names: list[str]) -> str:
    shown = ", ".join(f'"{name}"' for name in names[:5])
    return shown if len(names) <= 5 else f"{shown} and {len(names) - 5} more"


RULES: tuple[Rule, ...] = (
    quoted_ways_are_known,
    quoted_work_can_be_done,
    quoted_ways_make_sense,
    quoted_machines_say_nothing_else,
    strategies_are_known,
)
