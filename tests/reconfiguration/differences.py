"""Lists where the product and the plain reckoner differ, for the shops worked by hand and for drawn ones.

It checks no rule; it is for looking at what differs, the smallest shops first, each with the reckoner's arrangement.

Usage: python tests/reconfiguration/differences.py [shops to draw] [examples to write out]
"""

import sys
from dataclasses import dataclass

import yaml
from drawn_anew import Drawn, shop_of, shops
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from laid_out_anew import NotReckonedError, lay_out
from totals_anew import SHOPS, TINY, WIDE, product_cents, read, reckoned_cents

from costplan.ledger.stockroom import SimulationError
from costplan.program.ranked import DisagreementError

SIGNS = (
    "product fails",
    "plan only of the reckoner",
    "plan only of the product",
    "dearer",
    "cheaper",
    "equal",
)


@dataclass(frozen=True, slots=True)
class Case:
    """A shop and both totals, or how the product failed."""

    drawn: Drawn
    spare: bool
    product: int | None
    failed: str
    reckoned: int | None

    @property
    def size(self) -> tuple[int, int]:
        """How much there is in it."""
        drawn = self.drawn
        things = sum(now is not None for now in drawn.now) + len(drawn.installed) + len(drawn.shelf)
        return len(drawn.machines) + things, len(str(drawn.row()))

    @property
    def sign(self) -> str:
        """How the product's total stands to the reckoner's."""
        if self.failed:
            return "product fails"
        if self.product == self.reckoned:
            return "equal"
        if self.product is None or self.reckoned is None:
            return f"plan only of the {'reckoner' if self.product is None else 'product'}"
        return "dearer" if self.product > self.reckoned else "cheaper"


def money(cents: int | None) -> str:
    """Dollars, or that there is no plan."""
    return "no plan" if cents is None else f"{cents / 100:.2f}"


def drawn_cases(count: int) -> list[Case]:
    """So many shops with their totals, each shop once."""
    cases: dict[str, Case] = {}

    @settings(
        max_examples=count,
        derandomize=True,
        database=None,
        deadline=None,
        phases=[Phase.generate],
        suppress_health_check=[*HealthCheck],
    )
    @given(shops(), st.booleans())
    def collect(drawn: Drawn, spare: bool) -> None:
        cases.setdefault(f"{drawn} {spare}", _case(drawn, spare))

    collect()
    return [*cases.values()]


def _case(drawn: Drawn, spare: bool) -> Case:
    shop = shop_of(drawn.row(spare=spare))
    reckoned = reckoned_cents(shop, WIDE)
    try:
        return Case(drawn, spare, product_cents(shop, WIDE), "", reckoned)
    except (SimulationError, DisagreementError) as error:
        return Case(drawn, spare, None, f"{type(error).__name__}: {error}", reckoned)


def main(count: int, examples: int) -> None:
    """Prints it all."""
    for path in sorted(SHOPS.glob("*.yaml")):
        shop = read(path.stem)
        found = money(product_cents(shop, TINY))
        try:
            right = money(reckoned_cents(shop, TINY))
        except NotReckonedError as error:
            print(f"{path.stem:5} product {found:>8}  not reckoned: {error}")
            continue
        print(f"{path.stem:5} product {found:>8}  reckoner {right:>8}{'' if found == right else '  DIFFERS'}")
    cases = drawn_cases(count)
    for sign in SIGNS:
        alike = sorted((case for case in cases if case.sign == sign), key=lambda case: case.size)
        print(f"{sign}: {len(alike)} of {len(cases)}")
        if sign != "equal":
            _write_out(alike[:examples])


def _write_out(cases: list[Case]) -> None:
    for case in cases:
        row = case.drawn.row(spare=case.spare)
        told = {name: row[name] for name in ("panels", "machines", "installed", "shelf")}
        print("-" * 60)
        print(yaml.safe_dump(told, sort_keys=False))
        print(lay_out(shop_of(row), WIDE))
        print(f"product {case.failed or money(case.product)}")


if __name__ == "__main__":
    numbers = [int(word) for word in sys.argv[1:]]
    main(*(numbers + [200, 3][len(numbers) :]))
