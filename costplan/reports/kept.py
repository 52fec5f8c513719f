"""A shop that is there already: today's work as a list, machine by machine and place by place."""

from collections import Counter
from dataclasses import dataclass
from itertools import groupby

from costplan.circuits.circuit import OWN_PLUG
from costplan.circuits.facts import Facts
from costplan.circuits.needs import Item, awg_text
from costplan.model.layouts import TakenAway
from costplan.plans.holding import written
from costplan.plans.ranking import Ranked
from costplan.plans.steps import Act, Step
from costplan.reports.tables import table, wrapped

ENDS = ("plug", "connector")
AT_RUN = ("receptacle", "disconnect")


@dataclass(frozen=True, slots=True)
class Task:
    """One thing to do today, in words; `count` is how many alike, of machines of one group."""

    machine: str
    place: str
    words: str
    step: Step
    count: int = 1

    @property
    def kept(self) -> bool:
        """Whether nothing is done."""
        return self.step.act is Act.KEEP and not self.step.ends_change


def tasks_today(facts: Facts, ranked: Ranked) -> tuple[Task, ...]:
    """Today's work, each machine's in the order in which it is done; things that come with others are left out."""
    found: list[Task] = []
    for machine, mine in groupby(sorted(ranked.steps, key=_order), key=lambda step: step.machine):
        steps = list(mine)
        moved = _moved(facts, machine)
        if moved:
            found.append(Task(written(facts, machine), facts.machines[machine].at, moved, steps[0]))
        for step in dict.fromkeys(steps):
            words = _words(facts, step, steps)
            if words:
                place = _place(facts, step, steps)
                task = Task(written(facts, machine), place, words, step, steps.count(step))
                found.append(task)
    return tuple(found)


_ORDER = {act: number for number, act in enumerate(Act)}
_KINDS = ("outlet", "receptacle", "disconnect", "breaker", "cord", "plug", "connector", "kit")


def _order(step: Step) -> tuple[str, bool, int, int, Step]:
    """By machine; what it uses before what it leaves, the outlet before what is put into it."""
    leaves = step.act in (Act.MAKE_SAFE, Act.LEAVE_LIVE, Act.BACK_TO_SHELF)
    kind = _KINDS.index(step.kind) if step.kind in _KINDS else len(_KINDS)
    return step.machine, leaves, kind, _ORDER[step.act], step


def _moved(facts: Facts, machine: str) -> str:
    """Where a machine goes that stood at its circuit's place before, or that it goes for good."""
    known = facts.machines[machine]
    if isinstance(known, TakenAway):
        return "is taken away"
    before = known.now.place if known.now is not None else None
    if before in (None, known.at):
        return ""
    return f"stands at {known.at}; its circuit was at {before}"


def _place(facts: Facts, step: Step, mine: list[Step]) -> str:
    """Where a step is done: at the outlet, breakers at the panel, the rest at the machine."""
    if step.kind == "outlet":
        return dict(step.item.spec.equal)["place"]
    outlet = next((entry.wanted for entry in mine if entry.kind == "outlet" and entry.wanted), None)
    if outlet is not None and step.wanted is not None and step.kind in (*AT_RUN, "breaker"):
        equal = dict(outlet.spec.equal)
        return equal["panel"] if step.kind == "breaker" else equal["place"]
    return facts.machines[step.machine].at


def _words(facts: Facts, step: Step, mine: list[Step]) -> str:
    """What a step says to do; empty for what comes along with another step."""
    own = step.act is Act.KEEP
    what, whose = piece(step.item), _from(facts, step)
    if step.act in _LEFT:
        return f"{_LEFT[step.act]} {what}" + (", used again later" if step.wanted is not None else "")
    if step.kind == "outlet":
        return _outlet_words(step, what, whose)
    if step.kind in (*AT_RUN, "breaker"):
        return _end_words(step, what, whose)
    if step.kind == "cord":
        return _cord_words(step, what, whose)
    if step.within:
        return "" if step.act is Act.BUY else _part_words(step, what, whose)
    if step.kind in ENDS:
        return "" if own and _keeps_cable(mine) else f"put on {what}, {whose}"
    if step.kind == "kit":
        return "" if own or _found_parts(mine, step.kind) else f"hang an overhead kit, {whose}"
    if step.kind == OWN_PLUG:
        found = _found_parts(mine, step.kind)
        return (
            "" if found else f"change its own plug to {dict(step.item.spec.equal)['configuration']}, {whose}"
        )
    return f"keep {what}" if own else f"fit {what}, {whose}"


def _part_words(step: Step, what: str, whose: str) -> str:
    return (
        f"change its own plug to {what}, {whose}" if step.within == OWN_PLUG else f"hang the {what}, {whose}"
    )


def _found_parts(mine: list[Step], kind: str) -> bool:
    """Whether parts of what is made anew are not bought, so that those say what is done."""
    return any(step.within == kind and step.act is not Act.BUY for step in mine)


