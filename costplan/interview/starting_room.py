"""Panels, the service, and what makes room where spaces run out, as a first shop file has them."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from costplan.interview.answers import Answers
from costplan.interview.machine_line import MachineAnswer, PanelAnswer, panel_of
from costplan.interview.room_told import TandemAnswer
from costplan.model.catalog import Part
from costplan.model.system import System, phases
from costplan.model.yaml_text import quoted

FEEDER_FT = "5 ft"
"""From a panel to a subpanel beside it, as it is laid; a guess that the file says."""
_MOST_SIZES = 2


@dataclass(frozen=True, slots=True)
class Shortage:
    """A panel whose free spaces do not do: the poles that its machines may need, and those that are free."""

    panel: PanelAnswer
    needed: int

    @property
    def lacking(self) -> int:
        """Poles that lack."""
        return self.needed - int(self.panel.spaces_free)


def shortages(panels: Sequence[PanelAnswer], machines: Sequence[MachineAnswer]) -> Iterator[Shortage]:
    """Panels with fewer free spaces than a circuit for each machine without one would take, and a retooling to more poles."""
    for panel in panels:
        fed = [machine for machine in machines if machine.plated and panel_of(machine, panels) == panel]
        needed = sum(machine.count * _poles_to_come(machine) for machine in fed)
        if needed > int(panel.spaces_free):
            yield Shortage(panel, needed)


def _poles_to_come(machine: MachineAnswer) -> int:
    """Poles that its circuit takes beside what it has now."""
    return machine.most_poles - (0 if machine.told.now is None else machine.poles)


def subpanel_parts(panel: PanelAnswer, parts: Sequence[Part], lacking: int = 0) -> list[Part]:
    """Panels of a catalog that a panel may feed, those of enough spaces first; its own breaker takes a pole a line."""
    wanted = phases(System(panel.system))
    fitting = [
        part
        for part in parts
        if part.kind == "panel"
        and part.attributes.get("family") == panel.breakers
        and part.attributes.get("phases") == wanted
        and isinstance(part.attributes.get("spaces"), Decimal)
    ]
    fitting.sort(key=lambda part: (_spaces(part), part.id))
    enough = [part for part in fitting if _spaces(part) >= lacking + max(wanted, 2)]
    return enough or fitting[-1:]


def has_tandems(panel: PanelAnswer, parts: Sequence[Part]) -> bool:
    """Whether a catalog has tandem breakers of the panel's family."""
    return any(
        part.kind == "tandem breaker" and part.attributes.get("family") == panel.breakers for part in parts
    )


def _spaces(part: Part) -> int:
    return int(part.number("spaces"))


def panel_lines(answers: Answers) -> Iterator[str]:
    """The panels, with what is known of tandem breakers."""
    if not answers.panels:
        return
    yield "# breakers is what the panel's label calls them, as parts.yaml does; a 240 V circuit takes two spaces."
    if any(not panel.rating for panel in answers.panels):
        yield "# rating: 100 A at a panel is what its main breaker or lugs carry; left out, the panel is no limit."
    yield "panels:"
    tandems = {told.panel.lower(): told for told in answers.room.tandems}
    for panel in answers.panels:
        told = tandems.get(panel.name.lower())
        if told is None:
            yield f"  - {_panel(panel.name, panel)}"
        else:
            yield from _with_tandems(panel, told)
    if len(answers.panels) == 1:
        yield "  # A second panel is one more entry here, and a route from it to every place it can feed:"
        yield f"  # - {_panel('panel 2', replace(answers.panels[0], spaces_free='12', rating='', other_load=''))}"


def _panel(name: str, panel: PanelAnswer) -> str:
    said = f"system: {quoted(panel.system)}, breakers: {quoted(panel.breakers)}"
    rating = f", rating: {panel.rating}" if panel.rating else ""
    other = f", other_load: {panel.other_load}" if panel.other_load else ""
    return f"{{name: {quoted(name)}, {said}, spaces_free: {panel.spaces_free}{rating}{other}}}"


def _with_tandems(panel: PanelAnswer, told: TandemAnswer) -> Iterator[str]:
    yield f"  - name: {quoted(panel.name)}"
    yield f"    system: {quoted(panel.system)}"
    yield f"    breakers: {quoted(panel.breakers)}"
    yield f"    spaces_free: {panel.spaces_free}"
    if panel.rating:
        yield f"    rating: {panel.rating}"
    if panel.other_load:
        yield f"    other_load: {panel.other_load}"
    yield f"    tandems: {told.most}   # as many more as its label allows"
    yield "    # Plain ones only: no test button, no neutral shared in a red-and-black cable, handles not tied."
    yield "    one_pole_circuits:"
    for alike in told.circuits:
        plain = "test_button: false, shared_neutral: false, tied: false"
        yield f"      - {{breaker: {alike.breaker}, awg: '{alike.awg}', count: {alike.count}, {plain}}}"


