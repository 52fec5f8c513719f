"""Answers of a pure question, each worked out once, refusals as well."""

from collections.abc import Callable
from typing import Any, Generic, TypeVar

from costplan.circuits.size_types import CannotSizeError
from costplan.model.routes import NoRouteError

Asked = TypeVar("Asked")
Answer = TypeVar("Answer")
_UNKNOWN: Any = object()


class Remembered(Generic[Asked, Answer]):
    """What was answered by what was asked."""

    def __init__(self) -> None:
        self._known: dict[Asked, Answer | CannotSizeError | NoRouteError] = {}

    def of(self, asked: Asked, answer: Callable[[], Answer]) -> Answer:
        """The answer, worked out where it is not known. Raises CannotSizeError and NoRouteError as `answer` does."""
        found: Answer | CannotSizeError | NoRouteError = self._known.get(asked, _UNKNOWN)
        if found is _UNKNOWN:
            try:
                found = answer()
            except (CannotSizeError, NoRouteError) as error:
                found = error
            self._known[asked] = found
        if isinstance(found, CannotSizeError | NoRouteError):
            raise found.with_traceback(None)
        return found
