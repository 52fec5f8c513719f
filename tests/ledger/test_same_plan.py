"""Which two plans a person calls the same, as the guide defines it (first-answer); no source outside."""

from collections import Counter
from dataclasses import dataclass, field

import pytest

from costplan.ledger.same_plan import changed_machines, other_from, repeats


@dataclass(frozen=True)
class Kinds:
    """What is looked at of a plan: how many machines of each strand have each kind of way, and the gear."""

    kinds: dict[str, Counter[str]]
    gear_names: frozenset[str] = field(default_factory=frozenset)


def with_drops(saw: int, lathes: int, *gear: str) -> Kinds:
    """One saw and five lathes of which so many have drops, the others cords."""
    return Kinds(
        {
            "saw": +Counter(drop=saw, cord=1 - saw),
            "lathe": +Counter(drop=lathes, cord=5 - lathes),
        },
        frozenset(gear),
    )


@pytest.mark.parametrize(
    ("saw", "lathes", "changed", "repeated"),
    [
        (1, 5, set(), True),
        (1, 3, {"lathe"}, True),
        (1, 2, {"lathe"}, False),
        (0, 5, {"saw"}, False),
    ],
)
def test_a_machine_is_changed_sooner_than_a_plan_is_another(
    saw: int, lathes: int, changed: set[str], repeated: bool
) -> None:
    """Two lathes of five are less than half, three are not; a single machine is all of its strand."""
    one, other = with_drops(saw, lathes), with_drops(1, 5)
    assert changed_machines(one, other) == changed_machines(other, one) == changed
    assert repeats(one, other) is repeats(other, one) is repeated


def test_gear_that_another_plan_does_without_repeats_it_and_not_the_other_way() -> None:
    bare, with_subpanel = with_drops(1, 5), with_drops(1, 5, "subpanel")
    assert repeats(with_subpanel, bare)
    assert not repeats(bare, with_subpanel)


@pytest.mark.parametrize(("count", "half"), [(1, 1), (2, 1), (3, 2), (4, 2), (5, 3)])
def test_half_of_a_strand_is_rounded_up(count: int, half: int) -> None:
    assert other_from(Counter(drop=count)) == half
