"""Why shared equipment is in a plan, in words: what would be lacking without it."""

from collections.abc import Iterator

from costplan.circuits.capacity import line_amperes, system_of
from costplan.circuits.facts import Facts
from costplan.ledger.holding import written
from costplan.model.gear import GearKind
from costplan.program.ranked import Ranked
from costplan.reports.room_notes import taken_more
from costplan.studies.gear_why import GearWhy, Lack, gear_why


def gear_reasons(facts: Facts, ranked: Ranked) -> dict[str, str]:
    """Why each piece of gear of a plan is in it, by name."""
    return {why.name: "; ".join(_reasons(facts, why)) for why in gear_why(facts, ranked)}


def reason_lines(facts: Facts, ranked: Ranked) -> list[str]:
    """The same, a sentence for each."""
    return [f"{name}: {why}." for name, why in gear_reasons(facts, ranked).items()]


def _reasons(facts: Facts, why: GearWhy) -> Iterator[str]:
    gear = facts.gear[why.name]
    if gear.required:
        yield "put in since the file lists it"
        return
    lacking = [_lacking(facts, lack) for lack in why.lacks]
    if lacking:
        yield f"without it {'; '.join(lacking)}"
        return
    names = ", ".join(dict.fromkeys(written(facts, name) for name in why.feeds))
    fed = f"it feeds {names}" if names else "the plan keeps all limits without it"
    roomy = gear.kind is GearKind.SUBPANEL and gear.fed_from in facts.panels
    yield f"{gear.fed_from} has spaces for all without it; {fed}" if roomy else fed


def _lacking(facts: Facts, lack: Lack) -> str:
    """That so much is lacking, from which years on and why."""
    amounts = [
        _amount(facts, lack, year, amount, first=not place) for place, (year, amount) in enumerate(lack.years)
    ]
    why = f" ({taken_more(facts, lack.why)})" if lack.why else ""
    only = f" if {' or '.join(lack.scenarios)}" if lack.scenarios else ""
    less = f", of which tandem breakers could make {lack.tandems} at the most" if lack.tandems else ""
    return f"{lack.of} lacks {' and '.join(amounts)}{only}{why}{less}"


def _amount(facts: Facts, lack: Lack, year: int, amount: int, *, first: bool) -> str:
    when = "today" if year == 0 else f"in year {year}"
    if lack.spaces:
        return f"{amount} space{'s' * (amount != 1)} {when}" if first else f"{amount} {when}"
    return f"{line_amperes(system_of(facts, lack.of), amount):.1f} A {when}"
