"""What turns on whether a large heater stays: the best plan with it on a cord, against the best as it is priced."""

from dataclasses import replace

from costplan.circuits.ways import UNSAID_HEATER
from costplan.ledger.holding import written
from costplan.model.choices import Method
from costplan.model.money import format_cents
from costplan.program.clock import Clock
from costplan.program.ranking import Bench, NoPlanError, Ranked, best_plans

AT_LEAST_SECONDS = 30.0
"""So long it is looked for, whatever is left of the time."""


def turns_on_heaters(bench: Bench, best: Ranked, clock: Clock) -> list[str]:
    """What the total would be less by with cords to heaters of which nobody said whether they stay; nothing where none is.

    Solved anew with those cords allowed and all else as it is (NFPA 70 400.12(1); until it is said the fixed run counts).
    """
    waiting = [
        name
        for name, options in bench.survey.options.items()
        if any(option.refused == UNSAID_HEATER for option in options)
    ]
    if not waiting:
        return []
    facts = bench.facts
    names = ", ".join(dict.fromkeys(written(facts, name) for name in waiting))
    asked = f"nobody said whether {names} stays, so it has no cord from beside the panel here (never_moves, NEC 400.12)"
    left = clock.share(1)
    try:
        seconds = None if left is None else max(left, AT_LEAST_SECONDS)
        other = best_plans(_with_cords(bench), 1, clock=Clock(seconds))[0]
    except NoPlanError:
        return [f"{asked}: what that would save was not found in the time given (--time-limit)"]
    on_cords = {name for name, way, _ in other.plan.shares() if way.method is Method.CORD}
    less_cents = best.present_value_cents - other.present_value_cents
    if less_cents <= 0 or not on_cords & set(waiting):
        return [f"{asked}: with one the whole would cost no less"]
    about = "" if other.proven and best.proven else "about "
    return [
        f"{asked}: with one, where it moves and its maker allows that, the whole would cost {about}{facts.shop.currency} "
        f"{format_cents(less_cents)} less"
    ]


def _with_cords(bench: Bench) -> Bench:
    """The same bench with cords to those heaters allowed."""
    options = {
        name: tuple(
            replace(option, refused=None) if option.refused == UNSAID_HEATER else option for option in known
        )
        for name, known in bench.survey.options.items()
    }
    return replace(bench, survey=replace(bench.survey, options=options))
