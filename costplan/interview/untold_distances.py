"""Distances from panels that could feed a machine and of which nobody told how far they are: nothing is taken for them."""

from collections.abc import Iterator, Sequence

from costplan.files.visible import listed
from costplan.interview.machine_line import MachineAnswer, PanelAnswer, far_from, in_turn, panel_of
from costplan.interview.told_plates import plate_of
from costplan.model.system import System, feeds


def could_feed(panel: PanelAnswer, machine: MachineAnswer) -> bool:
    """Whether a panel has the volts and phases of a machine's plate, today or once it is retooled."""
    if not machine.plated:
        return False
    plates = [{"volts": machine.volts_text, "phases": machine.phases, **dict(machine.loads)}]
    plates += [dict(later.plate.said) for later in machine.retooled]
    read = [plate_of(said) for said in plates]
    return any(
        feeds(System(panel.system), volts, plate.phases, neutral=False)
        for plate in read
        for volts in plate.nominal
    )


def _reaching(
    machine: MachineAnswer, machines: Sequence[MachineAnswer], panels: Sequence[PanelAnswer]
) -> set[str]:
    """Panels whose distance from where a machine stands was told, in its own line or in that of another at its place."""
    there = [each for each in machines if each is machine or (machine.place and each.place == machine.place)]
    return {panel for each in there for panel in far_from(each, panels)}


def untold(machines: Sequence[MachineAnswer], panels: Sequence[PanelAnswer]) -> dict[str, list[str]]:
    """By panel, the machines that it could feed and of which nobody told how far they are from it."""
    found = {
        panel.name: [
            machine.name
            for machine in machines
            if could_feed(panel, machine) and panel.name not in _reaching(machine, machines, panels)
        ]
        for panel in panels
    }
    return {panel: names for panel, names in found.items() if names}


def untold_words(machines: Sequence[MachineAnswer], panels: Sequence[PanelAnswer]) -> Iterator[str]:
    """The same in words, with how to tell it."""
    for panel, names in untold(machines, panels).items():
        are, them = ("is", "it") if len(names) == 1 else ("are", "them")
        yield (
            f"how far {listed(names)} {are} from {panel} was not told, so no plan feeds {them} from there; measure it, and "
            f"write both distances: {_example(panels)}"
        )
    yield from spots_untold(machines, panels)


def spots_untold(machines: Sequence[MachineAnswer], panels: Sequence[PanelAnswer]) -> Iterator[str]:
    """Machines that go back and forth: how far the other spot is was told from one panel alone."""
    for machine in machines:
        if machine.other_spot is not None and machine.others:
            own = panel_of(machine, panels)
            others = sorted(far_from(machine, panels).keys() - {own.name if own else ""})
            yield (
                f"how far the other spot of {machine.name} is from {listed(others)} was not told, so no plan feeds it from "
                "there; measure it, and write a route to that spot into the file"
            )


def _example(panels: Sequence[PanelAnswer]) -> str:
    return f"55 / 42 ft from {panels[0].name}, 20 ft from {panels[-1].name}"


def out_of_reach(machines: Sequence[MachineAnswer], panels: Sequence[PanelAnswer]) -> Iterator[str]:
    """Why machines cannot move in turn: of no panel that feeds one of them it is told how far every place is from it."""
    if len(panels) < 2:
        return
    moving = [machine for machine in machines if machine.plated and in_turn(machine)]
    told = [far_from(other, panels).keys() for other in moving]
    for machine in moving:
        own = panel_of(machine, panels)
        able = {panel.name for panel in panels if panel == own or could_feed(panel, machine)}
        if not any(all(panel in far for far in told) for panel in able):
            yield (
                f"{listed([each.name for each in moving])} change places, but no panel that feeds {machine.name} was told to "
                f"be how far from each of these; write the distance from each panel: {_example(panels)}; or how each machine "
                "moves in its own line: moves every 2 years"
            )
            return
