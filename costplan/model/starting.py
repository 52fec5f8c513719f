"""A first shop file from the answers of a guided start, with comments that say what to write next."""

import json
import re
from collections.abc import Collection, Iterable, Iterator
from dataclasses import replace
from datetime import date
from decimal import Decimal
from itertools import combinations
from pathlib import Path

from costplan.files.problems import Problem, errors_of
from costplan.files.quantities import parse_money_cents, parse_number
from costplan.files.yaml_reader import parse_yaml
from costplan.model.answers import UNKNOWN, Answers, name_of_quote, strategy_in_words
from costplan.model.check_rooms import NO_WAY
from costplan.model.checks import check_shop
from costplan.model.choices import Method, Occupancy
from costplan.model.demo_shelf import DEMO
from costplan.model.labor import Crew, Role
from costplan.model.loading import LoadedCatalog, LoadedShop, entry_of
from costplan.model.machine_line import MachineAnswer, PanelAnswer, panel_of
from costplan.model.shop import Shop
from costplan.model.told_facts import Now, Told

_PLAIN = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9 ()/.%-]*[A-Za-z0-9()%])?")
_WORDS = frozenset({"true", "false", "null"})
_MOVES = "machines are moved"
_MOVES_IN_TURN = "machines are moved in turn"
ELSEWHERE = "another spot"
"""Where a machine goes that moves in a shop of one place."""


def shop_text(answers: Answers, crews: Iterable[Crew], today: date, catalog: str | None) -> str:
    """The shop file: what was answered, what was guessed, and what can be added, as commented YAML.

    `crews` are the catalog's; the answered rate takes the place of its electricians' rates. `catalog` is the
    catalog's folder relative to the file, None for the shipped demo.
    """
    answers = _placed(answers)
    blocks = (
        _head(answers, today, catalog),
        _code(answers),
        _panels(answers),
        _places(answers),
        _machines(answers),
        _quotes(answers),
        _strategies(answers),
        _scenarios(answers),
        _crews(answers, crews),
    )
    return "\n".join("\n".join(lines) + "\n" for block in blocks if (lines := list(block)))


def mistakes_of(text: str, path: Path, catalog: LoadedCatalog) -> list[Problem]:
    """What a first shop file of this text must not have: errors, and machines that nothing can power."""
    shop, places, problems = entry_of(parse_yaml(text, str(path)), Shop)
    loaded = LoadedShop(shop, places, path, tuple(problems))
    problems = [*problems, *check_shop(loaded, catalog)]
    found = [*errors_of(problems), *(problem for problem in problems if problem.code in NO_WAY)]
    return [replace(problem, severity="error") for problem in found if problem.at.path == str(path)]


def quoted(text: str) -> str:
    """A text as YAML reads it back, without quotes where it needs none, in lists and groups too."""
    if _PLAIN.fullmatch(text) and text.lower() not in _WORDS:
        return text
    return json.dumps(text, ensure_ascii=False)


def _head(answers: Answers, today: date, catalog: str | None) -> Iterator[str]:
    yield "# A first shop file. Lines that begin with # are comments; every length may carry its unit: 35 ft, 10.7 m."
    yield "# costplan schema shop lists everything that can be written here."
    yield ""
    yield f"shop: {quoted(answers.shop_name)}"
    if catalog is None:
        yield "# Prices, hours and fees are those of the shipped demo catalog, and invented. Copy them with"
        yield "# costplan catalog copy FOLDER, write your own in their place, and name its folder here instead of demo."
        yield f"catalog: {DEMO}"
    else:
        yield f"catalog: {quoted(catalog)}"
    yield "# The day of this plan; the age of a price is counted from it."
    yield f"today: {today.isoformat()}"
    yield f"years: {answers.years}"
    yield ""
    yield "money:"
    yield "  # Real discount rate a year: a guess. Amounts fall at the end of their year."
    yield "  discount_rate: 3 %"
    yield f"  electricity_per_kwh: {quoted(answers.electricity)}"
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
    if not Occupancy(answers.occupancy).dwelling:
        yield "  # Outside dwellings nonmetallic cable goes into walls of types III, IV and V behind a finish only. Ask; then:"
        yield "  # construction: type V"
        yield "  # finished_walls: true"
    if answers.forbid:
        listed = ", ".join(f"{method}: {quoted(reason)}" for method, reason in answers.forbid)
        yield f"  forbid: {{{listed}}}"
    else:
        yield "  # What the landlord or the inspector does not allow, each with the reason:"
        yield "  # forbid: {conduit drop: the landlord wants nothing on the walls}"
    if answers.lease is not None:
        take_out = ", take_out: true" if answers.lease.take_out else ""
        yield f"  lease: {{ends: {answers.lease.ends}{take_out}}}"
    else:
        yield "  # When the lease ends, and whether fixed wiring must come out then:"
        yield f"  # lease: {{ends: {answers.years}, take_out: true}}"


