"""What limits the loads: the service, the panels, the converters; and which of them a load goes through.

All in whole volt-amperes; loads are rounded up, limits down.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from enum import Enum, auto
from functools import cached_property

from costplan.circuits.currents import load_current_a
from costplan.circuits.demand import Balance, Draw, Holder, balanced
from costplan.circuits.facts import Facts
from costplan.circuits.losses import efficiency_of
from costplan.circuits.shared_gear import Candidate
from costplan.circuits.supply import counted_va, counts_longer
from costplan.circuits.ways import load_of
from costplan.model.converters import motors_at_once
from costplan.model.gear import SERVICE, AtMost, Gear, GearKind
from costplan.model.system import LINE_VOLTS, NEUTRAL_VOLTS, System, lines, phases
from costplan.standards.loads import continuous_factor, existing_demand_a, largest_motor_factor


class LimitName(str):
    """The name of what a converter puts out, or of how many motors it runs at once; panels and the service have their own."""

    owner: str
    counts_machines: bool

    def __new__(cls, name: str, owner: str, counts_machines: bool) -> "LimitName":
        """owner: the converter."""
        found = super().__new__(cls, name)
        found.owner, found.counts_machines = owner, counts_machines
        return found

    def __reduce__(self) -> tuple[type["LimitName"], tuple[str, str, bool]]:
        return LimitName, (str(self), self.owner, self.counts_machines)


@dataclass(frozen=True, slots=True)
class Limit:
    """Something that carries only so much; `taken_va` is what already hangs on it."""

    name: str
    most_va: int
    taken_va: int = 0

    @property
    def counts_machines(self) -> bool:
        """Whether it carries so many machines at once, and not so many volt-amperes."""
        return isinstance(self.name, LimitName) and self.name.counts_machines

    @property
    def free_va(self) -> int:
        """What is left for the machines of the file, before any upgrade."""
        return self.most_va - self.taken_va


class TakenFrom(Enum):
    """Where the shop file says what hangs on a limit already."""

    PEAK = auto()
    """A measured peak."""
    SAID = auto()
    """Its own other load, 0 A too."""
    BEHIND = auto()
    """The other load of the panels behind it, where that is more than its own."""
    UNSAID = auto()
    """Nowhere: it counts as nothing."""


@dataclass(frozen=True, slots=True)
class Step:
    """A limit that a load passes on its way to the street, what it grows to there as a factor, and how it got there.

    `converter` is the one that it has passed through; `own_lines` whether the lines here are those of its panel.
    """

    name: str
    factor: Decimal
    converter: str | None
    own_lines: bool
    counts_machines: bool = False
    """Whether it carries so many machines, and not so many amperes."""


ROUNDING_A = Decimal("0.02")
"""What rounding may add to a load on three phases, amperes."""


def volt_amperes(system: System, current_a: Decimal) -> Decimal:
    """Volt-amperes of a line current in a system."""
    return current_a * _va_per_a(system)


def _va_per_a(system: System) -> Decimal:
    """Volt-amperes of an ampere on every line of a system."""
    return LINE_VOLTS[system] * (Decimal(3).sqrt() if phases(system) == 3 else Decimal(1))


def carried_va(system: System, rating_a: Decimal) -> int:
    """What a rating carries, volt-amperes.

    On three phases a fiftieth of an ampere more, since loads are rounded up and the root of three has no end: 100.0 A
    on 100 A fit.
    """
    return _down(volt_amperes(system, rating_a + (ROUNDING_A if phases(system) == 3 else 0)))


def on_a_line(system: System, poles: int) -> Decimal:
    """What a load counts for on each of the lines it is on, as a factor on its volt-amperes; 1 on all lines.

    A line's amperes are a load's own, whatever the angle between their lines.
    """
    if phases(system) != 3:
        return Decimal(1 if poles > 1 else 2)
    if poles == 1:
        return LINE_VOLTS[system] * Decimal(3).sqrt() / NEUTRAL_VOLTS[system]
    return Decimal(3).sqrt() if poles == 2 else Decimal(1)


def line_amperes(system: System, va: int) -> Decimal:
    """Volt-amperes as amperes of a system's lines."""
    return Decimal(va) / _va_per_a(system)


