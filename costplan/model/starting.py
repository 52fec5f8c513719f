"""A first shop file from the answers of a guided start, with comments that say what to write next."""

import json
import re
from collections.abc import Iterable, Iterator
from datetime import date
from decimal import Decimal
from itertools import combinations
from pathlib import Path

from costplan.files.problems import Problem, errors_of
from costplan.files.quantities import parse_money_cents, parse_number
from costplan.files.yaml_reader import parse_yaml
from costplan.model.answers import ELSEWHERE, PANEL, UNKNOWN, Answers, MachineAnswer
from costplan.model.catalog import Crew, Role
from costplan.model.checks import check_shop
from costplan.model.loading import LoadedCatalog, LoadedShop, entry_of
from costplan.model.shop import Shop

_PLAIN = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9 ()/.%-]*[A-Za-z0-9()%])?")
_WORDS = frozenset({"true", "false", "null"})
_MOVES = "machines are moved in turn"


def shop_text(answers: Answers, crews: Iterable[Crew], today: date, catalog: str | None) -> str:
    """The shop file: what was answered, what was guessed, and what can be added, as commented YAML.

    `crews` are the catalog's; the answered rate takes the place of its electricians' rates. `catalog` is the
    catalog's folder relative to the file, None for the shipped demo.
    """
    blocks = (
        _head(answers, today, catalog),
        _code(answers),
        _panel(answers),
        _places(answers),
        _machines(answers),
        _quotes(answers),
        _scenarios(answers),
        _crews(answers, crews),
    )
    return "\n".join("\n".join(block) + "\n" for block in blocks if block)


def mistakes_of(text: str, path: Path, catalog: LoadedCatalog) -> list[Problem]:
    """The errors that checking a shop file of this text with the catalog would find in it."""
    shop, places, problems = entry_of(parse_yaml(text, str(path)), Shop)
    loaded = LoadedShop(shop, places, path, tuple(problems))
    found = errors_of([*problems, *check_shop(loaded, catalog)])
    return [problem for problem in found if problem.at.path == str(path)]


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
        yield "# Prices, hours and fees come from the shipped demo catalog and are invented. Copy it with"
        yield "# costplan example demo FOLDER, write your own in their place, and name its folder here:"
        yield "# catalog: catalog"
        yield "invented: true"
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
    yield "  # What the landlord or the inspector does not allow, each with the reason:"
    yield "  # forbid: {conduit drop: the landlord wants nothing on the walls}"
    yield "  # When the lease ends, and whether fixed wiring must come out then:"
    yield f"  # lease: {{ends: {answers.years}, take_out: true}}"


def _panel(answers: Answers) -> Iterator[str]:
    yield "panels:"
    yield f"  - name: {PANEL}"
    yield f"    system: {quoted(answers.panel_system)}"
    yield "    # The family on the panel's label, in the word that parts.yaml has for it."
    yield f"    breakers: {quoted(answers.breakers)}"
    yield "    # Counted in poles: a 240 V circuit takes two."
    yield f"    spaces_free: {answers.spaces_free}"
    yield "  # A second panel is one more entry here, and a route from it to every place it can feed:"
    breakers = quoted(answers.breakers)
    system = quoted(answers.panel_system)
    yield f"  # - {{name: panel 2, system: {system}, breakers: {breakers}, spaces_free: 12}}"


def _distances(answers: Answers) -> dict[str, MachineAnswer]:
    """Every place with a machine that tells how far it is; a second place is made up where moves need one."""
    places: dict[str, MachineAnswer] = {}
    for machine in answers.machines:
        places.setdefault(machine.place, machine)
    if _moves(answers) and len(places) == 1:
        here = next(iter(places))
        places[ELSEWHERE if here != ELSEWHERE else f"{ELSEWHERE} 2"] = places[here]
    return places


def _moves(answers: Answers) -> bool:
    return parse_number(answers.moves_per_year) != 0


def _places(answers: Answers) -> Iterator[str]:
    places = _distances(answers)
    yield "places:"
    for place in places:
        yield f"  - name: {quoted(place)}"
    yield ""
    yield "# From the panel along the way that wiring would take, ups and downs included. A cord hangs a shorter way"
    yield "# than a drop in the wall: here both are the one length you gave, so measure the two and write each."
    yield "routes:"
    for place, machine in places.items():
        length = quoted(machine.distance_text)
        yield f"  - {{from: {PANEL}, to: {quoted(place)}, fixed: {length}, cord: {length}}}"
    pairs = list(combinations(places, 2))
    if pairs and _moves(answers):
        yield "  # Between places: guessed as the longer of the two ways from the panel; measure these too."
        for one, other in pairs:
            longer = max(places[one], places[other], key=lambda machine: machine.distance_ft)
            ends = f"from: {quoted(one)}, to: {quoted(other)}"
            yield f"  - {{{ends}, cord: {quoted(longer.distance_text)}}}"


def _machines(answers: Answers) -> Iterator[str]:
    yield "# What each nameplate says. Worth adding where your notes say it, for a count: of each one alike:"
    yield "#   plug: NEMA 6-20       the plug it has now; without it the cord has bare ends"
    yield "#   never_moves: true     bolted down"
    yield "#   motor: false          for heaters, ovens and computers"
    yield "#   continuous: true      runs three hours or more at full load"
    yield "#   own_cord: 8 ft        length of the cord it came with, 6 ft unless you say so"
    yield "#   full_load_hours: 80   a year; until one says so, the price of electricity counts for nothing"
    yield "# and the circuit it has today:"
    yield f"#   now: {{method: armored drop, panel: {PANEL}, configuration: NEMA 6-20, breaker: 20 A, awg: '12'}}"
    yield "machines:"
    for machine in answers.machines:
        yield f"  - name: {quoted(machine.name)}"
        if machine.count != 1:
            yield f"    count: {machine.count}"
        yield f"    at: {quoted(machine.place)}"
        yield f"    volts: {quoted(machine.volts_text)}"
        if machine.phases != 1:
            yield f"    phases: {machine.phases}"
        yield f"    {machine.load_word}: {quoted(machine.load_text)}"


def _quotes(answers: Answers) -> Iterator[str]:
    first = quoted(answers.machines[0].name)
    yield "# A whole way as somebody quoted it, for each machine; one with a quote has no other ways unless it says"
    yield "# ways: {from_catalog: true}."
    yield "# quoted_ways:"
    yield f"#   - {{name: quoted cord, method: cord, machines: [{first}], put_in: {{money: 450.00}}, move: {{money: 80.00}}}}"


def _scenarios(answers: Answers) -> Iterator[str]:
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
    yield f"  - name: {_MOVES}"
    yield "    weight: 100 %"
    yield "    # One move is one machine, of a group too: those of the first group in turn, then those of the next,"
    yield "    # each to the next place of among. machines: [...] here names those that take part."
    yield "    rearranged:"
    yield f"      times_per_year: {quoted(answers.moves_per_year)}"
    yield f"      among: [{', '.join(map(quoted, places))}]"
    yield "    # Where you know which machines move, and when, say so instead; new_spot is as far from the panel:"
    yield "    # events:"
    yield f"    #   - {some}"


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
