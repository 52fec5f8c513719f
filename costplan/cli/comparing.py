"""The comparison as several commands want it: with received bids, and with the plan that is asked for."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from costplan.cli.endings import fail, no_plan
from costplan.cli.progress import progress

if TYPE_CHECKING:
    from costplan.circuits.facts import Facts
    from costplan.model.bids import Bid
    from costplan.plans.comparison import Comparison
    from costplan.plans.ranking import Ranked


def in_layout(facts: "Facts", name: str | None) -> "Facts":
    """The shop of a layout of its file, or ends the command when there is no such layout; None is today's."""
    from costplan.circuits.facts import Facts
    from costplan.files.problems import allowed_words
    from costplan.model.layouts import laid_out, layout_named

    if name is None:
        return facts
    layout = layout_named(facts.written, name)
    if layout is None:
        known = [layout.name for layout in facts.written.layouts]
        mend = allowed_words(name, known) if known else "the shop file lists none; add some under layouts:"
        fail(f'--layout "{name}": there is no such layout; {mend}')
    return Facts(laid_out(facts.written, layout), facts.catalog)


def best_plan(facts: "Facts") -> "Ranked":
    """The best plan alone, which is found sooner than a whole comparison; ends the command when there is none."""
    from costplan.plans.ranking import Bench, NoPlanError, best_plans

    try:
        with progress() as tick:
            return best_plans(Bench.over(facts, facts.shop.money.surplus), 1, tick=tick)[0]
    except NoPlanError as error:
        no_plan(error)


def compared(
    facts: "Facts",
    received: "tuple[Bid, ...]",
    *,
    plan: int,
    plans: int,
    held: Mapping[str, str] | None = None,
    expired: bool = False,
    seconds: float | None = None,
    strategies: bool = False,
    layouts: bool = False,
) -> "Comparison":
    """The comparison of so many plans; ends the command when there is none or no plan of that rank."""
    from costplan.plans.bid_choice import compare_with_bids
    from costplan.plans.holding import UnknownWordsError
    from costplan.plans.ranking import NoPlanError

    try:
        with progress() as tick:
            comparison = compare_with_bids(
                facts,
                received,
                expired=expired,
                plans=plans,
                held=held,
                seconds=seconds,
                strategies=strategies,
                layouts=layouts,
                tick=tick,
            )
    except UnknownWordsError as error:
        fail("\n".join(error.reasons))
    except NoPlanError as error:
        no_plan(error)
    if plan > len(comparison.plans):
        fail(f"--plan {plan}: there are only {len(comparison.plans)} plans")
    return comparison
