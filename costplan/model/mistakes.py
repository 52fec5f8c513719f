"""What pydantic found wrong, said in the words of the user's file and at its place."""

from collections.abc import Mapping
from decimal import Decimal
from enum import Enum
from typing import Any, Literal, get_args, get_origin

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from costplan.files.problems import Problem, allowed_words
from costplan.files.quantities import MisreadError, parse_fraction, parse_money_cents, told_apart
from costplan.files.yaml_reader import Places, Trail
from costplan.model.base import Entry, meaning, words_of
from costplan.model.samples import example_of, field_called, reads_with, section_to_paste, strip

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
    for name, word in words_of(type(entry)):
        if word not in data:
            continue
        value, written = getattr(entry, name), data[word]
        if isinstance(value, bool) and not isinstance(written, bool):
            code = _code((*trail, word))
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
        mend = _of_a_section(word, _model_at(model, trail[:-1])) or allowed_words(
            word, _words_at(model, trail[:-1]), at_most=20
        )
        return places.problem(_code(trail[:-1], "unknown-word"), trail, message, mend, key=True)
    if sort == "missing":
        return _missing(loc[-1], trail, model, places)
    if loc and loc[-1] == "[key]":
        return _wrong_key(detail, trail, places)
    message, mend = _words_for(
        detail,
        _field_at(model, trail),
        _typed(trail, places),
        inner=bool(trail) and isinstance(trail[-1], int),
    )
    return places.problem(_code(trail), trail, message, mend)


def _of_a_section(word: str, model: type[Entry] | None) -> str:
    """How to mend a word that belongs into a section beside which it stands; empty where it belongs into none, or several."""
    if model is None:
        return ""
    owners = [
        section
        for name, section in words_of(model)
        for kind in strip(model.model_fields[name].annotation)
        if isinstance(kind, type) and issubclass(kind, Entry) and field_called(kind, word) is not None
    ]
    if len(owners) != 1:
        return ""
    return f"it is a word of {owners[0]}: indent it by two more blanks, in the lines under {owners[0]}:"


def _missing(word: int | str, trail: Trail, model: type[Entry], places: Places) -> Problem:
    """What to say where a word, or an entry of a list of fixed length, is not written."""
    if isinstance(word, int):
        return places.problem(_code(trail), trail, "has too few entries", "write all of them, in [brackets]")
    code = _code(trail, f"{_dashed(word)}-missing")
    found = f'lacks "{word}"'
    entry = _model_at(model, trail)
    text = _description(entry, word)
    if not trail and entry is not None and (pasted := section_to_paste(entry, word)):
        at = places.problem(code, trail, "", "").at
        return Problem(code, at, "", found, f"add {word}: {text} For example:\n{pasted}")
    name = field_called(entry, word)
    example = (
        f", for example {word}: {example_of(entry, name)}" if entry is not None and name is not None else ""
    )
    mend = f"add {word}{example}" + (f" ({text.rstrip('.')})" if text else "")
    if not trail:
        return Problem(code, places.problem(code, trail, "", "").at, "", found, mend)
    return places.problem(code, trail, found, mend, key=True)


def _typed(trail: Trail, places: Places) -> str:
    """The value as it was typed, "" where it is no single value."""
    found, place = places.nearest(trail)
    return place.text if place is not None and found == trail else ""


_Field = tuple[type[Entry], str]
"""A model, and the own name of a field of it."""


def _field_at(model: type[Entry], trail: Trail) -> _Field | None:
    """The field that a trail ends in, also where it ends in an entry of the field's list."""
    for end in range(len(trail), 0, -1):
        if isinstance(trail[end - 1], str):
            owner = _model_at(model, trail[: end - 1])
            name = field_called(owner, str(trail[end - 1]))
            return (owner, name) if owner is not None and name is not None else None
    return None


def _wrong_key(detail: ErrorDetails, trail: Trail, places: Places) -> Problem:
    allowed = _quoted_words(str(detail.get("ctx", {}).get("expected", "")))
    word = str(trail[-1]) if trail else ""
    code = _code(trail[:-1], "unknown-word")
    return places.problem(code, trail, "is not a word known here", allowed_words(word, allowed), key=True)


