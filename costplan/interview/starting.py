"""A first shop file from the answers of a guided start, with comments that say what to write next."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from itertools import combinations
from pathlib import Path

from costplan.checks.check_rooms import NO_WAY
from costplan.checks.checks import check_shop
from costplan.files.problems import Problem, errors_of
from costplan.files.quantities import parse_money_cents
from costplan.files.yaml_reader import parse_yaml
from costplan.interview.answers import UNKNOWN, Answers, strategy_in_words
from costplan.interview.machine_line import MachineAnswer, PanelAnswer
from costplan.interview.ranges_told import three_of
from costplan.interview.starting_machines import (
    lengths,
    machine_lines,
    moves_in_turn,
    panel_name,
    quote_lines,
)
from costplan.interview.starting_room import (
    FEEDER_FT,
    beside,
    gear_lines,
    panel_lines,
    panels_to_come,
    service_lines,
)
from costplan.interview.told_moves import Moves
from costplan.model.catalog import Catalog, Part
from costplan.model.choices import Occupancy
from costplan.model.demo_shelf import DEMO
from costplan.model.labor import Crew, Role
from costplan.model.loading import LoadedCatalog, LoadedShop, entry_of
from costplan.model.shop import Shop
from costplan.model.yaml_text import quoted

_MOVES = "machines are moved"
_MOVES_IN_TURN = "machines are moved in turn"
_LEASE = "after the lease"
RENEWED = "renewed"
"""Said of a lease that ends before the plan does; else the shop moves then."""
ELSEWHERE = "another spot"
"""Where a machine goes that moves in a shop of one place."""


@dataclass(frozen=True, slots=True)
class Priced:
    """Where the prices come from: the catalog as it is read, the folder that the file names, and whether it is invented.

    `folder` is empty in a shop of nothing but quotes.
    """

    catalog: Catalog | None
    folder: str
    invented: bool

    @property
    def parts(self) -> list[Part]:
        """The catalog's parts."""
        return self.catalog.parts if self.catalog is not None else []


def shop_text(answers: Answers, today: date, priced: Priced) -> str:
    """The shop file: what was answered, what was guessed, and what can be added, as commented YAML.

    The answered rate takes the place of the rates of the catalog's electricians.
    """
    answers = _placed(answers)
    alone = quotes_alone(answers)
    blocks = (
        _head(answers, today, priced),
        _building(answers) if alone else _code(answers),
        panel_lines(answers),
        service_lines(answers, today),
        gear_lines(answers, priced.parts),
        _places(answers, priced.parts),
        machine_lines(answers),
        quote_lines(answers),
        _strategies(answers),
        _scenarios(answers),
        _crews(answers, priced.catalog.crews if priced.catalog is not None and not alone else []),
    )
    return "\n".join("\n".join(lines) + "\n" for block in blocks if (lines := list(block)))


def quotes_alone(answers: Answers) -> bool:
    """Whether the shop has nothing but quotes, so that it needs no catalog, panels or rules."""
    return not any(machine.plated for machine in answers.machines)


def mistakes_of(text: str, path: Path, catalog: LoadedCatalog) -> list[Problem]:
    """What a first shop file of this text must not have: errors, and machines that nothing can power."""
    shop, places, problems = entry_of(parse_yaml(text, str(path)), Shop)
    loaded = LoadedShop(shop, places, path, tuple(problems))
    problems = [*problems, *check_shop(loaded, catalog)]
    found = [*errors_of(problems), *(problem for problem in problems if problem.code in NO_WAY)]
    return [replace(problem, severity="error") for problem in found if problem.at.path == str(path)]


