"""What a bought thing fetches at the end of the plan: which share of its price, by which rule, what that is worth today."""

from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.circuits.lives import life_of, worn_after
from costplan.model.choices import ResaleRule
from costplan.model.money import to_cents
from costplan.sourcing.deal import Deal
from costplan.years.discounting import residual_share, single_worth


def resells_whole(deal: Deal) -> bool:
    """Whether a pack is sold whole at the end; else each piece in use is, and spares fetch nothing."""
    return deal.pack is not None and (deal.looked_at == 0 or deal.offer.is_lot)


def resale_share(deal: Deal, facts: Facts, age_years: int, wear: Decimal = Decimal(1)) -> Decimal:
    """Share of its price that it fetches at this age; 0 for what stays in the building or is worn out.

    wear: how long it lasts where it is used, as a share of its nominal life.
    """
    if not deal.kind.portable:
        return Decimal(0)
    resale = (deal.kind if deal.part.resale is None else deal.part).resale or {}
    life = life_of(facts, deal.part)
    return residual_share(
        resale.get(deal.offer.condition, Decimal(0)),
        None if life is None else worn_after(life, wear),
        age_years,
        straight_line=_straight_line(deal),
    )


def _straight_line(deal: Deal) -> bool:
    return (deal.part.resale_rule or deal.kind.resale_rule) is ResaleRule.STRAIGHT_LINE


def resale_trace(deal: Deal, facts: Facts, wear: Decimal = Decimal(1)) -> str:
    """Where its worth at the end comes from, and by which rule."""
    own = deal.part.resale is not None
    where = f"parts.yaml resale of {deal.part.id}" if own else f"kinds.yaml resale of {deal.kind.kind}"
    life = life_of(facts, deal.part)
    if life is None or not _straight_line(deal):
        return f"{where}, share of price"
    return f"{where}, straight line over {worn_after(life, wear)} years"


def resale_cents(deal: Deal, units: int, facts: Facts, wear: Decimal = Decimal(1)) -> int:
    """Worth today of selling the units at the end of the plan; 0 for what stays in the building."""
    worth = single_worth(facts.shop.money.discount_rate, facts.shop.years)
    return to_cents(to_cents(resale_exact(deal, units, facts, wear)) * worth)


def resale_worth(deal: Deal, units: int, facts: Facts, wear: Decimal = Decimal(1)) -> Decimal:
    """The same, where nothing is rounded on the way."""
    worth = single_worth(facts.shop.money.discount_rate, facts.shop.years)
    return resale_exact(deal, units, facts, wear) * worth


def resale_exact(deal: Deal, units: int, facts: Facts, wear: Decimal = Decimal(1)) -> Decimal:
    """What the units, bought today, fetch at the end of the plan, in that year's money, not rounded."""
    return deal.share_of_pack_cents(units) * resale_share(deal, facts, facts.shop.years, wear)
