"""What may happen in a first shop file: moves of machines whose lines tell them, of the others in turn, and the lease's end."""

from collections.abc import Iterable, Iterator, Sequence

from costplan.interview.answers import Answers
from costplan.interview.machine_line import MachineAnswer, in_turn
from costplan.interview.starting_machines import figure, guessed_middle, moves_in_turn
from costplan.interview.told_moves import Moves
from costplan.model.yaml_text import quoted

_MOVES = "machines are moved"
_MOVES_IN_TURN = "machines are moved in turn"
_RETOOLED = "machines are retooled"
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
    """What may happen, and how likely: moves of single machines, of the others in turn, retoolings, what follows the lease.

    places: all that machines stand at, or could.
    """
    dated = [machine for machine in answers.machines if machine.told.moves is not None]
    retooled = any(machine.retooled for machine in answers.machines)
    in_turn, ends = moves_in_turn(answers), answers.lease is not None and answers.lease.then
    if not (dated or retooled or in_turn or ends):
        yield from _nothing_moves(answers)
        return
    yield from _comments(answers, places, dated)
    yield "scenarios:"
    courses = list(_courses(dated, _name(answers, dated)))
    for name, told in courses:
        yield f"  - name: {name}"
        yield f"    weight: {100 // len(courses)} %"
        yield from _after_the_lease(answers)
        if in_turn:
            yield from _rearranged(answers, places)
        events = [event for machine, moves in told for event in _events(machine, moves, answers)]
        events += [event for machine in answers.machines for event in _retoolings(machine)]
        events += _shop_moves(answers)
        if events:
            yield "    events:"
            yield from (f"      - {event}" for event in events)
        elif in_turn:
            yield "    # Where you know which machines move, and when, say so instead; new_spot is as far from the panel:"
            yield "    # events:"
            yield f"    #   - {_some(answers)}"


def _nothing_moves(answers: Answers) -> Iterator[str]:
    yield "# Nothing ever moves, as you answered. What may change, and how likely, is written like this:"
    yield "# scenarios:"
    yield f"#   - name: {_MOVES}"
    yield "#     weight: 100 %"
    yield "#     events:"
    yield f"#       - {_some(answers)}"


def _name(answers: Answers, dated: Sequence[MachineAnswer]) -> str:
    """What a course of events is called, by the first that happens in it."""
    if dated:
        return _MOVES
    if moves_in_turn(answers):
        return _MOVES_IN_TURN
    return _RETOOLED if any(machine.retooled for machine in answers.machines) else _LEASE


def _comments(answers: Answers, places: Sequence[str], dated: Sequence[MachineAnswer]) -> Iterator[str]:
    """What stands above the scenarios: what their events mean."""
    in_turn = moves_in_turn(answers)
    if in_turn:
        yield from _made_up(answers, places)
    if not dated:
        yield (
            "# What may happen, and how likely; the weights add up to 100 %."
            if in_turn
            else "# No machine ever moves, as you answered."
        )
    if any(machine.other_spot is None for machine in dated):
        yield "# Each to a spot that has no outlet yet, as far from the panel; a group's first machines."
    if any(machine.other_spot is not None for machine in dated):
        yield "# Back and forth: out of its place and back, in turn; an outlet that is there serves again."
    if any(moves.most for machine in dated if (moves := machine.told.moves) is not None):
        yield "# A range of moves is two courses of events, as likely as each other: with its least and with its most."
    if any(machine.retooled for machine in answers.machines):
        yield "# A retooling is all of the plate that a machine has from the end of its year on; what you did not say stays."


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


def _after_the_lease(answers: Answers) -> Iterator[str]:
    """Where the lease is renewed: that it does not end within the plan."""
    if answers.lease is not None and answers.lease.then == RENEWED:
        yield "    # Renewed, as you answered: it ends after this plan."
        yield f"    lease_ends: {int(answers.years) + 1}"


def _shop_moves(answers: Answers) -> Iterator[str]:
    """Where the lease is not renewed: that the whole shop goes to another building."""
    if answers.lease is not None and answers.lease.then not in ("", RENEWED):
        yield f"{{year: {answers.lease.ends}, shop_moves: true}}"


_Course = Sequence[tuple[MachineAnswer, Moves]]


def _courses(dated: Sequence[MachineAnswer], name: str) -> Iterator[tuple[str, _Course]]:
    """The courses of events by name, each with what moves how: two where some moves were told as a range."""
    least = [(machine, machine.told.moves) for machine in dated if machine.told.moves is not None]
    if not any(moves.most for _, moves in least):
        yield name, least
        return
    yield f"{name} seldom", least
    yield f"{name} often", [(machine, moves.most or moves) for machine, moves in least]


def _events(machine: MachineAnswer, moves: Moves, answers: Answers) -> Iterator[str]:
    """The moves that a machine's line tells: each to a new spot, or back and forth."""
    some = moves.how_many is not None and moves.how_many < machine.count
    part = f", how_many: {moves.how_many}" if some else ""
    always = machine.told.arrives is None and machine.told.leaves is None
    years = _years_of_moves(machine, moves, int(answers.years))
    if machine.other_spot is None and not (always or years):
        return
    if machine.other_spot is None:
        when = f"every: {moves.every}" if always else f"years: {list(years)}"
        times = f", times: {moves.times}" if moves.times > 1 else ""
        yield f"{{{when}, machine: {quoted(machine.name)}{part}, new_spot: true{times}}}"
        return
    spots = (other_spot(machine), machine.place)
    for time in range(moves.times):
        for leg, spot in enumerate(spots):
            legs = [year for number, year in enumerate(years) if (number * moves.times + time) % 2 == leg]
            if legs:
                yield f"{{years: {legs}, machine: {quoted(machine.name)}{part}, move: {quoted(spot)}}}"


def _years_of_moves(machine: MachineAnswer, moves: Moves, years: int) -> range:
    """The years in which a machine moves: every so many from when it comes on, as long as it is there and the plan goes."""
    comes, goes = int(machine.told.arrives or 0), int(machine.told.leaves or years)
    return range(comes + moves.every, min(goes, years), moves.every)


def _retoolings(machine: MachineAnswer) -> Iterator[str]:
    """The plates that a machine's line tells of later; whether it runs continuously is a word of each plate."""
    for later in machine.retooled:
        some = later.how_many is not None and later.how_many < machine.count
        part = f", how_many: {later.how_many}" if some else ""
        words = [f"volts: {quoted(later.plate.volts)}"]
        words += ["phases: 3"] if later.plate.phases == 3 else []
        words += [f"{word}: {quoted(text)}" for word, text in later.plate.loads]
        if machine.told.continuous is not None:
            words.append(f"continuous: {str(machine.told.continuous).lower()}")
        yield f"{{year: {later.year}, machine: {quoted(machine.name)}{part}, retool: {{{', '.join(words)}}}}}"


def _some(answers: Answers) -> str:
    """An event of the largest group, of which about half move, or of a machine alone."""
    largest = max(answers.machines, key=lambda machine: machine.count)
    part = f", how_many: {(largest.count + 1) // 2}" if largest.count > 1 else ""
    return f"{{every: 2, machine: {quoted(largest.name)}{part}, new_spot: true}}"
