"""Frozen records known by whole numbers: records that are equal have the same one."""

from collections.abc import Hashable
from itertools import count
from operator import attrgetter
from typing import Any, TypeVar

Record = TypeVar("Record")


def numbered(cls: type[Record]) -> type[Record]:
    """A frozen dataclass without slots, compared and hashed by a number that a record is given when it is first asked.

    Records here are small, made anew a lot and asked for a lot more. The numbers are this process's own, so what is sent
    to another process is numbered anew there. Each record keeps its own fields, as 5 and 5.0 are equal and print apart.
    """
    fields_of = attrgetter(*cls.__match_args__)  # type: ignore[attr-defined]
    numbers: dict[Hashable, int] = {}
    # Not the length: looking a record up numbers those of its own kind that it holds.
    unused, put = count(), object.__setattr__

    def number(self: Any) -> int:
        found: int | None = self._number
        if found is None:
            found = numbers.setdefault(fields_of(self), next(unused))
            put(self, "_number", found)
        return found

    def same(self: Any, other: object) -> bool:
        return number(self) == number(other) if other.__class__ is cls else NotImplemented

    def state(self: Any) -> dict[str, Any]:
        return {name: value for name, value in self.__dict__.items() if name != "_number"}

    new = {"_number": None, "__hash__": number, "__eq__": same, "__getstate__": state}
    for name, value in new.items():
        setattr(cls, name, value)
    return cls
