"""A machine with its circuit, by a way alone and in a plan: what its topics are read off."""

from collections.abc import Callable
from dataclasses import dataclass

from costplan.circuits.circuit import Circuit
from costplan.circuits.facts import Facts
from costplan.circuits.size_types import CircuitSize, Load, Rules
from costplan.circuits.ways import Way
from costplan.model.choices import Method
from costplan.model.shop import Machine
from costplan.program.ranked import Ranked
from costplan.reports.there import Powered
from costplan.studies.size_cost import AsTold


@dataclass(frozen=True, slots=True)
class ByWay:
    """A machine as a way powers it, whatever plan that is in."""

    facts: Facts
    machine: Machine
    way: Way
    circuit: Circuit

    @property
    def size(self) -> CircuitSize:
        """How its circuit is sized."""
        return self.circuit.size

    @property
    def load(self) -> Load:
        """What its circuit carries."""
        return self.circuit.supplied.load

    @property
    def device(self) -> str:
        """The kind of what lies between circuit and machine: a drive, another motor, a transformer; empty for nothing."""
        device = self.circuit.supplied.device
        return device.item.spec.kind if device is not None else ""

    @property
    def says_breaker(self) -> bool:
        """Whether its plate says its breaker, or the largest it may have."""
        return self.machine.breaker_a is not None or self.machine.breaker_at_most_a is not None

    @property
    def by_cord(self) -> bool:
        """Whether its outlet is beside the panel."""
        return self.way.method is Method.CORD

    @property
    def outlet_at(self) -> str:
        """The place of its outlet or disconnect: the panel's of a cord, else the machine's."""
        return self.facts.place_of_panel(self.circuit.panel) if self.by_cord else self.circuit.standing.place

    @property
    def rules(self) -> Rules:
        """The rules of the place of its outlet."""
        return self.facts.rules_at(self.outlet_at, self.circuit.standing.there)

    @property
    def hard_wired(self) -> bool:
        """Whether its circuit ends in no receptacle."""
        return self.size.configuration is None


@dataclass(frozen=True, slots=True)
class InPlan(ByWay):
    """The same in a plan, after today's work."""

    ranked: Ranked
    powered: Powered

    @classmethod
    def of(cls, facts: Facts, ranked: Ranked, powered: Powered) -> "InPlan":
        """The machine of a circuit of that plan."""
        return cls(facts, powered.machine, powered.way, powered.circuit, ranked, powered)

    @property
    def made(self) -> bool:
        """Whether its run is made today."""
        return self.powered.made

    @property
    def changes(self) -> bool:
        """Whether it gets another circuit today, or its own with another end or breaker."""
        return self.powered.changes

    @property
    def told(self) -> AsTold:
        """Its circuit as the file tells of it."""
        return AsTold(self.way, self.circuit.standing, self.machine)

    @property
    def asked_of(self) -> bool:
        """Whether it is asked what disconnects and protects it: another circuit, or what is there nobody described."""
        return self.powered.changes or self.powered.unseen

    @property
    def end_put_in(self) -> bool:
        """Whether what its run ends in is put in today."""
        return self.made or self.powered.receptacle is not None

    @property
    def ends_anew(self) -> bool:
        """Whether a run that is there gets another receptacle or breaker."""
        return self.powered.receptacle is not None or self.powered.breaker is not None


OfWay = Callable[[ByWay], bool | str]
"""Whether a topic holds of a machine by a way; a text says more about that, empty where it does not hold."""
Holds = Callable[[InPlan], bool | str]
"""Whether a topic holds of a machine's circuit in a plan; a text as that of `OfWay`."""
