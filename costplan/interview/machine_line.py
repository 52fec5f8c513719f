"""One line of notes about a machine: its nameplate, where it stands, and what more is told of it."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from costplan.files import quantities
from costplan.interview.told_facts import Told, read_facts, said_elsewhere
from costplan.interview.told_lengths import Stretch, longer_of, read_distance, read_lengths
from costplan.model.choices import LoadKind
from costplan.model.nameplate import Electrical
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
    apart_each: tuple[tuple[Stretch, Stretch], ...] = ()
    """Where the machines of a group stand at several distances: how far the wiring and the cord of so many of them go."""

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
        return 3 if self.phases == 3 else 1 if self.volts == 120 else 2

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
        if mistakes:
            raise PartsError(mistakes)
        return MachineAnswer(name, place, "", (), 1, "", "", 0, None, Decimal(0), Decimal(0), told)
    no_loads: tuple[tuple[str, str], ...] = ()
    loads = noted(mistakes, lambda: read_loads(load), no_loads)
    phases = noted(mistakes, lambda: part("phases", _phases, phases_text), 0)
    said: dict[str, object] = {"volts": volts, "phases": phases or 1, **(dict(loads) or {"amps": 1})}
    plate = noted(mistakes, lambda: plate_of(said), None)
    longer, taken = longer_of(distance)
    nowhere: tuple[tuple[Stretch, Stretch], ...] = ()
    far = noted(
        mistakes, lambda: part("distance", lambda said: read_lengths(said, told.count), longer), nowhere
    )
    if len(far) > 1 and place:
        mistakes.append(
            f'its machines stand at {len(far)} distances, but all at "{place}"; leave the place out'
        )
    if told.load is LoadKind.HEATER and plate is not None and set(dict(loads)) == {"hp"}:
        loads, taken_as = noted(mistakes, lambda: _of_heat(dict(loads)["hp"], plate), (loads, ""))
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
    fixed, cord = (max((pair[end].text for pair in far), key=quantities.parse_length_ft) for end in (0, 1))
    lengths = (quantities.parse_length_ft(fixed), quantities.parse_length_ft(cord))
    plain = (int(plate.volts), plate.hp if "hp" in dict(loads) else None)
    each = far if len(far) > 1 else ()
    return MachineAnswer(
        name, place, volts, loads, phases, fixed, cord, *plain, *lengths, told, taken, other_spot, apart, each
    )


def heat_a(text: str, volts: Decimal, phases: int) -> Decimal:
    """Amperes of a heater of so many kW: P / V, of three phases P / (V root 3), rounded up to 0.01. Raises ValueError."""
    watts = quantities.parse_quantity(text, quantities.POWER_UNITS) * 1000
    each = volts * (Decimal(3).sqrt() if phases == 3 else 1)
    return (watts / each).quantize(Decimal("0.01"), ROUND_CEILING).normalize()


def _of_heat(text: str, plate: Electrical) -> tuple[tuple[tuple[str, str], ...], str]:
    """A heater's kW as amperes, and how it was taken. Raises ValueError for horsepower, and for several volts."""
    if not re.search(r"(?:kw|kilowatts)$", text.strip(), re.IGNORECASE):
        raise ValueError(
            f"it is a heater, and {text} is a motor's; write its kW or the amperes of the nameplate"
        )
    on_plate = [volts for group in plate.plate_volts for volts in group]
    if len(on_plate) != 1:
        raise ValueError(
            f"its plate names several volts, and {text} is its heat at one of them; write the amperes at each, or the volts "
            "that it is for alone"
        )
    amps = f"{heat_a(text, on_plate[0], plate.phases):f} A"
    return (("amps", amps),), f"{text} is taken as {amps} at {on_plate[0]:f} V, watts over volts"


def panel_of(machine: MachineAnswer, panels: Sequence[PanelAnswer]) -> PanelAnswer | None:
    """The panel its distance is from: the one it names, else the first that feeds it, if only from one phase."""
    if machine.told.panel:
        return next((panel for panel in panels if panel.name.lower() == machine.told.panel.lower()), None)
    for phases in (machine.phases, 1):
        for panel in panels:
            if panel.feeds(machine, phases):
                return panel
    return next(iter(panels), None)


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
        together = machine.place and other.place == machine.place and panel_of(other, panels) == panel
        if together and (other.fixed_ft, other.cord_ft) != (machine.fixed_ft, machine.cord_ft):
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


_BETWEEN_LOADS = re.compile(
    r"\s*(?:,|\band\b|\+)\s*|(?<=[a-z])\s*/\s*|(?<=[a-z])\s+(?=[0-9]|half\b|quarter\b)", re.IGNORECASE
)


def read_loads(text: str) -> tuple[tuple[str, str], ...]:
    """Horsepower, amperes or both, as a plate has them: `3 hp`, `12.8 A`, `3 hp, 12.8 A`. Raises ValueError."""
    found: dict[str, str] = {}
    for said in filter(None, map(str.strip, _BETWEEN_LOADS.split(text))) if text else [text]:
        word = _load_word(said, text)
        if word in found:
            raise ValueError(
                f'hp or amps is "{text}", which says {word} twice; write each once: 3 hp, 12.8 A'
            )
        found[word] = said
    return tuple(found.items())


def _load_word(said: str, text: str) -> str:
    unit = re.search(r"[a-z]*$", said.strip().lower())
    word = unit[0] if unit else ""
    if word in quantities.HORSEPOWER_UNITS:
        return "hp"
    if word in quantities.CURRENT_UNITS:
        return "amps"
    raise ValueError(
        f'hp or amps is "{text}"; write the unit: 3 hp, half hp, 2.2 kW or 12.8 A; or both: 3 hp, 12.8 A'
    )


def plate_of(words: Mapping[str, object]) -> Electrical:
    """What a nameplate says, by the words of the shop file. Raises PartsError."""
    try:
        return Electrical.model_validate(words)
    except ValidationError as error:
        found = error.errors(include_url=False)
        raise PartsError(map(_said_of, found), map(_word_of, found)) from None


def _word_of(found: ErrorDetails) -> str:
    return str(found["loc"][0]) if found["loc"] else ""


def _said_of(found: ErrorDetails) -> str:
    where = f"{_word_of(found)} ".lstrip()
    if found["type"] == "greater_than":
        return f"{where}is {found['input']}; it must be more than 0"
    return f"{where}{found.get('ctx', {}).get('error', found['msg'])}"