def _words_for(
    detail: ErrorDetails, field: _Field | None, typed: str, *, inner: bool = False
) -> tuple[str, str]:
    """Message and mend; inner: of an entry of a list."""
    sort, value = detail["type"], detail.get("input")
    context: dict[str, Any] = detail.get("ctx", {})
    example = f"like {example_of(*field)}" if field is not None else "as in the examples"
    if sort == "value_error":
        error = context.get("error", ValueError(detail["msg"]))
        message, mend = told_apart(error)
        shows = error.shows if isinstance(error, MisreadError) else field is not None
        return message, (mend or f"write it {example}") + _what_is_counted(field) * shows
    if value is None:
        return "is empty", f"write something after it, {example}, or delete the word"
    shown = _shown(value)
    if sort in ("enum", "literal_error"):
        return f"is {shown}", allowed_words(str(value), _quoted_words(str(context.get("expected", ""))))
    if sort in _LIMITS:
        sign, name = _LIMITS[sort]
        return (
            f"is {typed or shown}, which is out of range",
            f"it must be {sign} {_limit(context[name], field)}",
        )
    if sort in ("too_short", "too_long"):
        return "has too few or too many entries", f"it must have {_count(sort, context)}, {example}"
    if sort == "list_type" and inner:
        return (
            f"is {shown}, not a list",
            f"each entry is a list itself: put it in [brackets]; all of them are {example}",
        )
    if sort.startswith("bool"):
        words = _words_of_a_field(field)
        return f"is {shown}" + ", not true or false" * (not words), allowed_words(
            str(value), ["true", "false", *words]
        )
    return f"is {shown}, not {_EXPECTED.get(sort, 'what belongs here')}", _mend_for(
        sort, example
    ) or f"write it {example}"


def _mend_for(sort: str, example: str) -> str:
    if sort == "list_type":
        return f"write each entry in a line of its own, beginning with a dash, or in [brackets], {example}"
    if sort in ("model_type", "dict_type", "model_attributes_type"):
        return f'write lines of "word: value", indented under it, or {{word: value, word: value}}, {example}'
    return ""


def _what_is_counted(field: _Field | None) -> str:
    """What the whole number of a field counts; empty for other fields."""
    if field is None or int not in strip(field[0].model_fields[field[1]].annotation):
        return ""
    told = meaning(*field).partition(";")[0].removesuffix(".")
    return f": {told[:1].lower()}{told[1:]}" if told else ""


def _words_of_a_field(field: _Field | None) -> list[str]:
    """The words that a field may hold."""
    kinds = [] if field is None else strip(field[0].model_fields[field[1]].annotation)
    return [
        str(value)
        for kind in kinds
        if get_origin(kind) is Literal
        for value in get_args(kind)
        if isinstance(value, str)
    ]


def _limit(value: object, field: _Field | None) -> str:
    """A limit in the unit that the user writes: money, not cents; 100 %, not 1."""
    if field is None or not isinstance(value, int | float | Decimal):
        return str(value)
    if reads_with(*field, parse_money_cents):
        return f"{Decimal(str(value)) / 100:.2f}" if value else "0"
    if reads_with(*field, parse_fraction) and value:
        return f"{Decimal(str(value)) * 100:.0f} %"
    return str(value)


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


def _code(trail: Trail, ending: str = "") -> str:
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


def _model_at(model: type[Entry], trail: Trail) -> type[Entry] | None:
    """The kind of entry that stands at a trail."""
    kinds: list[Any] = [model]
    for step in trail:
        inner: list[Any] = []
        for kind in kinds:
            arguments = get_args(kind)
            if get_origin(kind) in (list, tuple) and arguments:
                inner += strip(arguments[0])
            elif get_origin(kind) is dict:
                inner += strip(arguments[1])
            elif isinstance(kind, type) and issubclass(kind, Entry):
                fields = kind.model_fields.items()
                inner += [
                    found
                    for name, field in fields
                    if (field.alias or name) == step
                    for found in strip(field.annotation)
                ]
        kinds = inner
    return next((kind for kind in kinds if isinstance(kind, type) and issubclass(kind, Entry)), None)


def _words_at(model: type[Entry], trail: Trail) -> list[str]:
    entry = _model_at(model, trail)
    return [] if entry is None else [field.alias or name for name, field in entry.model_fields.items()]


def _description(entry: type[Entry] | None, word: str) -> str:
    name = field_called(entry, word)
    if entry is None or name is None:
        return ""
    field = entry.model_fields[name]
    kinds = strip(field.annotation)
    values = [
        str(member.value)
        for kind in kinds
        if isinstance(kind, type) and issubclass(kind, Enum)
        for member in kind
    ]
    values += [str(value) for kind in kinds if get_origin(kind) is Literal for value in get_args(kind)]
    return meaning(entry, name) + (f" Allowed: {', '.join(values)}." if values else "")
