"""The sentences a person wants: which way, by how much, and what would turn it."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from costplan.circuits.facts import Facts
from costplan.circuits.ways import Way
from costplan.ledger.holding import written
from costplan.ledger.plan import Plan
from costplan.ledger.same_plan import changed_machines
from costplan.model.choices import Method, ResaleRule, Supply, VisitRule
from costplan.model.left_out import Without
from costplan.model.money import format_cents
from costplan.model.nameplate import Electrical
from costplan.model.shop import Machine
from costplan.program.ranked import Ranked
from costplan.reports.counted import several
from costplan.standards.motors import hp_words
from costplan.studies.gaps import Threat
from costplan.years.calendar import first_standings

MAN_HOURS = "man-hours of one journeyman in an open shop"
"""Whose hours the labor file means; a crew's hours by the clock are these over its pace."""
SIZING_CAUTION = (
    "Sizing here picks parts for pricing and is no design: the local code and a licensed electrician decide."
)


# plans ---------------------------------------------------------------------------------------------


def shares(facts: Facts, plan: Plan) -> list[tuple[str, Way, int]]:
    """Ways by the name the user wrote, in order, and how many of the machine each is for; not of those taken away."""
    counts: Counter[tuple[str, Way]] = Counter()
    for machine, way, count in plan.shares():
        if not way.gone:
            counts[written(facts, machine), way] += count
    order = sorted(counts.items(), key=lambda entry: (entry[0][0], -entry[1], repr(entry[0][1])))
    return [(name, way, count) for (name, way), count in order]


def how_many(facts: Facts, plan: Plan) -> dict[str, int]:
    """How many there are of each machine, by the name the user wrote."""
    counts: Counter[str] = Counter()
    for machine, _, count in plan.shares():
        counts[written(facts, machine)] += count
    return dict(counts)


def by_group(facts: Facts, plan: Plan) -> dict[str, Counter[str]]:
    """How many of each machine are powered by each kind of way: name → kind of way → count."""
    found: dict[str, Counter[str]] = defaultdict(Counter)
    for name, way, count in shares(facts, plan):
        found[name][way.short] += count
    return dict(found)


def title(facts: Facts, ranked: Ranked) -> str:
    """A plan in one line: machines by kind of way, the most common way first."""
    groups = by_group(facts, ranked.plan)
    return _title(groups, how_many(facts, ranked.plan), ranked.plan.gear_names)


def title_today(facts: Facts, ranked: Ranked) -> str:
    """The same of today's work alone: without machines, devices and gear that come in later years."""
    standings = first_standings(facts.shop)
    groups: dict[str, Counter[str]] = defaultdict(Counter)
    for name, way, count in ranked.plan.shares():
        standing = standings.get(name)
        if way.gone or (standing is not None and standing.year):
            continue
        phases = standing.load.phases if standing is not None and not way.quoted else 3
        groups[written(facts, name)][powered_today(way, phases).short] += count
    gear = {bought.entry for bought in ranked.plan.gear if bought.year == 0}
    return _title(groups, how_many(facts, ranked.plan), gear) or "nothing today"


def powered_today(way: Way, phases: int) -> Way:
    """The way as a machine of so many phases is powered by it: one of a single phase has no drive and no other motor yet."""
    by_device = way.supply in (Supply.DRIVE, Supply.MOTOR)
    return replace(way, supply=Supply.PANEL) if by_device and phases == 1 else way


def machines_by_way(facts: Facts, ranked: Ranked) -> list[tuple[str, str, int]]:
    """Kind of way, machines by it in words, how many they are; the most common way first."""
    return _ordered(by_group(facts, ranked.plan), how_many(facts, ranked.plan))


def _ordered(
    by_machine: Mapping[str, Mapping[str, int]], of: Mapping[str, int]
) -> list[tuple[str, str, int]]:
    groups: dict[str, dict[str, int]] = defaultdict(dict)
    for name, ways in sorted(by_machine.items()):
        for group, count in ways.items():
            groups[group][name] = count
    order = sorted(groups.items(), key=lambda entry: (-sum(entry[1].values()), entry[0]))
    return [
        (group, several(name, count, of[name]), count)
        for group, machines in order
        for name, count in machines.items()
    ]


