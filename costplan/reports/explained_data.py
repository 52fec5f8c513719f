"""What `explain` says, as plain data: stable keys, money with two decimals."""

from collections.abc import Sequence
from typing import Any

from costplan.ledger.holding import written
from costplan.ledger.lines import Line
from costplan.program.ranking import Ranked
from costplan.reports.chain import chain
from costplan.reports.data import left_out_data, money
from costplan.reports.explained import could_be_cheaper, machine_circuits, rules_of
from costplan.reports.words import difference, title
from costplan.studies.explained import Case, Instead, OtherWay, Variant
from costplan.studies.least_change import Tie
from costplan.studies.line_sheets import Share, by_machines, numbered, of_machine, sheet, sums


def _head(case: Case, about: str) -> dict[str, Any]:
    """What every answer begins with."""
    return {
        "explains": about,
        "shop": case.facts.shop.name,
        "currency": case.facts.shop.currency,
        "present_value": money(case.best.present_value_cents),
        "proven": case.best.proven,
        "could_be_cheaper": next(iter(could_be_cheaper(case)), None),
        "left_out": left_out_data(case.facts.left_out),
    }


def total_data(case: Case) -> dict[str, Any]:
    """The total by what and by whom it is for."""
    facts, best = case.facts, case.best
    return {
        **_head(case, "total"),
        "title": title(facts, best),
        "by_kind": [
            {
                "when": when,
                "kind": str(kind),
                "pocket": str(pocket),
                "lines": numbers,
                "present_value": money(cents),
            }
            for when, kind, pocket, numbers, cents in sums(numbered(best))
        ],
        "by_machines": [
            {
                "for": list(share.machines),
                "lines": [number for number, _ in share.lines],
                "present_value": money(share.cents),
            }
            for share in by_machines(facts, best)
        ],
        "next_plans": [
            {
                "rank": rank,
                "more": money(plan.present_value_cents - best.present_value_cents),
                "differs": difference(facts, plan, best),
            }
            for rank, plan in enumerate(case.plans[1:], 2)
        ],
    }


def machine_data(
    case: Case, name: str, others: Sequence[OtherWay], options: Sequence[Variant]
) -> dict[str, Any]:
    """A machine of plan 1."""
    here = case.strands(name)
    alone, common = of_machine(case.facts, case.best, name)
    return {
        **_head(case, "machine"),
        "machine": name,
        "ways": [
            {"way": way.describe(), "group": way.group, "count": count}
            for each, way, count in case.best.plan.shares()
            if each in here
        ],
        "circuits": [
            {"words": words, "rules": rules_of(case.facts, circuit)}
            for words, circuit in machine_circuits(case, name)
        ],
        "alone": _share(case, alone),
        "shared": _share(case, common),
        "other_ways": [
            {
                "group": entry.group,
                "label": entry.label,
                **_beside(case, entry.instead.ranked),
                **_out(entry.instead),
            }
            for entry in others
        ],
        "options": [
            {"option": entry.what, "in_plan": entry.now, **_beside(case, entry.ranked)} for entry in options
        ],
    }


def _share(case: Case, share: Share) -> dict[str, Any]:
    return {
        "present_value": money(share.cents),
        "lines": [_line(case, number, line) for number, line in share.lines],
    }


def _line(case: Case, number: int, line: Line) -> dict[str, Any]:
    return {
        "line": number,
        "year": line.year,
        "scenario": line.scenario,
        "kind": str(line.kind),
        "pocket": str(line.pocket),
        "what": line.what,
        "for": list(dict.fromkeys(written(case.facts, name) for name in line.machines)),
        "amount": money(line.amount_cents),
        "present_value": money(line.present_value_cents),
        "offer_row": line.offer_row or None,
        "task": line.task or None,
        "trace": line.trace,
    }


def _beside(case: Case, ranked: Ranked | None) -> dict[str, Any]:
    """Another plan beside plan 1; null where there is none."""
    if ranked is None:
        return {"more": None, "more_cash_today": None, "more_proven": None}
    return {
        "more": money(ranked.present_value_cents - case.best.present_value_cents),
        "more_cash_today": money(ranked.outlay_cents - case.best.outlay_cents),
        "more_proven": ranked.proven,
    }


def _out(other: Instead) -> dict[str, Any]:
    return {"allowed": other.allowed, "why_out": list(other.closed), "without_price": list(other.unknown)}


def instead_data(case: Case, what: str, other: Instead, ties: Sequence[Tie]) -> dict[str, Any]:
    """Why another way or strategy does not win."""
    return {
        **_head(case, "other way"),
        "what": what,
        **_beside(case, other.ranked),
        **_out(other),
        "wins_at": [
            {
                "figure": tie.what,
                "where": tie.where,
                "unit": tie.unit,
                "now": _figure(tie, now=True),
                "at": _figure(tie, now=False),
                "exact": tie.exact,
            }
            for tie in ties
        ],
        **(_sheet(case, other.ranked) if other.ranked is not None else {"differences": [], "alike": None}),
    }


def _figure(tie: Tie, *, now: bool) -> Any:
    value = tie.now if now else tie.said
    return round(value / 100, 4) if tie.money else round(value, 4)


def plan_data(case: Case, rank: int) -> dict[str, Any]:
    """What another ranked plan has other than plan 1."""
    other = case.plans[rank - 1]
    return {
        **_head(case, "plan"),
        "rank": rank,
        "differs": difference(case.facts, other, case.best),
        **_beside(case, other),
        **_sheet(case, other),
    }


def _sheet(case: Case, other: Ranked) -> dict[str, Any]:
    found = sheet(case.facts, case.best, other)
    return {
        "differences": [
            {
                "year": row.year,
                "scenario": row.scenario,
                "kind": str(row.kind),
                "pocket": str(row.pocket),
                "what": row.what,
                "for": list(row.machines),
                "plan_1": money(row.one_cents),
                "other": money(row.two_cents),
                "more": money(row.more_cents),
            }
            for row in found.rows
        ],
        "alike": money(found.alike_cents),
    }


def line_data(case: Case, number: int) -> dict[str, Any]:
    """One line of plan 1 with its chain."""
    line = dict(numbered(case.best))[number]
    return {
        **_head(case, "line"),
        "line": _line(case, number, line),
        "chain": [{"step": link.step, "words": link.words} for link in chain(case, number)],
    }
