"""Bids beside the estimate, as text and as plain data."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from costplan.circuits.facts import Facts
from costplan.model.bids import Bid
from costplan.model.money import format_cents
from costplan.program.ranked import Ranked
from costplan.reports.data_text import left_out_data, money
from costplan.reports.invented import in_brackets, made_up
from costplan.reports.tables import filled, table, wrapped
from costplan.reports.words import MAN_HOURS, difference, left_out_lines, title
from costplan.studies.bid_choice import InPlace
from costplan.studies.break_even import BreakEven
from costplan.studies.hired_scope import CentPoints, HourPoints
from costplan.studies.leveling import AgainstEstimate, LeveledBid, Leveling

HOLDS = (
    "A fixed price is for the work it was asked for. The best plan takes it to hold for other ways too, so ask "
    "the bidder again before you rely on that."
)
PARTS_NOTE = (
    "Leveled: the price, plus what the bid leaves out at the estimate's expected hours and rate, less parts "
    "that it brings. Tax on labor, warranty and the bidder's terms are not leveled."
)
VISIT_APART = "call-out and set-up left aside, since the rest takes a visit anyway"
HOUR_WORDS = ("low", "likely", "high", "expected")


@dataclass(frozen=True)
class BidsReport:
    """What `costplan bids` shows: the leveling of the plan of that rank, and the bids in the estimate's place."""

    leveling: Leveling
    rank: int
    in_place: tuple[InPlace, ...]


def bids_text(report: BidsReport) -> str:
    """The whole report: summary, the estimate, each bid line by line, break-evens, the bids in its place."""
    leveling = report.leveling
    shop = leveling.facts.shop
    parts = [
        f"{shop.name}{in_brackets(leveling.facts)}\nBids for plan {report.rank}: {title(leveling.facts, leveling.ranked)}; "
        f"{shop.currency}, {shop.today}",
        "\n".join(map(filled, left_out_lines(leveling.facts.left_out))),
        _summary(leveling),
        f"The estimate: today's hired work by {leveling.estimate.crew.name}\n" + _estimate(leveling),
        "Each bid, line by line\n" + _line_by_line(leveling) if leveling.bids else "",
        _break_evens(leveling.break_evens),
        _in_place(report),
        _notes(leveling),
    ]
    return "\n\n".join(part for part in parts if part) + "\n"


def _summary(leveling: Leveling) -> str:
    if not leveling.bids:
        return "No bids: write them to bids.yaml, name it under bids_file: in the shop file, or pass --bids FILE."
    rows = [
        [
            leveled.bid.bidder,
            str(leveled.bid.kind),
            format_cents(leveled.price_cents),
            format_cents(leveled.added_cents),
            format_cents(leveled.taken_off_cents),
            format_cents(leveled.total_cents),
            *(_signed(cents) for cents in _points(leveled.difference)),
            wrapped("; ".join(_flags(leveled)), 40),
        ]
        for leveled in sorted(leveling.bids, key=lambda leveled: (leveled.total_cents, leveled.bid.bidder))
    ]
    against = [f"to {word}" for word in HOUR_WORDS]
    headers = ["bidder", "paid", "price", "left out", "taken off", "leveled", *against, "stands"]
    total = leveling.estimate.total
    words = ", ".join(
        f"{word} {format_cents(cents)}" for word, cents in zip(HOUR_WORDS, _points(total), strict=True)
    )
    text = table(headers, rows, set(range(2, 10)))
    return (
        f"Bids at the same scope, cheapest first; the estimate: {words}\n{text}\n"
        "leveled = price + left out + taken off"
    )


def _flags(leveled: LeveledBid) -> list[str]:
    words = [_STANDS[leveled.standing]]
    if leveled.missing:
        words.append("missing scope")
    if leveled.kept_out:
        words.append(f"not in the choice: {leveled.kept_out}")
    return words


_STANDS = {
    AgainstEstimate.BELOW: "below low: ask what is left out",
    AgainstEstimate.WITHIN: "within the estimate",
    AgainstEstimate.ABOVE: "above high: ask what it foresees",
}


