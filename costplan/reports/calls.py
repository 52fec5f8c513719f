"""The value of a phone call, in words and as data."""

from decimal import Decimal

from costplan.model.catalog import Offer, Supplier
from costplan.reports.data_text import left_out_data
from costplan.reports.tables import filled
from costplan.reports.words import left_out_lines
from costplan.studies.phone_calls import Call, Calls, Turn


def calls_text(calls: Calls) -> str:
    """The calls worth making, the most valuable first, and what need not be asked."""
    blocks = [_block(call, calls.suppliers.get(call.offer.supplier)) for call in calls.calls]
    if not blocks:
        blocks.append("No missing or old price could change the plan.")
    if calls.idle:
        more = "more " if calls.calls else ""
        blocks.append(f"{len(calls.idle)} {more}missing or old prices change nothing in that range.")
    if calls.not_looked_at:
        rows = ", ".join(str(offer.row) for offer in calls.not_looked_at)
        blocks.append(f"Not looked at for lack of time: rows {rows} of offers.csv.")
    return "\n".join([*map(filled, left_out_lines(calls.left_out)), *blocks, _how(calls)]) + "\n"


def calls_data(calls: Calls) -> dict[str, object]:
    """The same as plain mappings for JSON; money in the shop's currency with two decimals."""
    return {
        "left_out": left_out_data(calls.left_out),
        "best_present_value": _money(Decimal(calls.best.present_value_cents)),
        "calls": [
            {
                **_offer(call.offer),
                "why": call.why,
                "in_best_plan": call.used,
                "plan_changes_below": _turn(call.cheaper),
                "plan_changes_above": _turn(call.dearer),
                "worth_at_most": _money(Decimal(call.worth_cents)),
            }
            for call in calls.calls
        ],
        "change_nothing": [_offer(offer) for offer in calls.idle],
        "not_looked_at": [_offer(offer) for offer in calls.not_looked_at],
        "how": _how(calls),
    }


def _how(calls: Calls) -> str:
    return (
        f"Each price is changed alone, from what is known divided by {calls.times:f} to {calls.times:f} times that. "
        "Where a price is marked about, two plans were held and a third may win somewhat sooner."
    )


def _block(call: Call, supplier: Supplier | None) -> str:
    offer = call.offer
    now = "no price" if offer.price_cents is None else f"{offer.price_cents / 100:,.2f}"
    why = "" if offer.price_cents is None else f", {call.why}"
    used = "in the best plan" if call.used else "not in the best plan"
    lines = [
        f"{offer.part} at {offer.supplier}, {offer.condition}, per {offer.per} (offers.csv:{offer.row}): "
        f"{now}{why}, {used}; knowing it is worth at most {call.worth_cents / 100:,.2f}"
    ]
    reached = [f"their no. {offer.their_number}"] if offer.their_number else []
    reached += [supplier.reached] if supplier is not None and supplier.reached else []
    lines += [f"  {', '.join(reached)}"] if reached else []
    for word, turn in (("at or below", call.cheaper), ("at or above", call.dearer)):
        if turn is not None:
            about = "" if turn.exact else "about "
            off = ""
            if offer.price_cents:
                off = f" ({(turn.price_cents / offer.price_cents - 1) * 100:+.0f} %)"
            lines.append(f"  {word} {about}{turn.price_cents / 100:,.2f}{off}: {turn.change}")
    return "\n".join(lines)


def _offer(offer: Offer) -> dict[str, object]:
    return {
        "row": offer.row,
        "part": offer.part,
        "supplier": offer.supplier,
        "condition": str(offer.condition),
        "per": offer.per,
        "price": None if offer.price_cents is None else _money(offer.price_cents),
    }


def _turn(turn: Turn | None) -> dict[str, object] | None:
    if turn is None:
        return None
    return {"price": _money(turn.price_cents), "change": turn.change, "exact": turn.exact}


def _money(cents: Decimal) -> float:
    return float(round(cents / 100, 2))
