"""The page to take to the sale: what the next machine costs with its power, and what has to be done for it."""

from collections import Counter, defaultdict
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from costplan.ledger.ledger import at_year
from costplan.ledger.lines import Line, LineKind, Pocket
from costplan.model.gear import SERVICE
from costplan.model.left_out import Without
from costplan.model.money import format_cents
from costplan.program.ranked import Ranked
from costplan.reports.crew_hours import hours_note, people_of, total_hours, who
from costplan.reports.invented import in_brackets
from costplan.reports.noted import Noted, noted
from costplan.reports.parts import EVERY_NEXT_PART, NextPart
from costplan.reports.remarks import At
from costplan.reports.remarks_text import at_the_end, beside
from costplan.reports.room import fed, limit_figure
from costplan.reports.room_notes import least_line
from costplan.reports.tables import WIDEST, filled, fitted, hung
from costplan.reports.words import left_out_lines, threat_words
from costplan.standards.motors import hp_words
from costplan.studies.next_machine import (
    CountedCost,
    NextPrice,
    Variant,
    run_words,
    source_words,
    turning_count,
    with_machines,
)
from costplan.studies.spaces_left import SpacesLeft, spaces_left
from costplan.studies.sureness import spread_between
from costplan.years.calendar import scenarios_of


def next_text(
    prices: Sequence[NextPrice],
    counted: Sequence[CountedCost] = (),
    left_out: Sequence[Without] = (),
    width: int = WIDEST,
    parts: Collection[NextPart] = EVERY_NEXT_PART,
) -> str:
    """The parts that are asked for, no line wider than `width`, between the answer and the answer again.

    left_out: machines that have no way.
    """
    width = min(width, WIDEST)
    facts = prices[0].facts
    shop = facts.shop
    head = (
        f"{shop.name}{in_brackets(facts)}\n{shop.years} years, {shop.money.discount_rate * 100:f} % real a year, "
        f"{shop.currency}, in today's money; power = best plan with the machine less best plan without it"
    )
    out = left_out_lines((*facts.left_out, *left_out))
    answer = "\n".join(filled(line, width) for line in (*out, _answer(prices), *incomplete_lines(prices)))
    said = ["\n".join(hung(line, width, "  ") for line in head.split("\n")), answer]
    if NextPart.MACHINES in parts:
        said.append("Side by side\n" + _rivals(prices, width))
    for price in prices:
        said += [
            f"{price.machine.name}: {text(price, width)}" for part, text in _TEXTS.items() if part in parts
        ]
    if counted and NextPart.COUNT in parts:
        said.append(_counted(prices[0].machine.name, counted, width))
    return "\n\n".join([*said, at_the_end(noted_with(prices[0]), width), answer]) + "\n"


def _answer(prices: Sequence[NextPrice]) -> str:
    best = prices[0]
    words = (
        f"{best.machine.name}: {format_cents(best.total_cents)} all in, of it {format_cents(best.power_cents)} for "
        f"power and {format_cents(best.machine_cents)} for the machine; cash for it {format_cents(best.outlay_cents)} today."
    )
    if len(prices) > 1:
        other = prices[1]
        words += f" {other.machine.name} costs {format_cents(other.total_cents - best.total_cents)} more."
    if not all(price.proven for price in prices):
        words += " Not proven: time ran out."
    return words


def incomplete_lines(prices: Sequence[NextPrice]) -> Iterator[str]:
    """What lacks a price or a length and could change the figures, of the shop without a machine and with it."""
    without = prices[0]
    if without.without_threat:
        best = without.without.present_value_cents
        yield f"Incomplete without it: {threat_words(without.facts, without.without_threat, best)}"
    for price in prices:
        if price.with_threat:
            best = price.with_it.present_value_cents
            words = threat_words(price.facts, price.with_threat, best)
            yield f"Incomplete with the {price.machine.name}: {words}"


def _rivals(prices: Sequence[NextPrice], width: int) -> str:
    rows = []
    for price in prices:
        second = price.second_power_cents
        rows.append(
            [
                price.machine.name,
                nameplate(price),
                format_cents(int(price.machine.price_cents)),
                format_cents(price.machine_cents),
                format_cents(price.power_cents),
                format_cents(price.total_cents),
                format_cents(price.outlay_cents),
                "" if second is None else format_cents(second),
            ]
        )
    headers = [
        "machine",
        "nameplate",
        "price",
        "machine",
        "power",
        "all in",
        "cash today",
        "power of a second",
    ]
    why_not = [f"no second {p.machine.name}: {p.why_not_two}" for p in prices if p.why_not_two]
    note = "machine = price, premium, tax, freight, tooling, less trade-in and what it fetches at the end"
    text = fitted(headers, rows, {2, 3, 4, 5, 6, 7}, width)
    return "\n".join([text, *(filled(line, width) for line in (note, *why_not))])