def _panels(answers: Answers) -> Iterator[str]:
    yield "# breakers is the family on the panel's label, as parts.yaml calls it; a 240 V circuit takes two spaces."
    yield "panels:"
    for panel in answers.panels:
        yield f"  - {_panel(panel.name, panel)}"
    if len(answers.panels) == 1:
        yield "  # A second panel is one more entry here, and a route from it to every place it can feed:"
        yield f"  # - {_panel('panel 2', replace(answers.panels[0], spaces_free='12'))}"


def _panel(name: str, panel: PanelAnswer) -> str:
    said = f"system: {quoted(panel.system)}, breakers: {quoted(panel.breakers)}"
    return f"{{name: {quoted(name)}, {said}, spaces_free: {panel.spaces_free}}}"


def _placed(answers: Answers) -> Answers:
    """The answers with a place for every machine where all may move; it is called as the machine is."""
    if not _moves(answers):
        return answers
    taken = {machine.place for machine in answers.machines} | {panel.name for panel in answers.panels}
    machines = tuple(
        machine if machine.place else replace(machine, place=_free(machine.name, taken))
        for machine in answers.machines
    )
    return replace(answers, machines=machines)


def _free(name: str, taken: Collection[str]) -> str:
    return f"place of {name}" if name in taken else name


def _routes_from_panels(answers: Answers) -> dict[tuple[str, str], MachineAnswer]:
    """By panel and place, a machine that tells how far it is; a second place is made up where moves need one."""
    routes: dict[tuple[str, str], MachineAnswer] = {}
    for machine in answers.machines:
        if machine.place:
            routes.setdefault((_panel_name(machine, answers), machine.place), machine)
    places = {place for _, place in routes}
    if _moves(answers) and len(places) == 1:
        elsewhere = ELSEWHERE if places != {ELSEWHERE} else f"{ELSEWHERE} 2"
        routes |= {(panel, elsewhere): machine for (panel, _), machine in list(routes.items())}
    return routes


def _distances(answers: Answers) -> dict[str, MachineAnswer]:
    """By place, the machine that tells how far it is."""
    places: dict[str, MachineAnswer] = {}
    for (_, place), machine in _routes_from_panels(answers).items():
        places.setdefault(place, machine)
    return places


def _panel_name(machine: MachineAnswer, answers: Answers) -> str:
    panel = panel_of(machine, answers.panels)
    return panel.name if panel is not None else ""


def _moves(answers: Answers) -> bool:
    """Whether machines move in turn, all over the shop."""
    return parse_number(answers.moves_per_year) != 0


def _places(answers: Answers) -> Iterator[str]:
    routes, places = _routes_from_panels(answers), _distances(answers)
    if not places:
        return
    yield "places:"
    for place in places:
        yield f"  - name: {quoted(place)}"
    yield ""
    yield "# From the panel along the way that wiring would take, ups and downs included."
    if any(machine.fixed_text == machine.cord_text for machine in routes.values()):
        yield "# A cord hangs a shorter way than a drop in the wall: where you gave one length, measure both."
    yield "routes:"
    for (panel, place), machine in routes.items():
        yield f"  - {{from: {quoted(panel)}, to: {quoted(place)}, {_lengths(machine)}}}"
    pairs = list(combinations(places, 2))
    if pairs and _moves(answers):
        yield "  # Between places: guessed as the longer of the two ways from the panel; measure these too."
        for one, other in pairs:
            longer = max(places[one], places[other], key=lambda machine: machine.cord_ft)
            ends = f"from: {quoted(one)}, to: {quoted(other)}"
            yield f"  - {{{ends}, cord: {quoted(longer.cord_text)}}}"


