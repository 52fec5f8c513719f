"""What a comparison says in sentences: which way wins, by how much, what is missing, and what could not be ranked."""

from collections import defaultdict
from collections.abc import Iterable
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.ledger.holding import written
from costplan.model.choices import Powering
from costplan.model.money import format_cents
from costplan.reports.counted import several
from costplan.reports.rounded import between, uncertain_by
from costplan.reports.words import left_out_names, machines_on_cords, named, threat_words, together
from costplan.studies.comparison import Comparison, OutOfRanking
from costplan.studies.gaps import by_reason
from costplan.studies.rows import Cell, machine_words
from costplan.studies.yearly import own_hours

_ALL_BY = {Powering.FIXED_DROPS: "all by drop", Powering.CORDS: "all by cord"}
"""The pure ways beside each other, so that nobody takes their difference for one from today or from the best mix."""


def missing(comparison: Comparison) -> list[str]:
    """What is not known and keeps a question open, the first thing to read; empty when all is known."""
    return [*no_verdict(comparison), *closed_lines(comparison), *no_winner(comparison)]


def no_verdict(comparison: Comparison) -> list[str]:
    """Why nothing is said of fixed drops against cords; empty where all that it takes is known."""
    facts, (fixed, cords) = comparison.facts, comparison.pure
    said = [_gap_sentence(facts, "fixed drop", fixed), _gap_sentence(facts, "cord", cords)]
    words = "; ".join(word for word in said if word)
    return [f"No verdict between fixed drops and cords: {words}."] if fixed.gaps or cords.gaps else []


def closed_lines(comparison: Comparison) -> list[str]:
    """What has no price or length and closes a way for several machines, a sentence each."""
    facts, lines = comparison.facts, []
    for closed in comparison.closed:
        ways: dict[str, list[str]] = defaultdict(list)
        for machine, way in closed.ways:
            ways[way].append(machine)
        where = "; ".join(f"{way} for {machine_words(facts, names)}" for way, names in ways.items())
        lines.append(f"Missing: {closed.what}. It closes {where}.")
    return lines


def no_winner(comparison: Comparison) -> list[str]:
    """What is incomplete and could beat the best plan; empty where nothing could."""
    if comparison.threat is None:
        return []
    words = threat_words(comparison.facts, comparison.threat, comparison.best.present_value_cents)
    return [f"No winner is named: {words}"]


def verdict(
    comparison: Comparison, *, total: str = "", most: int | None = None, spread_cents: int | None = None
) -> str:
    """The answer in one sentence: the best mix, and which pure way wins where both are complete.

    total: the total of the best mix as it is to be said, else it is exact; most: how many names are said in a row, 0 for
    their count alone;
    spread_cents: by what the amounts of a screen are rounded, else differences are exact.
    """
    shop, out = comparison.facts.shop, comparison.facts.left_out
    best = total or f"{shop.currency} {format_cents(comparison.best.present_value_cents)}"
    mix = "best complete mix" if comparison.threat else "best mix"
    mix += "" if comparison.best.proven else " found before time was over (not proven)"
    without = f"Without {left_out_names(out, most)}: over" if out else "Over"
    return f"{without} {shop.years} years the {mix} costs {best} in today's money{_pure(comparison, most, spread_cents)}."


def _pure(comparison: Comparison, most: int | None, screen_cents: int | None) -> str:
    """Which of the two pure ways wins; nothing when one is incomplete, impossible, or both are the same plan."""
    if comparison.pure_plans is None:
        return ""
    fixed, cords = (plan.present_value_cents for plan in comparison.pure_plans)
    apart = _apart(comparison, most)
    if fixed == cords:
        return f"; fixed drops and cords everywhere{apart} cost the same"
    winner = Powering.CORDS if cords < fixed else Powering.FIXED_DROPS
    gap, spread = abs(fixed - cords), comparison.pure_spread_cents or 0
    said = between(fixed, cords, screen_cents, comparison.facts.shop.currency)
    if comparison.pure_winner_open and fixed != cords:
        return f"; which of fixed drops and cords{apart} is cheaper is not proven: so far {winner} come out lower by {said}"
    if gap < spread:
        return (
            f"; fixed drops and cords{apart} are too close to call: {winner} come out lower by {said}, "
            f"with hours and prices uncertain by {uncertain_by(spread)}"
        )
    lower, higher = _ALL_BY[winner], _ALL_BY[Powering.CORDS if cords >= fixed else Powering.FIXED_DROPS]
    return f"; {lower}{apart} costs {said} less than {higher}"


def _apart(comparison: Comparison, most: int | None) -> str:
    """Machines that a rule keeps from one of the pure ways, in brackets."""
    said = []
    for name, cell in zip(("fixed drop", "cord"), comparison.pure, strict=True):
        if cell.exceptions:
            names = dict.fromkeys(written(comparison.facts, machine) for machine in cell.exceptions)
            which = several("machine", len(names), len(names)) if most == 0 else named(tuple(names), most)
            said.append(f"no {name} for {which}")
    return f" ({'; '.join(said)})" if said else ""


def tie(comparison: Comparison) -> str:
    """What to decide on when the best plans are too close to call; empty when they are not."""
    return tied(
        comparison,
        "Plans {plans} are too close to call: {apart} apart, with hours and prices uncertain by {uncertain}. Decide on today's "
        "outlay, your own hours, or what the inspector prefers.",
    )