def nameplate(price: NextPrice) -> str:
    """Volts, phases and power in words."""
    machine = price.machine
    load = f"{hp_words(machine.hp)} hp" if machine.hp is not None else f"{machine.amps_a:f} A"
    return f"{machine.volts_words} V {machine.phases}-phase {load}"


def _ways(price: NextPrice, width: int) -> str:
    text = "\n".join(filter(None, [_variants(price, width), _cautions(price, width)]))
    return f"ways of powering it\n{text}"


def noted_with(price: NextPrice) -> tuple[Noted, ...]:
    """What is to be said of the plan with the machine."""
    return noted(with_machines(price.facts, [price.machine]), price.with_it)


def _cautions(price: NextPrice, width: int) -> str:
    """What is to be said of the machine, and of gear that the plan without it does not put in."""
    before = noted(price.facts, price.without)
    mine = (
        entry if entry.remark.at is At.GEAR else Noted(entry.topic)
        for entry in noted_with(price)
        if price.machine.name in entry.about or (entry.remark.at is At.GEAR and entry not in before)
    )
    return beside(mine, *At, width=width)


def chosen_words(price: NextPrice, ranked: Ranked) -> str:
    """How the machine is powered in a plan, and the gear that plan needs for it."""
    way = next(iter(ranked.plan.ways[price.machine.name]))
    words = f"{source_words(way, three_phase=price.machine.phases == 3)}, {run_words(way)}"
    gear = [
        name if before == 0 else f"{after - before} more of {name}"
        for name, before, after in added_gear(price, ranked)
    ]
    return words + (f"; with {', '.join(gear)}" if gear else "")


def added_gear(price: NextPrice, ranked: Ranked) -> list[tuple[str, int, int]]:
    """Gear a plan puts in more of than the plan without the machine: name, how many without, how many with."""
    without, there = _counts(price.without), _counts(ranked)
    return [(name, without[name], there[name]) for name in sorted(there) if there[name] > without[name]]


def _counts(ranked: Ranked) -> Counter[str]:
    """How many of each piece of gear a plan puts in, in the scenario that takes most."""
    by_scenario: dict[tuple[str, str], int] = defaultdict(int)
    for bought in ranked.plan.gear:
        by_scenario[bought.name, bought.scenario] += bought.count
    counts: Counter[str] = Counter()
    for (name, scenario), count in by_scenario.items():
        counts[name] = max(counts[name], count + (by_scenario.get((name, ""), 0) if scenario else 0))
    return counts


def _variants(price: NextPrice, width: int) -> str:
    rows = [_variant(price, variant) for variant in price.variants]
    best = chosen_words(price, price.with_it)
    words = [f"{_cheapest(price)}: {best}, {format_cents(price.power_cents)}"]
    if rows:
        words += close_words(price)
    text = [filled(line, width) for line in words]
    if rows:
        text.append(fitted(["held to", "power", "more", "the best plan then"], rows, {1, 2}, width))
    return "\n".join(text)


def _cheapest(price: NextPrice) -> str:
    """The words for the cheapest way, where nothing is known of some source."""
    unknown = any(variant.ranked is None and variant.unmeasured for variant in price.variants)
    return "cheapest of what can be told" if unknown else "cheapest"


def _money_table(price: NextPrice, width: int) -> str:
    """Power by when and how it is paid; the rows add up to it."""
    rows, total = [], 0
    for _, words, figure in money_rows(price):
        rows.append([words, format_cents(figure)])
        total += figure
    rows.append(["power", format_cents(total)])
    text = fitted(["what", "in today's money"], rows, {1}, width)
    return f"where the money for its power goes\n{text}"


def money_rows(price: NextPrice) -> list[tuple[str, str, int]]:
    """What power consists of: key, words, cents; each the difference of the two best plans, adding up to it."""
    one, other = price.with_it, price.without
    return [
        ("cash_today", "cash today", one.outlay_cents - other.outlay_cents),
        (
            "other_today",
            "own time, lost time and allowances today",
            one.today_cents - one.outlay_cents - other.today_cents + other.outlay_cents,
        ),
        ("later", "later years", one.later_cents - other.later_cents),
        ("residual", "resale at the end", one.residual_cents - other.residual_cents),
    ]


