"""What to know beside the loads: what the next load triggers, lines in balance, two converters, panels without routes."""

from collections import defaultdict
from collections.abc import Iterator, Sequence

from costplan.circuits.capacity import Capacity, TakenFrom, limit_owner, line_amperes, output_of
from costplan.circuits.facts import Facts
from costplan.ledger.holding import written
from costplan.ledger.ledger import Headroom, Moment
from costplan.model import converters
from costplan.model.gear import SERVICE, GearKind
from costplan.model.money import format_cents
from costplan.model.routes import add_routes, reaches_nothing
from costplan.model.shop import Panel
from costplan.model.spelled_out import placed
from costplan.model.system import System
from costplan.program.ranked import Ranked
from costplan.reports.tables import fitted, hung
from costplan.studies.next_step import NextStep, Room, next_steps
from costplan.studies.spaces_left import Least, SpacesLeft, Taken

BALANCE = (
    "circuits on one line are taken as spread over the lines as well as they go: ask which line each is on"
)


MOTOR = "or a motor: the largest single one that may be added, with a quarter more where it is the largest of all (430.24)"


def step_table(facts: Facts, ranked: Ranked, moment: Moment, width: int) -> str:
    """What the next load triggers, a row for each limit; empty where there is no limit."""
    rows = [_step(step, moment) for step in next_steps(facts, ranked)]
    headers = ["what carries it", "load left today", "or a motor", "least in later years", "more needs"]
    return fitted(headers, rows, set(), width, at_most=40) + f"\n{hung(MOTOR, width, '  ')}" if rows else ""


def _step(step: NextStep, moment: Moment) -> list[str]:
    system = moment.capacity.system(step.limit)
    needs = "no upgrade on offer: ask for a quote"
    if step.upgrade is not None:
        cents = step.upgrade.cents
        price = "which lacks a price" if cents is None else f"{format_cents(cents)} put in by itself today"
        needs = f"{step.upgrade.name}, {price}"
    later = "no less"
    if step.least is not None:
        least, motor = _figures(step.least, system)
        later = f"{least}, a motor of {motor}: year {step.least.year}, {step.least.scenario}"
    return [step.limit, *_figures(step.today, system), later, needs]


def _figures(room: Room, system: System) -> tuple[str, str]:
    return (
        f"{line_amperes(system, max(room.left.left_va, 0)):.1f} A",
        f"{line_amperes(system, room.motor_va):.1f} A",
    )


def least_line(facts: Facts, found: SpacesLeft) -> str:
    """That a later year leaves fewer spaces in a panel, when and why; empty where none does."""
    least = found.least
    if least is None:
        return ""
    when = f"in year {least.year}" + (f" if {least.scenario}" if least.scenario else "")
    return f"Least left later in {found.room.panel}: {least.left}, {when}, since {least_why(facts, least)}."


def least_why(facts: Facts, least: Least) -> str:
    """What takes the spaces then, in words."""
    return taken_more(facts, least.why)


def taken_more(facts: Facts, why: Sequence[Taken]) -> str:
    """What takes more spaces, in words."""
    poles: dict[str, int] = {}
    for taken in why:
        other = "shared equipment" if taken.gear else "outlets that stay live"
        what = written(facts, taken.machine) if taken.machine else other
        poles[what] = poles.get(what, 0) + taken.poles
    said = [f"{what} {'take' if what.endswith('s') else 'takes'} {n} more" for what, n in poles.items()]
    return ", ".join(said)


TAKEN_FROM = {
    TakenFrom.PEAK: "125 % of the measured peak (NEC 220.87)",
    TakenFrom.SAID: "the other load that the file says",
    TakenFrom.BEHIND: "the other load of the panels fed from it",
    TakenFrom.UNSAID: "nothing, since nobody said what else hangs there",
}
"""What is counted as taken already, by where the file says it."""


