"""Why a plan costs what it costs: its total, a machine, another way, another plan or a line, as text."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal

from costplan.circuits.circuit import Builder, Circuit
from costplan.circuits.facts import Facts
from costplan.files.yaml_reader import Places
from costplan.ledger.lines import Line, LineKind, Pocket
from costplan.model.money import format_cents, format_price
from costplan.program.ranked import Ranked
from costplan.reports.chain import chain
from costplan.reports.circuits import NEW, as_written, circuits_today
from costplan.reports.gear_reasons import reason_lines
from costplan.reports.proof import unproven_words
from costplan.reports.sizes import circuit_words, cord_rules, rule_words
from costplan.reports.tables import filled, fitted, hung
from costplan.reports.words import SIZING_CAUTION, difference, left_out_lines, named, threat_words, title
from costplan.studies.explained import Instead, OtherWay, RankedShop, Variant
from costplan.studies.least_change import MOVES, Tie
from costplan.studies.line_sheets import Share, by_machines, numbered, of_machine, sheet, sums
from costplan.years.calendar import first_standings

WORTH = "in today's money"


def total_text(case: RankedShop, width: int) -> str:
    """The total of plan 1 by when and kind, then by whom it is for; both add up to it."""
    facts, best = case.facts, case.best
    total = best.present_value_cents
    rows = [
        [when, _kind(kind, pocket), runs(numbers), format_cents(cents)]
        for when, kind, pocket, numbers, cents in sums(numbered(best))
    ]
    rows.append(["", "total", "", format_cents(total)])
    whom = [
        [_whom(share), runs(number for number, _ in share.lines), format_cents(share.cents)]
        for share in by_machines(facts, best)
    ]
    whom.append(["total", "", format_cents(total)])
    answer = (
        f"Plan 1 costs {facts.shop.currency} {format_cents(total)} {WORTH} over {facts.shop.years} years, "
        f"{format_cents(best.outlay_cents)} of it in cash today: {title(facts, best)}."
    )
    return _blocks(
        case,
        width,
        [
            filled(answer, width),
            f"What it is for\n{fitted(['when', 'what', 'lines', WORTH], rows, {3}, width)}",
            f"Whom it is for\n{fitted(['for', 'lines', WORTH], whom, {2}, width)}",
            "\n".join(hung(words, width, "  ") for words in reason_lines(facts, best)),
            *_others(case, width),
            filled(
                "Each sum is that of the lines named beside it (compare --show lines). On from here: --line NUMBER, "
                "--machine NAME, --machine NAME --way WORDS, --strategy NAME, --plan NUMBER.",
                width,
            ),
        ],
    )


def _others(case: RankedShop, width: int) -> list[str]:
    """The other plans that are at hand."""
    rows = [
        [
            str(rank),
            format_cents(plan.present_value_cents - case.best.present_value_cents),
            difference(case.facts, plan, case.best),
        ]
        for rank, plan in enumerate(case.plans[1:], 2)
    ]
    return (
        [f"The next plans\n{fitted(['plan', 'more', 'what differs'], rows, {0, 1}, width)}"] if rows else []
    )


def machine_text(
    case: RankedShop, name: str, others: Sequence[OtherWay], options: Sequence[Variant], width: int
) -> str:
    """A machine in plan 1: its way and how much dearer the next one is, its lines, its circuit, its other ways."""
    facts, best = case.facts, case.best
    alone, common = of_machine(facts, best, name)
    tables = [f"Lines for {name} alone\n{lines_table(alone.lines, width)}"] if alone.lines else []
    if common.lines:
        tables.append(f"Lines that it shares with other machines\n{lines_table(common.lines, width)}")
    shop = [share for share in by_machines(facts, best) if not share.machines]
    tables += [
        filled(
            f"Lines {runs(number for number, _ in share.lines)} are paid once for the whole shop (visits, permits, orders, "
            f"shared equipment): {format_cents(share.cents)}.",
            width,
        )
        for share in shop
    ]
    return _blocks(
        case,
        width,
        [
            *(hung(words, width, "  ") for words in _answer(case, name, others, alone, common)),
            *_circuits(case, name, width),
            *tables,
            *_other_ways(case, name, others, width),
            *_options(case, name, options, width),
            filled(SIZING_CAUTION, width),
        ],
    )


def _answer(
    case: RankedShop, name: str, others: Sequence[OtherWay], alone: Share, common: Share
) -> Iterator[str]:
    """How a machine is powered, what the next way costs more, and what is spent on it."""
    for way, count in _ways(case, name):
        yield f"{name}{f' ({count} of them)' if count > 1 else ''}: {way}."
    open_ = [entry for entry in others if entry.instead.allowed]
    if open_:
        ranked = open_[0].instead.ranked
        assert ranked is not None
        more = ranked.present_value_cents - case.best.present_value_cents
        yield f"The best plan with its next way, {open_[0].label}, costs {format_cents(more)} more{_unproven(ranked)}."
    else:
        yield "No other way of it is open."
    shared = f", and {format_cents(common.cents)} on lines that it shares with others" if common.lines else ""
    yield (
        f"Of the {format_cents(case.best.present_value_cents)} of plan 1, {format_cents(alone.cents)} are for it alone{shared}."
    )


def _ways(case: RankedShop, name: str) -> list[tuple[str, int]]:
    here = case.strands(name)
    return [(way.describe(), count) for each, way, count in case.best.plan.shares() if each in here]


def _unproven(ranked: Ranked) -> str:
    return "" if ranked.proven else " (not proven: time ran out)"


def machine_circuits(case: RankedShop, name: str) -> list[tuple[str, Circuit]]:
    """The circuits of a machine by the ways of plan 1 where it stands first, each once; none of a quoted way."""
    facts, here, first = case.facts, case.strands(name), first_standings(case.facts.shop)
    found: dict[str, Circuit] = {}
    for each, way, _ in case.best.plan.made_here():
        standing = first.get(each)
        if each in here and standing is not None:
            circuit = Builder(facts, facts.machines[each], way).build(standing)
            found.setdefault(circuit_words(way, circuit), circuit)
    return list(found.items())


def rules_of(facts: Facts, circuit: Circuit) -> list[str]:
    """The rule and the table behind every figure of a circuit and its cord."""
    return [
        *(rule_words(facts, reason) for reason in circuit.size.reasons),
        *(f"cord's {rule_words(facts, reason)}" for reason in cord_rules(circuit)),
    ]


def _circuits(case: RankedShop, name: str, width: int) -> Iterator[str]:
    rows = [
        row for row in as_written(case.facts, circuits_today(case.facts, case.best)) if name in row.machines
    ]
    states = list(dict.fromkeys(row.state for row in rows if row.state != NEW))
    for words, circuit in machine_circuits(case, name):
        lines = [hung(f"Its circuit: {words}", width, "  ")]
        lines += [
            hung(f"what is there: {state}; the rules are those of one made anew", width, "    ", "  ")
            for state in states
        ]
        lines += [hung(rule, width, "    ", first="  ") for rule in rules_of(case.facts, circuit)]
        yield "\n".join(lines)


def lines_table(lines: Sequence[tuple[int, Line]], width: int) -> str:
    """Lines by number with where each comes from, those of several years that are alike together, and their sum."""
    alike: dict[tuple[object, ...], list[tuple[int, Line]]] = {}
    for number, line in lines:
        alike.setdefault((line.year > 0, line.scenario, line.kind, line.what, line.trace), []).append(
            (number, line)
        )
    rows = [
        [
            runs(number for number, _ in entries),
            runs(line.year for _, line in entries) if entries[0][1].year else "today",
            f"{entries[0][1].what} ({entries[0][1].kind}{_not_always(entries[0][1])})",
            format_cents(sum(line.present_value_cents for _, line in entries)),
            entries[0][1].trace,
        ]
        for entries in alike.values()
    ]
    rows.append(["", "", "sum", format_cents(sum(line.present_value_cents for _, line in lines)), ""])
    return fitted(["lines", "year", "what", WORTH, "where it comes from"], rows, {0, 3}, width)


def _not_always(line: Line) -> str:
    return f"; {line.scenario}" if line.scenario else ""


def _other_ways(case: RankedShop, name: str, others: Sequence[OtherWay], width: int) -> Iterator[str]:
    """Open ways with what each costs more, then those that are out with the reason, said once."""
    rows, out = [], dict[str, list[str]]()
    for entry in others:
        ranked, closed = entry.instead.ranked, entry.instead.closed
        if entry.instead.allowed and ranked is not None:
            more = ranked.present_value_cents - case.best.present_value_cents
            cash = ranked.outlay_cents - case.best.outlay_cents
            unknown = "; at most: some of it has no price" if entry.instead.unknown else ""
            rows.append(
                [entry.label, signed(more), signed(cash), ("yes" if ranked.proven else "no") + unknown]
            )
            continue
        words = entry.label
        if ranked is not None:
            words += f" (without the rule {_more_or_less(ranked, case.best)})"
        out.setdefault("; ".join(closed), []).append(words)
    if rows:
        table = fitted(["way", "more", "cash today", "proven"], rows, {1, 2}, width)
        each = "all of them by it" if sum(count for _, count in _ways(case, name)) > 1 else "it"
        yield f"Other ways, each the best plan with {each}\n{table}"
    if out:
        said = [
            hung(f"{'; '.join(words)}: {reason}", width, "    ", first="  ") for reason, words in out.items()
        ]
        yield "\n".join(["Ways that are out, and why", *said])


def _more_or_less(ranked: Ranked, best: Ranked) -> str:
    more = ranked.present_value_cents - best.present_value_cents
    return f"{format_cents(abs(more))} {'more' if more >= 0 else 'less'} than plan 1"


NO_CHOICE = (
    "Its cord has no spare length, spare wire or other jacket to choose: cords: slack, spare_conductor and service in the "
    "shop file say which are tried, and a machine that never changes has no use for a spare."
)


def _options(case: RankedShop, name: str, options: Sequence[Variant], width: int) -> Iterator[str]:
    """What a spare length, spare wire, other jacket or heavier wire costs today and over the years, all else chosen anew."""
    rows = []
    for entry in options:
        if entry.ranked is None:
            rows.append([entry.what, "no plan", "", ""])
            continue
        more = entry.ranked.present_value_cents - case.best.present_value_cents
        cash = entry.ranked.outlay_cents - case.best.outlay_cents
        rows.append([entry.what, signed(cash), signed(more), "as in plan 1" if entry.now else ""])
    if not rows and any(
        way.service for each, way, _ in case.best.plan.shares() if each in case.strands(name)
    ):
        yield filled(NO_CHOICE, width)
    if rows:
        head = f"What its cord could have besides; more than plan 1, {WORTH}"
        yield f"{filled(head, width)}\n{fitted(['option', 'cash today', 'over the years', ''], rows, {1, 2}, width)}"


def instead_text(case: RankedShop, what: str, other: Instead, ties: Sequence[Tie], width: int) -> str:
    """Why another way or strategy does not win, what would make it win, and what differs line by line."""
    ranked, best = other.ranked, case.best
    blocks = []
    if ranked is None:
        blocks.append(f"{what} is out: {'; '.join(other.closed)}.")
        return _blocks(case, width, [hung(block, width, "  ") for block in blocks])
    more = ranked.present_value_cents - best.present_value_cents
    totals = f"{format_cents(ranked.present_value_cents)} against {format_cents(best.present_value_cents)}{_unproven(ranked)}"
    if other.closed:
        blocks.append(f"{what} is out by a rule, not by its price: {'; '.join(other.closed)}.")
        blocks.append(
            f"Were it not for the rule, the best plan with it would cost {_more_or_less(ranked, best)} ({totals}). Whether a "
            "rule of the code or of the building may be otherwise is not for costplan to say."
        )
    elif more > 0:
        blocks.append(f"{what}: the best plan with it costs {format_cents(more)} more ({totals}).")
    else:
        blocks.append(f"{what}: that is plan 1 already, or costs the same ({totals}).")
    if other.unknown:
        blocks.append(
            f"At most that: ways of it that have no price could be cheaper ({'; '.join(other.unknown)})."
        )
    text = [hung(block, width, "  ") for block in blocks]
    if more > 0 and not other.closed:
        text.append("\n".join(_what_it_takes(more, ties, width)))
    return _blocks(case, width, [*text, *_sheet(case.facts, best, ranked, "plan 1", "with it", width)])


def _what_it_takes(more: int, ties: Sequence[Tie], width: int) -> Iterator[str]:
    if not ties:
        yield hung(
            f"It would win if it cost {format_cents(more)} less; no single price, task, rate or number of moves that was "
            "tried does that alone.",
            width,
            "  ",
        )
        return
    yield hung(
        f"It would win if it cost {format_cents(more)} less, or by any one of these alone:", width, "  "
    )
    for tie in ties:
        yield hung(f"- {tie_words(tie)}", width, "    ", first="  ")
    if not all(tie.exact for tie in ties):
        yield hung(
            "about: both plans are held as they are there, and a third may win before that",
            width,
            "    ",
            "  ",
        )


def tie_words(tie: Tie) -> str:
    """A figure at which the other plan wins, in words."""
    below = "at or below" if tie.at < tie.now else "at or above"
    about = "" if tie.exact else "about "
    if tie.unit == MOVES:
        return _moves_words(tie, below, about)
    if tie.money:
        said = f"{about}{format_price(tie.said)} per {tie.unit} (now {format_price(tie.now)}"
    else:
        said = f"{about}{tie.said:.4f} (now {tie.now:.4f} man-hours of one unit"
    return f"{tie.what} {below} {said}, {(tie.at / tie.now - 1) * 100:+.0f} %; {tie.where})"


def _moves_words(tie: Tie, below: str, about: str) -> str:
    """Moves a year at which the other plan wins; none at all is said so."""
    now = f"now {tie.now:.2f} a year expected" if tie.now else "now none"
    if not tie.at:
        return f"no {tie.what} at all ({now}; {tie.where})"
    often = f", one in {1 / tie.at:.0f} years" if tie.at < Decimal("0.67") else ""
    return f"{tie.what} {below} {about}{tie.at:.2f} a year{often} ({now}; {tie.where})"


def plan_text(case: RankedShop, rank: int, width: int) -> str:
    """What another ranked plan has that plan 1 has not, line by line."""
    one, two = case.best, case.plans[rank - 1]
    more = two.present_value_cents - one.present_value_cents
    answer = (
        f"Plan {rank} costs {format_cents(more)} more than plan 1 ({format_cents(two.present_value_cents)} against "
        f"{format_cents(one.present_value_cents)}{_unproven(two)}): {difference(case.facts, two, one)}."
    )
    return _blocks(
        case, width, [filled(answer, width), *_sheet(case.facts, one, two, "plan 1", f"plan {rank}", width)]
    )


def _sheet(facts: Facts, one: Ranked, two: Ranked, first: str, second: str, width: int) -> Iterator[str]:
    found = sheet(facts, one, two)
    if not found.rows:
        yield "All lines are the same."
        return
    rows = [
        [
            "today" if row.year == 0 else str(row.year),
            f"{row.what} ({row.kind}{f'; {row.scenario}' if row.scenario else ''})",
            named(row.machines),
            *(format_cents(cents) if cents else "" for cents in (row.one_cents, row.two_cents)),
            signed(row.more_cents),
        ]
        for row in found.rows
    ]
    here = sum(row.one_cents for row in found.rows), sum(row.two_cents for row in found.rows)
    for words, cents, more in (
        ("sum of these", here, found.more_cents),
        ("lines that cost the same", (found.alike_cents, found.alike_cents), 0),
        ("total", (one.present_value_cents, two.present_value_cents), found.more_cents),
    ):
        rows.append(["", words, "", *map(format_cents, cents), signed(more)])
    head = f"What differs, line by line, {WORTH}"
    yield f"{head}\n{fitted(['year', 'what', 'for', first, second, 'more'], rows, {3, 4, 5}, width)}"


def line_text(case: RankedShop, number: int, places: Mapping[str, Places], width: int) -> str:
    """One line of plan 1, step by step to where each figure is written."""
    line = dict(numbered(case.best))[number]
    where = "today" if line.year == 0 else f"in year {line.year}"
    answer = f"Line {number}: {line.what}, {where}: {format_cents(line.present_value_cents)} {WORTH}."
    links = [
        hung(f"{link.step}: {link.words}", width, "    ", first="  ") for link in chain(case, number, places)
    ]
    return _blocks(case, width, [filled(answer, width), "\n".join(links)])


def runs(numbers: Iterable[int]) -> str:
    """Numbers, each once, with those that follow each other together: `1-4, 7`."""
    found: list[list[int]] = []
    for number in sorted(set(numbers)):
        if found and found[-1][-1] == number - 1:
            found[-1].append(number)
        else:
            found.append([number])
    return ", ".join(f"{run[0]}-{run[-1]}" if len(run) > 1 else str(run[0]) for run in found)


def signed(cents: int) -> str:
    """Money with its sign, so that less is seen."""
    return f"+{format_cents(cents)}" if cents > 0 else format_cents(cents)


def _kind(kind: LineKind, pocket: Pocket) -> str:
    """What a sum of lines is, with whose pocket where that is not plain cash."""
    plain = pocket is Pocket.CASH or str(pocket) in str(kind) or kind in (LineKind.RESALE, LineKind.LOST_TIME)
    return str(kind) if plain else f"{kind}, {pocket}"


def _whom(share: Share) -> str:
    if not share.machines:
        return "the whole shop, paid once"
    return named(share.machines) if len(share.machines) == 1 else f"shared by {named(share.machines)}"


def _blocks(case: RankedShop, width: int, blocks: Iterable[str]) -> str:
    """The blocks with a blank line between, ahead of them what no figure contains, and what could be cheaper still."""
    ahead = [*left_out_lines(case.facts.left_out), *could_be_cheaper(case), *_time_ran_out(case)]
    return (
        "\n\n".join(block for block in (*(filled(words, width) for words in ahead), *blocks) if block) + "\n"
    )


def _time_ran_out(case: RankedShop) -> list[str]:
    """That plans might be others, in a sentence, where they are not proven."""
    words = unproven_words(case.plans)
    return [f"{words} More time proves more (--time-limit 600)."] if words else []


def could_be_cheaper(case: RankedShop) -> list[str]:
    """What has no price or length and could be part of a cheaper plan than plan 1, in a sentence; mostly nothing."""
    if case.threat is None:
        return []
    return [threat_words(case.facts, case.threat, case.best.present_value_cents)]
