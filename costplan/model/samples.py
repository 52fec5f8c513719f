"""How a field or a section is written, as messages show it: in the form of the user's own file."""

from collections.abc import Callable, Mapping
from datetime import date
from decimal import Decimal
from enum import Enum
from types import UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BeforeValidator

from costplan.files import quantities
from costplan.model import base
from costplan.model.base import Entry, words_of

_BY_READER: Mapping[Callable[[Any], Any], str] = {
    quantities.parse_length_ft: "35 ft",
    quantities.parse_hours: "1.5 h",
    quantities.parse_fraction: "4 %",
    quantities.parse_money_cents: "12.50",
    quantities.parse_number: "1.5",
    quantities.parse_hours_a_year: "80",
    base.read_amps: "12.8 A",
    base.read_hp: "3 hp",
    base.read_kw: "21 kW",
    base.read_volts: "240",
    base.read_years: "10",
    base.read_three_hours: "[1, 1.5, 3]",
}
"""An example for each way in which a value is read."""
_BY_TYPE: Mapping[object, str] = {
    bool: "true",
    int: "3",
    Decimal: "1.5",
    date: "2025-06-20",
    str: "a name",
    list: "[...]",
    dict: "{...}",
    tuple: "[...]",
}
_BY_WORD: Mapping[str, str] = {
    "volts": "240",
    "amps": "12.8 A",
    "rpm": "1725",
    "terminals": "75",
    "of": "[table saw, sander]",
    "at_most": "3",
    "measured_peak": "{amps: 58 A, seen: 2025-06-20, days: 30}",
    "more_motors": "[{hp: 1}]",
    "events": "[{year: 2, machine: table saw, move: door}]",
    "rearranged": "{times_per_year: 1, among: [bench, door]}",
    "machines": "[table saw, sander]",
    "gear": "[{name: far panel, kind: subpanel, panel_part: PN-1-60, fed_from: main, at: door}]",
    "prices": "[{part: R-6-20, supplier: counter, condition: new, price: 12.50, per: each}]",
    "jobs": "[{name: first outlet, date: 2025-06-20, tasks: [{task: run-cable, crew: one electrician, hours: 1.5}]}]",
    "route": "{panel: main, fixed: 28 ft}",
    "at": "bench",
    "place": "bench",
    "from": "main",
    "to": "bench",
    "panel": "main",
    "plug": "NEMA 6-20",
    "configuration": "NEMA 6-20",
    "awg": "12",
    "breaker": "20 A",
    "machine": "table saw",
    "hours": "[1, 1.5, 3]",
    "who": "[owner, electrician]",
    "covers": "[run-cable]",
    "rest_by": "one electrician",
    "task": "run-cable",
    "supplier": "counter",
    "part": "R-6-20",
    "currency": "USD",
}
"""Words that mean the same wherever they stand, and whose type says less."""
_OF_ONE_FIELD: Mapping[tuple[str, str], str] = {
    ("Code", "starting_margin"): "175 %",
    ("Code", "edition"): "2020",
    ("Spot", "at_ft"): "[12, 4]",
    ("Shop", "machines"): "[{name: table saw, volts: 240, hp: 3}]",
    ("Layout", "at"): "{table saw: door}",
    ("Panel", "one_pole_circuits"): '[{breaker: 20 A, awg: "12", count: 4}]',
    ("PowerService", "at_once"): "[[table saw], [sander, dust collector]]",
    ("Building", "forbid"): "{wall drop: the walls are masonry}",
    ("Ways", "forbid"): "{cord: it is bolted down}",
    ("PowerService", "at_most"): "[{count: 1, of: [table saw, sander]}]",
}
"""Fields whose word or type says something else elsewhere, by model and name."""

