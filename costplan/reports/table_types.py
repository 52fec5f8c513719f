"""What a table is: columns declared once with their types, and its rows for JSON, CSV and frames."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Any, Generic, TypeVar

from costplan.model.money import format_cents, format_price

R = TypeVar("R")
S = TypeVar("S")
CENTS = "_cents"


class Kind(StrEnum):
    """The type of a column, as pandas calls it; all may lack a value but those of `int64`, `bool` and `object`."""

    WHOLE = "int64"
    MAYBE_WHOLE = "Int64"
    NUMBER = "Float64"
    WORDS = "string"
    TRUTH = "bool"
    MAYBE_TRUTH = "boolean"
    LIST = "object"


@dataclass(frozen=True)
class Column(Generic[R]):
    """A column: `of` reads it off a row's record, in the unit of its name; JSON has `places` decimals of a number."""

    name: str
    kind: Kind
    means: str
    of: Callable[[R], Any]
    places: int | None = None

    @property
    def key(self) -> str:
        """Its name in JSON and CSV."""
        return self.name.removesuffix(CENTS)

    def data(self, record: R) -> Any:
        """Its value for JSON: money with its decimals, numbers rounded."""
        value = self.of(record)
        if value is None:
            return None
        if isinstance(value, Mapping):
            money = self.name.endswith(CENTS)
            return {str(key): _money(one) if money else one for key, one in value.items()}
        if self.name.endswith(CENTS):
            return list(map(_money, value)) if self.kind is Kind.LIST else _money(value)
        return round(value, self.places) if self.places is not None else value


def _money(cents: int | Decimal) -> Decimal:
    if isinstance(cents, int):
        return Decimal(format_cents(cents, thousands=False))
    return Decimal(format_price(cents, thousands=False))


@dataclass(frozen=True)
class Table(Generic[S, R]):
    """A table of a whole answer."""

    name: str
    means: str
    rows: Callable[[S], Iterable[R]]
    columns: tuple[Column[R], ...]

    def data(self, answer: S) -> list[dict[str, Any]]:
        """Its rows for JSON."""
        return [row_data(self.columns, record) for record in self.rows(answer)]

    def values(self, answer: S) -> list[list[Any]]:
        """Its rows, in the order and the units of the columns."""
        return [[column.of(record) for column in self.columns] for record in self.rows(answer)]


def row_data(columns: Iterable[Column[R]], record: R) -> dict[str, Any]:
    """A record for JSON, by the keys of the columns."""
    return {column.key: column.data(record) for column in columns}
