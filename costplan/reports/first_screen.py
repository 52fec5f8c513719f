"""The first screen of a comparison: the answer and what could turn it, on a terminal of 24 rows and 80 columns."""

from collections.abc import Sequence

from costplan.files.problems import Problem
from costplan.files.visible import beginning
from costplan.ledger.crews import NOBODY
from costplan.ledger.holding import written
from costplan.ledger.lines import WITH_PARTS, LineKind, Pocket
from costplan.model.choices import PURE_WAYS
from costplan.model.money import format_cents
from costplan.reports.budget import (
    PLENTY,
    Block,
    filled_rows,
    first_that_fits,
    items_block,
    text_block,
    within,
)
from costplan.reports.cap_text import cap_costs, left_in_short
from costplan.reports.first_asked import asked_rows
from costplan.reports.first_tables import (
    MOST_ROWS_BY_NAME,
    plans_table,
    rows_by_name,
    step_spread_cents,
    ways_by_name,
    ways_table,
)
from costplan.reports.invented import made_up_in_short
from costplan.reports.layouts_text import gap_words
from costplan.reports.noted import noted
from costplan.reports.noted_shop import notes_of
from costplan.reports.parts import SEARCHED, Part, part_words
from costplan.reports.proof import unproven_words
from costplan.reports.rounded import about, between, in_steps, uncertain_by
from costplan.reports.screen_parts import COLUMNS, ROWS, WIDE_ENOUGH, cautions_rows
from costplan.reports.sure import contingency_words, give_or_take, sure_in_short, sure_words
from costplan.reports.there import There
from costplan.reports.turning_text import InShort, ask_first, turning_in_short
from costplan.reports.verdict_words import tied, verdict
from costplan.reports.words import named, one_or_more
from costplan.studies.at_hand import MOST_TOLD
from costplan.studies.comparison import Comparison
from costplan.studies.gaps import by_reason
from costplan.studies.layouts import own_hours_today
from costplan.studies.protection_cost import in_question
from costplan.studies.rows import machine_words

NOT_KNOWN = "not known, since time ran out before fixed drops and cords were proven (--time-limit 600)"
MOST_ROWS_TURNING = 4
"""Figures that are said to turn the answer, and the rows that they have with what to ask first."""
IN_TOTALS = ": --show totals"
TIE = (
    "Plans {plans} are too close to call, {apart} apart and uncertain by {uncertain} {currency}: decide on cash today, "
    "your own hours, or what the inspector prefers."
)
SHORT_TIE = "Plans {plans} are too close to call: {apart} apart, uncertain by {uncertain}."


def first_screen(
    comparison: Comparison, *, rank: int = 1, questions: Sequence[Problem] = (), width: int = COLUMNS
) -> str:
    """The answer in at most `ROWS` rows, none wider than the terminal; what had to be shortened says so.

    rank: the plan whose cash, questions and cautions are told. questions: those about the files.
    """
    width = min(max(width, COLUMNS), WIDE_ENOUGH)
    plan = comparison.plans[rank - 1]
    there = There(comparison.facts, plan)
    unseen = ", ".join(notes_of(there))
    to_ask = [f"{unseen}: ask"] if unseen else []
    topics = [entry.topic for entry in noted(comparison.facts, plan, there)]

    def text(words: str, least: int, place: int, *, apart: bool = False) -> Block:
        return text_block(words, width, least, place, apart=apart)

    def items(head: str, said: Sequence[str], least: int, place: int, where: str, *, most: int = 5) -> Block:
        return items_block(head, said, width, least, place, where, most=most)

    # What no figure contains comes before what could turn the figures.
    gaps = comparison.facts.left_out or comparison.hinges or comparison.threat
    turned_least, today_least = (1, 1) if gaps else (MOST_ROWS_TURNING, 2)
    named_least = min(rows_by_name(comparison, width), 2)
    answer_least = 3 if not gaps and len(_answer(comparison, 4, width)) > 2 else 2
    blocks = [
        Block(lambda rows: _answer(comparison, min(rows, 4), width), answer_least, 0),
        items("Left out, in no figure: ", _left_out(comparison), 1, 2, IN_TOTALS, most=3),
        text(_unproven(comparison), 1, 1),
        text(_no_winner(comparison), 1, 3),
        text(_no_verdict(comparison), 1, 3),
        text("; ".join(f"Until it is answered: {words}" for words in comparison.hinges), 1, 4),
        Block(lambda rows: _tied(comparison, rows, width), 1, 5),
        Block(lambda rows: _sure(comparison, min(rows, 3), width), 1, 6),
        Block(lambda rows: _turned(comparison, min(rows, MOST_ROWS_TURNING), width), turned_least, 8),
        Block(lambda rows: ways_table(comparison, rows, width), 5, 4, apart=True),
        items("Strategies: ", _strategies(comparison), 1, 10, IN_TOTALS),
        items("Layouts (other arrangements you list): ", _layouts(comparison), 1, 11, IN_TOTALS),
        Block(lambda rows: plans_table(comparison, rows, width), 3, 7, apart=True),
        Block(
            lambda rows: ways_by_name(comparison, min(rows, MOST_ROWS_BY_NAME), width),
            named_least,
            4,
        ),
        Block(lambda rows: today_rows(comparison, rank, min(rows, 3), width), today_least, 7, apart=True),
        text(cap_costs(comparison), 1, 5),
        Block(lambda rows: asked_rows(comparison, plan, questions, min(rows, 6), width), 1, 6),
        items("Notes: ", [*to_ask, *comparison.warnings], 1, 12, ": --show notes", most=2),
        Block(lambda rows: cautions_rows(topics, min(rows, 2), width), 2, 0, apart=True),
        text(f"More: --show {','.join(word for word in part_words(Part) if word not in SEARCHED)}", 1, 0),
    ]
    return "\n".join(within(blocks, ROWS)) + "\n"