def _lengths(machine: MachineAnswer) -> str:
    return f"fixed: {quoted(machine.fixed_text)}, cord: {quoted(machine.cord_text)}"


def _machines(answers: Answers) -> Iterator[str]:
    said = {word for machine in answers.machines for word, _ in _facts(machine, answers)}
    more = [(word, line) for word, line in _WORTH_ADDING if word not in said]
    if more:
        yield "# Worth adding to a machine, for a count: of each one alike:"
        yield from (f"#   {line}" for _, line in more)
    if "now" not in said:
        panel = quoted(answers.panels[0].name)
        example = f"method: armored drop, panel: {panel}, configuration: NEMA 6-20, breaker: 20 A, awg: '12'"
        yield "# and the circuit it has today:"
        yield f"#   now: {{{example}}}"
    yield "machines:"
    for machine in answers.machines:
        yield f"  - name: {quoted(machine.name)}"
        yield from (f"    {word}: {text}" for word, text in _facts(machine, answers))


_WORTH_ADDING = (
    ("plug", "plug: NEMA 6-20       the plug it came with; without it the cord has bare ends"),
    ("never_moves", "never_moves: true     bolted down"),
    ("load", "load: heater          or welder, or other such as a computer; a motor unless you say so"),
    ("continuous", "continuous: true      runs three hours or more at full load"),
    ("own_cord", "own_cord: 8 ft        length of the cord it came with, 6 ft unless you say so"),
    ("full_load_hours", "full_load_hours: 80   a year; until one says so, electricity counts for nothing"),
)


def _facts(machine: MachineAnswer, answers: Answers) -> Iterator[tuple[str, str]]:
    """Everything a machine's entry says after its name, by its word."""
    if machine.count != 1:
        yield "count", str(machine.count)
    if machine.place:
        yield "at", quoted(machine.place)
    else:
        yield "route", f"{{panel: {quoted(_panel_name(machine, answers))}, {_lengths(machine)}}}"
    yield "volts", quoted(machine.volts_text)
    if machine.phases != 1:
        yield "phases", str(machine.phases)
    yield machine.load_word, quoted(machine.load_text)
    yield from _told(machine.told)
    if machine.told.now is not None:
        yield "now", _now(machine, machine.told.now, _panel_name(machine, answers))
    if machine.told.quotes:
        yield "ways", "{from_catalog: true}"


def _told(told: Told) -> Iterator[tuple[str, str]]:
    """What a line says of a machine itself beside its nameplate."""
    if told.plug is not None:
        yield "plug", quoted(told.plug)
    if told.never_moves:
        yield "never_moves", "true"
    if told.no_motor:
        yield "load", "other"
    if told.continuous:
        yield "continuous", "true"
    if told.own_cord is not None:
        yield "own_cord", quoted(told.own_cord)
    if told.full_load_hours is not None:
        yield "full_load_hours", quoted(told.full_load_hours)


def _now(machine: MachineAnswer, now: Now, panel: str) -> str:
    words = [f"method: {now.method}", f"panel: {quoted(panel)}"]
    if now.receptacle is not None:
        words.append(f"configuration: {quoted(now.receptacle)}")
    words.append(f"breaker: {now.breaker}")
    if machine.poles != 2:
        words.append(f"poles: {machine.poles}")
    words.append(f"awg: '{now.awg}'")
    if machine.phases == 3:
        words.append("conductors: 3")
    return f"{{{', '.join(words)}}}"


