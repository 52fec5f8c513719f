"""Tables as pandas frames; pandas and the columns are loaded when a frame is asked for."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, TypeVar

from costplan.files.asked import WrongUseError

if TYPE_CHECKING:
    import pandas as pd

    from costplan.reports.columns import PlanTable
    from costplan.reports.table_types import Column, Table

T = TypeVar("T")


def named(tables: Mapping[str, T], name: str) -> T:
    """The table of that name. Raises WrongUseError naming those that there are."""
    if name not in tables:
        raise WrongUseError(f'there is no table "{name}"; there are {", ".join(tables)}')
    return tables[name]


def columns_of(table: "Table[Any, Any] | PlanTable[Any]") -> "tuple[Column[Any], ...]":
    """The columns of its frame."""
    from costplan.reports.columns import RANK, PlanTable

    return (RANK, *table.columns) if isinstance(table, PlanTable) else table.columns


def framed(columns: "tuple[Column[Any], ...]", rows: list[list[Any]]) -> "pd.DataFrame":
    """Rows as a frame whose columns have their types."""
    import pandas as pd

    from costplan.reports.table_types import Kind

    series = {}
    for place, column in enumerate(columns):
        values = [row[place] for row in rows]
        if column.kind is Kind.NUMBER:
            values = [None if value is None else float(value) for value in values]
        series[column.name] = pd.Series(values, dtype=str(column.kind))
    return pd.DataFrame(series)