def _head(answers: Answers, today: date, priced: Priced) -> Iterator[str]:
    yield "# A first shop file. Lines that begin with # are comments; every length may carry its unit: 35 ft, 10.7 m."
    yield "# costplan schema shop lists everything that can be written here."
    yield ""
    yield f"shop: {quoted(answers.shop_name)}"
    if priced.folder == DEMO:
        yield "# Prices, hours and fees are those of the shipped demo catalog, and invented. Copy them with"
        yield "# costplan catalog copy FOLDER, write your own in their place, and name its folder here instead of demo."
    elif priced.invented:
        yield "# Prices, hours and fees in that folder are invented. Write your own in their place, then delete the line"
        yield "# after it. It has what these machines can use; costplan catalog copy FOLDER has all there is, for others."
    if priced.folder:
        yield f"catalog: {quoted(priced.folder)}"
    if priced.invented and priced.folder != DEMO:
        yield "invented: prices"
    yield "# The day of this plan; the age of a price is counted from it."
    yield f"today: {today.isoformat()}"
    yield f"years: {answers.years}"
    yield ""
    yield "money:"
    yield "  # Real discount rate a year: a guess. Amounts fall at the end of their year."
    yield "  discount_rate: 3 %"
    if quotes_alone(answers):
        return
    if answers.electricity == UNKNOWN:
        yield "  # What a kilowatt-hour costs; without it electricity is left out."
        yield "  # electricity_per_kwh: 0.16"
    else:
        yield from _guessed_middle(answers.electricity, "  ")
        yield f"  electricity_per_kwh: {_figure(answers.electricity)}"
    yield "  # What an hour costs you in which the shop or a machine stands; without it lost time is left out."
    yield "  # shop_hour: 40.00"


def _code(answers: Answers) -> Iterator[str]:
    yield "code:"
    if answers.edition == UNKNOWN:
        yield "  # The edition of the NEC in force is unknown, so the dearer reading is priced. Ask, then write it:"
        yield "  # edition: 2020"
    else:
        yield f"  edition: {answers.edition}"
    yield f"  occupancy: {quoted(answers.occupancy)}"
    yield ""
    yield "building:"
    yield f"  ceiling_height: {quoted(answers.ceiling)}"
    if answers.vapors == UNKNOWN:
        yield "  # Whether finishes, solvents or fuels are sprayed, dipped, poured or kept open here; say it, or it is asked:"
        yield "  # flammable_vapors: false"
    else:
        yield f"  flammable_vapors: {'true' if answers.vapors == 'yes' else 'false'}"
    if not Occupancy(answers.occupancy).dwelling:
        yield "  # Outside dwellings nonmetallic cable goes into walls of types III, IV and V behind a finish only. Ask; then:"
        yield "  # construction: type V"
        yield "  # finished_walls: true"
    yield from _forbidden(answers)
    yield from _lease(answers)


def _building(answers: Answers) -> Iterator[str]:
    """The lease alone: no quote asks for more of the building."""
    yield "building:" if answers.lease is not None else "# building:"
    yield from _lease(answers)


def _forbidden(answers: Answers) -> Iterator[str]:
    if answers.forbid:
        listed = ", ".join(f"{method}: {quoted(reason)}" for method, reason in answers.forbid)
        yield f"  forbid: {{{listed}}}"
    else:
        yield "  # What the landlord or the inspector does not allow, each with the reason:"
        yield "  # forbid: {conduit drop: the landlord wants nothing on the walls}"


def _lease(answers: Answers) -> Iterator[str]:
    if answers.lease is not None:
        said = answers.lease.take_out
        take_out = "" if said is None else f", take_out: {str(said).lower()}"
        yield f"  lease: {{ends: {answers.lease.ends}{take_out}}}"
    else:
        yield "  # When the lease ends, and whether fixed wiring must come out then:"
        yield f"  # lease: {{ends: {answers.years}, take_out: true}}"


def _placed(answers: Answers) -> Answers:
    """The answers with a place for every machine where all may move or several panels may feed it, called as it is."""
    more_panels = answers.room.subpanels or answers.room.panels
    everywhere = moves_in_turn(answers) or bool(more_panels)
    taken = {machine.place for machine in answers.machines} | {panel.name for panel in answers.panels}
    machines = tuple(
        replace(machine, place=_free(machine.name, taken))
        if machine.plated and not machine.place and (everywhere or machine.other_spot)
        else machine
        for machine in answers.machines
    )
    return replace(answers, machines=machines)


def _free(name: str, taken: Collection[str]) -> str:
    return f"place of {name}" if name in taken else name


def _routes_from_panels(answers: Answers) -> dict[tuple[str, str], MachineAnswer]:
    """By panel and place, a machine that tells how far it is; a second place is made up where moves need one."""
    routes: dict[tuple[str, str], MachineAnswer] = {}
    for machine in answers.machines:
        if machine.place and machine.plated:
            routes.setdefault((panel_name(machine, answers), machine.place), machine)
        if machine.place and machine.other_spot is not None:
            fixed, cord = machine.other_spot
            there = replace(machine, fixed_text=fixed, cord_text=cord)
            routes.setdefault((panel_name(machine, answers), other_spot(machine)), there)
    places = {place for _, place in routes}
    for_moves = _open_to_moves(answers, places)
    if moves_in_turn(answers) and len(for_moves) == 1:
        elsewhere = ELSEWHERE if ELSEWHERE not in places else f"{ELSEWHERE} 2"
        as_far = [(panel, machine) for (panel, place), machine in routes.items() if place in for_moves]
        routes |= {(panel, elsewhere): machine for panel, machine in as_far}
    return routes


