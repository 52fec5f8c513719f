"""One line of notes about a machine: its nameplate, where it stands, and what more is told of it."""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from costplan.files import quantities
from costplan.interview.told_facts import Told, read_facts, said_elsewhere
from costplan.interview.told_lengths import Stretch, longer_of, read_distance, read_lengths
from costplan.interview.told_panels import by_panel, first_from
from costplan.interview.told_plates import of_heat, plate_of, read_loads
from costplan.interview.told_retoolings import Plate, Retooled, retooled, stays_in_words
from costplan.model.choices import LoadKind
from costplan.model.reading import PartsError, allowed, noted, part, parts_of, read_name
from costplan.model.system import System, feeds

MACHINE_FORM = "name; place; volts; hp or amps; phases; distance; how many"
MACHINE_FORM_SAID = f"{MACHINE_FORM} (the last is optional; facts such as never moves may follow)"
MACHINE_EXAMPLE = "wood lathe; bay; 120; 1 hp; 1; 55 ft; 12"
LEAST_PARTS = MACHINE_FORM.count(";")


@dataclass(frozen=True, slots=True)
class PanelAnswer:
    """A panel, as texts for the file; `rating` is what its main breaker or its lugs carry, empty where nobody said,
    `other_load` what it feeds besides."""

    name: str
    system: str
    breakers: str
    spaces_free: str
    rating: str = ""
    other_load: str = ""

    def feeds(self, machine: "MachineAnswer", phases: int | None = None) -> bool:
        """Whether it can feed a machine, or a load of so many phases like it."""
        return feeds(System(self.system), machine.volts, phases or machine.phases, neutral=False)


@dataclass(frozen=True, slots=True)
class FromPanel:
    """How far a machine stands from one more panel, as texts: by wall and by cord."""

    panel: str
    fixed_text: str
    cord_text: str

    @property
    def feet(self) -> tuple[Decimal, Decimal]:
        """The same in feet."""
        return quantities.parse_length_ft(self.fixed_text), quantities.parse_length_ft(self.cord_text)


@dataclass(frozen=True, slots=True)
class MachineAnswer:
    """A line's machines, all alike, as texts for the file and as values to hold other answers against.

    `place` is empty where none is named; lengths are from the panel, fixed wiring's first, the longest of a group that
    stands apart. `loads` are hp and amps by word; one that has nothing but quotes may have no plate at all: no loads, 0
    volts. `taken` is how ranges were taken.
    """

    name: str
    place: str
    volts_text: str
    loads: tuple[tuple[str, str], ...]
    phases: int
    fixed_text: str
    cord_text: str
    volts: int
    hp: Decimal | None
    fixed_ft: Decimal
    cord_ft: Decimal
    told: Told
    taken: tuple[str, ...] = ()
    other_spot: tuple[str, str] | None = None
    """From the panel to the spot that it moves to and back from, as lengths of wiring and of a cord."""
    apart: tuple[str, str] | None = None
    """From where it stands to that spot."""
    retooled: tuple[Retooled, ...] = ()
    """The plates that it has later, by year."""
    apart_each: tuple[tuple[Stretch, Stretch], ...] = ()
    """Where the machines of a group stand at several distances: how far the wiring and the cord of so many of them go."""

    others: tuple[FromPanel, ...] = ()
    """How far it stands from more panels than the one that the lengths are from."""

    @property
    def plated(self) -> bool:
        """Whether it says what its nameplate says."""
        return bool(self.loads)

    @property
    def count(self) -> int:
        """How many there are."""
        return self.told.count

    @property
    def poles(self) -> int:
        """Poles that its circuit takes."""
        return _poles(self.volts, self.phases)

    @property
    def most_poles(self) -> int:
        """Poles that its circuit takes at the most, today or once it is retooled."""
        later = (plate_of(each.plate.said) for each in self.retooled)
        return max(self.poles, *(_poles(int(plate.volts), plate.phases) for plate in later), 0)

    @property
    def distance_text(self) -> str:
        """Its lengths as one would write them."""
        return (
            self.fixed_text if self.fixed_text == self.cord_text else f"{self.fixed_text} / {self.cord_text}"
        )


