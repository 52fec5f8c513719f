"""Files that are right in part: what could be read is looked at too, so that one mistake does not hide the others."""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from contextlib import suppress
from datetime import date
from functools import cache
from types import UnionType
from typing import Any, TypeVar, Union, cast, get_args, get_origin

from pydantic import ValidationError

from costplan.files.problems import Problem
from costplan.model.base import Entry

Model = TypeVar("Model", bound=Entry)
_Subject = TypeVar("_Subject")


class UnreadError(Exception):
    """Somebody looks at a section that could not be read."""


def partly(model: type[Model], read: Mapping[str, object]) -> Model:
    """An entry of these sections, as rules see it; who looks at another one gets UnreadError."""
    entry = _kind_of(model).model_construct()
    # The defaults of sections that are written but wrong are nothing that the user said.
    entry.__dict__.clear()
    entry.__dict__.update({name: value for name, value in read.items() if name in model.model_fields})
    return cast("Model", entry)


@cache
def _kind_of(model: type[Entry]) -> type[Entry]:
    def unread(_: Entry, name: str) -> object:
        raise UnreadError(name)

    return type(f"Partly{model.__name__}", (model,), {"__getattr__": unread, "__doc__": model.__doc__})


def found_by(
    rules: Iterable[Callable[[_Subject], Iterable[Problem]]], subject: _Subject, *, questions: bool = True
) -> Iterator[Problem]:
    """What rules find, each up to where it looks at what could not be read.

    questions: also those; where a part is not read they wait until it is mended.
    """
    for rule in rules:
        with suppress(UnreadError):
            for problem in rule(subject):
                if questions or problem.severity == "error":
                    yield problem


def sound_sections(model: type[Entry], data: object, bad: Collection[str]) -> dict[str, object]:
    """The sections of a file's data that can be read, by the model's own names.

    bad: the words at the top of the file under which something is wrong.
    """
    if not isinstance(data, Mapping):
        return {}
    words = {name: field.alias or name for name, field in model.model_fields.items()}
    kept = {word: data[word] for word in words.values() if word in data and word not in bad}
    lacking = {
        name: word
        for name, word in words.items()
        if word not in kept and model.model_fields[name].is_required()
    }
    stand_ins = {word: _stand_in(model.model_fields[name].annotation) for name, word in lacking.items()}
    try:
        entry = model.model_validate(kept | stand_ins, by_alias=True, by_name=False)
    except ValidationError:
        return {}
    return {
        name: getattr(entry, name) for name, word in words.items() if word not in bad and name not in lacking
    }


def _stand_in(annotation: Any) -> object:
    """Any value that a section of this type may have."""
    if get_origin(annotation) in (Union, UnionType):
        annotation = get_args(annotation)[0]
    simple: dict[object, object] = {str: "?", int: 0, date: "2000-01-01", list: [], dict: {}}
    return simple.get(get_origin(annotation) or annotation)
