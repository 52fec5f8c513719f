"""In which order machines are moved today, so that a place is vacated before somebody comes to it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Going:
    """A machine that goes from where it stands to another place; `to` is empty for one that is taken away."""

    machine: str
    stands: str
    to: str


@dataclass(frozen=True, slots=True)
class Moving:
    """One move in its turn; set aside first where others wait for its place and it for theirs."""

    going: Going
    aside: bool = False


def in_turn(goings: Sequence[Going]) -> Iterator[Moving]:
    """The moves in an order in which each place is vacated before somebody comes to it."""
    waiting = sorted(goings, key=lambda going: (going.to, going.machine))
    occupied = {going.machine: going.stands for going in waiting}
    while waiting:
        ready = next((going for going in waiting if not _in_the_way(going, waiting, occupied)), None)
        if ready is None:
            blocked = _of_a_cycle(waiting, occupied)
            yield Moving(blocked, aside=True)
            del occupied[blocked.machine]
            continue
        yield Moving(ready)
        waiting.remove(ready)


def _in_the_way(going: Going, waiting: Sequence[Going], occupied: dict[str, str]) -> list[Going]:
    """Who still stands where a machine goes to, and is to go away from there."""
    others = (other for other in waiting if other.machine != going.machine)
    return [other for other in others if going.to and occupied.get(other.machine) == going.to != other.to]


def _of_a_cycle(waiting: Sequence[Going], occupied: dict[str, str]) -> Going:
    """A machine that waits, through others, for its own place to be left."""
    seen: list[Going] = []
    going = waiting[0]
    while going not in seen:
        seen.append(going)
        going = _in_the_way(going, waiting, occupied)[0]
    return going
