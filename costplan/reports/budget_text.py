"""What to do in which year under a yearly budget, or what is short."""

from costplan.model.money import format_cents
from costplan.reports.sure import in_draws
from costplan.reports.tables import filled, fitted, hung
from costplan.studies.budgeted import Budgeted, WorkedAnew
from costplan.studies.exceeding import Exceeding
from costplan.studies.yearly_budget import Budget, Lacking, Staged

NO_BUDGET = "No yearly budget was given; --yearly-budget 1900 would say what to do in which year."
SAME = (
    "Each machine is powered as in the plan. One that is here needs its circuit today, one that arrives when it "
    "comes, and earlier is allowed; what may wait is said with --by MACHINE=YEAR. Today is a year of its own, a visit is paid "
    "once in every year with hired work, what is left of a year is lost, and prices grow as the shop file says. Where moves "
    "and wear cost more in one scenario, that one counts."
)


def budget_text(found: Budgeted | None, width: int) -> str:
    """A table of the years, what the budget costs, and the same worked out anew; or what is short and what would mend it."""
    if found is None:
        return filled(NO_BUDGET, width)
    budget = _told(found.task.budget)
    if isinstance(found.found, Lacking):
        said = [f"A budget of {budget} cannot be kept.", *_short(found, found.found)]
        return "\n".join([*(hung(words, width, "  ") for words in said if words), filled(SAME, width)])
    said = [_costs(found, found.found), _anew(found), _sure(found)]
    return "\n".join(
        [
            filled(f"What to do in which year with {budget} at most", width),
            _table(found, found.found, width),
            *(filled(words, width) for words in (*said, SAME) if words),
        ]
    )


def _told(budget: Budget) -> str:
    if budget.alike:
        return f"{format_cents(budget.of(0))} a year"
    *firsts, last = (format_cents(cents) for cents in budget.cents)
    first = ", ".join(f"{cents} {_in(year)}" for year, cents in enumerate(firsts))
    return f"{first} and {last} in each year after"


def _table(found: Budgeted, years: Staged, width: int) -> str:
    rows = []
    for year, cents in enumerate(years.cash):
        names = [
            name + _may_wait(found, name, year) for name, when in sorted(years.years.items()) if when == year
        ]
        if names or cents:
            left = found.task.budget.of(year) - cents
            rows.append([_year(year), ", ".join(names) or "-", format_cents(cents), format_cents(left)])
    return fitted(["year", "circuits made (by when at the latest)", "cash", "left"], rows, {2, 3}, width)


def _may_wait(found: Budgeted, name: str, year: int) -> str:
    due = found.due[name]
    return f" (by {_year(due)})" if due != year else ""


def _costs(found: Budgeted, years: Staged) -> str:
    words = f"These circuits, with their visits, are {format_cents(years.worth_cents)} in today's money"
    if not isinstance(found.free, Staged):
        return f"{words}."
    more = years.worth_cents - found.free.worth_cents
    proof = "no other years are cheaper" if years.proven else "cheaper years may be left: time ran out"
    if not more:
        return f"{words}; {proof}, and without a budget they would be the same."
    return f"{words}; {proof}. Without a budget it would be {format_cents(more)} less: {_told_years(found.free)}."


def _told_years(years: Staged) -> str:
    by_year: dict[int, list[str]] = {}
    for name, year in sorted(years.years.items(), key=lambda entry: (entry[1], entry[0])):
        by_year.setdefault(year, []).append(name)
    return "; ".join(f"{_year(year)} {', '.join(names)}" for year, names in by_year.items())


def _anew(found: Budgeted) -> str:
    if found.anew is None:
        return "The years could not be worked out anew as a plan: what is bought together counts as in the plan of today."
    over = _over_budget(found.task.budget, found.anew)
    total = format_cents(found.anew.plan.present_value_cents)
    paid = ", ".join(
        f"{_of_year(year)} {format_cents(cents)}" for year, cents in enumerate(found.anew.cash) if cents
    )
    words = f"Worked out anew with these years the plan comes to {total} in all; cash: {paid}."
    if over:
        short = ", ".join(f"{format_cents(cents)} {_in(year)}" for year, cents in over.items())
        words += f" That is over the budget by {short}, since what was bought together is bought by parts: try a lower budget."
    return words


def _over_budget(budget: Budget, anew: WorkedAnew) -> dict[int, int]:
    """By how much each year that takes more than it may does so, in cents."""
    return {year: cents - budget.of(year) for year, cents in enumerate(anew.cash) if cents > budget.of(year)}


def _sure(found: Budgeted) -> str:
    """How often the plan worked out anew takes more than the budget, in which years, and what covers nine draws of ten."""
    if found.sure is None or found.anew is None:
        return ""
    over = _over_budget(found.task.budget, found.anew)
    kept = "How sure it is" if over else "As reckoned the budget is kept"
    return f"{kept}: {_over(found.sure, found.task.budget)}."


def _over(sure: Exceeding, budget: Budget) -> str:
    if not sure.share:
        return "in no draw does a year need more"
    covers = f"{format_cents(budget.of(0) + sure.more_cents)} a year covers 9 of 10"
    if not budget.alike:
        how = "more" if sure.more_cents >= 0 else "less"
        covers = f"{format_cents(abs(sure.more_cents))} {how} in every year covers 9 of 10"
    if len(sure.by_year) == 1:
        return f"in {in_draws(sure.share)} more is needed {_in(*sure.by_year)}; {covers}"
    years = ", ".join(f"{_of_year(year)} in {in_draws(share)}" for year, share in sure.by_year.items())
    return f"in {in_draws(sure.share)} some year needs more ({years}); {covers}"


def _others(found: Budgeted) -> str:
    """Which of the other ranked plans could keep the budget, and what they cost."""
    if found.others is None:
        return ""
    if not found.others:
        return "None of the other ranked plans could keep it (--plans 10 ranks more)."
    could = [
        f"plan {other.rank}, {format_cents(other.plan.present_value_cents)} in all with "
        f"{format_cents(other.plan.outlay_cents)} of cash today"
        for other in found.others
    ]
    return f"Of the ranked plans these could keep it: {'; '.join(could)} (--plan {found.others[0].rank})."


def _short(found: Budgeted, lacking: Lacking) -> list[str]:
    short = ", ".join(f"{format_cents(cents)} {_in(year)}" for year, cents in lacking.short.items())
    said = [f"Short, at least: {short}."]
    alone = [f"{_of_year(year)} {format_cents(cents)}" for year, cents in lacking.one_year.items()]
    if alone:
        said.append(f"One year alone would need more: {' or '.join(alone)}.")
    sure = "" if found.sure is None else f" as reckoned: {_over(found.sure, Budget((lacking.every_year,)))}"
    said.append(f"The same in every year: {format_cents(lacking.every_year)} would do{sure}.")
    said.append(_others(found))
    if lacking.waits:
        waits = [f"{name} (then {_in(one.years[name])})" for name, one in lacking.waits.items()]
        said.append(
            f"It could be kept if one of these may be a year later, which is yours to say: {', '.join(waits)}."
        )
    said.append(
        "Nothing was put off: "
        + "; ".join(f"{name} is due {_due(year)}" for name, year in found.due.items())
        + "."
    )
    return said


def _due(year: int) -> str:
    return f"by {_of_year(year)}" if year else "today"


def _in(year: int) -> str:
    return f"in year {year}" if year else "today"


def _year(year: int) -> str:
    return str(year) if year else "today"


def _of_year(year: int) -> str:
    return f"year {year}" if year else "today"
