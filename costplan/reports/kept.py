"""A shop that is there already: today's work as a numbered list, for print and for JSON."""

from collections.abc import Iterable

from costplan.circuits.facts import DRIVE, Facts
from costplan.ledger.holding import written
from costplan.ledger.steps import Act, Step
from costplan.program.ranked import Ranked
from costplan.reports.tables import fitted, wrapped
from costplan.reports.work_draft import Phase
from costplan.reports.work_list import WorkLine, WorkList, work_list
from costplan.reports.work_words import ENDS, plain
from costplan.reports.work_words import piece as piece

NO_ELECTRICIAN = "No electrician's work today."
MAKE_SAFE_NOTE = (
    "Make safe (common practice, no source): off the breaker in the panel, wires capped and tagged there; at the "
    "outlet the receptacle out, wires capped, a blank cover on; the cable stays in the wall. How it is done is for "
    "the electrician and the local code to say."
)
PLUGS_NOTE = (
    "Plugs and connectors here come off cords. Every machine keeps the plug that is on it, unless a line says "
    "otherwise."
)
PANEL_NOTE = (
    "Wiring, receptacles and panels are work for licensed people where the law says so; parts of a panel stay live "
    "with the main off. The local code and a licensed electrician decide; cautions are below."
)
BREAKERS_NOTE = "A breaker may stay in its space and the wires move; close every opening that is left."
DRIVE_NOTE = (
    "Drives (common practice, no source): unplug, wait the time marked on the drive before it is opened; set it to the "
    "motor's nameplate; test the direction before work."
)
CHECK_NOTE = (
    "Directory: NEC 408.4; openings closed: NEC 408.7 (from memory). Whoever closes them brings the filler plates; they are in "
    "no figure."
)
WIDTH = 98


def is_there(facts: Facts) -> bool:
    """Whether the shop file says of anything that it is there."""
    shop = facts.shop
    return bool(shop.shelf or shop.installed or any(machine.now for machine in shop.machines))


def kept_text(facts: Facts, ranked: Ranked, width: int = WIDTH) -> str:
    """Today's work of a shop that is there already; empty for one that is not."""
    if not is_there(facts):
        return ""
    width = min(width, WIDTH)
    found = work_list(facts, ranked)
    kept = f"Kept as it is: {', '.join(found.kept)}." if found.kept else ""
    if not found.lines:
        return "\n".join(word for word in ("Nothing to do.", wrapped(kept, width) if kept else "") if word)
    head = [kept, "" if found.hired else NO_ELECTRICIAN]
    text = [wrapped(words, width) for words in head if words]
    return "\n".join([*text, _table(found, width), *(wrapped(note, width) for note in notes(found))])


def _table(found: WorkList, width: int) -> str:
    rows, last = [], None
    for line in found.lines:
        phase = "" if line.phase is last else str(line.phase)
        rows.append([str(line.number), phase, line.place, line.who, line.words])
        last = line.phase
    return fitted(["no.", "when", "where", "who", "what"], rows, {0}, width, narrow={1: 10, 2: 14, 3: 12})


def notes(found: WorkList) -> Iterable[str]:
    """What is said once under the list."""
    steps = [line.step for line in found.lines if line.step is not None]
    if any(step.act is Act.MAKE_SAFE for step in steps):
        yield MAKE_SAFE_NOTE
    if any(step.kind in ENDS and step.source for step in steps):
        yield PLUGS_NOTE
    freed = [step for line in found.lines for step in line.frees]
    if any(step.kind == DRIVE for step in (*steps, *freed)):
        yield DRIVE_NOTE
    if any(step.kind == "breaker" for step in steps):
        yield BREAKERS_NOTE
    if any(line.wiring for line in found.lines):
        yield PANEL_NOTE
    if any(line.phase is Phase.CHECK for line in found.lines):
        yield CHECK_NOTE


def tasks_data(facts: Facts, ranked: Ranked) -> list[dict[str, object]]:
    """Today's work for JSON, the lines of the list and then what stays; empty for a shop of which nothing is there."""
    if not is_there(facts):
        return []
    found = work_list(facts, ranked)
    lines = [_line_data(facts, line) for line in found.lines]
    done = {(line.step, line.step.run, line.step.out_of) for line in found.lines if line.step is not None}
    rest = {(step, step.run, step.out_of): step for step in ranked.steps}
    stays = [step for key, step in rest.items() if key not in done]
    return lines + [_stays_data(facts, step, ranked.steps.count(step)) for step in stays]


def _line_data(facts: Facts, line: WorkLine) -> dict[str, object]:
    return {
        "number": line.number,
        "phase": str(line.phase),
        "place": line.place,
        "who": line.who,
        "machine": line.machine,
        **_step_data(facts, line.step),
        "count": line.count,
        "words": line.words,
    }


def _stays_data(facts: Facts, step: Step, count: int) -> dict[str, object]:
    """A step that no line of the list does: what is kept, and what comes with another."""
    return {
        "number": None,
        "phase": None,
        "place": facts.machines[step.machine].at,
        "who": None,
        "machine": written(facts, step.machine),
        **_step_data(facts, step),
        "count": count,
        "words": f"keep {piece(step.item)}" if plain(step) else f"{step.act} {piece(step.item)}",
    }


def _step_data(facts: Facts, step: Step | None) -> dict[str, object]:
    return {
        "act": str(step.act) if step is not None else None,
        "kind": step.kind if step is not None else None,
        "thing": piece(step.item) if step is not None else None,
        "from": written(facts, step.source) if step is not None and step.source else None,
        "whole": step.whole if step is not None else False,
        "ends_change": step.ends_change if step is not None else False,
        "cut_to_ft": (step.cut_to_ft or None) if step is not None else None,
        "offcut_ft": (step.offcut_ft or None) if step is not None else None,
    }