def _open_to_moves(answers: Answers, places: Iterable[str]) -> list[str]:
    """Places that machines which move in turn can stand at: all but those where only such stand as never move."""
    standing: dict[str, list[bool]] = {}
    for machine in answers.machines:
        standing.setdefault(machine.place, []).append(bool(machine.told.never_moves))
    return [place for place in places if not all(standing.get(place, [False]))]


def _distances(answers: Answers) -> dict[str, MachineAnswer]:
    """By place, the machine that tells how far it is."""
    places: dict[str, MachineAnswer] = {}
    for (_, place), machine in _routes_from_panels(answers).items():
        places.setdefault(place, machine)
    return places


def other_spot(machine: MachineAnswer) -> str:
    """The spot that a machine moves to and back from."""
    return f"other spot of {machine.name}"


def _places(answers: Answers, parts: Sequence[Part]) -> Iterator[str]:
    routes, places = _routes_from_panels(answers), _distances(answers)
    under = list(panels_to_come(answers, parts))
    spots = dict.fromkeys(beside(panel) for _, panel in under)
    if not places:
        return
    yield "places:"
    for place in [*places, *spots]:
        yield f"  - name: {quoted(place)}"
    yield ""
    yield "# From the panel along the way that wiring would take, ups and downs included."
    if any(machine.fixed_text == machine.cord_text for machine in routes.values()):
        yield "# A cord hangs a shorter way than a drop in the wall: where you gave one length, measure both."
    yield "routes:"
    for (panel, place), machine in routes.items():
        yield f"  - {{from: {quoted(panel)}, to: {quoted(place)}, {lengths(machine)}}}"
    for machine in answers.machines:
        if machine.place and machine.apart is not None:
            fixed, cord = machine.apart
            ends = f"from: {quoted(machine.place)}, to: {quoted(other_spot(machine))}"
            yield f"  - {{{ends}, {lengths(replace(machine, fixed_text=fixed, cord_text=cord))}}}"
    yield from _from_subpanels(under, routes)
    pairs = list(combinations(places, 2))
    if pairs and moves_in_turn(answers):
        yield "  # Between places: guessed as the longer of the two ways from the panel; measure these too."
        for one, other in pairs:
            longer = max(places[one], places[other], key=lambda machine: machine.cord_ft)
            ends = f"from: {quoted(one)}, to: {quoted(other)}"
            yield f"  - {{{ends}, cord: {quoted(longer.cord_text)}}}"


def _from_subpanels(
    under: Sequence[tuple[str, PanelAnswer]], routes: Mapping[tuple[str, str], MachineAnswer]
) -> Iterator[str]:
    if under:
        yield "  # A panel that is bought would hang beside the one there is: as far from everything, a guess."
    for panel in dict.fromkeys(panel for _, panel in under):
        yield f"  - {{from: {quoted(panel.name)}, to: {quoted(beside(panel))}, fixed: {FEEDER_FT}, cord: {FEEDER_FT}}}"
    for name, panel in under:
        for (start, place), machine in routes.items():
            if start == panel.name:
                yield f"  - {{from: {quoted(name)}, to: {quoted(place)}, {lengths(machine)}}}"


def _strategies(answers: Answers) -> Iterator[str]:
    if answers.strategies:
        yield "strategies:"
    for said in answers.strategies:
        strategy, _ = strategy_in_words(said, answers.machines)
        ways = ", ".join(f"{quoted(machine)}: {quoted(words)}" for machine, words in strategy.ways)
        yield f"  - {{name: {quoted(strategy.name)}, ways: {{{ways}}}}}"