def taken_words(facts: Facts, moment: Moment) -> str:
    """What is counted as taken already on each limit, and where the file says so; empty where only gear has limits."""
    capacity, found = Capacity(facts), defaultdict[TakenFrom, list[str]](list)
    for limit in moment.limits():
        # On what gear brings hang these machines alone, and no field says otherwise.
        if limit_owner(limit.limit) not in facts.gear:
            found[capacity.taken_from(limit.limit)].append(limit.limit)
    said = [f"of {' and '.join(names)} {TAKEN_FROM[source]}" for source, names in found.items()]
    return f"taken already: {'; '.join(said)}; " if said else ""


def balance_line(moment: Moment) -> str:
    """The load of each line where some circuits are not on all of them; empty where all are."""
    uneven = []
    for limit in moment.limits():
        lines = moment.capacity.lines(limit.limit)
        if any(draw.on_some(lines) for draw in moment.on_limit(limit.limit)):
            system = moment.capacity.system(limit.limit)
            lines_va = moment.balance(limit.limit, even=True).lines_va
            shown = " / ".join(f"{line_amperes(system, va):.1f}" for va in lines_va)
            uneven.append(f"{limit.limit} {shown} A")
    return f"Lines: {'; '.join(uneven)}; {BALANCE}." if uneven else ""


def panel_of_all(facts: Facts, moment: Moment) -> str:
    """That the only panel is counted without what else the service feeds, where nobody said what hangs on it; else empty."""
    panel, service = _only_panel(facts, moment), _limit(moment, SERVICE)
    if panel is None or service is None or _limit(moment, panel.name) is None:
        return ""
    taken_a = line_amperes(moment.capacity.system(SERVICE), service.taken_va)
    return (
        f"{panel.name} is counted without what else hangs on it, which nobody said (other_load): where the service's "
        f"{taken_a:.1f} A run through it too, it has that much less still free."
    )


def _limit(moment: Moment, name: str) -> Headroom | None:
    return next((limit for limit in moment.limits() if limit.limit == name), None)


def _only_panel(facts: Facts, moment: Moment) -> Panel | None:
    """The only panel on a service that carries something already, where nobody said what of it hangs on that panel."""
    service = _limit(moment, SERVICE)
    fed = [panel for panel in facts.shop.panels if panel.fed_from is None]
    if service is None or not service.taken_va or len(fed) != 1:
        return None
    panel = fed[0]
    known = "other_load_a" in panel.model_fields_set or panel.system is not moment.capacity.system(SERVICE)
    return None if known else panel


def which_limits(facts: Facts, moment: Moment) -> list[str]:
    """Of each panel on the service, whether its own rating or the service's ends what may be added there first."""
    service = _limit(moment, SERVICE)
    if service is None:
        return []
    fed = [panel for panel in facts.shop.panels if panel.fed_from is None]
    system, only = moment.capacity.system(SERVICE), _only_panel(facts, moment)
    unsaid = [panel.name for panel in fed if panel.rating_a is None]
    found = []
    for panel in fed:
        own = _limit(moment, panel.name)
        if panel.rating_a is None or own is None:
            continue
        # What runs through the only panel besides is not in its own count.
        left_va = own.left_va - (service.taken_va if panel is only else 0)
        rows = [
            (left_va, panel.name, panel.system, own.most_va),
            (service.left_va, "the service", system, service.most_va),
        ]
        first, other = sorted(rows, key=lambda row: row[0])
        ends = "both limit alike" if first[0] == other[0] else f"{first[1]} limits first"
        found.append(f"Of what is added to {panel.name}, {ends}: {_left(*first)}, {_left(*other)}.")
    if unsaid:
        most_a = line_amperes(system, service.most_va)
        found.append(
            f"Of what is added to {', '.join(unsaid)} the service limits as counted here; where a main or a bus there is rated "
            f"below the service's {most_a:.0f} A that limits first: read it, and write rating."
        )
    return found


