"""What limits the loads: the service, the panels, the converters; and which of them a load goes through.

All in whole volt-amperes; loads are rounded up, limits down.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from functools import cached_property
from itertools import combinations

from costplan.circuits.currents import load_current_a
from costplan.circuits.facts import Facts
from costplan.circuits.gear import Candidate
from costplan.circuits.losses import efficiency_of
from costplan.circuits.supply import draw_va
from costplan.circuits.ways import load_of
from costplan.model.gear import SERVICE, Gear, GearKind
from costplan.model.system import LINE_VOLTS, System, phases
from costplan.standards.loads import existing_demand_a, largest_motor_factor


@dataclass(frozen=True, slots=True)
class Limit:
    """Something that carries only so much; `taken_va` is what already hangs on it."""

    name: str
    most_va: int
    taken_va: int = 0

    @property
    def free_va(self) -> int:
        """What is left for the machines of the file, before any upgrade."""
        return self.most_va - self.taken_va


@dataclass(frozen=True, slots=True)
class Draw:
    """What each of `count` machines alike draws through a limit; a motor counts for the largest-motor rule."""

    machine: str
    va: int
    motor: bool
    turns: str | None
    count: int = 1


def volt_amperes(system: System, current_a: Decimal) -> Decimal:
    """Volt-amperes of a line current in a system."""
    return current_a * LINE_VOLTS[system] * (Decimal(3).sqrt() if phases(system) == 3 else 1)


def output_of(converter: str) -> str:
    """The name of the limit on a converter's output."""
    return f"output of {converter}"


def motor_extra_va(draw: Draw) -> int:
    """What a motor adds when it is the largest: a quarter of its draw (NFPA 70 430.24)."""
    return _up(draw.va * largest_motor_factor()) if draw.motor else 0


