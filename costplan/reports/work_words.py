"""Words about today's steps in a shop that is there: things, the circuits they come out of, old cords, who does it."""

from collections import Counter
from collections.abc import Iterable

from costplan.circuits.circuit import Circuit
from costplan.circuits.clamps import KIT_RECIPE
from costplan.circuits.facts import DRIVE, Facts
from costplan.circuits.needs import Item, Need, Work
from costplan.circuits.things import Made
from costplan.ledger.crews import NOBODY, do
from costplan.ledger.holding import written
from costplan.ledger.steps import Act, Step
from costplan.model.catalog import Recipe
from costplan.model.choices import Method
from costplan.model.layouts import MovedToday
from costplan.model.ratings import FUSED_DISCONNECT
from costplan.program.ranked import Ranked
from costplan.reports.before_after import circuit_words
from costplan.reports.there import There
from costplan.standards.conductors import awg_of_rank
from costplan.standards.motors import hp_words

LEFT = (Act.MAKE_SAFE, Act.LEAVE_LIVE, Act.BACK_TO_SHELF)
"""What becomes of a thing that its machine gives up and nobody takes today."""
ENDS = ("plug", "connector")
AT_RUN = ("receptacle", "disconnect", FUSED_DISCONNECT)
KITS = {Method.CORD: "overhead kit", Method.CEILING: "pendant kit"}
"""What a cord hangs from, by its recipe."""


def plain(step: Step) -> bool:
    """Whether nothing is done: the thing stays where it is."""
    return step.act is Act.KEEP and not step.ends_change and step.run is None


def piece(item: Item) -> str:
    """An item of stock in words."""
    equal, low = dict(item.spec.equal), dict(item.spec.at_least)
    if item.spec.kind == Made.OUTLET:
        key = item.outlet
        return f"outlet {key.end} {key.place if key.beside_panel else f'at {key.place}'} ({key.run})"
    if item.spec.kind == "cord":
        return f"{cable_words(item)}, {item.length_ft} ft"
    if item.spec.tie.hangs is not None:
        return KITS[item.spec.tie.hangs]
    if item.spec.kind == Made.QUOTED_OUTLET:
        return f"{item.outlet.quote} at {item.outlet.place}"
    words = [item.spec.kind, equal.get("configuration", "")]
    if "rating_a" in low:
        words.append(
            f"{equal.get('poles', '')}-pole {low['rating_a']:f} A"
            if "poles" in equal
            else f"{low['rating_a']:f} A"
        )
    if "hp" in low:
        words.append(f"{hp_words(low['hp'])} hp")
    return " ".join(word for word in words if word)


def cable_words(item: Item) -> str:
    """The cable of a cord, its length left out."""
    low = dict(item.spec.at_least)
    return f"cord {awg_of_rank(int(low['awg']))}/{low['conductors']:f}"


def whose(name: str) -> str:
    """A name with the mark of what belongs to it."""
    return f"{name}'" if name.endswith("s") else f"{name}'s"


def wired_in(ranked: Ranked, machine: str) -> bool:
    """Whether the cord that a machine gets today is wired into it."""
    return any(way.wired_in and count for way, count in ranked.plan.ways.get(machine, {}).items())


def length_words(step: Step) -> str:
    """What a cord must be and what it is; empty where nobody asks for a length."""
    if step.wanted is None or step.act is Act.BUY:
        return ""
    needs, has = step.wanted.length_ft, step.item.length_ft
    if step.cut_to_ft and step.act is not Act.KEEP:
        return f"needs {needs} ft ends included, is {has} ft: cut it, {step.offcut_ft} ft are left over"
    return f"needs {needs} ft ends included, is {has} ft: do not cut"


def made_safe_for(ranked: Ranked) -> dict[Need, Counter[tuple[str, str]]]:
    """Of what is needed today, what making outlets safe takes: by the machine that leaves one, and where that is."""
    found: dict[Need, Counter[tuple[str, str]]] = {}
    for step in ranked.steps:
        if step.act is Act.MAKE_SAFE:
            place = step.item.outlet.place
            for need in step.takes:
                found.setdefault(need.each, Counter())[step.machine, place] += need.quantity
    return found


def whom_for(facts: Facts, ranked: Ranked) -> dict[Need, Counter[str]]:
    """What each thing that is needed today is for: machines by the names the user wrote, and outlets made safe by place."""
    safe, found = made_safe_for(ranked), dict[Need, Counter[str]]()
    for need, by_machine in ranked.needed_by.items():
        counts = found.setdefault(need, Counter())
        of_safe: Counter[str] = Counter()
        for (machine, place), count in safe.get(need, Counter()).items():
            counts[f"{place}, made safe"] += count
            of_safe[machine] += count
        for machine, count in by_machine.items():
            if count > of_safe[machine]:
                counts[written(facts, machine)] += count - of_safe[machine]
    return found