def system_of(facts: Facts, limit: str) -> System:
    """Volts and phases at a limit."""
    if limit == SERVICE:
        return facts.shop.service.system if facts.shop.service else System.SINGLE_120_240
    return facts.panels[limit_owner(limit)].system


def limit_owner(limit: str) -> str:
    """The gear or panel that a limit is of; the service's own name for the service."""
    return limit.owner if isinstance(limit, LimitName) else limit


def motors_on(converter: str) -> LimitName:
    """The limit on how many motors a converter runs at once."""
    return LimitName(f"motors at once on {converter}", converter, counts_machines=True)


def output_of(converter: str) -> LimitName:
    """The limit on a converter's output."""
    return LimitName(f"output of {converter}", converter, counts_machines=False)


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
            behind_va = 0 if peak else self._behind_va(None)
            taken_a = existing_demand_a(service.peak_a or Decimal(0)) if peak else service.other_load_a
            fuses_a = [gear.amps_a for gear in self.facts.shop.gear if gear.kind is GearKind.MAIN]
            most_a = (
                min(service.amps_a, *(amps for amps in fuses_a if amps is not None))
                if fuses_a
                else service.amps_a
            )
            found[SERVICE] = Limit(
                SERVICE,
                carried_va(service.system, most_a),
                max(_up(volt_amperes(service.system, taken_a)), behind_va),
            )
        for name, panel in self.facts.panels.items():
            gear = self.facts.gear.get(name)
            taken_va = self._present_va(name)
            if panel.rating_a is not None:
                rating_a = min(panel.rating_a, gear.amps_a) if gear and gear.amps_a else panel.rating_a
                found[name] = Limit(name, carried_va(panel.system, rating_a), taken_va)
            if gear is not None and gear.kind is GearKind.CONVERTER:
                part = self.facts.parts[gear.part or ""]
                most_va = carried_va(panel.system, part.number("output_a"))
                found[output_of(name)] = Limit(output_of(name), most_va, taken_va)
                at_once = motors_at_once(part)
                if at_once is not None:
                    found[motors_on(name)] = Limit(motors_on(name), at_once)
        return found

    def taken_from(self, limit: str) -> TakenFrom:
        """Where it is said what hangs on a limit besides the machines of the file."""
        service = self.facts.shop.service
        if limit == SERVICE and service is not None and service.measured_peak is not None:
            return TakenFrom.PEAK
        of = service if limit == SERVICE else self.facts.panels[limit_owner(limit)]
        if of is None:
            return TakenFrom.UNSAID
        own_va = _up(volt_amperes(self.system(limit), of.other_load_a))
        if self._behind_va(None if limit == SERVICE else limit_owner(limit)) > own_va:
            return TakenFrom.BEHIND
        return TakenFrom.SAID if "other_load_a" in of.model_fields_set else TakenFrom.UNSAID

    def _present_va(self, name: str) -> int:
        """What a panel carries besides the machines of the file: what it says, no less than the panels behind it."""
        panel = self.facts.panels[name]
        return max(_up(volt_amperes(panel.system, panel.other_load_a)), self._behind_va(name))

    def _behind_va(self, name: str | None) -> int:
        """Other load of the panels that are fed from a panel, or from the service, and not past it."""
        gear = self.facts.gear
        return sum(
            self._present_va(behind)
            for behind, panel in self.facts.panels.items()
            if panel.fed_from == name and not (behind in gear and gear[behind].kind is GearKind.UTILITY)
        )

    def system(self, limit: str) -> System:
        """Volts and phases at a limit."""
        return system_of(self.facts, limit)

    def lines(self, limit: str) -> int:
        """How many lines a limit has, the neutral left out."""
        return lines(self.system(limit))

    def path(self, panel: str) -> list[Step]:
        """The limits a load on a panel goes through."""
        factor, name, converter = Decimal(1), panel, None
        found: list[Step] = []
        own = self.facts.panels[panel].system
        while name:
            own_lines = converter is None and self.facts.panels[name].system is own
            found.append(Step(name, factor, converter, own_lines))
            gear = self.facts.gear.get(name)
            if gear is not None and gear.kind is GearKind.CONVERTER:
                part = self.facts.parts[gear.part or ""]
                found.append(Step(output_of(name), factor, converter, own_lines))
                if motors_at_once(part) is not None:
                    found.append(Step(motors_on(name), factor, converter, own_lines, counts_machines=True))
                factor, converter = factor / efficiency_of(part), name
            if gear is not None and gear.kind is GearKind.UTILITY:
                return found
            name = self.facts.panels[name].fed_from or ""
        return [
            *found,
            Step(SERVICE, factor, converter, converter is None and self.system(SERVICE) is own),
        ]

    def drawn(self, machine: str, panel: str, va: int, poles: int = 3, count: int = 1) -> dict[str, Draw]:
        """What each of `count` machines alike adds to every limit above it, by a circuit of so many poles.

        A machine that ran when the peak was measured is in that figure: at the service it adds only what it
        draws more than its nameplate did. Behind a converter none adds more than the plate's input current, and what
        it adds as the largest motor is within that. Beyond a transformer a load is taken as spread over all lines.
        """
        entry, found = self.facts.machines[machine], {}
        for step in self.path(panel):
            if step.name not in self.limits:
                continue
            if step.counts_machines:
                found[step.name] = Draw(machine, 1, 0, self.club_of(machine), count)
                continue
            known_va = self._measured_va(machine) if step.name == SERVICE else 0
            added_va = max(_up(va * step.factor) - known_va, 0)
            most_va = self.input_va(step.converter) if step.converter else added_va
            added_va = min(added_va, most_va)
            if added_va:
                lines = self.lines(step.name)
                on = min(poles, lines) if step.own_lines else lines
                added_va = _up(added_va * on_a_line(self.system(step.name), on))
                extra_va = _up(added_va * largest_motor_factor()) if entry.motor else 0
                if step.converter:
                    extra_va = min(extra_va, most_va - added_va)
                club = self.club_of(machine)
                found[step.name] = Draw(machine, added_va, extra_va, club, count, on, step.converter)
        return found

    def input_va(self, converter: str) -> int:
        """The most that a converter takes, from the input current on its plate, volt-amperes."""
        have = self.facts.parts[self.facts.gear[converter].part or ""].attributes
        return _up(Decimal(str(have["input_a"])) * Decimal(str(have["volts"])))

    def _measured_va(self, machine: str) -> int:
        """What the measured peak has of a machine already."""
        service, entry = self.facts.shop.service, self.facts.machines[machine]
        if service is None or service.measured_peak is None or not entry.in_measured_peak:
            return 0
        load = load_of(entry)
        return _up(counted_va(load, load, load_current_a(load)[0]))

    def above(self, gear: Candidate) -> list[str]:
        """The limits that gear itself hangs on."""
        if gear.above is not None:
            return [step.name for step in self.path(gear.above)]
        return [SERVICE] if gear.gear.fed_from == SERVICE else []

    def together(self, machines: Iterable[str]) -> list[frozenset[str]]:
        """Machines that may draw at the same time: one set for each that the shop file says, else all of them.

        One that starts by itself, or runs with nobody there, is in every set, whatever people promise.
        """
        everyone = frozenset(machines)
        service = self.facts.shop.service
        if service is None or not service.at_once:
            return [everyone]
        named = frozenset(
            name
            for names in service.at_once
            for name in names
            if name not in self.facts.machines or not self.facts.machines[name].always_counts
        )
        return [everyone & ((everyone - named) | frozenset(names)) for names in service.at_once]

    def club_of(self, machine: str) -> str | None:
        """The club of a machine: those of which only so many ever run at once; None for one that always counts."""
        entry, service = self.facts.machines[machine], self.facts.shop.service
        if entry.always_counts:
            return None
        if entry.takes_turns is not None:
            return entry.takes_turns
        for number, most in enumerate(service.at_most if service is not None else ()):
            if machine in most.of:
                return _set_name(number, most)
        return None

    @cached_property
    def clubs(self) -> dict[str, int]:
        """How many of a club ever run at once: one of those that take turns."""
        service = self.facts.shop.service
        limited = enumerate(service.at_most if service is not None else ())
        found = {_set_name(number, most): most.count for number, most in limited}
        return found | {
            entry.takes_turns: 1 for entry in self.facts.machines.values() if entry.takes_turns is not None
        }

    def balance(
        self,
        draws: Sequence[Draw],
        managed: Iterable[Gear],
        idle: Mapping[str, int],
        lines: int,
        *,
        even: bool = False,
    ) -> Balance:
        """The demand of machines on one limit on each of its lines, balanced as well as their circuits can be.

        `idle` is what converters below it take by running, by converter. With `even`, of balances whose heaviest line is
        as light one in which the circuits themselves are even over the lines. The rules are those of `demand`.
        """
        converters = {*idle, *(draw.converter for draw in draws if draw.converter is not None)}
        holders = [
            Holder(gear.name, self.holds_to_va(gear), frozenset(gear.machines or ())) for gear in managed
        ]
        holders += [Holder(name, self.input_va(name), None, idle.get(name, 0)) for name in sorted(converters)]
        sets = tuple(self.together(draw.machine for draw in draws))
        clubs = tuple(sorted(self.clubs.items()))
        return balanced(tuple(draws), sets, clubs, tuple(holders), lines, even=even)

    def holds_to_va(self, gear: Gear) -> int:
        """What the machines of a load manager count for together at most, volt-amperes.

        It holds amperes, so with a continuous load among them that counts at 125 % too (NFPA 70 230.42(A)(1)).
        """
        service = self.facts.shop.service
        assert service is not None
        held = (self.facts.machines[name] for name in gear.machines or () if name in self.facts.machines)
        longer = any(counts_longer(load_of(machine)) for machine in held)
        held_a = (gear.holds_to_a or Decimal(0)) * (continuous_factor() if longer else 1)
        return _down(volt_amperes(service.system, held_a))

    def gained_va(self, gear: Gear) -> int:
        """What a service upgrade adds, volt-amperes."""
        service = self.facts.shop.service
        if service is None or gear.to_a is None:
            return 0
        return _down(volt_amperes(service.system, gear.to_a - service.amps_a))

    def draw_of(self, machine: str, va: int, count: int = 1, poles: int | None = None) -> Draw:
        """The draw of machines alike on a limit they hang on directly, with what the rules ask about it."""
        extra_va = _up(va * largest_motor_factor()) if self.facts.machines[machine].motor else 0
        return Draw(machine, va, extra_va, self.club_of(machine), count, poles)

    def by_limit(self, draws: Iterable[tuple[str, str, int, int, int]]) -> dict[str, list[Draw]]:
        """Draws by limit, of machines with their panel, volt-amperes, poles and count."""
        found: dict[str, list[Draw]] = {}
        for machine, panel, va, poles, count in sorted(draws):
            for name, passed in self.drawn(machine, panel, va, poles, count).items():
                found.setdefault(name, []).append(passed)
        return found


def _set_name(number: int, most: AtMost) -> str:
    """The word of a set of which only so many run at once."""
    return f"at most {most.count} of set {number + 1}"


def _up(value: Decimal) -> int:
    return int(value.to_integral_value(ROUND_CEILING))


def _down(value: Decimal) -> int:
    return int(value.to_integral_value(ROUND_FLOOR))