def _estimate(leveling: Leveling) -> str:
    rows = [
        [
            wrapped(row.what, 48),
            _quantity(row.quantity) if row.task else "",
            f"{row.hours.expected:.2f}" if row.hours.expected else "",
            *(format_cents(cents) for cents in _points(row.cents)),
        ]
        for row in leveling.estimate.rows
    ]
    total = leveling.estimate.total
    rows.append(["total", "", "", *(format_cents(cents) for cents in _points(total))])
    text = table(["work", "qty", "hours", *HOUR_WORDS], rows, {1, 2, 3, 4, 5, 6})
    return (
        f"{text}\nexpected, and hours: at (low + 4 likely + high) / 6 {MAN_HOURS}, over the crew's pace, "
        "as the plan counts them"
    )


def _line_by_line(leveling: Leveling) -> str:
    rows = []
    for leveled in leveling.bids:
        words = _terms(leveled.bid)
        for position, line in enumerate(leveled.lines):
            amount = format_cents(line.amount_cents)
            rows.append(["" if position else words, str(line.part), wrapped(line.what, 60), amount])
        rows.append(["", "", "leveled", format_cents(leveled.total_cents)])
        if leveled.spread is not None:
            spread = leveled.spread
            rows.append(
                [
                    "",
                    "",
                    f"at low to high hours: {format_cents(spread.low)} to {format_cents(spread.high)}",
                    "",
                ]
            )
        rows += [["", "", wrapped(remark, 60), ""] for remark in leveled.remarks]
    return table(["bid", "", "what", "amount"], rows, {3})


def _terms(bid: Bid) -> str:
    words = [bid.bidder, f"{bid.kind}, of {bid.day}" if bid.day else f"{bid.kind}, in the shop file"]
    if bid.day:
        words.append(f"holds until {bid.valid_until}" if bid.valid_until else "holds until: not said")
    return "\n".join([*words, wrapped(bid.note, 34)] if bid.note else words)


def _break_evens(evens: Sequence[BreakEven]) -> str:
    if not evens:
        return ""
    rows = [
        [
            even.crew,
            even.bidder,
            "none" if even.hours is None else f"{even.hours:.2f}",
            *(f"{hours:.2f}" for hours in _hours(even.estimate)),
            wrapped(f"{even.words}; {VISIT_APART}" if even.visit_apart else even.words, 56),
        ]
        for even in evens
    ]
    text = table(["by the hour", "against", "hours", *HOUR_WORDS, ""], rows, {2, 3, 4, 5, 6})
    return (
        "Break-even hours: up to them the crew costs no more, above them the fixed price is the cheaper\n"
        f"{text}\n"
        "price = call-out + rate x (set-up + hours), labor at least the minimum, the permit too where the price\n"
        "saves it; low to expected are the hours the estimate gives that crew for the work the price covers"
    )


def _in_place(report: BidsReport) -> str:
    if not report.in_place:
        return ""
    base = report.leveling.ranked
    estimate = format_cents(base.present_value_cents)
    rows = [["the estimate", estimate, "", format_cents(base.outlay_cents), estimate, f"plan {report.rank}"]]
    rows += [_in_place_row(report.leveling.facts, entry, base, report.rank) for entry in report.in_place]
    headers = ["hired", "as asked", "more", "cash today", "best", "the best plan then"]
    beyond = [f"  - as asked, {words}" for entry in report.in_place for words in entry.asked_beyond]
    beyond += [f"  - best, {words}" for entry in report.in_place for words in entry.beyond]
    parts = [
        "In the estimate's place: each bid hired with nobody else but the crew it names for the rest, over the years",
        table(headers, rows, {1, 2, 3, 4}),
        f"as asked: the ways of plan {report.rank}; best: whichever ways are cheapest then",
        "\n".join(["More work than the price was asked for", *beyond]) if beyond else "",
        wrapped(HOLDS, 110),
    ]
    return "\n".join(part for part in parts if part)


def _in_place_row(facts: Facts, entry: InPlace, base: Ranked, rank: int) -> list[str]:
    asked, best = entry.as_asked, entry.ranked
    same = f"the ways of plan {rank}"
    words = entry.why_not if best is None else same if _same(best, base) else difference(facts, best, base)
    return [
        entry.name,
        "none" if asked is None else format_cents(asked.present_value_cents),
        "" if asked is None else _signed(asked.present_value_cents - base.present_value_cents),
        "" if asked is None else format_cents(asked.outlay_cents),
        "none" if best is None else format_cents(best.present_value_cents),
        wrapped(words),
    ]


def _same(one: Ranked, other: Ranked) -> bool:
    return one.plan.kinds == other.plan.kinds and one.plan.gear_names == other.plan.gear_names