def read_machine(text: str, panels: Sequence[PanelAnswer] = ()) -> MachineAnswer:
    """One machine written as MACHINE_FORM, facts after it, at no panel. Raises PartsError with all that is wrong."""
    parts = parts_of(text)
    if len(parts) < LEAST_PARTS:
        raise PartsError(
            [
                f"has {len(parts)} {'part' if len(parts) == 1 else 'parts'} between semicolons, "
                f"not {LEAST_PARTS} or more; "
                + (said_elsewhere(text) or f"write {MACHINE_FORM_SAID}, for example: {MACHINE_EXAMPLE}")
            ]
        )
    name, place, volts, load, phases_text, distance, *more = parts
    mistakes: list[str] = []
    name = noted(mistakes, lambda: part("name", read_name, name), "")
    place = noted(mistakes, lambda: part("place", read_name, place), "") if place else ""
    mistakes += _at_a_panel(place, panels)
    told = noted(mistakes, lambda: read_facts(filter(None, more)), Told())
    if told.quotes and not any((volts, load, phases_text, distance)):
        if told.retoolings:
            mistakes.append("it is retooled, but has no plate; write its plate, or ask for quotes of both")
        if mistakes:
            raise PartsError(mistakes)
        return MachineAnswer(name, place, "", (), 1, "", "", 0, None, Decimal(0), Decimal(0), told)
    no_loads: tuple[tuple[str, str], ...] = ()
    loads = noted(mistakes, lambda: read_loads(load), no_loads)
    phases = noted(mistakes, lambda: part("phases", _phases, phases_text), 0)
    said: dict[str, object] = {"volts": volts, "phases": phases or 1, **(dict(loads) or {"amps": 1})}
    plate = noted(mistakes, lambda: plate_of(said), None)
    where = noted(mistakes, lambda: _where(distance, told, panels), Where(told))
    told, far, taken = where.told, where.far, where.taken
    if len(far) > 1 and place:
        mistakes.append(
            f'its machines stand at {len(far)} distances, but all at "{place}"; leave the place out'
        )
    if told.load is LoadKind.HEATER and plate is not None and set(dict(loads)) == {"hp"}:
        loads, taken_as = noted(mistakes, lambda: of_heat(dict(loads)["hp"], plate), (loads, ""))
        taken = (*taken, *filter(None, (taken_as,)))
    if told.load in (LoadKind.OTHER, LoadKind.HEATER) and "hp" in dict(loads) and not mistakes:
        hp = dict(loads)["hp"]
        mistakes.append(f"it is not a motor, but {hp} is a motor's; write the amperes of the nameplate")
    other_spot = apart = None
    if told.other_spot is not None:
        apart = noted(mistakes, lambda: part("how far apart", read_distance, told.apart or ""), None)
        other_spot = noted(
            mistakes, lambda: part("the other spot", read_distance, told.other_spot or ""), None
        )
    if mistakes or plate is None:
        raise PartsError(mistakes)
    later = retooled(Plate(volts, phases, loads), told.retoolings, told.load or LoadKind.MOTOR)
    stays = (stays_in_words(said, then.plate) for said, then in zip(told.retoolings, later, strict=True))
    taken = (*taken, *filter(None, stays))
    fixed, cord = (max((pair[end].text for pair in far), key=quantities.parse_length_ft) for end in (0, 1))
    lengths = (quantities.parse_length_ft(fixed), quantities.parse_length_ft(cord))
    plain = (int(plate.volts), plate.hp if "hp" in dict(loads) else None)
    return MachineAnswer(
        *(name, place, volts, loads, phases, fixed, cord, *plain, *lengths, told, taken),
        other_spot=other_spot,
        apart=apart,
        retooled=later,
        apart_each=far if len(far) > 1 else (),
        others=where.others,
    )


_Stretches = tuple[tuple[Stretch, Stretch], ...]


