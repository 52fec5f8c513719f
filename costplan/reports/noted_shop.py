"""What is asked once of a shop: how much stands beside its panels, what these are, what carries cords, who may work when."""

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.ledger.steps import Act
from costplan.model.choices import Method, Occupancy
from costplan.program.ranked import Ranked
from costplan.reports.remarks import Topic
from costplan.reports.there import Powered, There

LARGEST_SHARED_A = 20
"""The largest circuit that small machines are spoken of for; NFPA 70 210.23(A) is of 15 and 20 A."""
SHARE_OF_SHARED = Decimal("0.8")
"""What one machine with a plug may draw of a circuit that others share (NFPA 70 210.23(A)(1), from memory)."""
USUAL_BESIDE = 8
"""So many outlets mostly find room on boxes at both sides of a panel; common practice, no source."""

WORDS = ("outlet", "cord")


def beside_panels(powered: Iterable[Powered]) -> dict[str, tuple[int, int]]:
    """How many outlets and cords a plan has beside each panel, those that are there among them, by panel."""
    found: dict[str, tuple[int, int]] = {}
    for entry in powered:
        if entry.way.method is Method.CORD:
            outlets, cords = found.get(entry.circuit.panel, (0, 0))
            found[entry.circuit.panel] = (outlets + (entry.act is not Act.SHARE), cords + 1)
    return found


def beside_words(counts: tuple[int, int] | None, panel: str = "it") -> str:
    """`32 outlets and 32 cords beside it`; empty where none is."""
    if counts is None:
        return ""
    outlets, cords = (
        f"{count} {word}{'s' * (count != 1)}" for count, word in zip(counts, WORDS, strict=True)
    )
    return f"{outlets} and {cords} beside {panel}"


def small_alone(made: Iterable[Powered]) -> Iterator[tuple[Powered, ...]]:
    """Small machines whose circuits are made today for one each, where one circuit carries two of them from one place."""
    small: dict[tuple[object, ...], list[Powered]] = {}
    for entry in made:
        circuit, load = entry.circuit, entry.circuit.supplied.load
        plain = not load.driven and not load.kind.welds
        if circuit.size.configuration is not None and circuit.size.breaker_a <= LARGEST_SHARED_A and plain:
            key = (circuit.panel, circuit.outlet_place, load.volts, load.phases)
            small.setdefault(key, []).append(entry)
    yield from filter(None, map(tuple, map(_pairing, small.values())))


def _pairing(beside: list[Powered]) -> Iterator[Powered]:
    """Those that the circuit of one carries together with the smallest other: 125 % of the larger, all of the smaller."""
    smallest, *others = sorted(beside, key=lambda entry: entry.circuit.size.minimum_ampacity_a)
    least_a = smallest.circuit.size.current_a
    fit = [
        entry
        for entry in others
        if entry.circuit.size.minimum_ampacity_a + least_a <= entry.circuit.size.breaker_a
        and entry.circuit.size.current_a <= entry.circuit.size.breaker_a * SHARE_OF_SHARED
    ]
    yield from (smallest, *fit) if fit else ()


def notes_of(there: There) -> list[str]:
    """What a plan's total rests on that nobody has looked at: outlets beside one panel, circuits of small machines."""
    said = [
        f"{beside_words(counts, panel)} (mostly about {USUAL_BESIDE} fit)"
        for panel, counts in beside_panels(there.powered).items()
        if counts[0] > USUAL_BESIDE
    ]
    alone = sum(len(together) for together in small_alone(entry for entry in there.powered if entry.made))
    if alone:
        said.append(f"{alone} small machines on a circuit each (one may serve several)")
    return said


def of_rate(ranked: Ranked) -> Iterator[tuple[Topic, str]]:
    """Whoever is hired today at a rate that nobody asked."""
    crew = ranked.plan.hiring.crew
    if crew.rate_from is not None and any(line.crew == crew.name and not line.year for line in ranked.lines):
        yield Topic.RATE_RECKONED, crew.name


def of_shop(
    facts: Facts, powered: Sequence[Powered], worked_in: Sequence[str]
) -> Iterator[tuple[Topic, str]]:
    """What is asked of panels that are worked in today, and of the whole shop where circuits are made or changed."""
    for panel in facts.shop.panels:
        if panel.name in worked_in:
            yield Topic.PANEL_CONDITION, panel.name
            if panel.rating_a is None:
                yield Topic.PANEL_RATING, panel.name
    in_walls = any(entry.made and entry.way.method is Method.WALL for entry in powered)
    if in_walls or any(panel.flush and panel.name in worked_in for panel in facts.shop.panels):
        yield Topic.OLD_FINISH, ""
    changed = [entry for entry in powered if entry.changes]
    if any(
        entry.circuit.cable is not None and entry.way.method in (Method.CORD, Method.CEILING)
        for entry in changed
    ):
        yield Topic.CEILING, ""
    spaces = [facts.space_at(entry.circuit.standing.place) for entry in changed]
    if any(space.occupancy is Occupancy.SCHOOL for space in spaces):
        yield Topic.SCHOOL, ""
    motors = [entry for entry in powered if entry.made and entry.circuit.supplied.load.turns]
    if len({entry.machine.name for entry in motors}) > 1:
        yield Topic.CONTROL_WIRES, ""
    for entry, space in zip(changed, spaces, strict=True):
        if (
            entry.way.method is Method.CORD
            and space.ground_fault_place is None
            and not space.occupancy.dwelling
        ):
            yield Topic.WET_AT_MACHINE, ""
