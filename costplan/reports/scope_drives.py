"""Drives and motors that today's work fits to machines: off which machine, onto which, and the plug on the line cord."""

from costplan.circuits.facts import DRIVE, Facts
from costplan.circuits.motor_swap import MOTOR
from costplan.circuits.things import Made
from costplan.ledger.holding import written
from costplan.ledger.lines import LineKind
from costplan.ledger.steps import Act, Step
from costplan.model.labor import Role
from costplan.program.ranked import Ranked
from costplan.reports.there import Powered, There
from costplan.standards.motors import hp_words

FITTED = (Act.TAKE_OVER, Act.TAKE_FROM_SHELF, Act.BUY)
SETTING = "set it to the motor's nameplate, test the direction"
"""What a drive needs wherever it is fitted; common practice, no source."""


def fits_device(ranked: Ranked) -> bool:
    """Whether a plan has a drive or a motor fitted, today or later."""
    later = (line.step for line in ranked.lines if line.step is not None)
    return any(step.kind in (DRIVE, MOTOR) and step.act in FITTED for step in (*ranked.steps, *later))


def fitting_words(facts: Facts, step: Step) -> str:
    """The work of a drive that comes to a machine; empty for one that stays, or goes to the shelf."""
    if step.kind != DRIVE or step.act not in FITTED:
        return ""
    onto = written(facts, step.machine)
    if step.act is Act.BUY:
        return f"fit and wire the new drive to the {onto}, {SETTING}"
    source = f"off the {written(facts, step.source)}" if step.source else "from the owner's shelf"
    return f"take the {drive_words(step)} {source}, fit and wire it to the {onto}, {SETTING}"


def fitted_by(facts: Facts, machine: str) -> str:
    """The task that fits and wires a drive: the first of its recipe, so that it is said of one task who wires it."""
    tasks = facts.recipe(DRIVE, facts.machines[machine]).tasks
    return tasks[0].task if tasks else ""


def line_cord(ranked: Ranked, machine: str) -> str:
    """What the plug ahead of a drive goes on: a lead that is bought with a new one; one that was there has its own cord."""
    later = (line.step for line in ranked.lines if line.step is not None)
    bought = any(
        (step.kind, step.machine, step.act) == (DRIVE, machine, Act.BUY) for step in (*ranked.steps, *later)
    )
    return "lead into its drive" if bought else "line cord of its drive"


def drive_words(step: Step) -> str:
    """A drive that is there, by its horsepower where that is known."""
    hp = dict(step.item.spec.at_least).get("hp")
    return f"{hp_words(hp)} hp drive" if hp is not None else "drive"


def drive_moves(facts: Facts, ranked: Ranked, there: There) -> tuple[str, ...]:
    """Every drive that changes machines, or comes off the shelf, with the plug on its line cord."""
    powered = {entry.machine.name: entry for entry in there.powered}
    return tuple(
        f"{drive_words(step)}: {_from(facts, step)}, onto the {written(facts, step.machine)}"
        f"{_line_cord(facts, ranked, powered.get(step.machine))}"
        for step in ranked.steps
        if step.kind == DRIVE and step.act in (Act.TAKE_OVER, Act.TAKE_FROM_SHELF)
    )


def _from(facts: Facts, step: Step) -> str:
    return f"off the {written(facts, step.source)}" if step.source else "off the owner's shelf"


def _line_cord(facts: Facts, ranked: Ranked, powered: Powered | None) -> str:
    """The plug on a drive's line cord, who puts it on, and the least wire of the cord."""
    if powered is None:
        return ""
    circuit = powered.circuit
    size = circuit.cord_size or circuit.size
    wire = f"its line cord {size.awg} AWG copper or thicker, as the circuit is sized; a flexible cord may need more"
    if size.configuration is None:
        return f"; no plug, wired to the disconnect, {wire}"
    return f"; plug {size.configuration}, {_who(facts, ranked, powered)}; {wire}"


def _who(facts: Facts, ranked: Ranked, powered: Powered) -> str:
    """Who puts the plug on; nobody where no work is for one."""
    owners = {crew.name for crew in facts.crews if crew.role is Role.OWNER} | {"owner"}
    crews = {
        line.crew
        for line in ranked.lines
        if line.kind is LineKind.LABOR and line.year == 0 and _is_plug(line.step, powered.machine.name)
    }
    if not crews:
        return "as it is now"
    return "the owner puts it on" if crews <= owners else "the bidder puts it on"


def _is_plug(step: Step | None, machine: str) -> bool:
    return step is not None and (step.kind, step.machine) == (Made.OWN_PLUG, machine)