class Today:
    """Today's steps, like ones together, with what words about them ask for."""

    def __init__(self, facts: Facts, ranked: Ranked) -> None:
        self.facts, self.ranked = facts, ranked
        self.there = There(facts, ranked)
        counts = Counter((step, step.run, step.out_of) for step in ranked.steps)
        known = {(step, step.run, step.out_of): step for step in ranked.steps}
        self.counts = [(known[key], count) for key, count in counts.items()]
        self.by_machine: dict[str, list[tuple[Step, int]]] = {}
        for step, count in self.counts:
            self.by_machine.setdefault(step.machine, []).append((step, count))

    def of(self, machine: str, *kinds: str) -> list[tuple[Step, int]]:
        """What a machine gets or keeps, with how many of each; of these kinds, where any is named."""
        mine = self.by_machine.get(machine, [])
        return [(s, n) for s, n in mine if s.act not in LEFT and (not kinds or s.kind in kinds)]

    def name(self, machine: str) -> str:
        """The machine by the name the user wrote."""
        return written(self.facts, machine)

    def circuit_place(self, machine: str) -> str:
        """Where the circuit that a machine has ends today, and its cord hangs."""
        known = self.facts.machines[machine]
        return (known.now.place if known.now is not None else None) or self.stands(machine)

    def stands_first(self, machine: str) -> str:
        """Where a machine is before anything is moved: where a layout says, else where its circuit ends."""
        moved = isinstance(self.facts.machines[machine], MovedToday)
        return self.stands(machine) if moved else self.circuit_place(machine)

    def stands(self, machine: str) -> str:
        """Where a machine is until today's work is done."""
        known = self.facts.machines[machine]
        return known.stood_at if isinstance(known, MovedToday) else known.at

    # circuits -------------------------------------------------------------------------------------

    def outlet_step(self, machine: str, outlet: Item) -> Step | None:
        """The step by which a machine has, gets or leaves an outlet."""
        mine = [step for step, _ in self.by_machine.get(machine, []) if step.kind == "outlet"]
        return next((step for step in mine if outlet in (step.item, step.wanted)), None)

    def fed(self, machine: str, outlet: Item) -> str:
        """Whom an outlet feeds today that a machine has, gets or leaves."""
        step = self.outlet_step(machine, outlet)
        if step is not None and step.act in (Act.BUY, Act.SHARE):
            return "new"
        source = machine if step is None else step.source
        return f"feeds the {self.name(source)} today" if source else "idle today"

    def circuit(self, machine: str, outlet: Item) -> str:
        """A circuit by where it ends and whom it feeds today: the same words on every list."""
        return f"{circuit_words(outlet)} ({self.fed(machine, outlet)})"

    def breaker(self, step: Step) -> str:
        """A breaker by its poles and amperes."""
        poles = dict(step.item.spec.equal)["poles"]
        bought_a = int(dict(step.item.spec.at_least)["rating_a"])
        return f"{poles}-pole {self.there.rating_a(step, bought_a)} A breaker"

    def by_drive(self, machine: str) -> Circuit | None:
        """The circuit of a machine that is behind a drive after today's work; None where it is not."""
        for powered in self.there.powered:
            device = powered.circuit.supplied.device
            if powered.machine.name == machine and device is not None and device.item.spec.kind == DRIVE:
                return powered.circuit
        return None

    def old_breaker_goes_on(self, step: Step) -> bool:
        """Whether the breaker that another takes the place of is used, or kept on the shelf."""
        outlet = self.outlet_step(step.machine, step.run) if step.run is not None else None
        return outlet is not None and any(
            other.kind == "breaker"
            and other.out_of is not None
            and other.out_of == outlet.item
            and other.source == step.machine
            for other, _ in self.counts
        )

    def old_end(self, step: Step) -> str:
        """What a run ends in today that gets another end in a step; empty for a run made anew."""
        outlet = self.outlet_step(step.machine, step.run) if step.run is not None else None
        return outlet.item.outlet.end if outlet is not None and not step.within else ""

    # where things come from -----------------------------------------------------------------------

    def old_cord(self, machine: str) -> str:
        """The cord that a machine has today; old where its cable does not stay the machine's."""
        cables = [step for step, _ in self.of(machine, "cord")]
        kept = any(step.act is Act.KEEP and not step.cut_off for step in cables)
        old = "" if kept else "old "
        now = self.facts.machines[machine].now
        feet = f"{int(now.cord.length_ft)} ft " if now is not None and now.cord is not None else ""
        return f"the {whose(self.name(machine))} {old}{feet}cord"

    def offcut(self, step: Step) -> tuple[Step, ...]:
        """The steps that take what is left of a cord that is cut in a step."""
        if not step.offcut_ft:
            return ()
        return tuple(
            other
            for other, _ in self.counts
            if other.cut_off and other.source == step.machine and other.item.length_ft == step.offcut_ft
        )

    def cuts_before(self, machine: str) -> int:
        """How many cords are cut, one off the other, before a machine's cord can be made up."""
        cutters = [step.source for step, _ in self.of(machine, "cord") if step.cut_off]
        others = [name for name in cutters if name != machine]
        return 1 + max(map(self.cuts_before, others), default=0) if cutters else 0

    def stays_at_machine(self, step: Step) -> bool:
        """Whether a cord is kept that hangs from nothing, and so goes where its machine goes."""
        had = self.facts.machines[step.machine].now
        return step.source == step.machine and had is not None and had.method not in KIT_RECIPE

    def source(self, step: Step) -> str:
        """Where a thing comes from."""
        if step.act is Act.BUY:
            return "bought"
        if step.act is Act.TAKE_FROM_SHELF:
            return "from the shelf"
        if not step.source:
            return "idle so far"
        if step.kind == "breaker":
            out = self.circuit(step.source, step.out_of) if step.out_of is not None else "its old circuit"
            return f"out of {out}"
        if step.cut_off:
            return f"cut off the {whose(self.name(step.source))} cord"
        if step.kind in ENDS:
            return f"off {self.old_cord(step.source)}"
        if step.kind == "cord":
            return f"of {self.old_cord(step.source)}"
        if step.kind == Made.KIT:
            return f"the one of {self.old_cord(step.source)}"
        return f"off the {self.name(step.source)}"

    def hangs_on(self, step: Step) -> bool:
        """Whether a cord, or what it hangs from, stays where it hangs, for whoever has it from today on."""
        had, machine = self.facts.machines[step.source].now if step.source else None, step.machine
        if step.cut_off:
            return False
        if had is None or had.method not in KIT_RECIPE or (step.cut_to_ft and step.act is not Act.KEEP):
            return False
        outlets = [s.wanted.outlet for s, _ in self.of(machine, Made.OUTLET) if s.wanted is not None]
        same = [(outlet.panel, outlet.run) == (had.panel, had.method) for outlet in outlets]
        return any(same) and self.facts.machines[machine].at == self.circuit_place(step.source)


