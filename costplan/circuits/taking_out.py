"""What an outlet takes once its machine has left it: made safe, or taken out when the lease ends.

A quoted outlet is taken out at a price of its own: `years.quoted`.
"""

from costplan.circuits.circuit import Builder, Circuit
from costplan.circuits.needs import NOTHING, Bundle, Return
from costplan.circuits.outlet_made import outlet_as_made
from costplan.circuits.outlets import breaker_of


def returned_outlet(builder: Builder, as_is: Circuit) -> Return:
    """An outlet that its machine no longer uses: live for whoever comes, else made safe, its breaker free."""
    facts = builder.facts
    safe = facts.shop.building.make_safe and not as_is.spare
    unused = builder.expanded("make safe", size=as_is.size).slowed(as_is.outlet_slowed)
    item, breaker = outlet_as_made(as_is), (as_is.breaker.item,) if safe else ()
    wears = bool(as_is.breaker.wears)
    return Return(
        item,
        unused if safe else NOTHING,
        () if wears else breaker,
        as_is.panel,
        as_is.size.poles,
        taken_out(builder, as_is),
        stays=not safe,
        inner=(Return(breaker_of(item), freed=breaker),) if wears else (),
        breaker=None if wears else as_is.breaker.item,
    )


def taken_out(builder: Builder, as_is: Circuit) -> Bundle:
    """What it takes when the landlord has the outlet taken out; nothing in another building, or where he asks for nothing."""
    lease = builder.facts.shop.building.lease
    if lease is None or not lease.take_out or as_is.standing.building != 0:
        return NOTHING
    bundle = builder.expanded("take out", length_ft=as_is.run_ft, laid_ft=as_is.route_ft, size=as_is.size)
    return bundle.slowed(as_is.outlet_slowed)
