"""Why no plan exists: the least that limits must give way for one to exist, in words."""

from collections import Counter, defaultdict
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from costplan.circuits.capacity import Capacity, line_amperes, system_of
from costplan.circuits.facts import Facts
from costplan.ledger.options import Option, Survey
from costplan.ledger.pricing import Pricer
from costplan.model.tandems import TandemPair, not_offered
from costplan.program.build import build_frame
from costplan.program.clock import Clock
from costplan.program.program import Gives, Limit, Program
from costplan.program.solver import NoAnswerError, any_answer, solve

SECONDS = 20.0
"""How long each search may take at most, of the time that is left: there is one or more for every way of hiring."""
UNKNOWN = "no plan keeps all limits together; which of them must give way was not found in time"
IN_TIME = "as far as was found in time, less may do: "
"""Before what gives way where the search for the least did not end."""


_PRICE = {Gives.SPACES: 10**6, Gives.LOAD: 10**4, Gives.CAP: 1, Gives.OFFERS: 10**6, Gives.WAYS: 10**12}
"""How dear it is that one gives way: a space, a volt-ampere (or a machine, where a limit counts those), a cent of the cap, a
piece or foot on offer, a machine that goes without, which none does where anything else will do."""
_KEEPS = 2
"""How much dearer it is that a machine goes without which has a circuit today."""


@dataclass(frozen=True, slots=True)
class Clash:
    """Why limits cannot be kept together, in words; `lacking` are the spaces by panel where nothing else gives way."""

    reasons: list[str]
    lacking: Mapping[str, int] = field(default_factory=dict)


def clashes(
    facts: Facts,
    survey: Survey,
    programs: Sequence[Program],
    options: Mapping[str, tuple[Option, ...]],
    clock: Clock,
    *,
    narrowed: bool = False,
) -> Clash:
    """Which limits cannot be kept together: the least that must give way, over the program of every way of hiring.

    narrowed: whether the options are some of those that are open, so that other plans may keep the limits.
    """
    eased = [_eased(facts, program, clock) for program in programs]
    found = [entry for entry in eased if entry is not None]
    if not found:
        return Clash([UNKNOWN])
    _, broken, least = min(found, key=lambda entry: entry[0])
    known = "" if least else IN_TIME
    said = _reasons(facts, survey, options, broken, narrowed=narrowed)
    reasons = list(dict.fromkeys(known + words for words in said))
    lacking = {panel: amount for (gives, panel), amount in broken.items() if gives is Gives.SPACES}
    return Clash(reasons, lacking if len(lacking) == len(broken) else {})


def _reasons(
    facts: Facts,
    survey: Survey,
    options: Mapping[str, tuple[Option, ...]],
    broken: Mapping[Limit, int],
    *,
    narrowed: bool,
) -> Iterator[str]:
    """What gives way by how much, in words; a panel that is alone on its service is over by the same, which is one reason."""
    over: dict[str, list[str]] = defaultdict(list)
    for (gives, of), amount in broken.items():
        if gives is Gives.LOAD:
            over[_over(facts, of, amount)].append(of)
    for (gives, of), amount in broken.items():
        if gives is Gives.WAYS:
            yield f"{of}: {short_of(options[of])}"
        elif gives is Gives.LOAD:
            so_much = _over(facts, of, amount)
            yield _too_much(over[so_much], so_much)
        else:
            yield _words(facts, survey, (gives, of), amount, narrowed=narrowed)


def without_a_way_together(
    facts: Facts, survey: Survey, pricers: Sequence[Pricer], options: Mapping[str, tuple[Option, ...]]
) -> dict[str, str]:
    """Machines that must go without since nobody sells what they take and others have what is there of it; and why.

    As few as can be; those that have a circuit today last. Empty where nobody must, or it was not found in time.
    """
    if all(any(option.for_sale for option in found) for found in options.values()):
        return {}
    program = build_frame(facts, pricers[0].market, survey, options).hiring(pricers[0]).program
    eased = _eased(facts, program, Clock())
    broken = eased[1] if eased is not None else {}
    return {of: short_of(options[of]) for gives, of in broken if gives is Gives.WAYS}


def short_of(options: Sequence[Option]) -> str:
    """Why a machine goes without that has ways: what nobody sells of most of them, and that others have what is there."""
    said = Counter(option.only_of_there for option in options if option.only_of_there)
    if not said:
        return "no way of it goes together with those of the other machines"
    return f"{said.most_common(1)[0][0]}, and others take what is there of it"


def shop_with_more_spaces(facts: Facts, lacking: Mapping[str, int]) -> Facts | None:
    """The shop as if its panels had so many more free spaces; None where one that lacks them is not there yet."""
    shop = facts.written
    if set(lacking) - {panel.name for panel in shop.panels}:
        return None
    panels = [
        panel.model_copy(update={"spaces_free": panel.spaces_free + lacking.get(panel.name, 0)})
        for panel in shop.panels
    ]
    return Facts(shop.model_copy(update={"panels": panels}), facts.catalog)