def _quotes(answers: Answers) -> Iterator[str]:
    yield "# A whole way as somebody quoted it, for each machine; one with a quote has no other ways unless it says"
    yield "# ways: {from_catalog: true}."
    quotes = [(machine, quote) for machine in answers.machines for quote in machine.told.quotes]
    if not quotes:
        first = f"machines: [{quoted(answers.machines[0].name)}]"
        yield "# quoted_ways:"
        yield f"#   - {{name: quoted cord, method: cord, {first}, put_in: {{money: 450.00}}, move: {{money: 80.00}}}}"
        return
    moved = _moves(answers)
    if any(quote.method is Method.CORD for _, quote in quotes) and moved:
        yield "# A cord goes along with its machine: write what that costs as money."
    if answers.lease is not None and answers.lease.take_out:
        yield "# What taking a fixed drop out costs when the lease ends is written as take_out: {money: 60.00}."
    yield "quoted_ways:"
    for machine, quote in quotes:
        words = [f"name: {quoted(name_of_quote(machine, quote))}", f"method: {quote.method}"]
        words += [f"machines: [{quoted(machine.name)}]", f"panel: {quoted(_panel_name(machine, answers))}"]
        words += [f"poles: {machine.poles}", f"put_in: {{money: {quoted(quote.money)}}}"]
        moves = machine.told.moves is not None or (moved and not machine.told.never_moves)
        if quote.method is Method.CORD and moves:
            words.append("move: {money: 0.00}")
        yield f"  - {{{', '.join(words)}}}"


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
        yield "# Each to a spot that has no outlet yet, as far from the panel; a group's first machines."
        yield "scenarios:"
        yield f"  - name: {_MOVES}"
        yield "    weight: 100 %"
        yield "    events:"
        yield from (f"      - {_event(machine)}" for machine in dated)
        return
    moved, some = _moves(answers), _some(answers)
    if not moved:
        yield "# Nothing ever moves, as you answered. What may change, and how likely, is written like this:"
        yield "# scenarios:"
        yield f"#   - name: {_MOVES}"
        yield "#     weight: 100 %"
        yield "#     events:"
        yield f"#       - {some}"
        return
    places = _distances(answers)
    if len({machine.place for machine in answers.machines}) < len(places):
        yield "# All machines stand at one place, so a second one, as far from the panel, was made up for the moves."
    yield "# What may happen, and how likely; the weights add up to 100 %."
    yield "scenarios:"
    yield f"  - name: {_MOVES_IN_TURN}"
    yield "    weight: 100 %"
    yield "    # One move is one machine, of a group too: those of the first group in turn, then those of the next,"
    yield "    # each to the next place of among. machines: [...] here names those that take part."
    yield "    rearranged:"
    yield f"      times_per_year: {quoted(answers.moves_per_year)}"
    yield f"      among: [{', '.join(map(quoted, places))}]"
    yield "    # Where you know which machines move, and when, say so instead; new_spot is as far from the panel:"
    yield "    # events:"
    yield f"    #   - {some}"


def _event(machine: MachineAnswer) -> str:
    """The moves that a machine's line tells."""
    moves = machine.told.moves
    assert moves is not None
    some = moves.how_many is not None and moves.how_many < machine.count
    part = f", how_many: {moves.how_many}" if some else ""
    return f"{{every: {moves.every}, machine: {quoted(machine.name)}{part}, new_spot: true}}"


def _some(answers: Answers) -> str:
    """An event of the largest group, of which about half move, or of a machine alone."""
    largest = max(answers.machines, key=lambda machine: machine.count)
    part = f", how_many: {(largest.count + 1) // 2}" if largest.count > 1 else ""
    return f"{{every: 2, machine: {quoted(largest.name)}{part}, new_spot: true}}"


def _crews(answers: Answers, crews: Iterable[Crew]) -> Iterator[str]:
    electricians = [crew for crew in crews if crew.role is Role.ELECTRICIAN]
    if not electricians:
        return
    one = min(electricians, key=lambda crew: abs(crew.pace - 1))
    asked = parse_money_cents(answers.rate)
    yield f"# The rate of {quoted(one.name)} is what you answered,"
    yield "# and any other crew's is raised or lowered alike; fees and minimums are the catalog's. Ask for both."
    yield "crews:"
    for crew in electricians:
        ratio = crew.rate_cents / one.rate_cents if one.rate_cents else crew.pace / one.pace
        yield f"  - name: {quoted(crew.name)}"
        yield f"    role: {Role.ELECTRICIAN}"
        yield f"    rate: {quoted(answers.rate) if crew is one else _money(asked * ratio)}"
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
        if crew.set_up_hours:
            yield f"    set_up: {_number(crew.set_up_hours)} h"


def _money(cents: Decimal) -> str:
    return f"{(cents / 100).quantize(Decimal('0.01')):f}"


def _number(number: Decimal) -> str:
    return f"{round(number, 9).normalize():f}"
