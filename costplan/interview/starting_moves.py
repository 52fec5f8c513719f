"""What may happen in a first shop file: moves of machines whose lines tell them, of the others in turn, and the lease's end."""

from collections.abc import Iterable, Iterator, Sequence

from costplan.interview.answers import Answers
from costplan.interview.machine_line import MachineAnswer
from costplan.interview.starting_machines import figure, guessed_middle, in_turn, moves_in_turn
from costplan.interview.told_moves import Moves
from costplan.model.yaml_text import quoted

_MOVES = "machines are moved"
_MOVES_IN_TURN = "machines are moved in turn"
_LEASE = "after the lease"
RENEWED = "renewed"
"""Said of a lease that ends before the plan does; else the shop moves then."""


def open_to_moves(answers: Answers, places: Iterable[str]) -> list[str]:
    """Places that machines which move in turn can stand at: where one of them stands, and where no machine does yet."""
    standing: dict[str, list[bool]] = {}
    for machine in answers.machines:
        standing.setdefault(machine.place, []).append(in_turn(machine))
        if machine.other_spot is not None:
            standing.setdefault(other_spot(machine), [])
    return [place for place in places if any(standing.get(place, [True]))]


def other_spot(machine: MachineAnswer) -> str:
    """The spot that a machine moves to and back from."""
    return f"other spot of {machine.name}"


def scenario_lines(answers: Answers, places: Sequence[str]) -> Iterator[str]:
    """What may happen, and how likely: moves of single machines, of the others in turn, and what comes after the lease.

    places: all that machines stand at, or could.
    """
    dated = [machine for machine in answers.machines if machine.told.moves is not None]
    if dated:
        yield from _dated(dated, answers, places)
        return
    moved, some = moves_in_turn(answers), _some(answers)
    if not moved and answers.lease is not None and answers.lease.then:
        yield "# No machine ever moves, as you answered."
        yield "scenarios:"
        yield f"  - name: {_LEASE}"
        yield "    weight: 100 %"
        yield from _after_the_lease(answers)
        moving = list(_shop_moves(answers))
        yield from (["    events:", *moving] if moving else [])
        return
    if not moved:
        yield "# Nothing ever moves, as you answered. What may change, and how likely, is written like this:"
        yield "# scenarios:"
        yield f"#   - name: {_MOVES}"
        yield "#     weight: 100 %"
        yield "#     events:"
        yield f"#       - {some}"
        return
    yield from _made_up(answers, places)
    yield "# What may happen, and how likely; the weights add up to 100 %."
    yield "scenarios:"
    yield f"  - name: {_MOVES_IN_TURN}"
    yield "    weight: 100 %"
    yield from _after_the_lease(answers)
    yield from _rearranged(answers, places)
    moving = list(_shop_moves(answers))
    if moving:
        yield from ("    events:", *moving)
        return
    yield "    # Where you know which machines move, and when, say so instead; new_spot is as far from the panel:"
    yield "    # events:"
    yield f"    #   - {some}"


def _made_up(answers: Answers, places: Sequence[str]) -> Iterator[str]:
    """That a place was made up, where one was."""
    if set(open_to_moves(answers, places)) - {machine.place for machine in answers.machines}:
        yield "# All that move in turn stand at one place, so a second one, as far from the panel, was made up for the moves."


def _rearranged(answers: Answers, places: Sequence[str]) -> Iterator[str]:
    """The moves in turn of all machines that may move, or of those whose lines tell no moves of their own."""
    yield "    # One move is one machine, of a group too: those of the first group in turn, then those of the next,"
    if any(machine.told.moves is not None for machine in answers.machines):
        names = ", ".join(quoted(machine.name) for machine in answers.machines if in_turn(machine))
        yield "    # each to the next place of among; those whose lines tell how they move have events of their own."
        yield "    rearranged:"
        yield f"      machines: [{names}]"
    else:
        yield "    # each to the next place of among. machines: [...] here names those that take part."
        yield "    rearranged:"
    yield from guessed_middle(answers.moves_per_year, "      ")
    yield f"      times_per_year: {figure(answers.moves_per_year)}"
    yield f"      among: [{', '.join(map(quoted, open_to_moves(answers, places)))}]"


