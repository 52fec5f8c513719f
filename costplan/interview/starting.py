"""A first shop file from the answers of a guided start, with comments that say what to write next."""

from collections.abc import Collection, Iterator, Mapping, Sequence
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
    figure,
    guessed_middle,
    lengths,
    machine_lines,
    moves_in_turn,
    panel_name,
    quote_lines,
)
from costplan.interview.starting_moves import open_to_moves, other_spot, scenario_lines
from costplan.interview.starting_room import (
    FEEDER_FT,
    beside,
    gear_lines,
    panel_lines,
    panels_to_come,
    service_lines,
)
from costplan.model.catalog import Catalog, Part
from costplan.model.choices import Occupancy
from costplan.model.demo_shelf import DEMO
from costplan.model.labor import Crew, Role
from costplan.model.loading import LoadedCatalog, LoadedShop, entry_of
from costplan.model.shop import Shop
from costplan.model.yaml_text import quoted

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
        scenario_lines(answers, list(_distances(answers))),
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
        yield from guessed_middle(answers.electricity, "  ")
        yield f"  electricity_per_kwh: {figure(answers.electricity)}"
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
        if machine.plated and not machine.place and (everywhere or machine.other_spot or machine.others)
        else machine
        for machine in answers.machines
    )
    return replace(answers, machines=machines)


def _free(name: str, taken: Collection[str]) -> str:
    return f"place of {name}" if name in taken else name


def panel_called(name: str, panels: Sequence[PanelAnswer]) -> str:
    """A panel's name as its own line has it."""
    return next((panel.name for panel in panels if panel.name.lower() == name.lower()), name)


def _routes_from_panels(answers: Answers) -> dict[tuple[str, str], MachineAnswer]:
    """By panel and place, a machine that tells how far it is; a second place is made up where moves need one."""
    routes: dict[tuple[str, str], MachineAnswer] = {}
    for machine in answers.machines:
        if machine.place and machine.plated:
            routes.setdefault((panel_name(machine, answers), machine.place), machine)
        for other in machine.others if machine.place else ():
            from_there = replace(machine, fixed_text=other.fixed_text, cord_text=other.cord_text)
            routes.setdefault((panel_called(other.panel, answers.panels), machine.place), from_there)
        if machine.place and machine.other_spot is not None:
            fixed, cord = machine.other_spot
            there = replace(machine, fixed_text=fixed, cord_text=cord)
            routes.setdefault((panel_name(machine, answers), other_spot(machine)), there)
    places = {place for _, place in routes}
    for_moves = open_to_moves(answers, places)
    if moves_in_turn(answers) and len(for_moves) == 1:
        elsewhere = ELSEWHERE if ELSEWHERE not in places else f"{ELSEWHERE} 2"
        as_far = [(panel, machine) for (panel, place), machine in routes.items() if place in for_moves]
        routes |= {(panel, elsewhere): machine for panel, machine in as_far}
    return routes


def _distances(answers: Answers) -> dict[str, MachineAnswer]:
    """By place, the machine that tells how far it is."""
    places: dict[str, MachineAnswer] = {}
    for (_, place), machine in _routes_from_panels(answers).items():
        places.setdefault(place, machine)
    return places


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
        yield f"# The rate of {quoted(one.name)} is what you answered; fees and minimums are the catalog's. Ask for them too."
        if len(electricians) > 1:
            yield "# That of a crew with rate_from is raised or lowered alike: ask it as well, then delete rate_from."
        yield from guessed_middle(answers.rate, "")
    yield "crews:" if hour_told or rate_told else "# crews:"
    if owner is not None and hour_told:
        yield from guessed_middle(answers.own_hour, "  ")
        yield from _crew(owner, figure(answers.own_hour))
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
            crew, figure(answers.rate) if crew is one else reckoned, None if crew is one else one
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


def _money(cents: Decimal) -> str:
    return f"{(cents / 100).quantize(Decimal('0.01')):f}"


def _number(number: Decimal) -> str:
    return f"{round(number, 9).normalize():f}"
