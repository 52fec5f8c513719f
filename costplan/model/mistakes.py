"""What pydantic found wrong, said in the words of the user's file and at its place."""

from collections.abc import Mapping
from decimal import Decimal
from enum import Enum
from types import UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from costplan.files.problems import Problem, allowed_words
from costplan.files.yaml_reader import Places, Trail
from costplan.model.base import Entry

_SINGULAR = {
    "machines": "machine",
    "panels": "panel",
    "places": "place",
    "routes": "route",
    "scenarios": "scenario",
    "events": "event",
    "crews": "crew",
    "bids": "bid",
    "recipes": "recipe",
    "parts": "part",
    "kinds": "kind",
    "suppliers": "supplier",
    "tasks": "task",
    "jobs": "job",
    "prices": "price",
    "cords": "cords",
}


def mistakes_in(error: ValidationError, model: type[Entry], places: Places) -> list[Problem]:
    """Every complaint of pydantic as a Problem, one for each place."""
    found: dict[Trail, Problem] = {}
    for detail in error.errors(include_url=False):
        trail = _trail(detail["loc"], places)
        problem = _problem(detail, trail, model, places)
        where = trail if detail["type"] != "missing" else (*trail, "missing", str(detail["loc"][-1]))
        found.setdefault(where, problem)
    return list(found.values())


def misread_words(entry: Entry, data: object, places: Places, trail: Trail = ()) -> list[Problem]:
    """Questions about text that was read as true or false: `no`, `on`, `1`."""
    problems: list[Problem] = []
    if not isinstance(data, Mapping):
        return problems
    for name, field in type(entry).model_fields.items():
        word = field.alias or name
        if word not in data:
            continue
        value, written = getattr(entry, name), data[word]
        if isinstance(value, bool) and not isinstance(written, bool):
            code = _code((*trail, word), places)
            meant = str(value).lower()
            message = f'is "{written}", which was read as {meant}'
            problems.append(places.problem(code, (*trail, word), message, f"write {meant}", question=True))
        else:
            problems += _misread_inside(value, written, places, (*trail, word))
    return problems


def _misread_inside(value: object, written: object, places: Places, trail: Trail) -> list[Problem]:
    if isinstance(value, Entry):
        return misread_words(value, written, places, trail)
    problems: list[Problem] = []
    if isinstance(value, list) and isinstance(written, list):
        for index, (entry, raw) in enumerate(zip(value, written, strict=True)):
            problems += _misread_inside(entry, raw, places, (*trail, index))
    elif isinstance(value, dict) and isinstance(written, dict):
        for (key, entry), raw in zip(value.items(), written.values(), strict=False):
            problems += _misread_inside(entry, raw, places, (*trail, str(key)))
    return problems


def _trail(loc: tuple[int | str, ...], places: Places) -> Trail:
    found, _ = places.nearest(tuple(loc))
    return found


def _problem(detail: ErrorDetails, trail: Trail, model: type[Entry], places: Places) -> Problem:
    loc = detail["loc"]
    sort = detail["type"]
    if sort == "extra_forbidden":
        word = str(loc[-1])
        message = "is not a word known here"
        mend = allowed_words(word, _words_at(model, trail[:-1]), at_most=20)
        return places.problem(_code(trail[:-1], places, "unknown-word"), trail, message, mend, key=True)
    if sort == "missing":
        word = str(loc[-1])
        text = _description(model, trail, word)
        code = _code(trail, places, f"{_dashed(word)}-missing")
        if not trail:
            return Problem(
                code, places.problem(code, trail, "").at, "", f'lacks "{word}"', f"add {word}: {text}"
            )
        return places.problem(code, trail, f'lacks "{word}"', f"add {word}: {text}", key=True)
    if loc and loc[-1] == "[key]":
        return _wrong_key(detail, trail, places)
    message, mend = _words_for(detail)
    return places.problem(_code(trail, places), trail, message, mend)


def _wrong_key(detail: ErrorDetails, trail: Trail, places: Places) -> Problem:
    allowed = _quoted_words(str(detail.get("ctx", {}).get("expected", "")))
    word = str(trail[-1]) if trail else ""
    code = _code(trail[:-1], places, "unknown-word")
    return places.problem(code, trail, "is not a word known here", allowed_words(word, allowed), key=True)


def _words_for(detail: ErrorDetails) -> tuple[str, str]:
    sort, value = detail["type"], detail.get("input")
    context: dict[str, Any] = detail.get("ctx", {})
    if sort == "value_error":
        message, _, mend = str(context.get("error", detail["msg"])).partition("; ")
        return message, mend[:1].lower() + mend[1:]
    if value is None:
        return "is empty", "write something after it, or delete the word"
    shown = _shown(value)
    if sort in ("enum", "literal_error"):
        return f"is {shown}", allowed_words(str(value), _quoted_words(str(context.get("expected", ""))))
    if sort in _LIMITS:
        sign, name = _LIMITS[sort]
        return f"is {shown}, which is out of range", f"it must be {sign} {_plain(context[name])}"
    if sort in ("too_short", "too_long"):
        return "has too few or too many entries", f"it must have {_count(sort, context)}"
    return f"is {shown}, not {_EXPECTED.get(sort, 'what belongs here')}", _mend_for(sort)


