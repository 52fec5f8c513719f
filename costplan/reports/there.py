"""Outlets that are there today, and which of them every machine of a plan is powered by after today's work."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from costplan.circuits.circuit import Builder, Circuit
from costplan.circuits.facts import Facts
from costplan.circuits.needs import Item
from costplan.circuits.outlet_key import DISCONNECT
from costplan.circuits.outlets import poles_of, where_outlet_is
from costplan.circuits.present import begin
from costplan.circuits.ways import Way
from costplan.ledger.steps import Act, Step
from costplan.model.choices import Method
from costplan.model.circuits_there import Installed, Present
from costplan.model.installed import installed_size
from costplan.model.ratings import FUSED_DISCONNECT
from costplan.model.shop import Machine
from costplan.program.ranked import Ranked
from costplan.standards.receptacles import find_configuration
from costplan.years.calendar import lives, scenarios_of

SIZES = {"breaker_a": "amperes", "poles": "poles", "awg": "wire size", "conductors": "number of wires"}
"""What a shop file may leave out of an outlet that is there, so that it follows; in words."""


@dataclass(frozen=True, slots=True)
class Had:
    """One outlet that is there today; `owner` is the machine that has it, empty for one that nobody uses.

    `place` is where its run ends, `end` its receptacle or `disconnect`; `number` tells outlets apart. `assumed` are those
    of its sizes that nobody said; `ground_awg` is empty where nobody looked.
    """

    number: int
    owner: str
    place: str
    panel: str
    method: Method
    end: str
    breaker_a: int
    poles: int
    awg: str
    conductors: int
    assumed: frozenset[str] = frozenset()
    ground_awg: str = ""

    @property
    def neutral(self) -> bool:
        """Whether a conductor of its run is its neutral."""
        if self.end == DISCONNECT:
            return self.conductors > self.poles or self.poles == 1
        return find_configuration(self.end).neutral

    @property
    def where(self) -> str:
        """Where it ends, in words: beside the panel for one that cords go from."""
        return self.place if self.method is Method.CORD else f"at {self.place}"

    def mark(self, *sizes: str) -> str:
        """What to put behind these of its sizes: which of them are assumed, and from what; empty where all were said."""
        filled = [SIZES[size] for size in sizes if size in self.assumed]
        if not filled:
            return ""
        which = "" if len(filled) == len(sizes) else f"{' and '.join(filled)} "
        return f" ({which}assumed{'' if self.owner else ' from the receptacle'}: look)"

    def matches(self, outlet: Item) -> bool:
        """Whether it is that outlet of its owner's, as the steps of a plan have it."""
        key = outlet.outlet
        mine = (self.place, self.panel, self.method, self.poles, self.end)
        return mine == (key.place, key.panel, key.run, key.poles, key.end)