_LEFT = {
    Act.MAKE_SAFE: "make safe",
    Act.LEAVE_LIVE: "leave live",
    Act.BACK_TO_SHELF: "back to the shelf:",
}


def _outlet_words(step: Step, what: str, whose: str) -> str:
    if step.act is Act.BUY:
        return f"new {what}"
    if step.act is Act.SHARE:
        return f"share {what}"
    run = f"the run of {what}" if step.ends_change else what
    if step.act is Act.KEEP:
        return f"keep {run}"
    return f"take over {run}, {whose}"


def _end_words(step: Step, what: str, whose: str) -> str:
    if step.within:
        return "" if step.act is Act.BUY else f"put in {what}, {whose}"
    return f"change the {step.kind} to {what}, {whose}"


def _cord_words(step: Step, what: str, whose: str) -> str:
    if step.act is Act.KEEP:
        return f"keep {what}"
    if step.whole:
        return f"hang on {what}, whole with its ends, {whose}"
    if step.cut_to_ft:
        return f"cut {what}, {whose}, to {step.cut_to_ft} ft ({step.offcut_ft} ft left over)"
    return f"make up {what}, {whose}"


def _keeps_cable(mine: list[Step]) -> bool:
    return any(step.kind == "cord" and step.act is Act.KEEP for step in mine)


def _from(facts: Facts, step: Step) -> str:
    """Where a thing comes from."""
    if step.act is Act.BUY:
        return "bought"
    if step.act is Act.TAKE_FROM_SHELF:
        return "from the shelf"
    if step.source == step.machine:
        return "its own"
    return f"from {written(facts, step.source)}" if step.source else "idle so far"


def is_there(facts: Facts) -> bool:
    """Whether the shop file says of anything that it is there."""
    shop = facts.shop
    return bool(shop.shelf or shop.installed or any(machine.now for machine in shop.machines))


def kept_text(facts: Facts, ranked: Ranked) -> str:
    """Today's work of a shop that is there already; empty for one that is not."""
    if not is_there(facts):
        return ""
    tasks = tasks_today(facts, ranked)
    by_machine: dict[str, list[Task]] = {}
    for task in tasks:
        by_machine.setdefault(task.machine, []).append(task)
    rows = []
    for machine, mine in by_machine.items():
        words = (
            [_counted(task) for task in mine] if any(not task.kept for task in mine) else ["kept as it is"]
        )
        rows += [[machine if not number else "", wrapped(text, 90)] for number, text in enumerate(words)]
    parts = [table(["machine", "today"], rows, set())] if rows else []
    places = _by_place(tasks)
    if places:
        parts.append("Place by place, without what stays\n" + table(["place", "for", "to do"], places, set()))
    return "\n\n".join(parts)


def _counted(task: Task) -> str:
    return task.words if task.count == 1 else f"{task.count} x {task.words}"


def _by_place(tasks: tuple[Task, ...]) -> list[list[str]]:
    rows, last = [], None
    for task in sorted(
        (task for task in tasks if not task.kept), key=lambda task: (task.place, task.machine)
    ):
        rows.append(["" if task.place == last else task.place, task.machine, wrapped(_counted(task), 80)])
        last = task.place
    return rows


def piece(item: Item) -> str:
    """An item of stock in words."""
    equal, low = dict(item.spec.equal), dict(item.spec.at_least)
    if item.spec.kind == "outlet":
        place = equal["place"]
        where = place if place.startswith("beside ") else f"at {place}"
        return f"outlet {equal['end']} {where} ({equal['run']})"
    if item.spec.kind == "cord":
        size = f"{awg_text(int(low['awg']))}/{low['conductors']:f}"
        return f"cord {size}, {item.length_ft} ft"
    words = [item.spec.kind, equal.get("configuration", "")]
    if "rating_a" in low:
        words.append(
            f"{equal.get('poles', '')}-pole {low['rating_a']:f} A"
            if "poles" in equal
            else f"{low['rating_a']:f} A"
        )
    if "hp" in low:
        words.append(f"{low['hp']:f} hp")
    return " ".join(word for word in words if word)


def tasks_data(facts: Facts, ranked: Ranked) -> list[dict[str, object]]:
    """Today's work for JSON; empty for a shop of which nothing is there."""
    if not is_there(facts):
        return []
    counts = Counter(ranked.steps)
    return [
        {
            "machine": task.machine,
            "place": task.place,
            "act": "keep" if task.kept else str(task.step.act),
            "kind": task.step.kind,
            "thing": piece(task.step.item),
            "from": written(facts, task.step.source) if task.step.source else None,
            "whole": task.step.whole,
            "ends_change": task.step.ends_change,
            "cut_to_ft": task.step.cut_to_ft or None,
            "offcut_ft": task.step.offcut_ft or None,
            "count": counts[task.step],
            "words": task.words,
        }
        for task in tasks_today(facts, ranked)
    ]
