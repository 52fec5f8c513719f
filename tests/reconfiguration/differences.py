"""Lists where the product and the plain reckoner differ, for the shops worked by hand and for drawn ones.

Usage: python tests/reconfiguration/differences.py [shops to draw] [examples to write out]
"""

import sys
from collections import Counter
from dataclasses import dataclass
from itertools import product

import yaml
from drawn_anew import Drawn, shop_of, shops
from hypothesis import HealthCheck, given, settings
from laid_out_anew import Reading, lay_out
from test_product_laid_out_anew import HERE, NAMES, TINY, WIDE, product_cents, reckoned_cents

from costplan.model.loading import load_shop
from costplan.plans.ranking import DisagreementError
from costplan.plans.stockroom import SimulationError

READINGS = [Reading(*flags) for flags in product((True, False), repeat=3)]


@dataclass(frozen=True, slots=True)
class Case:
    """A shop and the totals: the product's, or how it failed, and the reckoner's by each reading."""

    drawn: Drawn
    product: int | None
    failed: str
    reckoned: tuple[int | None, ...]

    @property
    def size(self) -> tuple[int, int]:
        """How much there is in it."""
        drawn = self.drawn
        things = sum(now is not None for now in drawn.now) + len(drawn.installed) + len(drawn.shelf)
        return len(drawn.machines) + things, len(str(drawn.row()))


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
        suppress_health_check=[*HealthCheck],
    )
    @given(shops())
    def collect(drawn: Drawn) -> None:
        shop = shop_of(drawn.row())
        reckoned = tuple(reckoned_cents(shop, WIDE, reading) for reading in READINGS)
        try:
            cases[str(drawn)] = Case(drawn, product_cents(shop, WIDE), "", reckoned)
        except (SimulationError, DisagreementError) as error:
            cases[str(drawn)] = Case(drawn, None, f"{type(error).__name__}: {error}", reckoned)

    collect()
    return [*cases.values()]


def main(count: int, examples: int) -> None:
    """Prints it all."""
    for name in NAMES:
        shop, _ = load_shop(HERE / "shops" / f"{name}.yaml")
        assert shop is not None
        found, right = product_cents(shop, TINY), reckoned_cents(shop, TINY)
        print(
            f"{name:4} reckoner {money(right):>8}  product {money(found):>8}  {'' if found == right else 'DIFFERS'}"
        )
    cases = drawn_cases(count)
    for number, reading in enumerate(READINGS):
        signs = Counter(_sign(case, case.reckoned[number]) for case in cases)
        print(f"{reading}: {dict(signs)} of {len(cases)}")
    for group in ("product fails", "plan only of the reckoner", "product dearer", "product cheaper"):
        found = [case for case in cases if all(_sign(case, right) == group for right in case.reckoned)]
        print(f"{group} by every reading: {len(found)}")
        _write_out(sorted(found, key=lambda case: case.size)[:examples])


def _write_out(cases: list[Case]) -> None:
    for case in cases:
        row = case.drawn.row()
        told = {name: row[name] for name in ("panels", "machines", "installed", "shelf")}
        print("-" * 60)
        print(yaml.safe_dump(told, sort_keys=False))
        print(lay_out(shop_of(row), WIDE))
        print(
            f"product {case.failed or money(case.product)}; by each reading {[money(cents) for cents in case.reckoned]}"
        )


def _sign(case: Case, right: int | None) -> str:
    if case.failed:
        return "product fails"
    if case.product == right:
        return "equal"
    if case.product is None or right is None:
        return "plan only of the reckoner" if case.product is None else "plan only of the product"
    return "product dearer" if case.product > right else "product cheaper"


if __name__ == "__main__":
    numbers = [int(word) for word in sys.argv[1:]]
    main(*(numbers + [200, 3][len(numbers) :]))