@dataclass(frozen=True, slots=True)
class Powered:
    """The outlet of one machine after today's work.

    `had` is the outlet that is there, None where the run is made anew; `receptacle` and `breaker` are the steps that
    put such into a run; `act` is how the machine comes by the outlet, None where no step says so; `cord` how it
    comes by its cord.
    """

    machine: Machine
    way: Way
    circuit: Circuit
    act: Act | None
    had: Had | None
    receptacle: Step | None
    breaker: Step | None
    cord: Step | None = None

    @property
    def comes_along(self) -> bool:
        """Whether its outlet goes along with it to another place."""
        return self.had is not None and self.had.place != self.circuit.outlet_place

    @property
    def poles(self) -> int:
        """Poles of its breaker afterwards."""
        return self.circuit.size.poles if self.breaker or self.had is None else self.had.poles

    @property
    def breaker_a(self) -> int:
        """Its breaker afterwards, in amperes."""
        return self.circuit.size.breaker_a if self.breaker or self.had is None else self.had.breaker_a

    @property
    def neutral(self) -> bool:
        """Whether its run has a neutral afterwards."""
        if self.had is not None and self.receptacle is None and self.breaker is None:
            return self.had.neutral
        configuration = self.circuit.size.configuration
        if configuration is None:
            return self.circuit.supplied.load.neutral or self.poles == 1
        return find_configuration(configuration).neutral

    @property
    def converted(self) -> bool:
        """Whether a run that stays serves other lines than before: its poles or its neutral change."""
        had = self.had
        return had is not None and (had.poles, had.neutral) != (self.poles, self.neutral)

    @property
    def stays(self) -> bool:
        """Whether a machine keeps what disconnects it today."""
        return self.had is not None and self.receptacle is None and self.had.owner == self.machine.name

    @property
    def made(self) -> bool:
        """Whether its run is made today, for it alone or as the first of those that share it."""
        return self.had is None and self.act is not Act.SHARE

    @property
    def changes(self) -> bool:
        """Whether a machine gets another circuit today, or its own with another end or breaker."""
        return not self.stays or self.breaker is not None

    @property
    def unseen(self) -> bool:
        """Whether what disconnects a hard-wired machine, or the switch of one on a cord wired into it, stays: the file
        describes no such thing, and its rating at most."""
        hard_wired = self.circuit.size.configuration is None
        return self.stays and (hard_wired or self.circuit.switch is not None)

    @property
    def from_idle(self) -> bool:
        """Whether its outlet was there and served nobody."""
        return self.had is not None and not self.had.owner


class There:
    """All outlets that are there today, and what the plan does with each."""

    def __init__(self, facts: Facts, ranked: Ranked) -> None:
        self._plan = ranked.plan
        self.had = tuple(_had(facts, ranked))
        self._free = list(self.had)
        self._steps: dict[str, list[Step]] = defaultdict(list)
        self._cords: dict[str, list[Step]] = defaultdict(list)
        for step in ranked.steps:
            self._steps[step.machine].append(step)
            if step.kind == "cord" and step.act is not Act.BACK_TO_SHELF:
                self._cords[step.machine].append(step)
        self.powered = tuple(
            self._powered(machine, way, circuit)
            for machine, way, count, circuit in built(facts, ranked)
            for _ in range(count)
        )
        self.left: dict[Had, Act] = {}
        for step in ranked.steps:
            if step.kind == "outlet" and step.act in (Act.MAKE_SAFE, Act.LEAVE_LIVE):
                found = self._take(step.machine, step.item)
                if found is not None:
                    self.left[found] = step.act

    def _powered(self, machine: Machine, way: Way, circuit: Circuit) -> Powered:
        step = self._outlet_step(machine.name, way, circuit)
        cords = self._cords[machine.name]
        cord = cords.pop(0) if circuit.cable is not None and cords else None
        if step is None:
            return Powered(machine, way, circuit, None, None, None, None, cord)
        had = self._take(step.source, step.item) if step.act in (Act.KEEP, Act.TAKE_OVER) else None
        receptacle = self._end_step(
            machine.name, circuit, step, ("receptacle", "disconnect", FUSED_DISCONNECT)
        )
        breaker = self._end_step(machine.name, circuit, step, ("breaker",))
        return Powered(machine, way, circuit, step.act, had, receptacle, breaker, cord)

    def _outlet_step(self, machine: str, way: Way, circuit: Circuit) -> Step | None:
        """How the machine comes by its outlet, of a group one machine's step after another's."""
        mine = self._steps[machine]
        outlets = [step for step in mine if step.kind == "outlet" and step.wanted is not None]
        outlets = [step for step in outlets if step.act not in (Act.MAKE_SAFE, Act.LEAVE_LIVE)]
        exact = [step for step in outlets if step.wanted == circuit.outlet.item]
        run = [step for step in outlets if step.item.outlet.run is way.method]
        found = next(iter((*exact, *run)), None)
        if found is not None:
            mine.remove(found)
        return found

    def _end_step(self, machine: str, circuit: Circuit, outlet: Step, kinds: Sequence[str]) -> Step | None:
        """What is put into the run of the machine's outlet, if anything is."""
        mine = self._steps[machine]
        runs = (outlet.item, outlet.wanted, circuit.outlet.item)
        for step in mine:
            if step.kind in kinds and step.run in runs and step.act is not Act.BACK_TO_SHELF:
                mine.remove(step)
                return step
        return None

    def _take(self, owner: str, outlet: Item) -> Had | None:
        found = next((had for had in self._free if had.owner == owner and had.matches(outlet)), None)
        if found is not None:
            self._free.remove(found)
        return found

    def on_one_breaker(self) -> tuple[tuple[Powered, ...], ...]:
        """The machines by the breaker that they are on: those that take turns at one, and every other alone."""
        found: dict[object, list[Powered]] = {}
        for powered in self.powered:
            shared = self._plan.shared_by(powered.circuit)
            kept = powered.had is not None and powered.act is Act.KEEP
            found.setdefault(object() if shared is None or kept else shared, []).append(powered)
        return tuple(map(tuple, found.values()))

    def rating_a(self, step: Step, bought_a: int) -> int:
        """Amperes of a breaker that a step puts in or takes out; `bought_a` of one that is bought."""
        if step.act is Act.BUY:
            return bought_a
        low, high = (dict(sizes)["rating_a"] for sizes in (step.item.spec.at_least, step.item.spec.at_most))
        poles = poles_of(step.item.spec)
        for had in self.had if step.out_of is not None else ():
            if _same_place(had, step.out_of) and had.poles == poles and low <= had.breaker_a <= high:
                return had.breaker_a
        return int(low)

    def breaker_a(self, powered: Powered) -> int:
        """Amperes of a machine's breaker after today's work."""
        sized = powered.circuit.size.breaker_a
        if powered.breaker is not None:
            return self.rating_a(powered.breaker, sized)
        return sized if powered.had is None else powered.had.breaker_a