def _scenarios(answers: Answers) -> Iterator[str]:
    dated = [machine for machine in answers.machines if machine.told.moves is not None]
    if dated:
        yield from _dated(dated, answers)
        return
    moved, some = moves_in_turn(answers), _some(answers)
    if not moved and answers.lease is not None and answers.lease.then:
        yield "# No machine ever moves, as you answered."
        yield "scenarios:"
        yield f"  - name: {_LEASE}"
        yield "    weight: 100 %"
        yield from _after_the_lease(answers)
        moving = list(_shop_moves(answers))
        yield from (["    events:", *moving] if moving else [])
        return
    if not moved:
        yield "# Nothing ever moves, as you answered. What may change, and how likely, is written like this:"
        yield "# scenarios:"
        yield f"#   - name: {_MOVES}"
        yield "#     weight: 100 %"
        yield "#     events:"
        yield f"#       - {some}"
        return
    places = _open_to_moves(answers, _distances(answers))
    if set(places) - {machine.place for machine in answers.machines}:
        yield "# All machines that move stand at one place, so a second one, as far from the panel, was made up for the moves."
    yield "# What may happen, and how likely; the weights add up to 100 %."
    yield "scenarios:"
    yield f"  - name: {_MOVES_IN_TURN}"
    yield "    weight: 100 %"
    yield from _after_the_lease(answers)
    yield "    # One move is one machine, of a group too: those of the first group in turn, then those of the next,"
    yield "    # each to the next place of among. machines: [...] here names those that take part."
    yield "    rearranged:"
    yield from _guessed_middle(answers.moves_per_year, "      ")
    yield f"      times_per_year: {_figure(answers.moves_per_year)}"
    yield f"      among: [{', '.join(map(quoted, places))}]"
    moving = list(_shop_moves(answers))
    if moving:
        yield from ("    events:", *moving)
        return
    yield "    # Where you know which machines move, and when, say so instead; new_spot is as far from the panel:"
    yield "    # events:"
    yield f"    #   - {some}"


def _dated(dated: Sequence[MachineAnswer], answers: Answers) -> Iterator[str]:
    """The scenarios of moves that lines of machines tell."""
    if any(machine.other_spot is None for machine in dated):
        yield "# Each to a spot that has no outlet yet, as far from the panel; a group's first machines."
    if any(machine.other_spot is not None for machine in dated):
        yield "# Back and forth: out of its place and back, in turn; an outlet that is there serves again."
    courses = list(_courses(dated))
    if len(courses) > 1:
        yield "# A range of moves is two courses of events, as likely as each other: with its least and with its most."
    yield "scenarios:"
    for name, told in courses:
        yield f"  - name: {name}"
        yield f"    weight: {100 // len(courses)} %"
        yield from _after_the_lease(answers)
        yield "    events:"
        for machine, moves in told:
            yield from (f"      - {event}" for event in _events(machine, moves, answers))
        yield from _shop_moves(answers)


def _after_the_lease(answers: Answers) -> Iterator[str]:
    """Where the lease is renewed: that it does not end within the plan."""
    if answers.lease is not None and answers.lease.then == RENEWED:
        yield "    # Renewed, as you answered: it ends after this plan."
        yield f"    lease_ends: {int(answers.years) + 1}"


def _shop_moves(answers: Answers) -> Iterator[str]:
    """Where the lease is not renewed: that the whole shop goes to another building."""
    if answers.lease is not None and answers.lease.then not in ("", RENEWED):
        yield f"      - {{year: {answers.lease.ends}, shop_moves: true}}"


_Course = Sequence[tuple[MachineAnswer, Moves]]


def _courses(dated: Sequence[MachineAnswer]) -> Iterator[tuple[str, _Course]]:
    """The courses of events by name, each with what moves how: two where some moves were told as a range."""
    least = [(machine, machine.told.moves) for machine in dated if machine.told.moves is not None]
    if not any(moves.most for _, moves in least):
        yield _MOVES, least
        return
    yield f"{_MOVES} seldom", least
    yield f"{_MOVES} often", [(machine, moves.most or moves) for machine, moves in least]


def _events(machine: MachineAnswer, moves: Moves, answers: Answers) -> Iterator[str]:
    """The moves that a machine's line tells: each to a new spot, or back and forth."""
    some = moves.how_many is not None and moves.how_many < machine.count
    part = f", how_many: {moves.how_many}" if some else ""
    if machine.other_spot is None:
        times = f", times: {moves.times}" if moves.times > 1 else ""
        yield f"{{every: {moves.every}, machine: {quoted(machine.name)}{part}, new_spot: true{times}}}"
        return
    years = range(moves.every, int(answers.years), moves.every)
    spots = (other_spot(machine), machine.place)
    for time in range(moves.times):
        for leg, spot in enumerate(spots):
            legs = [year for number, year in enumerate(years) if (number * moves.times + time) % 2 == leg]
            if legs:
                yield f"{{years: {legs}, machine: {quoted(machine.name)}{part}, move: {quoted(spot)}}}"


