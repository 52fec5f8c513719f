"""What makes work slower: factors on hours that a place, a route or the height of the ceiling brings."""

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from pydantic import Field, model_validator

from costplan.files.quantities import MisreadError
from costplan.model.base import Entry, LengthFt, Number


class HourFactor(Entry):
    """What makes work slower, and the work that it makes slower; a bare number is for all work."""

    factor: Number = Field(gt=0)
    """1.5 means half as long again, hired and own hours alike."""
    tasks: list[str] = Field([])
    """Ids of the tasks it touches; left out means all that is done there."""
    ceiling_above_ft: LengthFt | None = Field(None, alias="ceiling_above", ge=0)
    """It counts by itself under a ceiling higher than this; left out, only where a place or a route names it."""
    ceiling_to_ft: LengthFt | None = Field(None, alias="ceiling_to", ge=0)
    """The highest ceiling it is known to hold for; left out, any."""

    @model_validator(mode="after")
    def _rising(self) -> "HourFactor":
        above, to = self.ceiling_above_ft, self.ceiling_to_ft
        if to is not None and above is None:
            raise MisreadError("says ceiling_to alone", "write ceiling_above: too, from where on it counts")
        if above is not None and to is not None and to <= above:
            found = f"holds from above {above:f} ft to {to:f} ft"
            raise MisreadError(found, "ceiling_to must be more than ceiling_above")
        return self

    @model_validator(mode="before")
    @classmethod
    def _bare_number(cls, values: Any) -> Any:
        return values if isinstance(values, dict | HourFactor) else {"factor": values}

    @classmethod
    def __get_pydantic_json_schema__(cls, core: Any, handler: Any) -> Any:
        """A number, or the mapping."""
        described = handler.resolve_ref_schema(super().__get_pydantic_json_schema__(core, handler))
        return {"anyOf": [described["properties"]["factor"], described]}


LADDER_FT = 10
"""Hours without a factor hold up to such a ceiling: a ladder reaches what hangs there. Common practice, no source."""


def of_ceiling(
    book: Mapping[str, HourFactor], own: Mapping[str, HourFactor], ceiling_ft: Decimal
) -> tuple[str, ...]:
    """Names of the factors that count by themselves under a ceiling: those that begin nearest below it.

    `book` is labor.yaml's, `own` the shop file's, which alone count where both begin at one height. Above the highest
    `ceiling_to` the highest goes on to count, since work higher up is no quicker; `check` asks then.
    """
    known = {**book, **own}
    below = {
        name: by.ceiling_above_ft
        for name, by in known.items()
        if by.ceiling_above_ft is not None and by.ceiling_above_ft < ceiling_ft
    }
    nearest = [name for name, above_ft in below.items() if above_ft == max(below.values())]
    return tuple([name for name in nearest if name in own] or nearest)


def speaks_of_ceiling(said: Iterable[list[str] | None], known: Mapping[str, HourFactor]) -> bool:
    """Whether factors named (None: nothing was said) take the place of those that count by themselves.

    An empty list does, and so does one with a factor that has a `ceiling_above` of its own.
    """
    return any(
        words is not None
        and (not words or any(word in known and known[word].ceiling_above_ft is not None for word in words))
        for words in said
    )
