"""Answers of a pure question, each worked out once, refusals as well."""

from collections.abc import Callable
from typing import Generic, TypeVar

from costplan.circuits.size_types import CannotSizeError
from costplan.model.routes import NoRouteError

Asked = TypeVar("Asked")
Answer = TypeVar("Answer")


class Remembered(Generic[Asked, Answer]):
    """What was answered by what was asked."""

    def __init__(self) -> None:
        self._known: dict[Asked, Answer] = {}
        self._refused: dict[Asked, CannotSizeError | NoRouteError] = {}

    def of(self, asked: Asked, answer: Callable[[], Answer]) -> Answer:
        """The answer, worked out where it is not known. Raises CannotSizeError and NoRouteError as `answer` does."""
        if asked in self._known:
            return self._known[asked]
        if asked in self._refused:
            raise self._refused[asked].with_traceback(None)
        try:
            self._known[asked] = found = answer()
        except (CannotSizeError, NoRouteError) as error:
            self._refused[asked] = error
            raise
        return found