def _answer(comparison: Comparison, rows: int, width: int) -> list[str]:
    shop, best = comparison.facts.shop, comparison.best
    spread, drawn = step_spread_cents(comparison), comparison.sureness.plans[0]
    cents = best.present_value_cents
    total = about(cents, spread // 10, shop.currency) + give_or_take(drawn, cents, spread)
    invented = made_up_in_short(comparison.facts)
    said = [
        verdict(comparison, total=total, most=most, spread_cents=spread) for most in (None, 5, 3, 2, 1, 0)
    ]
    return first_that_fits([*(f"{text} {invented}" for text in said), said[-1]], rows, width)


def _tied(comparison: Comparison, rows: int, width: int) -> list[str]:
    """Which plans are too close to call, and by what they are uncertain; empty where none are."""
    texts = [tied(comparison, words, step_spread_cents(comparison)) for words in (TIE, SHORT_TIE)]
    return first_that_fits(texts, rows, width) if texts[0] else []


def _sure(comparison: Comparison, rows: int, width: int) -> list[str]:
    """How often the winners were the cheapest; empty where there is one plan alone."""
    short = sure_in_short(comparison)
    texts = ["; ".join(sure_words(comparison)), *short]
    return first_that_fits([f"How sure: {text}." for text in texts], rows, width) if short else []


def _left_out(comparison: Comparison) -> list[str]:
    return [
        f"{one_or_more(entry)}: {reason}" for entry in comparison.facts.left_out for reason in entry.reasons
    ]


def _no_winner(comparison: Comparison) -> str:
    """What the shop could cost with ways that are incomplete, where that is less than the best complete plan."""
    threat, best = comparison.threat, comparison.best.present_value_cents
    if threat is None:
        return ""
    facts, spread = comparison.facts, step_spread_cents(comparison)
    ways = dict.fromkeys(f"{written(facts, machine)} by {way}" for machine, way, _ in threat.ways)
    what = "; ".join(dict.fromkeys(what for _, _, what in threat.ways))
    least = threat.at_least_cents
    could = "nobody can say what it costs with" if least is None else f"at least {in_steps(least, spread)}"
    against = (
        "" if least is None else f", less than the {in_steps(best, spread)} of the best complete plan, with"
    )
    return f"No winner is named: {could}{against} {named(tuple(ways), 3)} ({what})."


def _no_verdict(comparison: Comparison) -> str:
    """Which of the pure ways is incomplete, what it costs at least, and for want of what; empty where none is."""
    said = []
    for name, cell in zip(PURE_WAYS, comparison.pure, strict=True):
        least = cell.at_least_cents
        floor = "" if least is None else f", at least {in_steps(least, step_spread_cents(comparison))}"
        said += [
            f"{name} are incomplete{floor}: {machine_words(comparison.facts, tuple(names))}, {why}"
            for why, names in by_reason(cell.gaps).items()
        ]
    return f"No verdict between fixed drops and cords: {'; '.join(said)}." if said else ""


def _unproven(comparison: Comparison) -> str:
    """That time ran out, with what it may have cost; empty where every plan is proven."""
    words, best = unproven_words(comparison.plans), comparison.best
    if not words or best.proven:
        return words
    gap = best.present_value_cents - best.bound_cents
    return f"{words} Some plan may be cheaper than the best shown, by {format_cents(gap)} at most."


def _strategies(comparison: Comparison) -> list[str]:
    """How the strategies rank, the cheapest first, and which of them may not or cannot be ranked."""
    column, ranked = comparison.column, comparison.ranked_strategies
    said = []
    for place, (name, plan) in enumerate(ranked if len(ranked) > 1 else ()):
        if not place:
            said.append(f'"{name}" costs least of those that are ranked')
            continue
        totals = plan.present_value_cents, ranked[0][1].present_value_cents
        gap, more = totals[0] - totals[1], between(*totals, step_spread_cents(comparison))
        spread = comparison.strategy_spreads[name]
        close = f", too close to call: uncertain by {uncertain_by(spread)}" if 0 < gap < spread else ""
        said.append(f'"{name}" {f"costs {more} more{close}" if gap else "costs the same"}')
    for row in comparison.strategies:
        if row.reason:
            said.append(f'"{row.name}" is not ranked: {row.reason}')
        elif row.cells[column].incomplete:
            said.insert(0, f'"{row.name}" is incomplete and may cost less or more')
        elif row.cells[column].ranked is None:
            said.append(f'"{row.name}" cannot be done: {row.cells[column].why_not}')
    return said


def _layouts(comparison: Comparison) -> list[str]:
    """What each layout costs beside the first row with a plan, with its cash today."""
    spread, first = step_spread_cents(comparison), comparison.today_layout
    said = []
    for row in comparison.layouts:
        if row.ranked is None:
            said.append(f'"{row.name}" cannot be done: {row.why_not}')
            continue
        than = f" than {first.name}" if first is not None else ""
        gap = gap_words(comparison, row, spread, than=than)
        gap = gap or f"about {in_steps(row.ranked.present_value_cents, spread)}"
        proof = "" if row.ranked.proven else ", not proven"
        cash = in_steps(row.ranked.outlay_cents, spread)
        said.append(f'"{row.name}" {gap}{proof} (cash today {cash})')
    return said


def _turned(comparison: Comparison, rows: int, width: int) -> list[str]:
    """What could turn the answer and what to ask first, each figure whole or not at all."""
    said, ask = _turning(comparison), ask_first(comparison)
    tried = [(count, ask) for count in range(len(said), 0, -1)]
    for count, asked in [*tried, (min(len(said), 1), ""), (0, ask)]:
        words = "; ".join(each.words for each in said[:count])
        told = f"What could turn it: {words}." if count else ""
        besides = "" if any(each.asks for each in said[:count]) else asked
        lines = filled_rows(" ".join(filter(None, (told, besides))), PLENTY, width)
        if len(lines) <= rows:
            return lines
    return []


def _turning(comparison: Comparison) -> list[InShort]:
    """At most two figures that turn the answer, each with the value, and that it is not known where that is so."""
    pure = comparison.pure_plans
    unknown = pure is not None and not all(plan.proven for plan in pure)
    said = turning_in_short(comparison)
    return [*([InShort(NOT_KNOWN)] if unknown and comparison.moves is None else []), *said][:MOST_TOLD]


def today_rows(comparison: Comparison, rank: int, rows: int, width: int) -> list[str]:
    """The cash of today, the contingency, and whether protection that may be asked for is in them, as there is room."""
    found, spread = in_question(comparison.facts, comparison.plans[rank - 1]), step_spread_cents(comparison)
    today, contingency = _today(comparison, rank), contingency_words(comparison, rank)
    texts = [f"{today} {contingency}".rstrip()]
    said = []
    if found.priced_cents:
        said.append(f"{in_steps(found.priced_cents, spread)} that not every edition asks for is in these")
    if found.left_out_cents or found.unpriced:
        least = "at least " if found.unpriced else ""
        open_words = f"{least}{in_steps(found.left_out_cents, spread)}"
        said.append(f"{open_words} more if asked for, not in these")
        if contingency:
            short = contingency_words(comparison, rank, without=f"ground-fault {open_words}")
            texts.insert(0, f"{today} {short}")
    if said:
        texts.insert(0, f"{texts[-1]} Ground-fault protection: {'; '.join(said)}.")
    return first_that_fits(texts, rows, width)


def _today(comparison: Comparison, rank: int) -> str:
    """The cash of today, what of it goes for parts, who is hired, the hours of the owner, what is left under the cap."""
    facts, plan = comparison.facts, comparison.plans[rank - 1]
    spread, shop = step_spread_cents(comparison), facts.shop
    named_plan = f", plan {rank}" if rank > 1 else ""
    if not plan.outlay_cents:
        return f"Today{named_plan}: nothing to pay, {own_hours_today(plan):.1f} hours of your own work."
    parts = sum(
        line.amount_cents
        for line in plan.lines
        if line.year == 0 and line.pocket is Pocket.CASH and line.kind in (LineKind.PART, *WITH_PARTS)
    )
    total = f"Today{named_plan}: about {shop.currency} {in_steps(plan.outlay_cents, spread)} in cash"
    said = [f"{total}, {in_steps(parts, spread)} of it for parts"]
    said.append(f"{own_hours_today(plan):.1f} hours of your own work")
    if left := left_in_short(comparison, rank):
        said.append(left)
    if parts < plan.outlay_cents and plan.plan.hiring.crew != NOBODY:
        said.append(f"hired: {beginning(plan.plan.hiring.name)}")
    return ", ".join(said) + "."