def _some(answers: Answers) -> str:
    """An event of the largest group, of which about half move, or of a machine alone."""
    largest = max(answers.machines, key=lambda machine: machine.count)
    part = f", how_many: {(largest.count + 1) // 2}" if largest.count > 1 else ""
    return f"{{every: 2, machine: {quoted(largest.name)}{part}, new_spot: true}}"


def _crews(answers: Answers, crews: Sequence[Crew]) -> Iterator[str]:
    electricians = [crew for crew in crews if crew.role is Role.ELECTRICIAN]
    if not electricians:
        return
    one = min(electricians, key=lambda crew: abs(crew.pace - 1))
    owner = next((crew for crew in crews if crew.role is Role.OWNER), None)
    hour_told = owner is not None and answers.own_hour != UNKNOWN
    rate_told = answers.rate != UNKNOWN
    proposed = "  # -" if hour_told or rate_told else "#   -"
    if rate_told:
        yield f"# The rate of {quoted(one.name)} is what you answered,"
        yield "# and that of a crew with rate_from is raised or lowered alike, so ask it too, then delete rate_from;"
        yield "# fees and minimums are the catalog's. Ask for them as well."
        yield from _guessed_middle(answers.rate, "")
    yield "crews:" if hour_told or rate_told else "# crews:"
    if owner is not None and hour_told:
        yield from _guessed_middle(answers.own_hour, "  ")
        yield from _crew(owner, _figure(answers.own_hour))
    elif owner is not None:
        rate = f"{owner.rate_cents / 100:.2f}"
        yield f"  # What an hour of your own is worth to you: {rate} is the catalog's, a guess. Where it is another:"
        words = f"name: {quoted(owner.name)}, role: {Role.OWNER}, rate: {rate}, pace: {_number(owner.pace)}"
        yield f"{proposed} {{{words}}}"
    if not rate_told:
        rate = f"{one.rate_cents / 100:.2f}"
        yield f"  # Nobody was asked what an electrician takes an hour: {rate} is the catalog's, a guess. Ask; then:"
        yield f"{proposed} {{name: {quoted(one.name)}, role: {Role.ELECTRICIAN}, rate: {rate}}}"
    asked = [] if not rate_told else [parse_money_cents(each) for each in three_of(answers.rate)]
    for crew in electricians if asked else ():
        ratio = crew.rate_cents / one.rate_cents if one.rate_cents else crew.pace / one.pace
        scaled = [_money(cents * ratio) for cents in asked]
        reckoned = f"[{', '.join(scaled)}]" if len(scaled) > 1 else scaled[0]
        yield from _crew(
            crew, _figure(answers.rate) if crew is one else reckoned, None if crew is one else one
        )


def _crew(crew: Crew, rate: str, rate_from: Crew | None = None) -> Iterator[str]:
    """A crew of the catalog at another rate, reckoned from that of another crew where there is one."""
    yield f"  - name: {quoted(crew.name)}"
    yield f"    role: {crew.role}"
    yield f"    rate: {rate}"
    if rate_from is not None:
        yield f"    rate_from: {quoted(rate_from.name)}"
    if crew.people > 1:
        yield f"    people: {crew.people}"
    if not crew.pace_spread:
        yield f"    pace: {_number(crew.pace)}"
    for word, cents in (
        ("call_out", crew.call_out_cents),
        ("minimum", crew.minimum_cents),
        ("permit", crew.permit_cents),
    ):
        if cents:
            yield f"    {word}: {_money(cents)}"
    if crew.later_permit_cents is not None:
        yield f"    later_permit: {_money(crew.later_permit_cents)}"
    if crew.set_up_hours:
        yield f"    set_up: {_number(crew.set_up_hours)} h"


def _figure(text: str) -> str:
    """An answer as the file has it; a range is a list."""
    return text if len(three_of(text)) > 1 else quoted(text)


def _guessed_middle(text: str, indent: str) -> Iterator[str]:
    """The comment beside a range: what its three are."""
    if len(three_of(text)) > 1:
        yield f"{indent}# Low, likely and high; the likely one is a guess, half way between unless you said three."


def _money(cents: Decimal) -> str:
    return f"{(cents / 100).quantize(Decimal('0.01')):f}"


def _number(number: Decimal) -> str:
    return f"{round(number, 9).normalize():f}"
