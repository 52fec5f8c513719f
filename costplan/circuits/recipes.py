"""Recipes expanded into what they take: parts that fit the circuit, work and charges."""

from decimal import ROUND_CEILING, Decimal
from typing import TYPE_CHECKING

from costplan.circuits.needs import Attribute, Bundle, Charge, Need, Work, make_spec
from costplan.circuits.quoted_work import QUOTED_WORK, quoted_bundle
from costplan.circuits.size_types import CircuitSize
from costplan.model.catalog import Recipe
from costplan.model.ratings import FILLER_PLATE, FOR_DAMP, SWITCHGEAR

if TYPE_CHECKING:
    from costplan.circuits.facts import Facts

ENDS_PER_RUN = 2


def expand(
    facts: "Facts",
    recipe: Recipe,
    length_ft: int,
    laid_ft: Decimal | None,
    size: CircuitSize | None,
    trade_size: str,
) -> Bundle:
    """Parts and work of a recipe for one run, as `Facts.expanded` says, without filler plates.

    How many openings stay is known of a whole panel alone, whose other circuits may take the spaces, and the cover of a new
    one has blanks of its own; so whoever closes a panel brings the plates.
    """
    if recipe.quote is not None:
        quote = recipe.quote
        feet = Decimal(length_ft) if laid_ft is None else laid_ft
        hired = quote.hours_per_run + quote.hours_per_ft * feet
        own = quote.own_hours_per_run + quote.own_hours_per_ft * feet
        money = quote.per_run_cents + quote.per_ft_cents * feet
        return quoted_bundle(QUOTED_WORK, money, (hired,) * 3, (own,) * 3, permit=quote.permit)
    one = Decimal(1)
    times = {"run": one, "ft": Decimal(length_ft), "end": Decimal(ENDS_PER_RUN), "visit": one}
    laid = times if laid_ft is None else times | {"ft": laid_ft}
    wires = Decimal(0) if size is None else Decimal(size.wires)
    needs = []
    for part in recipe.parts:
        quantity = rounded_up(part.quantity * (wires if part.per == "wire" else times[part.per]))
        if quantity and part.kind != FILLER_PLATE:
            needs.append(counted(facts, part.kind, quantity, dict(part.attributes), size, trade_size))
    asked: dict[tuple[str, bool], Decimal] = {}
    for task in recipe.tasks:
        key = (task.task, task.per == "visit")
        asked[key] = asked.get(key, Decimal(0)) + task.quantity * laid[task.per]
    work = tuple(Work(task, quantity, once=once) for (task, once), quantity in asked.items() if quantity)
    charges = []
    for entry in recipe.charges:
        known = facts.charges[entry.charge]
        cents = known.price_cents * entry.quantity * laid[entry.per]
        if cents:
            charges.append(Charge(known.name, cents, once=entry.per == "visit"))
    return Bundle(tuple(needs), work, tuple(charges))


def counted(
    facts: "Facts",
    kind: str,
    quantity: int,
    equal: dict[str, Attribute],
    size: CircuitSize | None,
    trade_size: str = "",
) -> Need:
    """A need for pieces of a kind that fits the circuit.

    Switchgear that a recipe asks for has the highest volts of the shop, since it is not told where it goes. Of an outlet in
    a damp place what is made for damp is taken, where it is to be had.
    """
    asked = facts.kinds[kind].attributes if kind in facts.kinds else []
    at_least: dict[str, Attribute] = {}
    if kind in SWITCHGEAR and "volts" not in equal:
        at_least["volts"] = facts.highest_line_volts
    if size is not None:
        if "rating_a" in asked and "rating_a" not in equal:
            at_least["rating_a"] = size.breaker_a if kind in SWITCHGEAR else size.device_a
        if "poles" in asked and "poles" not in equal:
            at_least["poles"] = size.poles
        if "ground_awg" in asked and "ground_awg" not in equal:
            at_least["ground_awg"] = size.grounding_awg
        if "awg" in asked and "awg" not in equal:
            equal = {**equal, "awg": size.awg_by_current or size.awg}
    for_damp = FOR_DAMP.get(kind) if size is not None and size.damp else None
    if for_damp is not None and for_damp not in equal:
        known = {**equal, for_damp: True}
        if any(
            part.id in facts.parts_to_be_had for part in facts.parts_meeting(make_spec(kind, known, at_least))
        ):
            equal = known
    if trade_size and "trade_size" in asked and "trade_size" not in equal:
        equal = {**equal, "trade_size": trade_size}
    return Need(make_spec(kind, equal, at_least), quantity)


def rounded_up(value: Decimal) -> int:
    """The next whole number."""
    return int(value.to_integral_value(rounding=ROUND_CEILING))