def close_words(price: NextPrice) -> list[str]:
    """Whether another way is too close to call, in words."""
    for variant in price.variants:
        if variant.ranked is None or variant.power_cents is None or variant.power_cents == price.power_cents:
            continue
        spread = spread_between(price.facts, price.with_it, variant.ranked)
        if variant.power_cents - price.power_cents < spread:
            gap = format_cents(variant.power_cents - price.power_cents)
            return [
                f"too close to call against {chosen_words(price, variant.ranked)}: {gap} apart, "
                f"hours and prices uncertain by about {format_cents(spread)}"
            ]
        return []
    return []


def _variant(price: NextPrice, variant: Variant) -> list[str]:
    if variant.ranked is None or variant.power_cents is None:
        return [variant.words, "none", "", variant.why_not]
    more = variant.power_cents - price.power_cents
    proven = "" if variant.ranked.proven else " (not proven)"
    return [
        variant.words,
        format_cents(variant.power_cents) + proven,
        format_cents(more) if more else "",
        chosen_words(price, variant.ranked),
    ]


def spaces_when_it_comes(price: NextPrice) -> list[tuple[SpacesLeft | None, SpacesLeft]]:
    """The spaces of every panel when it comes and at the least later, without it (None: no such panel) and with it."""
    before, after = (
        spaces_left(price.facts, ranked, price.machine.arrives) for ranked in (price.without, price.with_it)
    )
    was = {found.room.panel: found for found in before}
    return [(was.get(found.room.panel), found) for found in after]


def amperes_left(price: NextPrice) -> list[tuple[str, str, str]]:
    """What is left of each limit when it comes, without it (empty of a new limit) and with it."""
    before, after = (
        at_year(price.facts, ranked.plan, ranked.chosen, price.machine.arrives)
        for ranked in (price.without, price.with_it)
    )
    had = {limit.limit: limit_figure(price.facts, limit, limit.left_va) for limit in before.limits()}
    return [
        (limit.limit, had.get(limit.limit, ""), limit_figure(price.facts, limit, limit.left_va))
        for limit in after.limits()
    ]


def _room(price: NextPrice, width: int) -> str:
    rows, lines = [], []
    for was, left in spaces_when_it_comes(price):
        panel = left.room.panel
        rows.append([panel, "spaces (one a pole)", str(was.room.left if was else 0), str(left.room.left)])
        if left.least is not None:
            least = str(was.least_left if was else 0)
            rows.append([panel, "spaces, least later", least, str(left.least_left)])
            lines.append(least_line(price.facts, left))
    rows += [[limit, "A still free", was, left] for limit, was, left in amperes_left(price)]
    for name, fewer, more in added_gear(price, price.with_it):
        what = f"new: {name}" if fewer == 0 else f"more of {name}: {more} instead of {fewer}"
        lines.append(f"{what}, {fed(price.facts, name)}".rstrip(", "))
    if price.facts.shop.service is None:
        lines.append(f"the shop file does not say what the {SERVICE} is, so its capacity is not looked at")
    text = fitted(["where", "what is left", "without it", "with it"], rows, {2, 3}, width)
    return "\n".join(
        ["what it adds to the panels and the service", text, *(filled(line, width) for line in lines)]
    )


@dataclass(frozen=True, slots=True)
class WorkRow:
    """A task done for the machine or its gear until it runs; hours are by the clock, of all its `people` together."""

    crew: str
    people: int
    what: str
    hours: Decimal
    amount_cents: int


def own_work(price: NextPrice) -> list[WorkRow]:
    """Tasks for the machine itself and the gear it calls for, by crew."""
    mine = {price.machine.name} | (price.with_it.plan.gear_names - price.without.plan.gear_names)
    hours: dict[tuple[str, str], Decimal] = defaultdict(Decimal)
    cents: Counter[tuple[str, str]] = Counter()
    for line in until_it_runs(price, price.with_it):
        if line.kind is LineKind.LABOR and line.machine in mine:
            hours[line.crew, line.what] += line.hours
            cents[line.crew, line.what] += line.amount_cents
    return [
        WorkRow(crew, people_of(price.facts, price.with_it, crew), what, hours[crew, what], cents[crew, what])
        for crew, what in sorted(hours)
    ]


