"""The comparison as several commands want it: with received bids, and with the plan that is asked for."""

from collections.abc import Mapping
from contextlib import suppress
from typing import TYPE_CHECKING

from costplan.cli.choices import Format
from costplan.cli.endings import fail, no_plan
from costplan.cli.progress import progress
from costplan.cli.screen import say

if TYPE_CHECKING:
    from costplan.circuits.facts import Facts
    from costplan.model.bids import Bid
    from costplan.program.ranking import NoPlanError, Ranked
    from costplan.reports.parts import P
    from costplan.studies.comparison import Comparison
    from costplan.studies.sureness import Settings
    from costplan.studies.turned import Ask


def shown_parts(show: str | None, format_: Format, kind: "type[P]") -> "tuple[P, ...]":
    """The parts that are to be printed; none without `--show`. Data hold everything and take no parts."""
    from costplan.reports.parts import parts_named

    if show is None:
        return ()
    if format_ is not Format.TABLE:
        fail(f"--show is for tables, and {format_.value} holds everything; leave one of the two out")
    try:
        return parts_named(show, kind)
    except ValueError as error:
        fail(f"--show {error}")


def turning_asked(*, turning: bool, between: str | None, grid: str | None) -> "Ask | None":
    """What is to be solved anew for what could turn the answer; ends the command for what is not two names."""
    from costplan.studies.turned import Ask

    if not turning and between is None and grid is None:
        return None
    return Ask(_two("--between", between), _two("--map", grid))


def _two(option: str, said: str | None) -> tuple[str, str] | None:
    if said is None:
        return None
    names = [name.strip() for name in said.split(",")]
    if len(names) != 2 or not all(names) or names[0] == names[1]:
        fail(f'{option} "{said}": give two different names with a comma between them')
    return names[0], names[1]


def settings_said(seed: str | None, draws: str | None) -> "Settings":
    """The draws that are asked for; ends the command for what is no whole number, or out of range."""
    from costplan.studies.sureness import DRAWS, LEAST_DRAWS, MOST_DRAWS, MOST_SEED, SEED, Settings

    return Settings(
        whole("--seed", seed, SEED, 0, MOST_SEED), whole("--draws", draws, DRAWS, LEAST_DRAWS, MOST_DRAWS)
    )


def whole(option: str, said: str | None, default: int, least: int, most: int) -> int:
    """A whole number that is said with an option, or the default; ends the command for any other word or size."""
    if said is None:
        return default
    digits = said.strip().replace(",", "").replace("_", "")
    if not (digits.isascii() and digits.isdigit()):
        fail(
            f'{option} "{said}" is no whole number; write one from {least:,} to {most:,}, like {option} {default}'
        )
    if not least <= int(digits[:20]) <= most:
        fail(
            f"{option} {said} is out of range; write one from {least:,} to {most:,}, like {option} {default}"
        )
    return int(digits)


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


def _say_with_room(facts: "Facts", error: "NoPlanError", seconds: float | None) -> None:
    """Where nothing but spaces lack: what the best plan would cost with them, and what may make them."""
    from costplan.model.money import format_cents
    from costplan.program.clashes import with_more_spaces
    from costplan.program.clock import Clock
    from costplan.program.ranking import Bench, NoPlanError, best_plans

    roomy = with_more_spaces(facts, error.lacking) if error.lacking else None
    if roomy is None:
        return
    with progress() as tick, suppress(NoPlanError):
        bench = Bench.over(roomy, roomy.shop.money.surplus)
        best = best_plans(bench, 1, clock=Clock(seconds), tick=tick)[0]
        spaces = " and ".join(f"{count} more spaces in {panel}" for panel, count in error.lacking.items())
        say(
            f"With {spaces}\n"
            f"the best mix would cost at least {format_cents(best.present_value_cents)} in today's money, and what makes\n"
            "them besides. Ask an electrician which may be, and what it costs:\n"
            "  tandem breakers, where the label allows them: gear, kind: tandem breaker\n"
            "  a subpanel, once two spaces are free for its breaker: gear, kind: subpanel\n"
            "  another panel at the service, or a larger one in place of this: gear,\n"
            "    kind: subpanel, fed_from: service, quote: what is asked for it\n"
            "  sharing an outlet by machines that never run together: takes_turns",
            error=True,
        )


def best_plan(facts: "Facts") -> "Ranked":
    """The best plan alone, which is found sooner than a whole comparison; ends the command when there is none."""
    from costplan.program.ranking import Bench, NoPlanError, best_plans

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
    settings: "Settings | None" = None,
    exact_turning: "Ask | None" = None,
) -> "Comparison":
    """The comparison of so many plans; ends the command when there is none or no plan of that rank.

    settings: of the draws; without them nothing is drawn, for papers that show nothing uncertain.
    """
    from costplan.ledger.holding import UnknownWordsError
    from costplan.program.ranking import NoPlanError
    from costplan.studies.bid_choice import compare_with_bids

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
                settings=settings,
                tick=tick,
                exact_turning=exact_turning,
            )
    except UnknownWordsError as error:
        fail("\n".join(error.reasons))
    except NoPlanError as error:
        _say_with_room(facts, error, seconds)
        no_plan(error)
    if plan > len(comparison.plans):
        fail(f"--plan {plan}: there are only {len(comparison.plans)} plans")
    return comparison