def service_lines(answers: Answers, today: date) -> Iterator[str]:
    """The service and the measured peak, where they were told."""
    room = answers.room
    if room.service is None or not answers.panels:
        return
    yield "service:"
    yield f"  system: {quoted(answers.panels[0].system)}"
    yield f"  amps: {room.service}"
    if room.peak is not None:
        seen = room.peak.seen or today.isoformat()
        guessed = (
            "" if room.peak.seen else "   # seen: the day of this file; write the day that the reading ended"
        )
        peak = room.peak
        drawn = f"amps: {peak.amps}" if peak.amps else f"kw: {peak.kw}, power_factor: {peak.power_factor}"
        yield f"  measured_peak: {{{drawn}, seen: {seen}, days: {peak.days}}}{guessed}"
    else:
        yield "  # What it carries besides these machines; without it nothing else is counted. Ask for a measured peak:"
        yield f"  # measured_peak: {{amps: 38 A, seen: {today.isoformat()}, days: 30}}"
    waiting = [
        machine
        for machine in answers.machines
        if machine.plated
        and not (machine.told.starts_by_itself or machine.told.unattended)
        and not any(machine.name in names for names in room.turns)
    ]
    listed = f"[{', '.join(quoted(machine.name) for machine in waiting)}]"
    count = sum(machine.count for machine in waiting)
    if room.at_once is None or not waiting:
        return
    if room.at_once == "all" or int(room.at_once) >= count or len(waiting) < 2:
        yield "  # All of these may run together, as you answered."
        yield f"  at_once: [{listed}]"
    else:
        yield "  # How many of them run at the same time at the most, as you answered; no switch sees to it."
        yield f"  at_most: [{{count: {room.at_once}, of: {listed}}}]"


def gear_lines(answers: Answers, parts: Sequence[Part]) -> Iterator[str]:
    """Tandem breakers and subpanels that may be bought when they pay."""
    room = answers.room
    lines = []
    for told in room.tandems:
        name = named("tandem breakers", told.panel, len(room.tandems))
        lines.append(
            f"{{name: {quoted(name)}, kind: tandem breaker, panel: {quoted(told.panel)}, at_most: {told.most}}}"
        )
    for panel, part in subpanels(answers, parts):
        lines.append(
            f"{{name: {quoted(subpanel_name(panel, part))}, kind: subpanel, panel_part: {part.id}, "
            f"fed_from: {quoted(panel.name)}, at: {quoted(beside(panel))}}}"
        )
    for panel, quote in ((panel, dict(room.panels)[panel.name]) for panel in _at_service(answers)):
        another = _another_part(panel, answers, parts)
        if another is not None:
            asked = "" if quote is None else f", quote: {quoted(quote)}"
            lines.append(
                f"{{name: {quoted(another_name(panel))}, kind: subpanel, panel_part: {another.id}, fed_from: service, "
                f"at: {quoted(beside(panel))}{asked}}}"
            )
    if lines:
        yield "# What may make room; it is bought only where that is the cheapest way."
        yield "gear:"
        yield from (f"  - {line}" for line in lines)


def _at_service(answers: Answers) -> Iterator[PanelAnswer]:
    """The panels beside which another may hang at the service."""
    names = {name.lower() for name, _ in answers.room.panels}
    yield from (panel for panel in answers.panels if panel.name.lower() in names)


def _another_part(panel: PanelAnswer, answers: Answers, parts: Sequence[Part]) -> Part | None:
    lacking = {short.panel.name: short.lacking for short in shortages(answers.panels, answers.machines)}
    return next(iter(subpanel_parts(panel, parts, lacking.get(panel.name, 0))), None)


def another_name(panel: PanelAnswer) -> str:
    """What another panel at the service is called."""
    return f"another panel beside {panel.name}"


def panels_to_come(answers: Answers, parts: Sequence[Part]) -> Iterator[tuple[str, PanelAnswer]]:
    """The names of all panels that may be bought, each with the panel it hangs beside."""
    yield from ((subpanel_name(panel, part), panel) for panel, part in subpanels(answers, parts))
    for panel in _at_service(answers):
        if _another_part(panel, answers, parts) is not None:
            yield another_name(panel), panel


def named(what: str, panel: str, count: int) -> str:
    """A name for gear, with its panel's where there are several."""
    return what if count == 1 else f"{what} in {panel}"


def subpanels(answers: Answers, parts: Sequence[Part]) -> Iterator[tuple[PanelAnswer, Part]]:
    """Every subpanel that may be put in: of the sizes with enough spaces the smaller ones."""
    lacking = {short.panel.name: short.lacking for short in shortages(answers.panels, answers.machines)}
    for panel in answers.panels:
        if panel.name.lower() in {name.lower() for name in answers.room.subpanels}:
            for part in subpanel_parts(panel, parts, lacking.get(panel.name, 0))[:_MOST_SIZES]:
                yield panel, part


def subpanel_name(panel: PanelAnswer, part: Part) -> str:
    """What a subpanel is called, and the panel it brings."""
    rating = part.attributes.get("rating_a")
    return f"subpanel of {panel.name}, {rating} A"


def beside(panel: PanelAnswer) -> str:
    """The place where a subpanel hangs."""
    return f"beside {panel.name}"