def _dated(dated: Sequence[MachineAnswer], answers: Answers, places: Sequence[str]) -> Iterator[str]:
    """The scenarios of moves that lines of machines tell, with those of the others in turn."""
    if moves_in_turn(answers):
        yield from _made_up(answers, places)
    if any(machine.other_spot is None for machine in dated):
        yield "# Each to a spot that has no outlet yet, as far from the panel; a group's first machines."
    if any(machine.other_spot is not None for machine in dated):
        yield "# Back and forth: out of its place and back, in turn; an outlet that is there serves again."
    courses = list(_courses(dated))
    if len(courses) > 1:
        yield "# A range of moves is two courses of events, as likely as each other: with its least and with its most."
    yield "scenarios:"
    for name, told in courses:
        yield f"  - name: {name}"
        yield f"    weight: {100 // len(courses)} %"
        yield from _after_the_lease(answers)
        if moves_in_turn(answers):
            yield from _rearranged(answers, places)
        yield "    events:"
        for machine, moves in told:
            yield from (f"      - {event}" for event in _events(machine, moves, answers))
        yield from _shop_moves(answers)


def _after_the_lease(answers: Answers) -> Iterator[str]:
    """Where the lease is renewed: that it does not end within the plan."""
    if answers.lease is not None and answers.lease.then == RENEWED:
        yield "    # Renewed, as you answered: it ends after this plan."
        yield f"    lease_ends: {int(answers.years) + 1}"


def _shop_moves(answers: Answers) -> Iterator[str]:
    """Where the lease is not renewed: that the whole shop goes to another building."""
    if answers.lease is not None and answers.lease.then not in ("", RENEWED):
        yield f"      - {{year: {answers.lease.ends}, shop_moves: true}}"


_Course = Sequence[tuple[MachineAnswer, Moves]]


def _courses(dated: Sequence[MachineAnswer]) -> Iterator[tuple[str, _Course]]:
    """The courses of events by name, each with what moves how: two where some moves were told as a range."""
    least = [(machine, machine.told.moves) for machine in dated if machine.told.moves is not None]
    if not any(moves.most for _, moves in least):
        yield _MOVES, least
        return
    yield f"{_MOVES} seldom", least
    yield f"{_MOVES} often", [(machine, moves.most or moves) for machine, moves in least]


def _events(machine: MachineAnswer, moves: Moves, answers: Answers) -> Iterator[str]:
    """The moves that a machine's line tells: each to a new spot, or back and forth."""
    some = moves.how_many is not None and moves.how_many < machine.count
    part = f", how_many: {moves.how_many}" if some else ""
    if machine.other_spot is None:
        times = f", times: {moves.times}" if moves.times > 1 else ""
        yield f"{{every: {moves.every}, machine: {quoted(machine.name)}{part}, new_spot: true{times}}}"
        return
    years = range(moves.every, int(answers.years), moves.every)
    spots = (other_spot(machine), machine.place)
    for time in range(moves.times):
        for leg, spot in enumerate(spots):
            legs = [year for number, year in enumerate(years) if (number * moves.times + time) % 2 == leg]
            if legs:
                yield f"{{years: {legs}, machine: {quoted(machine.name)}{part}, move: {quoted(spot)}}}"


def _some(answers: Answers) -> str:
    """An event of the largest group, of which about half move, or of a machine alone."""
    largest = max(answers.machines, key=lambda machine: machine.count)
    part = f", how_many: {(largest.count + 1) // 2}" if largest.count > 1 else ""
    return f"{{every: 2, machine: {quoted(largest.name)}{part}, new_spot: true}}"
