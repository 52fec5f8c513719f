"""What the user says about ways that somebody quoted, and about strategies for the whole shop."""

from decimal import Decimal

from pydantic import Field

from costplan.model.base import Entry, MoneyCents
from costplan.model.catalog import Phase, Renewal
from costplan.model.choices import Method

EVERY = "*"
"""Stands for every machine that is not named."""
FIXED_DROP = str(Method.FIXED)
"""Any method of fixed drop, with any ending."""


class QuotedWay(Entry):
    """A way of powering that somebody quoted, with all that happens to it over the years; amounts are for one machine."""

    name: str
    """What you call it; strategies and --hold use this name."""
    method: Method
    """The way it counts as, for the comparison of fixed drops and cords; a fixed drop where the quote names no run."""
    machines: list[str] | None = Field(None, min_length=1)
    """The machines it is quoted for; left out means all."""
    put_in: Phase
    """Making it at a place where it is not yet."""
    move: Phase | None = None
    """Moving it along with its machine, nothing staying behind; left out, a move puts in another and the old one stays."""
    renew: Renewal | None = None
    """Replacing what is worn of it."""
    take_out: Phase | None = None
    """Taking it out when the lease ends, for each that then stands; a lease with take_out asks for it."""
    there_today: bool = False
    """Whether machines that are here today have it already, so that it need not be put in today."""
    comes_back_cents: MoneyCents = Field(Decimal(0), alias="comes_back", ge=0)
    """What it fetches at the end of the plan."""
    panel: str | None = None
    """The panel whose spaces it takes; left out, no panel's are counted."""
    poles: int = Field(0, ge=0, le=3)
    """Spaces that it takes there."""


class Strategy(Entry):
    """A way for every machine, to be shown as a row of its own."""

    name: str
    """The row's name."""
    ways: dict[str, str] = Field(min_length=1)
    """By machine, or * for all that are not named: a method, a way as it is printed, a quoted way's name, or fixed drop."""