def in_groups(machines: Iterable[tuple[str, str, int]]) -> list[str]:
    """Machines that stand in the order of their ways, by way: `cord: drill, saw`."""
    groups: dict[str, list[str]] = {}
    for group, name, _ in machines:
        groups.setdefault(group, []).append(name)
    return [f"{group}: {', '.join(names)}" for group, names in groups.items()]


def _title(by_machine: Mapping[str, Mapping[str, int]], of: Mapping[str, int], gear: Iterable[str]) -> str:
    return "; ".join([*in_groups(_ordered(by_machine, of)), *with_gear(gear)])


def with_gear(gear: Iterable[str]) -> list[str]:
    """Shared equipment after machines by way, as one entry or none."""
    named = ", ".join(sorted(gear))
    return [f"with {named}"] if named else []


def difference(facts: Facts, ranked: Ranked, best: Ranked) -> str:
    """How a plan differs from the best one, machine by machine; those that take turns and have one way are told together."""
    mine, other = by_group(facts, ranked.plan), by_group(facts, best.plan)
    clubs = {written(facts, name): machine.takes_turns for name, machine in facts.machines.items()}
    told: dict[tuple[str, str], list[str]] = defaultdict(list)
    for name, groups in mine.items():
        if groups == other[name]:
            continue
        of = sum(groups.values())
        ways = sorted(groups.items(), key=lambda entry: (-entry[1], entry[0]))
        for group, count in ways:
            by = _with_panel(facts, ranked, name, group)
            told[clubs.get(name) or f"{name} alone", by].append(several(name, count, of))
    changes = [f"{' and '.join(names)} by {by}" for (_, by), names in told.items()]
    added = ranked.plan.gear_names - best.plan.gear_names
    spared = best.plan.gear_names - ranked.plan.gear_names
    changes += [f"with {gear}" for gear in sorted(added)] + [f"without {gear}" for gear in sorted(spared)]
    if not changes and changed_machines(ranked.plan, best.plan):
        return "other machines of a group have those ways"
    return ", ".join(changes) or "the same ways"


def _with_panel(facts: Facts, ranked: Ranked, name: str, group: str) -> str:
    panels = {w.panel for m, w, _ in shares(facts, ranked.plan) if (m, w.short) == (name, group) and w.panel}
    return f"{group} from {' and '.join(sorted(panels))}" if panels else group


# the answer ----------------------------------------------------------------------------------------


def assumptions(facts: Facts) -> str:
    """The rules that decide more than others, in one line."""
    shop, money = facts.shop, facts.shop.money
    visits = (
        "hired moves of a year in one visit"
        if shop.hired_visits is VisitRule.YEARLY
        else "each hired move a visit of its own"
    )
    return (
        f"{shop.years} years, {money.discount_rate * 100:f} % real a year, amounts at year end, {shop.currency};\n"
        f"hours are {MAN_HOURS}, over the crew's pace; they and other ranges count as (low + 4 likely + high) / 6;\n"
        f"{visits}; resale at the end: {_resale(facts)}"
    )


def _resale(facts: Facts) -> str:
    rules = {
        part.resale_rule or facts.kinds[part.kind].resale_rule
        for part in facts.catalog.parts
        if part.kind in facts.kinds and (part.resale or facts.kinds[part.kind].resale)
    }
    if not rules:
        return "only what a quote says" if facts.shop.quoted_ways else "nothing"
    kept, falling = "a share of the price paid", "a share of the price paid that falls over its life"
    if rules == {ResaleRule.SHARE}:
        return kept
    return (
        falling
        if rules == {ResaleRule.STRAIGHT_LINE}
        else f"{kept}, for some parts one that falls over their life"
    )