_SECTIONS: Mapping[str, str] = {
    "shop": "shop: Small garage",
    "today": "today: 2025-06-20",
    "years": "years: 6",
    "panels": """\
panels:
  - {name: main, system: 120/240 single-phase, breakers: family A, spaces_free: 6}""",
    "machines": """\
machines:
  - {name: table saw, at: bench, volts: 240, hp: 3}""",
    "places": """\
places:
  - {name: bench}""",
    "routes": """\
routes:
  - {from: main, to: bench, fixed: 28 ft, cord: 22 ft}""",
    "parts": """\
parts:
  - {id: R-6-20, kind: receptacle, name: receptacle 6-20, attributes: {configuration: NEMA 6-20}}""",
    "kinds": """\
kinds:
  - {kind: receptacle, attributes: [configuration]}""",
    "suppliers": """\
suppliers:
  - {id: counter, name: Example Counter, tax: 7 %}""",
    "tasks": """\
tasks:
  - {id: run-cable, name: run cable, hours: [1, 1.5, 3], who: [electrician]}""",
    "crews": """\
crews:
  - {name: owner, role: owner, rate: 25, pace: 0.6}
  - {name: one electrician, role: electrician, rate: 95}""",
    "recipes": """\
recipes:
  wall drop:
    tasks: [{task: run-cable}]""",
    "jobs": """\
jobs:
  - {name: first outlet, date: 2025-06-20, tasks: [{task: run-cable, crew: one electrician, hours: 1.5}]}""",
    "bids": """\
bids:
  - {bidder: Bidder A, kind: hourly, date: 2025-06-20, rate: 95}""",
}
"""Lines to paste where a section is missing; names and figures are invented."""


def section_to_paste(model: type[Entry], word: str) -> str:
    """Lines that make a section of a file of this model; empty where none are known."""
    return _SECTIONS.get(word, "") if field_called(model, word) is not None else ""


def example_of(model: type[Entry], name: str) -> str:
    """A value that a field may have, as a user writes it; `name` is its own name, not the user's word."""
    field = model.model_fields[name]
    own = _OF_ONE_FIELD.get((model.__name__, name))
    known = [_BY_READER[read] for read in _readers(field.annotation, field.metadata) if read in _BY_READER]
    return own or (known[0] if known else _BY_WORD.get(field.alias or name) or _example(field.annotation))


def field_called(model: type[Entry] | None, word: str) -> str | None:
    """The own name of the field that a user calls so."""
    if model is None:
        return None
    return next((name for name, called in words_of(model) if called == word), None)


def reads_with(model: type[Entry], name: str, reader: Callable[[Any], Any]) -> bool:
    """Whether this function reads what is written in a field."""
    field = model.model_fields[name]
    return reader in _readers(field.annotation, field.metadata)


def strip(annotation: Any) -> list[Any]:
    """The types an annotation may stand for, without Annotated and Optional around them."""
    if get_origin(annotation) is Annotated:
        return strip(get_args(annotation)[0])
    if get_origin(annotation) in (Union, UnionType):
        return [kind for part in get_args(annotation) for kind in strip(part)]
    return [annotation]


def _readers(annotation: Any, metadata: Any = ()) -> list[Any]:
    found = [mark.func for mark in metadata if isinstance(mark, BeforeValidator)]
    if get_origin(annotation) is Annotated:
        inner, *marks = get_args(annotation)
        return found + _readers(inner, marks)
    if get_origin(annotation) in (Union, UnionType):
        return found + [reader for part in get_args(annotation) for reader in _readers(part)]
    return found


def _example(annotation: Any, metadata: Any = ()) -> str:
    known = [_BY_READER[reader] for reader in _readers(annotation, metadata) if reader in _BY_READER]
    if known:
        return known[0]
    kind = next((kind for kind in strip(annotation) if kind is not type(None)), str)
    origin, arguments = get_origin(kind), get_args(kind)
    if origin is Literal:
        return str(arguments[0]).lower() if isinstance(arguments[0], bool) else str(arguments[0])
    if isinstance(kind, type) and issubclass(kind, Enum):
        return str(next(iter(kind)).value)
    if origin is list and arguments:
        return f"[{_example(arguments[0])}]"
    if origin is tuple:
        return f"[{', '.join(_example(each) for each in arguments if each is not Ellipsis)}]"
    if origin is dict:
        return f"{{{_example(arguments[0])}: {_example(arguments[1])}}}"
    if isinstance(kind, type) and issubclass(kind, Entry):
        words = [
            f"{field.alias or name}: {example_of(kind, name)}"
            for name, field in kind.model_fields.items()
            if field.is_required()
        ]
        return f"{{{', '.join(words)}}}"
    return _BY_TYPE.get(kind, "a name")