def tied(comparison: Comparison, words: str, screen_cents: int | None = None) -> str:
    """The words with the `plans` that are too close to call, how far `apart` and how `uncertain` they are; else empty.

    screen_cents: by what the amounts of a screen are rounded, else differences are exact.
    """
    if not comparison.too_close:
        return ""
    places = comparison.groups[0]
    last, best = (comparison.plans[place - 1].present_value_cents for place in (places[-1], 1))
    spread = max(comparison.spreads[place - 1] or 0 for place in places[1:])
    apart, uncertain = between(last, best, screen_cents), uncertain_by(spread)
    currency = comparison.facts.shop.currency
    return words.format(plans=together(places), apart=apart, uncertain=uncertain, currency=currency)


def apart_rows(comparison: Comparison, places: Iterable[int]) -> list[tuple[int, int, Decimal, int]]:
    """What sets plans apart besides their totals: place, cash today, own hours over the years, machines on cords."""
    return [
        (place, plan.outlay_cents, own_hours(comparison.facts, plan), machines_on_cords(plan.plan))
        for place, plan in ((place, comparison.plans[place - 1]) for place in places)
    ]


def strategy_sentences(comparison: Comparison) -> list[str]:
    """How the strategies rank, and which are not ranked and why; empty when the shop file names none."""
    if not comparison.strategies:
        return []
    column, lines = comparison.column, []
    ranked = comparison.ranked_strategies
    open_rows = [row for row in comparison.strategies if not row.reason and row.cells[column].incomplete]
    if ranked:
        first, best = ranked[0]
        total = best.present_value_cents
        rival = [
            row.name
            for row in open_rows
            if (least := row.cells[column].at_least_cents) is None or least < total
        ]
        if rival:
            names = ", ".join(f'"{name}"' for name in rival)
            lines.append(
                f'Of the complete strategies "{first}" costs least, {format_cents(total)}; no winner is named, since '
                f"{names} could cost less."
            )
        else:
            said = "costs least" if len(ranked) > 1 or open_rows else "is the only one that can be ranked"
            lines.append(f'Of the strategies "{first}" {said}, {format_cents(total)}.')
        for name, plan in ranked[1:]:
            lines.append(_strategy_gap(comparison, name, plan.present_value_cents - total, first))
    for row in open_rows:
        cell = row.cells[column]
        floor = "" if cell.at_least_cents is None else f", at least {format_cents(cell.at_least_cents)}"
        lines.append(f'"{row.name}" is incomplete{floor}: {cell.why_not}.')
    for row in comparison.strategies:
        if row.reason:
            lines.append(f'"{row.name}" is not ranked: {row.reason}.')
        elif row.cells[column].ranked is None and not row.cells[column].incomplete:
            lines.append(f'"{row.name}" cannot be done: {row.cells[column].why_not}.')
    return lines


def _strategy_gap(comparison: Comparison, name: str, gap: int, first: str) -> str:
    spread = comparison.strategy_spreads[name]
    if gap == 0:
        return f'"{name}" costs the same as "{first}".'
    if gap < spread:
        return f'"{name}" costs {format_cents(gap)} more, too close to call: uncertain by {uncertain_by(spread)}.'
    return f'"{name}" costs {format_cents(gap)} more.'


def out_by_reason(comparison: Comparison) -> dict[str, list[OutOfRanking]]:
    """Ways that are out, by reason; what is said of parts of a group is put together, its cost added up."""
    facts = comparison.facts
    found: dict[tuple[str, str, str, str, bool], tuple[int, int | None]] = {}
    for out in comparison.out:
        key = (written(facts, out.machine), out.way, out.label, out.reason, out.incomplete)
        count, cents = found.get(key, (0, None))
        cents = out.cents if cents is None or out.cents is None else cents + out.cents
        found[key] = (count + facts.machines[out.machine].count, cents)
    of = {machine.name: machine.count for machine in facts.written.machines}
    reasons: dict[str, list[OutOfRanking]] = defaultdict(list)
    for (name, way, label, reason, incomplete), (count, cents) in found.items():
        words = several(name, count, of.get(name, count))
        reasons[reason].append(OutOfRanking(words, way, label, cents, reason, incomplete))
    return reasons


def _gap_sentence(facts: Facts, what: str, cell: Cell) -> str:
    said = [
        f"{_no_complete_one(facts, what, names, cheaper=cheaper)}, {why}"
        for cheaper in (False, True)
        for why, names in by_reason(gap for gap in cell.gaps if gap.cheaper is cheaper).items()
    ]
    if said and cell.at_least_cents is not None:
        said.append(f"without that {what}s cost at least {format_cents(cell.at_least_cents)}")
    return "; ".join(said)


def _no_complete_one(facts: Facts, what: str, names: Iterable[str], *, cheaper: bool) -> str:
    names = tuple(names)
    one = f"cheaper {what} that is not complete" if cheaper else f"{what} that is complete"
    verb = (
        ("may have a" if cheaper else "has no")
        if _one(facts, names)
        else "may have a"
        if cheaper
        else "have no"
    )
    return f"{machine_words(facts, names)} {verb} {one}"


def _one(facts: Facts, machines: Iterable[str]) -> bool:
    return sum(facts.machines[machine].count for machine in machines) == 1
