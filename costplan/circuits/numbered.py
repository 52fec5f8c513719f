"""Frozen records known by whole numbers: records that are equal have the same one."""

from collections.abc import Hashable
from itertools import count
from operator import itemgetter
from typing import Any, TypeVar

Record = TypeVar("Record")


def numbered(cls: type[Record]) -> type[Record]:
    """A frozen dataclass without slots, compared and hashed by a number that a record is given when it is first asked.

    Records here are small, made anew a lot and asked for a lot more. The numbers are this process's own, so what is sent
    to another process is numbered anew there. Each record keeps its own fields, as 5 and 5.0 are equal and print apart.
    """
    fields_of = itemgetter(*cls.__match_args__)  # type: ignore[attr-defined]
    numbers: dict[Hashable, int] = {}
    # Not the length: looking a record up numbers those of its own kind that it holds.
    unused = count()

    def number(self: Any) -> int:
        known = self.__dict__
        try:
            return known["_number"]  # type: ignore[no-any-return]
        except KeyError:
            known["_number"] = found = numbers.setdefault(fields_of(known), next(unused))
            return found

    def same(self: Any, other: object) -> bool:
        return number(self) == number(other) if other.__class__ is cls else NotImplemented

    def state(self: Any) -> dict[str, Any]:
        return {name: value for name, value in self.__dict__.items() if name != "_number"}

    for name, method in (("__hash__", number), ("__eq__", same), ("__getstate__", state)):
        setattr(cls, name, method)
    return cls