def other_work_cents(price: NextPrice) -> int:
    """What all other work and visits until then cost more, negative when less: another crew, a shared visit."""

    def spent(ranked: Ranked) -> int:
        kinds = (LineKind.LABOR, LineKind.CALL_OUT, LineKind.PERMIT, LineKind.MINIMUM, LineKind.BID)
        return sum(line.amount_cents for line in until_it_runs(price, ranked) if line.kind in kinds)

    return spent(price.with_it) - spent(price.without) - sum(row.amount_cents for row in own_work(price))


def until_it_runs(price: NextPrice, ranked: Ranked) -> list[Line]:
    """The lines of a plan in the year in which the machine comes."""
    return [
        line
        for line in ranked.lines
        if line.year == price.machine.arrives
        and line.scenario in ("", scenarios_of(price.facts.shop)[0].name)
    ]


def _work(price: NextPrice, width: int) -> str:
    worked = own_work(price)
    rows = [[who(row), row.what, f"{row.hours:.2f}", format_cents(row.amount_cents)] for row in worked]
    other = other_work_cents(price)
    if other:
        rows.append(
            [
                "",
                "visits, permit, used parts to inspect, and the other machines' work, difference",
                "",
                format_cents(other),
            ]
        )
    total = other + sum(row.amount_cents for row in worked)
    rows.append(["", "total", total_hours(worked), format_cents(total)])
    text = fitted(["who", "what", "hours", "amount"], rows, {2, 3}, width, at_most=80)
    return f"the work it takes, the electrician's and yours\n{text}{hours_note(worked, width)}"


_SUMMED = {
    LineKind.CUT: "cut charges",
    LineKind.TAX: "sales tax",
    LineKind.MARKUP: "markup",
    LineKind.FREIGHT: "freight",
    LineKind.FEE: "supplier fees",
}


def parts_difference(price: NextPrice) -> list[tuple[str, Decimal, int]]:
    """What parts and quoted work are added until it runs: words, quantity, cents; spared ones are negative."""
    quantity: dict[str, Decimal] = defaultdict(Decimal)
    cents: Counter[str] = Counter()
    kinds = (LineKind.PART, LineKind.QUOTE, *_SUMMED)
    for ranked, sign in ((price.with_it, 1), (price.without, -1)):
        for line in until_it_runs(price, ranked):
            if line.kind in kinds and line.pocket is Pocket.CASH:
                what = _SUMMED.get(line.kind, line.what)
                quantity[what] += 0 if line.kind in _SUMMED else sign * line.quantity
                cents[what] += sign * line.amount_cents
    last = set(_SUMMED.values())
    ordered = sorted(cents, key=lambda what: (what in last, what))
    return [(what, quantity[what], cents[what]) for what in ordered if cents[what] or quantity[what]]


def _parts(price: NextPrice, width: int) -> str:
    rows = [
        [f"{quantity:f}" if quantity else "", what, format_cents(cents)]
        for what, quantity, cents in parts_difference(price)
    ]
    rows.append(["", "total", format_cents(sum(cents for _, _, cents in parts_difference(price)))])
    text = fitted(["qty", "what", "amount"], rows, {0, 2}, width, at_most=70)
    return f"what to buy for it\n{text}"


_TEXTS: Mapping[NextPart, Callable[[NextPrice, int], str]] = {
    NextPart.WAYS: _ways,
    NextPart.MONEY: _money_table,
    NextPart.ROOM: _room,
    NextPart.WORK: _work,
    NextPart.BUY: _parts,
}
"""How each part of one machine is written."""


def _counted(name: str, counted: Sequence[CountedCost], width: int) -> str:
    rows = [[str(entry.count), _cents(entry.each_cents), _cents(entry.shared_cents)] for entry in counted]
    text = fitted(["machines", "each on a drive", "behind a three-phase panel"], rows, {0, 1, 2}, width)
    return f"How many like {name}: the power of all of them\n{text}\n{filled(counted_words(counted), width)}"


def counted_words(counted: Sequence[CountedCost]) -> str:
    """From how many machines alike on shared equipment is cheaper."""
    turn = turning_count(counted)
    if turn is None:
        return f"each on its own drive stays cheaper up to {counted[-1].count}"
    if turn == 1:
        return "shared equipment is cheaper from the first"
    return f"shared equipment is cheaper from {turn} machines on; below, each on its own drive"


def _cents(cents: int | None) -> str:
    return "cannot be done" if cents is None else format_cents(cents)