def hour_factor_lines(facts: Facts) -> list[str]:
    """What makes work slower and where, a line each; none when the shop file says nothing about it."""
    shop = facts.shop
    lines = []
    for name, by in sorted(facts.hour_factors.items()):
        where = [spot.name for spot in shop.places if name in spot.hour_factors]
        where += [f"{route.start} to {route.end}" for route in shop.routes if name in route.hour_factors]
        if where:
            touched = f", for {', '.join(by.tasks)} only" if by.tasks else ""
            lines.append(f"hours count x {by.factor:f}: {name} ({', '.join(where)}){touched}")
    return lines


def left_out_lines(left_out: Sequence[Without]) -> list[str]:
    """What no figure contains, the first thing to read: the machines that no way can power, and why; else nothing."""
    if not left_out:
        return []
    names = left_out_names(left_out)
    head = f"Incomplete: no figure here contains {names}, which no way that is known can power."
    return [
        head,
        *(f"Left out: {one_or_more(entry)}: {reason}." for entry in left_out for reason in entry.reasons),
    ]


def one_or_more(entry: Without) -> str:
    """A machine that is left out, or so many alike."""
    return several(entry.machine, entry.count, entry.count)


def named(names: Sequence[str], most: int | None = None) -> str:
    """Names in a row, at most so many of them, with how many more there are."""
    if most is None or len(names) <= most:
        return ", ".join(names)
    return f"{', '.join(names[:most])} and {len(names) - most} more"


def threat_words(facts: Facts, threat: Threat, best_cents: int) -> str:
    """What is incomplete, and what the shop costs with it at least."""
    ways = "; ".join(f"{written(facts, machine)} by {way} ({what})" for machine, way, what in threat.ways)
    if threat.at_least_cents is None:
        return f"nobody can say what this costs: {ways}."
    return (
        f"incomplete is {ways}. With it the shop costs at least "
        f"{format_cents(threat.at_least_cents)}, less than the {format_cents(best_cents)} of the best complete plan; "
        f"it wins if what is missing costs less than {format_cents(best_cents - threat.at_least_cents)} in today's money."
    )


def together(places: Sequence[int]) -> str:
    """Places in words: `1 and 2`, `1 to 3`, `1 to 3 and 5`."""
    runs = list[list[int]]()
    for place in places:
        if runs and place == runs[-1][-1] + 1:
            runs[-1].append(place)
        else:
            runs.append([place])
    said = list[str]()
    for run in runs:
        said += [f"{run[0]} to {run[-1]}"] if len(run) > 2 else map(str, run)
    return " and ".join(filter(None, (", ".join(said[:-1]), said[-1])))


def machines_on_cords(plan: Plan) -> int:
    """How many machines hang on a cord or under a ceiling outlet, which an inspector may question."""
    hang = (Method.CORD, Method.CEILING)
    return sum(count for _, way, count in plan.shares() if way.method in hang and not way.gone)


# strategies ----------------------------------------------------------------------------------------


# ways that are out ---------------------------------------------------------------------------------


def pieces(lengths_ft: Iterable[int]) -> list[str]:
    """Lengths with how many of each, in the order given: `3 x 49 ft`, `5 ft`."""
    return [
        f"{count} x {length} ft" if count > 1 else f"{length} ft"
        for length, count in Counter(lengths_ft).items()
    ]


# machines ------------------------------------------------------------------------------------------


def nameplate(machine: Electrical) -> str:
    """Volts, phases and load in words; empty where nothing is stated."""
    if not machine.volts:
        return ""
    load = f"{hp_words(machine.hp)} hp" if machine.hp is not None else f"{machine.amps_words} A"
    return f"{machine.volts_words} V {machine.phases}-phase {load}"


def stands_at(machine: Machine) -> str:
    """The place of a machine, or how far it is from a panel where its place has no name."""
    if machine.at or machine.route is None:
        return machine.at
    route = machine.route
    lengths = [
        f"{word} {length:f} ft"
        for word, length in (("fixed", route.fixed_ft), ("cord", route.cord_ft))
        if length is not None
    ]
    return f"{', '.join(lengths)} from {route.panel or 'each panel'}"


def left_out_names(left_out: Iterable[Without], most: int | None = None) -> str:
    """Machines that are in no figure in a row, at most so many by name."""
    return named([one_or_more(entry) for entry in left_out], most)