@dataclass(frozen=True, slots=True)
class Where:
    """The facts, which panel the lengths are from among them; those lengths; from other panels; how ranges were taken."""

    told: Told
    far: _Stretches = ()
    others: tuple[FromPanel, ...] = ()
    taken: tuple[str, ...] = ()


def _where(distance: str, told: Told, panels: Sequence[PanelAnswer]) -> Where:
    found = first_from(by_panel(distance, [panel.name for panel in panels]), told.panel)
    taken: list[str] = []
    read: list[_Stretches] = []
    for _, text in found:
        longer, ranges = longer_of(text)
        taken += ranges
        read.append(part("distance", lambda said: read_lengths(said, told.count), longer))
    if len(read) > 1 and any(len(each) > 1 for each in read):
        raise ValueError(
            f'distance is "{distance}", of machines that stand apart and from several panels; write a line for each distance'
        )
    others = tuple(
        FromPanel(name, far[0][0].text, far[0][1].text)
        for (name, _), far in zip(found[1:], read[1:], strict=True)
    )
    return Where(replace(told, panel=found[0][0] or told.panel), read[0], others, tuple(taken))


def far_from(machine: MachineAnswer, panels: Sequence[PanelAnswer]) -> dict[str, tuple[Decimal, Decimal]]:
    """How far it stands from each panel of which that was told, by the panel's name as its line has it."""
    own = panel_of(machine, panels)
    names = {panel.name.lower(): panel.name for panel in panels}
    found = {names.get(other.panel.lower(), other.panel): other.feet for other in machine.others}
    return ({} if own is None else {own.name: (machine.fixed_ft, machine.cord_ft)}) | found


def _poles(volts: int, phases: int) -> int:
    return 3 if phases == 3 else 1 if volts == 120 else 2


def panel_of(machine: MachineAnswer, panels: Sequence[PanelAnswer]) -> PanelAnswer | None:
    """The panel its distance is from: the one it names, else the first that feeds it, if only from one phase."""
    if machine.told.panel:
        return next((panel for panel in panels if panel.name.lower() == machine.told.panel.lower()), None)
    for phases in (machine.phases, 1):
        for panel in panels:
            if panel.feeds(machine, phases):
                return panel
    return next(iter(panels), None)


def in_turn(machine: MachineAnswer) -> bool:
    """Whether a machine takes part where machines move in turn: no moves of its own are told, and it is not bolted down."""
    return machine.told.moves is None and not machine.told.never_moves


def machine_misfits(
    machine: MachineAnswer, earlier: Iterable[MachineAnswer], panels: Sequence[PanelAnswer]
) -> Iterator[str]:
    """Why a machine does not go with the panels, if they are known, and the machines before it."""
    yield from _at_a_panel(machine.place, panels)
    panel = panel_of(machine, panels)
    if panels and panel is None:
        names = [known.name for known in panels]
        yield f'from is "{machine.told.panel}", which is no panel; {allowed(machine.told.panel, names)}'
    for other in earlier:
        if other.name.lower() == machine.name.lower():
            yield f'name is "{machine.name}", which an earlier machine has; give each a name of its own'
            return
        mine, theirs = far_from(machine, panels), far_from(other, panels)
        together = machine.place and other.place == machine.place
        if together and any(mine[name] != theirs[name] for name in mine.keys() & theirs.keys()):
            yield (
                f'distance is {machine.distance_text}, but "{machine.place}" was {other.distance_text} away '
                f'for "{other.name}"; write the same, or name another place'
            )
            return


def _at_a_panel(place: str, panels: Iterable[PanelAnswer]) -> Iterator[str]:
    if place.lower() in {panel.name.lower() for panel in panels}:
        yield f'place is "{place}", which is the panel itself; name the spot where it stands'


_PHASES = {"1": 1, "3": 3, "single": 1, "one": 1, "three": 3}


def _phases(text: str) -> int:
    phases = _PHASES.get(re.sub(r"[ -]?phases?$", "", text.strip().lower()))
    if phases is None:
        raise ValueError(f'is "{text}"; allowed: 1, 3')
    return phases
