"""Shared gear of a plan, and what it leaves of panel room and of the service."""

from collections.abc import Mapping, Sequence
from decimal import Decimal

from costplan.circuits.capacity import line_amperes, system_of
from costplan.circuits.facts import Facts
from costplan.circuits.shared_gear import candidate
from costplan.ledger.ledger import Headroom, Moment, at_year
from costplan.ledger.lines import LineKind
from costplan.model import converters
from costplan.model.gear import Gear, GearKind
from costplan.model.money import format_cents
from costplan.model.tandems import not_offered
from costplan.program.ranked import Ranked
from costplan.reports.gear_reasons import gear_reasons, reason_lines
from costplan.reports.pairing import no_more_words, pair_note, pairs_of
from costplan.reports.room_notes import (
    balance_line,
    least_line,
    least_why,
    panel_of_all,
    self_starters,
    step_table,
    taken_words,
    unreached,
    which_limits,
    why_two_converters,
)
from costplan.reports.tables import fitted, hung, wrapped
from costplan.studies.next_step import next_steps
from costplan.studies.spaces_left import SpacesLeft, spaces_left

WIDTH = 110
_WIRES = frozenset({"building wire", "building cable", "armored cable", "cord"})
"""Kinds of part that may be the wires from a converter to its panel."""


def gear_text(facts: Facts, ranked: Ranked, width: int = WIDTH) -> str:
    """The shared gear the plan puts in, with what it costs in all; empty when it puts in none."""
    rows = []
    for bought in sorted(ranked.plan.gear, key=lambda entry: (entry.year, entry.scenario, entry.name)):
        found = candidate(facts, facts.gear[bought.name])
        when = "today" if bought.year == 0 else f"year {bought.year}, {bought.scenario}"
        how = fed(facts, bought.name)
        note = remark(facts, found.gear) or pair_note(facts, ranked.plan, bought)
        rows.append([bought.name, str(found.gear.kind), str(bought.count), when, how, note])
    if not rows:
        return ""
    running = sum(line.present_value_cents for line in ranked.lines if line.kind is LineKind.ELECTRICITY)
    words = f"\nelectricity lost over the years, in today's money: {format_cents(running)}" if running else ""
    headers = ["shared equipment", "kind", "how many", "put in", "how it is fed", "to know"]
    why = "".join(f"\n{hung(line, width, '  ')}" for line in reason_lines(facts, ranked))
    return fitted(headers, rows, {2}, width, at_most=50) + why + words


def remark(facts: Facts, gear: Gear) -> str:
    """What to know of gear besides its price: a converter's noise, its idling and the wires to its panel."""
    return "; ".join(filter(None, (_running(facts, gear), wires_left_out(facts, gear))))


def wires_left_out(facts: Facts, gear: Gear) -> str:
    """That the wires from a converter to its panel are not priced, where neither its recipe has any nor is it quoted."""
    quoted = gear.quote_cents is not None or gear.installed
    if gear.kind is not GearKind.CONVERTER or quoted or not facts.has_recipe("phase converter"):
        return ""
    recipe = facts.recipe("phase converter")
    held = recipe.quote is not None or any(part.kind in _WIRES for part in recipe.parts)
    return "" if held else "the wires from it to its panel are not priced: its recipe has none"


def _running(facts: Facts, gear: Gear) -> str:
    if gear.kind is not GearKind.CONVERTER or gear.part is None:
        return ""
    have = facts.parts[gear.part].attributes
    idles = f"idles at {have['idle_w']} W, {gear.hours_per_year or 0:f} h a year"
    if converters.power_share(facts.parts[gear.part]) < 1:
        share = (converters.power_share(facts.parts[gear.part]) * 100).quantize(Decimal(1))
        return f"only starts motors: one at a time, with {share} % of its power; {idles}"
    return f"hums while it is on; {idles}" if have.get("type") == "rotary" else idles


def fed(facts: Facts, name: str) -> str:
    """How gear is fed, in words."""
    found = candidate(facts, facts.gear[name])
    size = found.input_size
    if size is None:
        return ""
    above = found.above
    where = f"from {above} by a {size.breaker_a} A {size.poles}-pole breaker" if above else "from the service"
    return f"{where}, {found.feeder_ft} ft of {size.awg} AWG in conduit"


def room_text(facts: Facts, ranked: Ranked, width: int = WIDTH) -> str:
    """Panel room and loads today, beside what there was before the plan."""
    width = min(width, WIDTH)
    moment, spaces = at_year(facts, ranked.plan, ranked.chosen, 0), spaces_left(facts, ranked)
    room = [
        "Room in the panels, in breaker spaces (240 V takes two, three-phase three)",
        panels_table(spaces, width),
        *filter(None, (least_line(facts, found) for found in spaces)),
        *no_more_words(facts),
        *unreached(facts),
    ]
    parts = ["\n".join(line if index == 1 else wrapped(line, width) for index, line in enumerate(room))]
    if moment.limits():
        notes = [
            panel_of_all(facts, moment),
            *which_limits(facts, moment),
            balance_line(moment),
            self_starters(facts, moment),
            *why_two_converters(facts, moment),
        ]
        notes = [wrapped(note, width) for note in notes if note]
        parts.append(
            "\n".join(
                [
                    wrapped("Load, in amperes on the hot wire that carries most", width),
                    limits_table(facts, moment, width),
                    *notes,
                ]
            )
        )
        steps = step_table(facts, ranked, moment, width)
        parts += [f"What the next load triggers\n{steps}"] if steps else []
    return "\n\n".join(parts)


