"""What a supplier charges for an order besides its goods, and what fetching it takes."""

from dataclasses import dataclass
from decimal import Decimal

from costplan.model.catalog import Supplier
from costplan.model.money import to_cents


@dataclass(frozen=True, slots=True)
class OrderCharges:
    """Whole cents, each once an order. `short_cents` is what is missing to the smallest order, paid all the same."""

    order_fee_cents: int = 0
    delivery_cents: int = 0
    short_cents: int = 0
    errand_cents: int = 0
    errand_own_cents: int = 0

    @property
    def cash_cents(self) -> int:
        """What is paid."""
        return self.order_fee_cents + self.delivery_cents + self.short_cents + self.errand_cents

    @property
    def worth_cents(self) -> int:
        """What is paid, and the own time of fetching it."""
        return self.cash_cents + self.errand_own_cents

    @property
    def paid(self) -> tuple[tuple[str, int], ...]:
        """What is paid, each in words."""
        return (
            ("order fee", self.order_fee_cents),
            ("delivery", self.delivery_cents),
            ("made up to the smallest order", self.short_cents),
            ("errand", self.errand_cents),
        )


def order_charges(supplier: Supplier, goods_cents: int, owner_hour_cents: Decimal) -> OrderCharges:
    """The charges of an order of goods of that price."""
    free = supplier.free_over_cents is not None and goods_cents >= to_cents(supplier.free_over_cents)
    return OrderCharges(
        to_cents(supplier.order_fee_cents),
        0 if free else to_cents(supplier.delivery_cents),
        max(to_cents(supplier.minimum_cents) - goods_cents, 0),
        to_cents(supplier.errand.money_cents),
        to_cents(supplier.errand.own_hours * owner_hour_cents),
    )


def most_charges(supplier: Supplier, owner_hour_cents: Decimal) -> int:
    """The most that an order's charges can come to, in cents of worth."""
    return order_charges(supplier, 0, owner_hour_cents).worth_cents