def _left(left_va: int, name: str, system: System, most_va: int) -> str:
    """What is left of something that carries so much, in words."""
    left, most = line_amperes(system, max(left_va, 0)), line_amperes(system, most_va)
    return f"{name} has {left:.1f} A of {most:.0f} A left"


def self_starters(facts: Facts, moment: Moment) -> str:
    """Machines that count always, since no promise holds them back."""
    found = [entry.machine for entry in moment.powered if facts.machines[entry.machine].always_counts]
    names = list(dict.fromkeys(written(facts, name) for name in found))
    if not names:
        return ""
    verb = "starts or runs" if len(names) == 1 else "start or run"
    return f"Counted always, since {', '.join(names)} {verb} without anybody: a promise is no interlock."


def why_two_converters(facts: Facts, moment: Moment) -> list[str]:
    """Why one converter of the plan would not do for all that hang behind converters, a sentence for each."""
    there = [name for name, (gear, _) in moment.gear.items() if gear.gear.kind is GearKind.CONVERTER]
    behind = [entry for entry in moment.powered if _converter_of(facts, entry.standing.panel) in there]
    if len({_converter_of(facts, entry.standing.panel) for entry in behind}) < 2:
        return []
    found = []
    for name in there:
        why = "; ".join(_short_of(facts, moment, name))
        if why:
            found.append(f"{name} alone would not do: {why}.")
        else:
            found.append(
                f"{name} alone would carry all of them; two cost less here, by their runs and losses: ask whether "
                "one would be liked better."
            )
    return ["More than one converter is at work.", *found]


def _converter_of(facts: Facts, panel: str) -> str:
    above = [gear.name for gear, _ in facts.converters_above(panel)]
    return above[0] if above else ""


def _short_of(facts: Facts, moment: Moment, converter: str) -> Iterator[str]:
    """What a converter has too little of for all machines behind converters."""
    part = facts.parts[facts.gear[converter].part or ""]
    behind = [entry for entry in moment.powered if _converter_of(facts, entry.standing.panel)]
    for entry in behind:
        machine = facts.machines[entry.machine]
        why = converters.refuses(part, machine.hp, machine.power_needed, motor=machine.motor)
        if why is not None:
            yield f"it {why} ({written(facts, entry.machine)})"
    capacity = moment.capacity
    moved = capacity.by_limit(
        (entry.machine, converter, entry.standing.draw_va, entry.standing.poles, entry.count)
        for entry in behind
    )
    for limit, draws in moved.items():
        if limit_owner(limit) != converter:
            continue
        asked_va = capacity.balance(draws, [], {}, capacity.lines(limit)).worst_va
        most_va = capacity.limits[limit].free_va
        if asked_va <= most_va:
            continue
        if capacity.limits[limit].counts_machines:
            yield f"it runs {most_va} at once, and they are {asked_va}"
            continue
        asked, most = (f"{line_amperes(capacity.system(limit), va):.1f}" for va in (asked_va, most_va))
        what = "output" if limit == output_of(converter) else "panel"
        yield (
            f"its {what} carries {most} A, and with all that may run at once they draw {asked} A, a quarter of the "
            "largest motor among it (at_most: of the service, where fewer run at once)"
        )
    room = next((room for room in moment.panels() if room.panel == converter), None)
    poles = sum(entry.standing.poles * entry.count for entry in behind if entry.standing.panel != converter)
    if room is not None and room.left < poles:
        yield f"its panel has {room.left} spaces left, one a pole, and the others take {poles}"


def unreached(facts: Facts) -> list[str]:
    """Panels that could feed nothing since no length from them is known, a sentence for each."""
    shop = placed(facts.written)
    return [
        f"{gear.name} can feed nothing, since no length from it is known: {add_routes(gear.name)}."
        for gear in shop.gear
        if gear.brings_panel and reaches_nothing(shop, gear.name, gear.at)
    ]
