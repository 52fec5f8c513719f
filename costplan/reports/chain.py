"""The chain from a total to one of its lines, and on to where every figure of the line is written."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from costplan.circuits.circuit import Builder, Standing
from costplan.circuits.facts import Facts
from costplan.files.yaml_reader import Places
from costplan.ledger.holding import written
from costplan.ledger.least_charges import least_charges
from costplan.ledger.lines import Line, LineKind, hired_labor
from costplan.model.catalog import Offer
from costplan.model.experience import expected_hours
from costplan.model.money import format_cents, format_price, to_cents
from costplan.model.ranges import ends_of
from costplan.reports.crew_hours import together
from costplan.reports.line_ranges import LineRange, by_the_foot, line_ranges
from costplan.reports.sizes import cord_rules, rule_words
from costplan.studies.explained import RankedShop
from costplan.studies.line_sheets import numbered
from costplan.years.calendar import first_standings, lives, scenarios_of
from costplan.years.discounting import single_worth


@dataclass(frozen=True, slots=True)
class Link:
    """One step of the chain: what it is, and what is known of it in words."""

    step: str
    words: str


def chain(case: RankedShop, number: int, places: Mapping[str, Places]) -> tuple[Link, ...]:
    """The steps from plan 1's total to the line of that number and on to files and tables; KeyError for no such line.

    places: where everything is written, as `costplan.load` has it.
    """
    line = dict(numbered(case.best))[number]
    return tuple(_links(case, line, line_ranges(case.facts, line, places)))


def _links(case: RankedShop, line: Line, ranges: Sequence[LineRange]) -> Iterator[Link]:
    facts = case.facts
    yield Link(
        "total", f"{format_cents(case.best.present_value_cents)} of plan 1, of which this line is a part"
    )
    yield Link("kind", f"{line.kind}, {line.pocket}")
    names = list(dict.fromkeys(written(facts, name) for name in line.machines))
    yield Link("for", ", ".join(names) or "the whole shop, paid once")
    yield Link("worth today", _worth(facts, line))
    yield from _event(facts, line)
    yield from _offer(facts, line)
    yield from _work(facts, line)
    if line.pieces:
        yield Link("pieces", pieces_words(line))
    if line.kind is LineKind.MINIMUM:
        yield Link("least charge", _least_charge(case, line))
    for found in ranges:
        yield Link("range", found.words())
    if line.price_of:
        yield Link("price of", line.price_of)
    yield Link("written in", line.trace)
    yield from _needs(case, line)
    if line.kind is LineKind.PART:
        yield from _rules(case, line)


def _least_charge(case: RankedShop, line: Line) -> str:
    """The least charge in the money of the year, and the labor of the visit that counts towards it."""
    plan = case.best
    (least, labor) = next(
        (charge.line.amount_cents, hired_labor(charge.labor))
        for charge in least_charges(case.facts, plan.plan, plan.lines)
        if (charge.line.year, charge.line.scenario, charge.line.trip) == (line.year, line.scenario, line.trip)
    )
    return (
        f"{format_cents(least)} is the least that the labor is charged at, less {format_cents(labor)} of labor = "
        f"{format_cents(line.amount_cents)}"
    )


def _mean(figure: Decimal) -> str:
    """That a figure stands for a range, which a step of its own tells."""
    return ", the mean of a range" if ends_of(figure) else ""


def _worth(facts: Facts, line: Line) -> str:
    """The amount of its year, by weight and discounting, as the worth is made of them."""
    amount = format_cents(line.amount_cents)
    if line.year == 0:
        return f"{amount}, paid today"
    weights = {scenario.name: scenario.weight for scenario in scenarios_of(facts.shop)}
    factor = single_worth(facts.shop.money.discount_rate, line.year)
    exact = line.amount_cents * weights.get(line.scenario, Decimal(1)) * factor
    pieces = "" if to_cents(exact) == line.present_value_cents else ", rounded as told where it is written,"
    weight = (
        f" x {weights[line.scenario]:f} (weight of the scenario{_mean(weights[line.scenario])})"
        if line.scenario
        else ""
    )
    rate = facts.shop.money.discount_rate
    return (
        f"{amount} in the money of year {line.year}{weight} x {factor:.6f} (discounted at {rate * 100:f} % a "
        f"year{_mean(rate)}){pieces} = {format_cents(line.present_value_cents)}"
    )


def _event(facts: Facts, line: Line) -> Iterator[Link]:
    if line.scenario:
        yield Link("scenario", f"{line.scenario}, year {line.year}")
    if line.grown_years:
        growth = facts.shop.money.growth
        rates = {LineKind.LABOR: growth.labor, LineKind.ELECTRICITY: growth.electricity}
        rates |= dict.fromkeys((LineKind.CALL_OUT, LineKind.PERMIT, LineKind.MINIMUM), growth.labor)
        rate = rates.get(line.kind, growth.parts)
        yield Link(
            "growth",
            f"its price had grown for {line.grown_years} years, by {rate * 100:f} % a year{_mean(rate)}",
        )


def _offer(facts: Facts, line: Line) -> Iterator[Link]:
    """The row of the offer, and how many of it."""
    offer = next(
        (each for each in facts.catalog.offers if each.row == line.offer_row and line.offer_row), None
    )
    if offer is None:
        return
    price = (
        "no price"
        if offer.price_cents is None
        else f"{format_price(offer.price_cents)} per {offer.per}{_mean(offer.price_cents)}"
    )
    seen = f", seen {offer.seen}" if offer.seen else ""
    yield Link(
        "offer",
        f"offers.csv row {offer.row}: {offer.part} at {offer.supplier}, {offer.condition}, {price}{seen}",
    )
    if offer.available is not None and line.forecast:
        yield Link("stock", _counted_on(offer))
    if line.quantity and line.per:
        yield Link("quantity", _quantity(line))


def _counted_on(offer: Offer) -> str:
    """That a later purchase counts on an offer of which there are so many, whatever is bought before."""
    many = f"{offer.available} ft" if offer.per == "ft" else f"{offer.available} x {offer.per}"
    return (
        f"{many} on offer today; a later year counts on as much as it takes at this price, also what today's purchase "
        "leaves nothing of (a convention)"
    )


def _quantity(line: Line) -> str:
    """How many of what: `40 ft`, `2 each`, `1 x reel of 250 ft`."""
    return f"{line.quantity:f} {'' if line.per in ('ft', 'each') else 'x '}{line.per}"


def pieces_words(line: Line) -> str:
    """The rounded amount of one piece, times their number."""
    each, hours = format_cents(line.amount_cents // line.pieces), line.hours / line.pieces
    of = f", {hours:.4f} hours of each" if hours else ""
    amount = format_cents(line.amount_cents)
    return f"{line.pieces} x {each} = {amount}: each piece or pack is rounded to the cent by itself{of}"


def _work(facts: Facts, line: Line) -> Iterator[Link]:
    """Hours by whom, and where the hours of the task and the rate are written."""
    if line.kind is not LineKind.LABOR:
        return
    crew = next((each for each in facts.crews if each.name == line.crew), None)
    task = facts.tasks.get(line.task)
    if task is not None:
        one, many = ("foot", "ft") if by_the_foot(facts, task.id) else ("unit", "of them")
        factor = f", hours x {line.hour_factor:f} here" if line.hour_factor != 1 else ""
        ranged = ", the mean of a range" if task.hours[0] < task.hours[2] else ""
        yield Link(
            "task",
            f"labor.yaml task {task.id}: {expected_hours(task.hours):.4f} man-hours of one {one}{ranged}; "
            f"{line.quantity:f} {many}{factor}",
        )
    if crew is not None:
        pace = f", pace {crew.pace:f}" if crew.pace != 1 else ""
        theirs = f" {together(crew.people)}" if crew.people > 1 else ""
        covered = (
            "; the fixed bid covers it" if not line.amount_cents and crew.rate_cents and line.hours else ""
        )
        yield Link(
            "by",
            f"{crew.name}: {line.hours:.4f} hours{theirs} at "
            f"{format_price(crew.rate_cents)}{_mean(crew.rate_cents)}{pace}{covered}",
        )


def _needs(case: RankedShop, line: Line) -> Iterator[Link]:
    """What circuits ask for that this offer serves today."""
    if line.year or not line.offer_row:
        return
    needs = dict.fromkeys(
        (bought.need.spec.describe(), bought.need.length_ft)
        for bought in case.best.plan.bought
        if bought.offer_row == line.offer_row
        and set(case.best.needed_by.get(bought.need, ())) & set(line.bought_for)
    )
    for spec, length in needs:
        yield Link("asked for", f"{spec}{f', {length} ft' if length else ''}")


def _rules(case: RankedShop, line: Line) -> Iterator[Link]:
    """The rules by which the circuits of its machines are sized, where they stand then and with the plates they have then."""
    facts, said = case.facts, dict[str, None]()
    standings = _standings(facts, line)
    for name, way, _ in case.best.plan.made_here():
        for standing in standings.get(name, ()) if name in line.machines else ():
            circuit = Builder(facts, facts.machines[name], way).build(standing)
            for reason in (*circuit.size.reasons, *cord_rules(circuit)):
                said[f"{written(facts, name)}, {rule_words(facts, reason)}"] = None
    for words in said:
        yield Link("rule", words)


def _standings(facts: Facts, line: Line) -> Mapping[str, Sequence[Standing]]:
    """By machine, where it stands first; for a later line, where it comes in the line's year, else where it is by then."""
    scenario = next((each for each in scenarios_of(facts.shop) if each.name == line.scenario), None)
    if scenario is None:
        return {name: (standing,) for name, standing in first_standings(facts.shop).items()}
    found = {}
    for name, life in lives(facts.shop, scenario).items():
        until = [standing for standing in life.standings if standing.year <= line.year]
        found[name] = [standing for standing in until if standing.year == line.year] or until[-1:]
    return found