class Doers:
    """Who does what: by the task's crew where work is priced, else the hired crew or the owner as is usual."""

    def __init__(self, facts: Facts, ranked: Ranked) -> None:
        self.facts, self.hiring = facts, ranked.plan.hiring
        self.owner = facts.owner.name
        crew = self.hiring.crew
        self.hired = "electrician" if crew == NOBODY else crew.name

    def of(self, machine: str, recipes: Iterable[str], otherwise: str) -> str:
        """Who does the work of the first of these recipes that takes any; else `otherwise`."""
        known = self.facts.machines.get(machine)
        for name in recipes:
            if self.facts.has_recipe(name, known):
                found = self._crews(self.facts.recipe(name, known))
                if found:
                    return " and ".join(dict.fromkeys(found))
        return otherwise

    def each(self, machine: str, recipe: str, otherwise: str) -> list[tuple[str, list[str]]]:
        """Who does which tasks of a recipe, by the tasks' names, whoever does the first of them first; one for a quote."""
        known, found = self.facts.machines.get(machine), dict[str, list[str]]()
        made = self.facts.recipe(recipe, known) if self.facts.has_recipe(recipe, known) else None
        if made is None or made.quote is not None:
            return [(self.of(machine, [recipe], otherwise), [])]
        asked = [task for task in made.tasks if task.per != "visit"]
        for task, crew in zip(asked, self._crews(made), strict=True):
            found.setdefault(crew, []).append(self.facts.tasks[task.task].name)
        return list(found.items()) or [(otherwise, [])]

    def _crews(self, recipe: Recipe) -> list[str]:
        quote = recipe.quote
        if quote is not None:
            own = quote.own_hours_per_run or quote.own_hours_per_ft
            hired = quote.hours_per_run or quote.hours_per_ft or quote.per_run_cents or quote.per_ft_cents
            return [self.hired] * bool(hired) + [self.owner] * bool(own)
        works = (Work(task.task, task.quantity) for task in recipe.tasks if task.per != "visit")
        doings = [do(self.facts, self.hiring, work, today=True) for work in works]
        return [
            self.hiring.bid.name if doing.covered and self.hiring.bid is not None else doing.crew.name
            for doing in doings
        ]