def _same_place(had: Had, outlet: Item | None) -> bool:
    return outlet is not None and (had.place, had.panel) == (outlet.outlet.place, outlet.outlet.panel)


def built(facts: Facts, ranked: Ranked) -> Iterable[tuple[Machine, Way, int, Circuit]]:
    """Today's circuits with how many machines have each; quoted ways are no circuits of the catalog."""
    fate = lives(facts.shop, scenarios_of(facts.shop)[0])
    for name, way, count in ranked.plan.made_here():
        today = next((standing for standing in fate[name].standings if standing.year == 0), None)
        if today is not None:
            machine = facts.machines[name]
            circuit = begin(Builder(facts, machine, way), today).step.circuit
            assert circuit is not None
            yield machine, way, count, circuit


def _had(facts: Facts, ranked: Ranked) -> Iterable[Had]:
    number = 0
    for name in sorted(ranked.plan.ways):
        machine = facts.machines[name]
        now = machine.now
        for _ in range(machine.count if now is not None else 0):
            assert now is not None
            place = where_outlet_is(now.method, now.panel, now.place or machine.at)
            end = now.configuration or DISCONNECT
            sizes = (int(now.breaker_a), now.poles, now.awg, now.conductors)
            yield Had(
                number, name, place, now.panel, now.method, end, *sizes, _unsaid(now), now.ground_awg or ""
            )
            number += 1
    for outlet in facts.shop.installed:
        size = installed_size(outlet)
        place = where_outlet_is(outlet.method, outlet.panel, outlet.place)
        sizes = (size.breaker_a, size.poles, size.awg, size.conductors)
        unsaid = _unsaid(outlet)
        end, ground = outlet.configuration, outlet.ground_awg or ""
        yield Had(number, "", place, outlet.panel, outlet.method, end, *sizes, unsaid, ground)
        number += 1


def _unsaid(told: Present | Installed) -> frozenset[str]:
    """Sizes of an outlet that is there which the shop file leaves out; poles only where no receptacle shows them."""
    shown = ("poles",) if told.configuration is not None else ()
    return frozenset(name for name in SIZES if name not in told.model_fields_set and name not in shown)
