"""Orders inside the program: fees once a supplier, delivery free from a value on, the rest of the smallest order."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from costplan.model.catalog import Supplier
from costplan.model.money import to_cents
from costplan.program.program import Program, Terms
from costplan.sourcing.orders import most_charges, order_charges


@dataclass(frozen=True, slots=True)
class Ordered:
    """What can be bought of a supplier: `goods` in cents by variable, `links` variables with the most of each."""

    supplier: Supplier
    owner_hour_cents: Decimal
    goods: Mapping[int, int]
    links: Sequence[tuple[int, int]]

    def add(self, program: Program) -> Terms:
        """Add what the order costs besides its goods; gives what of it is paid today, by variable."""
        outlay: Terms = defaultdict(int)
        if not self.links or not most_charges(self.supplier, self.owner_hour_cents):
            return outlay
        name, minimum = self.supplier.id, to_cents(self.supplier.minimum_cents)
        # At the least value nothing is short: what is left is charged once an order whatever it comes to.
        once = order_charges(self.supplier, minimum, self.owner_hour_cents)
        paid = once.order_fee_cents + once.errand_cents
        used = program.variable(f"order from {name}", 1, paid + once.errand_own_cents)
        outlay[used] += paid
        for index, high in self.links:
            program.row(f"order from {name} for {index}", {used: high, index: -1}, low=0)
        if minimum:
            short = program.variable(f"short of the minimum at {name}", minimum, 1)
            outlay[short] += 1
            program.row(f"minimum at {name}", {**self.goods, used: -minimum, short: 1}, low=0)
        self._deliver(program, used, outlay)
        return outlay

    def _deliver(self, program: Program, used: int, outlay: Terms) -> None:
        name, delivery = self.supplier.id, to_cents(self.supplier.delivery_cents)
        if not delivery:
            return
        if self.supplier.free_over_cents is None:
            program.add_cost(used, delivery)
            outlay[used] += delivery
            return
        paid = program.variable(f"delivery from {name}", 1, delivery)
        outlay[paid] += delivery
        free = program.variable(f"free delivery from {name}")
        program.row(f"delivery from {name} paid or free", {paid: 1, free: 1, used: -1}, low=0)
        value = {**self.goods, free: -to_cents(self.supplier.free_over_cents)}
        program.row(f"free delivery at {name} from its value", value, low=0)