def panels_table(spaces: Sequence[SpacesLeft], width: int) -> str:
    """Poles by panel: there before, taken or freed by gear, taken by the machines' circuits, left today and at the least."""
    rows = [
        [
            found.room.panel,
            str(found.room.free),
            _signed(-found.room.by_gear),
            _signed(-found.room.by_circuits),
            str(found.room.left),
            "no less" if found.least is None else str(found.least.left),
        ]
        for found in spaces
    ]
    headers = [
        "panel",
        "free, with present circuits",
        "by shared equipment",
        "by circuits",
        "left today",
        "least later",
    ]
    return fitted(headers, rows, {1, 2, 3, 4, 5}, width)


def _signed(poles: int) -> str:
    return f"{poles:+d}" if poles else "0"


def limits_table(facts: Facts, moment: Moment, width: int) -> str:
    """Amperes by limit: rating, taken already, added by the machines, head-room."""
    rows = [
        [limit.limit, *(limit_figure(facts, limit, va) for va in figures(limit))] for limit in moment.limits()
    ]
    headers = ["what carries it", "rating", "taken already", "these machines", "still free"]
    rules = "continuous loads at 125 % (215.2, 230.42), motors by 430.24; turns and sets by 220.60"
    note = f"{taken_words(facts, moment)}these machines: {rules}"
    return fitted(headers, rows, {1, 2, 3, 4}, width) + "\n" + wrapped(note, width)


def figures(limit: Headroom) -> tuple[int, int, int, int]:
    """Rating, taken, added and left, volt-amperes."""
    return limit.most_va, limit.taken_va, limit.added_va, limit.left_va


def limit_figure(facts: Facts, limit: Headroom, va: int) -> str:
    """A figure of a limit: amperes with one place, or a count of machines."""
    return str(va) if limit.counts_machines else f"{amperes(facts, limit, va):.1f}"


def amperes(facts: Facts, limit: Headroom, va: int) -> Decimal:
    """Volt-amperes as amperes of the system the limit is in; a count of machines as it is."""
    return Decimal(va) if limit.counts_machines else line_amperes(system_of(facts, limit.limit), va)


def room_data(facts: Facts, ranked: Ranked) -> dict[str, object]:
    """Shared gear, panel room and loads as plain data."""
    moment, pairs = at_year(facts, ranked.plan, ranked.chosen, 0), pairs_of(facts, ranked.plan)
    steps, reasons = next_steps(facts, ranked), gear_reasons(facts, ranked)
    return {
        "gear": [
            {
                "name": bought.name,
                "kind": str(facts.gear[bought.name].kind),
                "year": bought.year,
                "scenario": bought.scenario,
                "count": bought.count,
                "circuits": list(pairs.get(bought, ())),
                "why": reasons[bought.name],
            }
            for bought in ranked.plan.gear
        ],
        "panels": [
            _panel_data(facts, found, not_offered(facts.shop)) for found in spaces_left(facts, ranked)
        ],
        "loads": [
            {
                "limit": limit.limit,
                **{
                    name: round(amperes(facts, limit, va), 1)
                    for name, va in zip(
                        ("rating_a", "taken_a", "added_a", "left_a"), figures(limit), strict=True
                    )
                },
            }
            for limit in moment.limits()
        ],
        "next_steps": [
            {
                "limit": step.limit,
                "left_a": round(amperes(facts, step.today.left, step.today.left.left_va), 1),
                "motor_a": round(amperes(facts, step.today.left, step.today.motor_va), 1),
                "later": None
                if step.least is None
                else {
                    "scenario": step.least.scenario,
                    "year": step.least.year,
                    "left_a": round(amperes(facts, step.least.left, step.least.left.left_va), 1),
                    "motor_a": round(amperes(facts, step.least.left, step.least.motor_va), 1),
                },
                "gear": step.upgrade.name if step.upgrade else None,
                "price": None
                if step.upgrade is None or step.upgrade.cents is None
                else Decimal(step.upgrade.cents) / 100,
            }
            for step in steps
        ],
    }


def _panel_data(facts: Facts, found: SpacesLeft, blocked: Mapping[str, tuple[str, ...]]) -> dict[str, object]:
    room, least = found.room, found.least
    return {
        "panel": room.panel,
        "poles": room.free,
        "by_gear": room.by_gear,
        "by_circuits": room.by_circuits,
        "left": room.left,
        "least_left": found.least_left,
        "least_year": least.year if least else None,
        "least_scenario": least.scenario if least else None,
        "least_why": least_why(facts, least) if least else None,
        "no_tandems": list(blocked.get(room.panel, ())),
    }