def _mend_for(sort: str) -> str:
    if sort == "list_type":
        return "write each entry in a line of its own, beginning with a dash, or in [brackets]"
    if sort in ("model_type", "dict_type", "model_attributes_type"):
        return 'write lines of "word: value", indented under it'
    if sort.startswith("bool"):
        return "allowed: true, false"
    return ""


_LIMITS = {
    "greater_than_equal": ("at least", "ge"),
    "greater_than": ("more than", "gt"),
    "less_than_equal": ("at most", "le"),
    "less_than": ("less than", "lt"),
}
_EXPECTED = {
    "list_type": "a list",
    "tuple_type": "a list",
    "model_type": "a group of words with values",
    "model_attributes_type": "a group of words with values",
    "dict_type": "a group of words with values",
    "string_type": "text",
    "bool_type": "true or false",
    "bool_parsing": "true or false",
    "int_type": "a whole number",
    "decimal_type": "a number",
    "date_type": "a day",
}


def _count(sort: str, context: Mapping[str, Any]) -> str:
    return f"at least {context['min_length']}" if sort == "too_short" else f"at most {context['max_length']}"


def _plain(value: object) -> str:
    return str(value)


def _shown(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, Mapping):
        return "a group of words"
    if isinstance(value, list | tuple):
        return "a list"
    if isinstance(value, int | Decimal):
        return str(value)
    words = str(value)
    return f'"{words if len(words) <= 60 else words[:57] + "..."}"'


def _quoted_words(expected: str) -> list[str]:
    return [word for index, word in enumerate(expected.split("'")) if index % 2]


def _dashed(word: str) -> str:
    return "".join(sign if sign.isalnum() else "-" for sign in word.lower()).strip("-")


def _code(trail: Trail, places: Places, ending: str = "") -> str:
    """A stable code: the innermost known sort of entry and the word, `machine-volts`."""
    words = [step for step in trail if isinstance(step, str)]
    owner = next((_SINGULAR[word] for word in reversed(words) if word in _SINGULAR), None)
    last = words[-1] if words else ""
    if trail and isinstance(trail[-1], int) and owner and not ending:
        ending = "entry"
    if ending:
        return f"{owner or (_dashed(last) if last else 'file')}-{ending}"
    if owner is None or last in _SINGULAR:
        return "-".join(_dashed(word) for word in words[-2:]) or "file"
    return f"{owner}-{_dashed(last)}"


def _strip(annotation: Any) -> list[Any]:
    """The types an annotation may stand for, without Annotated and Optional around them."""
    if get_origin(annotation) is Annotated:
        return _strip(get_args(annotation)[0])
    if get_origin(annotation) in (Union, UnionType):
        return [kind for part in get_args(annotation) for kind in _strip(part)]
    return [annotation]


def _model_at(model: type[Entry], trail: Trail) -> type[Entry] | None:
    """The kind of entry that stands at a trail."""
    kinds: list[Any] = [model]
    for step in trail:
        inner: list[Any] = []
        for kind in kinds:
            arguments = get_args(kind)
            if get_origin(kind) in (list, tuple) and arguments:
                inner += _strip(arguments[0])
            elif get_origin(kind) is dict:
                inner += _strip(arguments[1])
            elif isinstance(kind, type) and issubclass(kind, Entry):
                fields = kind.model_fields.items()
                inner += [
                    found
                    for name, field in fields
                    if (field.alias or name) == step
                    for found in _strip(field.annotation)
                ]
        kinds = inner
    return next((kind for kind in kinds if isinstance(kind, type) and issubclass(kind, Entry)), None)


def _words_at(model: type[Entry], trail: Trail) -> list[str]:
    entry = _model_at(model, trail)
    return [] if entry is None else [field.alias or name for name, field in entry.model_fields.items()]


def _description(model: type[Entry], trail: Trail, word: str) -> str:
    entry = _model_at(model, trail)
    if entry is None:
        return ""
    for name, field in entry.model_fields.items():
        if (field.alias or name) == word:
            kinds = _strip(field.annotation)
            values = [
                str(member.value)
                for kind in kinds
                if isinstance(kind, type) and issubclass(kind, Enum)
                for member in kind
            ]
            values += [
                str(value) for kind in kinds if get_origin(kind) is Literal for value in get_args(kind)
            ]
            return (field.description or "") + (f" Allowed: {', '.join(values)}." if values else "")
    return ""