def _eased(facts: Facts, program: Program, clock: Clock) -> tuple[int, dict[Limit, int], bool] | None:
    """How dear it is to let limits give way for one way of hiring, by how much each gives, and whether less cannot do.

    Machines go without only where no other limits that give way make a plan possible.
    """
    limits = {row.limit for row in program.rows if row.limit is not None}
    for giving in ({limit for limit in limits if limit[0] is not Gives.WAYS}, limits):
        eased, slack = _giving(facts, program, giving)
        try:
            answer = solve(eased, seconds=min(clock.share(1) or SECONDS, SECONDS))
        except NoAnswerError as error:
            if error.bound is None:
                continue
            try:
                answer = any_answer(eased, min(clock.share(1) or SECONDS, SECONDS))
            except NoAnswerError:
                return None
        given = {limit: answer.values[i] for limit, i in slack.items() if answer.values[i]}
        return answer.cost, given, answer.proven
    return None


def _giving(facts: Facts, program: Program, giving: Collection[Limit]) -> tuple[Program, dict[Limit, int]]:
    """A program with slack in the rows of these limits, which alone costs something; and the slack of each."""
    eased = program.bare()
    slack: dict[Limit, int] = {}
    most = _most(program)
    for row in program.rows:
        terms = dict(row.terms)
        if row.limit in giving and row.limit is not None:
            if row.limit not in slack:
                gives, of = row.limit
                keeps = _KEEPS if gives is Gives.WAYS and facts.machines[of].now is not None else 1
                slack[row.limit] = eased.variable(f"give way: {of}", most[row.limit], keeps * _PRICE[gives])
            # Rows with a lower bound, enough of a thing or a way for a machine, lack something; others have too much.
            terms[slack[row.limit]] = 1 if row.low is not None else -1
        eased.row(row.name, terms, row.low, row.high)
    return eased, slack


def _most(program: Program) -> dict[Limit, int]:
    """By how much each limit can have to give way at most, whatever the values of its rows."""
    most: dict[Limit, int] = defaultdict(int)
    for row in program.rows:
        if row.limit is not None:
            reach = sum(abs(factor) * program.variables[index].high for index, factor in row.terms)
            most[row.limit] = max(most[row.limit], reach + max(abs(row.low or 0), abs(row.high or 0)))
    return most


def _words(facts: Facts, survey: Survey, limit: Limit, amount: int, *, narrowed: bool) -> str:
    gives, of = limit
    if gives is Gives.CAP:
        whom = "any plan by these ways alone" if narrowed else "any plan"
        said = (
            f"the cap on today's outlay is {amount / 100:,.2f} too low for {whom}: raise the cap by that much"
        )
        return said if narrowed else f"{said}, {_over_years(facts)}"
    if gives is Gives.SPACES:
        words = f"too few spaces in {of}: {amount} more needed; free some, or let machines take turns"
        return "; ".join([words, *_no_tandems(facts, survey, of)])
    return f"not enough on offer: {of}; add an offer, or raise what is available"


def _too_much(limits: Sequence[str], over: str) -> str:
    """That limits are passed by, all by the same."""
    on, them = " and on ".join(limits), "them" if len(limits) > 1 else "it"
    return (
        f"too much load on {on}: {over}; upgrade {them}, hold machines back with a load manager, or say which machines "
        "take turns or run at once"
    )


def _over_years(facts: Facts) -> str:
    """What may still be done with so little cash a year."""
    cap = facts.shop.money.outlay_cap_cents
    budget = "MONEY" if not cap else f"{cap / 100:.2f}"
    return (
        f"or spread the work over years: compare without the cap, with --yearly-budget {budget} and, for each machine "
        'that may wait, --by "MACHINE=YEAR"'
    )


def _over(facts: Facts, limit: str, amount: int) -> str:
    """How much a limit is passed by, in the figures that reports show it in."""
    known = Capacity(facts).limits.get(limit)
    if known is None:
        return f"{amount:,} VA over"
    if known.counts_machines:
        return f"{amount} more machines than may run there at once"
    system = system_of(facts, limit)
    figures = [f"{line_amperes(system, va):.1f}" for va in (amount, known.most_va, known.taken_va)]
    return f"{figures[0]} A over {figures[1]} A on the wire that carries most, {figures[2]} A of which are taken already"


def _no_tandems(facts: Facts, survey: Survey, panel: str) -> list[str]:
    """Why tandem breakers give no more spaces in a panel."""
    blocked = not_offered(facts.shop).get(panel, ())
    unpriced = [
        f"{name}: {survey.gear_out[name]}"
        for name, gear in facts.gear.items()
        if isinstance(gear, TandemPair) and gear.panel == panel and name in survey.gear_out
    ]
    return (
        [f"no more spaces by tandem breakers: {', '.join([*blocked, *unpriced])}"]
        if blocked or unpriced
        else []
    )
