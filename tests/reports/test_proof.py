"""How far plans are proven, in words."""

from dataclasses import replace

import pytest
from strategies import SAW, make_catalog, make_shop, ranked

from costplan.reports.proof import unproven_words


@pytest.mark.parametrize(
    ("proven", "said"),
    [
        ((True, True, True), ""),
        ((True, False, True), "Plan 1 is proven; "),
        ((True, True, False), "Plans 1 and 2 are proven; "),
        ((False, True, True), "Not proven: "),
    ],
)
def test_plans_ahead_of_the_first_that_is_not_proven_are_said_to_be(
    proven: tuple[bool, ...], said: str
) -> None:
    plan = ranked(make_shop([SAW]), make_catalog())[0]
    open_ = replace(plan, bound_cents=plan.bound_cents - 1)
    words = unproven_words([plan if each else open_ for each in proven])
    assert words.startswith(said)
    assert bool(words) is not all(proven)