def _notes(leveling: Leveling) -> str:
    words = [*leveling.remarks, PARTS_NOTE] if leveling.bids else list(leveling.remarks)
    return (
        "Please note\n"
        + "\n".join(f"  - {wrapped(word, 100).replace(chr(10), chr(10) + '    ')}" for word in words)
        if words
        else ""
    )


def _points(points: CentPoints) -> tuple[int, int, int, int]:
    return points.low, points.likely, points.high, points.expected


def _hours(points: HourPoints) -> tuple[Decimal, Decimal, Decimal, Decimal]:
    return points.low, points.likely, points.high, points.expected


def _signed(cents: int) -> str:
    return f"+{format_cents(cents)}" if cents > 0 else format_cents(cents)


def _quantity(quantity: Decimal) -> str:
    return f"{round(quantity, 2).normalize():f}"


# data -------------------------------------------------------------------------------------------------


def bids_data(report: BidsReport) -> dict[str, Any]:
    """The report as plain data: money with two decimals, hours with two."""
    leveling = report.leveling
    shop, estimate = leveling.facts.shop, leveling.estimate
    return {
        "shop": shop.name,
        "invented": bool(made_up(leveling.facts)),
        "currency": shop.currency,
        "today": str(shop.today),
        "plan": report.rank,
        "title": title(leveling.facts, leveling.ranked),
        "left_out": left_out_data(leveling.facts.left_out),
        "estimate": {
            "crew": estimate.crew.name,
            "rows": [
                {
                    "task": row.task,
                    "what": row.what,
                    "quantity": round(row.quantity, 2),
                    "hours": _hours_data(row.hours),
                    "amount": _money_data(row.cents),
                }
                for row in estimate.rows
            ],
            "hours": _hours_data(estimate.hours),
            "total": _money_data(estimate.total),
        },
        "bids": [_bid_data(leveled) for leveled in leveling.bids],
        "break_evens": [
            {
                "crew": even.crew,
                "bidder": even.bidder,
                "hours": None if even.hours is None else round(even.hours, 2),
                "estimate_hours": _hours_data(even.estimate),
                "words": even.words,
                "visit_left_aside": even.visit_apart,
            }
            for even in leveling.break_evens
        ],
        "in_place": [_in_place_data(entry, report) for entry in report.in_place],
        "remarks": [*leveling.remarks, *([PARTS_NOTE, HOLDS] if leveling.bids else [])],
    }


def _bid_data(leveled: LeveledBid) -> dict[str, Any]:
    bid = leveled.bid
    return {
        "bidder": bid.bidder,
        "kind": str(bid.kind),
        "date": str(bid.day) if bid.day else None,
        "valid_until": str(bid.valid_until) if bid.valid_until else None,
        "note": bid.note,
        "price": money(leveled.price_cents),
        "left_out": money(leveled.added_cents),
        "taken_off": money(leveled.taken_off_cents),
        "leveled": money(leveled.total_cents),
        "difference": _money_data(leveled.difference),
        "stands": str(leveled.standing),
        "missing": list(leveled.missing),
        "not_in_choice": leveled.kept_out or None,
        "spread": None if leveled.spread is None else _money_data(leveled.spread),
        "lines": [
            {"part": str(line.part), "what": line.what, "amount": money(line.amount_cents)}
            for line in leveled.lines
        ],
        "remarks": list(leveled.remarks),
    }


def _in_place_data(entry: InPlace, report: BidsReport) -> dict[str, Any]:
    return {
        "hired": entry.name,
        "as_asked": _plan_data(entry.as_asked, report),
        "best": _plan_data(entry.ranked, report),
        "why_not": entry.why_not or None,
        "as_asked_beyond_scope": list(entry.asked_beyond),
        "best_beyond_scope": list(entry.beyond),
    }


def _plan_data(ranked: Ranked | None, report: BidsReport) -> dict[str, Any] | None:
    if ranked is None:
        return None
    total = ranked.present_value_cents
    return {
        "present_value": money(total),
        "more_than_estimate": money(total - report.leveling.ranked.present_value_cents),
        "outlay": money(ranked.outlay_cents),
        "title": title(report.leveling.facts, ranked),
    }


def _money_data(points: CentPoints) -> dict[str, Decimal]:
    return {word: money(cents) for word, cents in zip(HOUR_WORDS, _points(points), strict=True)}


def _hours_data(points: HourPoints) -> dict[str, Decimal]:
    return {word: round(hours, 2) for word, hours in zip(HOUR_WORDS, _hours(points), strict=True)}
