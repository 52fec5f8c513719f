"""Groups whose machines stand at several distances, as one entry for each distance: an entry of the file has one."""

from collections.abc import Collection, Iterator
from dataclasses import replace

from costplan.files import quantities
from costplan.interview.answers import Answers, StrategyAnswer
from costplan.interview.machine_line import MachineAnswer


def each_apart(answers: Answers) -> Answers:
    """The answers with such groups divided, also where turns and strategies name them; others come back as they are."""
    taken = {machine.name.lower() for machine in answers.machines}
    names: dict[str, list[str]] = {}
    machines: list[MachineAnswer] = []
    for machine in answers.machines:
        members = list(_members(machine, taken))
        machines += members
        names[machine.name.lower()] = [member.name for member in members]
    turns = tuple(tuple(_all_named(group, names)) for group in answers.room.turns)
    strategies = tuple(
        StrategyAnswer(
            said.name, tuple((name, words) for one, words in said.ways for name in _all_named([one], names))
        )
        for said in answers.strategies
    )
    return replace(
        answers,
        machines=tuple(machines),
        room=replace(answers.room, turns=turns),
        strategies=strategies,
    )


def _all_named(said: Collection[str], names: dict[str, list[str]]) -> Iterator[str]:
    for one in said:
        yield from names.get(one.lower(), [one])


def _members(machine: MachineAnswer, taken: Collection[str]) -> Iterator[MachineAnswer]:
    """One entry a distance, the first of them with the moves where only so many of the group move."""
    if not machine.apart_each:
        yield machine
        return
    later = [(each, machine.count if each.how_many is None else each.how_many) for each in machine.retooled]
    alike = [pair[0].text for pair in machine.apart_each]
    moves = machine.told.moves
    left = machine.count if moves is None or moves.how_many is None else moves.how_many
    for fixed, cord in machine.apart_each:
        both = "" if alike.count(fixed.text) == 1 else f" by wall, {cord.text} by cord"
        name = f"{machine.name} at {fixed.text}{both}"
        while name.lower() in taken:
            name += " away"
        moving = min(left, fixed.count)
        left -= moving
        plates = []
        for index, (each, some) in enumerate(later):
            here = min(some, fixed.count)
            later[index] = (each, some - here)
            if here:
                plates.append(replace(each, how_many=here if here < fixed.count else None))
        part = moving if moving < fixed.count else None
        told = replace(
            machine.told,
            count=fixed.count,
            moves=moves.of(part) if moves is not None and moving else None,
            other_spot=machine.told.other_spot if moving else None,
            apart=machine.told.apart if moving else None,
        )
        yield replace(
            machine,
            name=name,
            fixed_text=fixed.text,
            cord_text=cord.text,
            fixed_ft=quantities.parse_length_ft(fixed.text),
            cord_ft=quantities.parse_length_ft(cord.text),
            told=told,
            other_spot=machine.other_spot if moving else None,
            apart=machine.apart if moving else None,
            apart_each=(),
            retooled=tuple(plates),
        )
