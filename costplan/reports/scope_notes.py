"""What a scope sheet says and asks about circuits that are there: conversions, larger breakers, protection, permits."""

from collections.abc import Sequence

from costplan.circuits.facts import Facts
from costplan.ledger.holding import written
from costplan.ledger.steps import Act
from costplan.reports.before_after import LEFT_LIVE, MADE_SAFE
from costplan.reports.conversion import BECOMES, conductors
from costplan.reports.scope_later import LaterRow
from costplan.reports.scope_protection import later_protection
from costplan.reports.scope_work import WorkRow
from costplan.reports.tables import BLANK
from costplan.reports.there import Had, Powered, There
from costplan.reports.work_words import whose

DEFER = "the electrician and the local code decide"
OWNERS_WORD = (
    "sizes of what is there today are as the owner states them, and nobody else has looked; those marked as assumed the "
    "owner did not state"
)
MAKE_SAFE_MEANS = (
    "make unused wiring safe means: at the outlet prove it dead, take the receptacle out, cap the wires, keep the ground "
    "bonded, put a blank cover on; in the panel take the wires off the breaker, cap and tag them; the cable stays "
    f"(common practice, no source; {DEFER})"
)


def circuit_notes(facts: Facts, there: There) -> tuple[str, ...]:
    """What to look at before circuits that are there serve otherwise."""
    found = [
        f"{_named(facts, powered)}, {powered.had.poles}-pole to {powered.poles}-pole: "
        f"{'; '.join(BECOMES[found] for found in conductors(powered.had, powered))}"
        for powered in there.powered
        if powered.had is not None and powered.converted
    ]
    found += [
        _larger(facts, there, powered, powered.had) for powered in there.powered if powered.had is not None
    ]
    found += [_on_one_breaker(facts, together) for together in there.on_one_breaker()]
    return tuple(dict.fromkeys(note for note in found if note))


def _on_one_breaker(facts: Facts, together: Sequence[Powered]) -> str:
    """That several runs land on one breaker; a terminal takes one wire unless marked for more (NFPA 70 110.14(A))."""
    runs = {(powered.circuit.outlet_place, powered.circuit.outlet.item): powered for powered in together}
    if len(runs) < 2:
        return ""
    named = " and ".join(_named(facts, powered) for powered in runs.values())
    return (
        f"{named}: runs on one breaker. A terminal takes one wire unless its label allows two; else splice them in the panel, "
        "on a wire of the breaker's amperes"
    )


def _named(facts: Facts, powered: Powered) -> str:
    """The outlet that a machine has from now on, by where it ends and by the machine."""
    place = powered.had.place if powered.had is not None else powered.circuit.outlet_place
    return f"{place} ({written(facts, powered.machine.name)})"


def _larger(facts: Facts, there: There, powered: Powered, had: Had) -> str:
    """A breaker that is smaller today than the one that takes its place."""
    after = there.breaker_a(powered)
    if powered.breaker is None or had.breaker_a >= after:
        return ""
    return (
        f"{_named(facts, powered)} is on {had.breaker_a} A today: before {after} A verify the wire's size in every "
        "box and that nothing else is on it; if not, stop and price a new run"
    )


# what is asked ------------------------------------------------------------------------------------


def permits_needed(rows: Sequence[WorkRow | LaterRow]) -> str:
    """Which of these rows of work need a permit by the owner's list; empty where there is no work."""
    needing = dict.fromkeys(row.what for row in rows if row.permit)
    if needing:
        return f"by the owner's list these need one: {'; '.join(needing)}"
    return f"none by the owner's list: needed here? {BLANK}" if rows else ""


def later_questions(rows: Sequence[LaterRow]) -> tuple[str, ...]:
    """What to ask of later work: its permits, and protection for each receptacle that is set or changed then."""
    permit = permits_needed(rows)
    return ((f"Permit for later work: {permit}",) if permit else ()) + later_protection(rows)


def permit_question(facts: Facts, there: There) -> str:
    """Circuits that change in voltage, poles or breaker size; empty where none does."""
    changed = dict.fromkeys(
        _named(facts, powered)
        for powered in there.powered
        if powered.had is not None
        and (powered.converted or there.breaker_a(powered) != powered.had.breaker_a)
    )
    if not changed:
        return ""
    change = "change" if len(changed) > 1 else "changes"
    return f"{', '.join(changed)} {change} in voltage, poles or breaker size: is a permit needed here? ____________"


# what is left -------------------------------------------------------------------------------------


LEFT_WORDS = {Act.MAKE_SAFE: MADE_SAFE, Act.LEAVE_LIVE: LEFT_LIVE}


def left_outlets(facts: Facts, there: There) -> tuple[str, ...]:
    """What becomes of outlets that serve nobody after the work, each in words with those that it becomes of."""
    found: dict[Act, list[str]] = {}
    for had, act in there.left.items():
        name = whose(written(facts, had.owner)) if had.owner else "idle"
        found.setdefault(act, []).append(f"{name} {had.where}")
    return tuple(f"{LEFT_WORDS[act]}: {', '.join(found[act])}" for act in LEFT_WORDS if act in found)