@dataclass(frozen=True)
class Capacity:
    """The limits of one shop, and the rules by which loads count against them."""

    facts: Facts

    @cached_property
    def limits(self) -> dict[str, Limit]:
        """Every limit of the shop by name: the service, panels with a rating behind others, converter outputs."""
        found = {}
        service = self.facts.shop.service
        if service is not None:
            peak = service.measured_peak
            taken_a = existing_demand_a(peak.amps_a) if peak else service.other_load_a
            found[SERVICE] = Limit(
                SERVICE,
                _down(volt_amperes(service.system, service.amps_a)),
                _up(volt_amperes(service.system, taken_a)),
            )
        for name, panel in self.facts.panels.items():
            gear = self.facts.gear.get(name)
            if panel.rating_a is not None:
                rating_a = min(panel.rating_a, gear.amps_a) if gear and gear.amps_a else panel.rating_a
                found[name] = Limit(
                    name,
                    _down(volt_amperes(panel.system, rating_a)),
                    _up(volt_amperes(panel.system, panel.other_load_a)),
                )
            if gear is not None and gear.kind is GearKind.CONVERTER:
                output_a = Decimal(str(self.facts.parts[gear.part or ""].attributes["output_a"]))
                found[output_of(name)] = Limit(output_of(name), _down(volt_amperes(panel.system, output_a)))
        return found

    def path(self, panel: str) -> list[tuple[str, Decimal]]:
        """The limits a load on a panel goes through, with what it grows to on the way, as a factor."""
        factor, name, found = Decimal(1), panel, []
        while name:
            found.append((name, factor))
            gear = self.facts.gear.get(name)
            if gear is not None and gear.kind is GearKind.CONVERTER:
                found.append((output_of(name), factor))
                factor = factor / efficiency_of(self.facts.parts[gear.part or ""])
            if gear is not None and gear.kind is GearKind.UTILITY:
                return found
            name = self.facts.panels[name].fed_from or ""
        return [*found, (SERVICE, factor)]

    def drawn(self, machine: str, panel: str, va: int) -> dict[str, int]:
        """What a machine's draw on a panel adds to each limit above it.

        A machine that ran when the peak was measured is in that figure: at the service it adds only what it
        draws more than its nameplate did.
        """
        return {
            name: max(_up(va * factor) - (self._measured_va(machine) if name == SERVICE else 0), 0)
            for name, factor in self.path(panel)
            if name in self.limits
        }

    def _measured_va(self, machine: str) -> int:
        """What the measured peak has of a machine already."""
        service, entry = self.facts.shop.service, self.facts.machines[machine]
        if service is None or service.measured_peak is None or not entry.in_measured_peak:
            return 0
        load = load_of(entry)
        return _up(draw_va(load, load_current_a(load)[0]))

    def above(self, gear: Candidate) -> list[str]:
        """The limits that gear itself hangs on."""
        if gear.above is not None:
            return [name for name, _ in self.path(gear.above)]
        return [SERVICE] if gear.gear.fed_from == SERVICE else []

    def together(self, machines: Iterable[str]) -> list[frozenset[str]]:
        """Machines that may draw at the same time: one set for each that the shop file says, else all of them."""
        everyone = frozenset(machines)
        service = self.facts.shop.service
        if service is None or not service.at_once:
            return [everyone]
        named = frozenset(name for names in service.at_once for name in names)
        return [everyone & ((everyone - named) | frozenset(names)) for names in service.at_once]

    def demand_va(self, draws: Sequence[Draw], managed: Iterable[Gear] = ()) -> int:
        """The demand of machines on one limit: turn-takers by their largest, plus a quarter of the largest motor.

        The heaviest of the sets that run together counts (NFPA 70 220.60, 430.24). The quarter of the largest
        motor comes on top even where it takes turns with something larger, the dearer reading of 220.60.
        Load managers hold their
        machines to a figure; what takes turns already is not held back twice.
        """
        return max(
            (self._set_va(members, draws, managed) for members in self.together(d.machine for d in draws)),
            default=0,
        )

    def _set_va(self, members: frozenset[str], draws: Sequence[Draw], managed: Iterable[Gear]) -> int:
        counted = [draw for draw in draws if draw.machine in members]
        turns: dict[str, list[Draw]] = {}
        for draw in counted:
            if draw.turns is not None:
                turns.setdefault(draw.turns, []).append(draw)
        whole = sum(draw.va * draw.count for draw in counted if draw.turns is None)
        whole += sum(max(draw.va for draw in group) for group in turns.values())
        relief = self._relief_va(counted, tuple(managed))
        return whole + max((motor_extra_va(draw) for draw in counted), default=0) - relief

    def _relief_va(self, counted: Sequence[Draw], managed: Sequence[Gear]) -> int:
        """What load managers take off; of two that hold the same machine only one is at work."""
        best = 0
        for size in range(1, len(managed) + 1):
            for chosen in combinations(managed, size):
                names = [name for gear in chosen for name in gear.machines or ()]
                if len(names) == len(set(names)):
                    best = max(best, sum(self._held_va(gear, counted) for gear in chosen))
        return best

    def _held_va(self, gear: Gear, counted: Sequence[Draw]) -> int:
        held = sum(draw.va * draw.count for draw in counted if self.held_back(gear, draw))
        return max(0, held - self.holds_to_va(gear))

    def held_back(self, gear: Gear, draw: Draw) -> bool:
        """Whether a load manager holds the machine back."""
        return draw.turns is None and draw.machine in (gear.machines or ())

    def holds_to_va(self, gear: Gear) -> int:
        """What the machines of a load manager never exceed together, volt-amperes."""
        service = self.facts.shop.service
        assert service is not None
        return _down(volt_amperes(service.system, gear.holds_to_a or Decimal(0)))

    def gained_va(self, gear: Gear) -> int:
        """What a service upgrade adds, volt-amperes."""
        service = self.facts.shop.service
        if service is None or gear.to_a is None:
            return 0
        return _down(volt_amperes(service.system, gear.to_a - service.amps_a))

    def draw_of(self, machine: str, va: int, count: int = 1) -> Draw:
        """The draw of machines alike with what the rules ask about it."""
        entry = self.facts.machines[machine]
        return Draw(machine, va, entry.motor, entry.takes_turns, count)

    def by_limit(self, draws: Iterable[tuple[str, str, int, int]]) -> dict[str, list[Draw]]:
        """Draws by limit, of machines with their panel, volt-amperes and count."""
        found: dict[str, list[Draw]] = {}
        for machine, panel, va, count in sorted(draws):
            for name, passed in self.drawn(machine, panel, va).items():
                found.setdefault(name, []).append(self.draw_of(machine, passed, count))
        return found


def _up(value: Decimal) -> int:
    return int(value.to_integral_value(ROUND_CEILING))


def _down(value: Decimal) -> int:
    return int(value.to_integral_value(ROUND_FLOOR))
