"""Rules over single values: nothing below nothing, and questions about values probably in the wrong unit."""

from collections.abc import Iterator, Mapping
from datetime import date
from decimal import Decimal

from costplan.files.problems import Problem
from costplan.files.yaml_reader import Trail
from costplan.model.base import Entry, words_of
from costplan.model.labor import Crew, Role
from costplan.model.pair import Pair, Rule, dollars, percent, plain

_MAY_BE_NEGATIVE = frozenset({"growth", "at_ft", "ambient_c", "discount_rate"})
_NO_NUMBERS = frozenset({str, bool, int, date})
"""Types that hold no Decimal, passed over at once."""
_NOTHING_OR_MORE = "write a number that is 0 or more"
_MUST_BE_MORE_THAN_NOTHING = frozenset({"drop_limit", "ceiling_height_ft"})


def numbers_of(entry: Entry, trail: Trail = ()) -> Iterator[tuple[Trail, str, Decimal]]:
    """Every Decimal in an entry with its trail in the file's words and its field's name, as far as it could be read."""
    read = vars(entry)
    for name, word in words_of(type(entry)):
        value = read.get(name)
        if value is None or type(value) in _NO_NUMBERS or name in _MAY_BE_NEGATIVE:
            continue
        yield from _numbers_in(value, name, (*trail, word))


def _numbers_in(value: object, name: str, trail: Trail) -> Iterator[tuple[Trail, str, Decimal]]:
    if isinstance(value, Decimal):
        yield trail, name, value
    elif isinstance(value, Entry):
        yield from numbers_of(value, trail)
    elif isinstance(value, list | tuple):
        for index, entry in enumerate(value):
            yield from _numbers_in(entry, name, (*trail, index))
    elif isinstance(value, Mapping) and name != "attributes":
        for key, entry in value.items():
            yield from _numbers_in(entry, name, (*trail, str(key)))


def nothing_below_nothing(pair: Pair) -> Iterator[Problem]:
    """Lengths, hours, money and shares of the shop are not negative."""
    for trail, name, value in numbers_of(pair.shop):
        if value < 0:
            yield pair.in_shop(
                "negative", trail, f"is {_shown(name, value)}, below nothing", _NOTHING_OR_MORE
            )
        elif value == 0 and name in _MUST_BE_MORE_THAN_NOTHING:
            yield pair.in_shop("zero", trail, "is 0", "write a number above 0")


def nothing_below_nothing_in_catalogs(pair: Pair) -> Iterator[Problem]:
    """Lengths, hours, money and shares of the catalog are not negative."""
    for file, start, entry in _catalog_entries(pair):
        for trail, name, value in numbers_of(entry, start):
            if value < 0:
                shown = _shown(name, value)
                yield pair.in_file(file, "negative", trail, f"is {shown}, below nothing", _NOTHING_OR_MORE)


def _catalog_entries(pair: Pair) -> Iterator[tuple[str, Trail, Entry]]:
    catalog = pair.catalog
    lists = (
        ("kinds.yaml", "kinds", catalog.kinds),
        ("suppliers.yaml", "suppliers", catalog.suppliers),
        ("labor.yaml", "tasks", catalog.tasks),
        ("labor.yaml", "crews", catalog.crews),
    )
    for file, word, entries in lists:
        for index, entry in enumerate(entries):
            yield file, (word, index), entry
    for work, recipe in catalog.recipes.items():
        yield "recipes.yaml", ("recipes", work), recipe


def _shown(name: str, value: Decimal) -> str:
    return dollars(value) if "_cents" in name else plain(value)


def money_makes_sense(pair: Pair) -> Iterator[Problem]:
    """A discount rate is a small share."""
    rate = pair.shop.money.discount_rate
    where: Trail = ("money", "discount_rate")
    if rate <= -1:
        yield pair.in_shop("discount-rate", where, f"is {percent(rate)}", "it must be above -100 %")
    elif rate > Decimal("0.25") or rate < 0:
        message = f"is {percent(rate)} a year, {'a high' if rate > 0 else 'a negative'} discount rate"
        mend = "is it meant? 3 % and 0.03 are the same"
        yield pair.in_shop("discount-rate-odd", where, message, mend, question=True)


def nameplates_make_sense(pair: Pair) -> Iterator[Problem]:
    """Questions about nameplates that few small shops have."""
    plates = [(("machines", index), machine) for index, machine in enumerate(pair.shop.machines)]
    retools = [
        (("scenarios", number, "events", index, "retool"), event.retool)
        for number, scenario in enumerate(pair.shop.scenarios)
        for index, event in enumerate(scenario.events)
        if event.retool is not None
    ]
    for trail, plate in (*plates, *retools):
        if plate.hp is not None and plate.hp > 100:
            message = f"is {plain(plate.hp)} hp"
            yield pair.in_shop(
                "machine-hp-odd", (*trail, "hp"), message, "is it in watts? Write 2.2 kW", question=True
            )
        if plate.amps_a is not None and plate.amps_a > 200:
            message = f"is {plain(plate.amps_a)} A"
            mend = "is it in watts? Divide by the volts"
            yield pair.in_shop("machine-amps-odd", (*trail, "amps"), message, mend, question=True)


def lengths_make_sense(pair: Pair) -> Iterator[Problem]:
    """Questions about routes of no length or a very long one, and slack below a foot."""
    for index, route in enumerate(pair.shop.routes):
        for word, length in (("fixed", route.fixed_ft), ("cord", route.cord_ft)):
            if length is not None and (length == 0 or length > 1000):
                message = f"is {plain(length)} ft"
                mend = "is it measured along the way, in feet? 10.7 m is read too"
                yield pair.in_shop("route-length-odd", ("routes", index, word), message, mend, question=True)
    for index, slack in enumerate(pair.shop.cords.slack_ft):
        if 0 < slack < 1:
            message = f"is {plain(slack)} ft"
            mend = "slack is a length, not a share; is it meant?"
            yield pair.in_shop("slack-odd", ("cords", "slack", index), message, mend, question=True)
    height = pair.shop.building.ceiling_height_ft
    if not 6 <= height <= 60:
        message = f"is {plain(height)} ft"
        where: Trail = ("building", "ceiling_height")
        yield pair.in_shop(
            "ceiling-height-odd", where, message, "is it in feet? 3 m is read too", question=True
        )


def labor_makes_sense(pair: Pair) -> Iterator[Problem]:
    """Questions about hours that were probably minutes, and hourly rates that few crews have."""
    for index, task in enumerate(pair.catalog.tasks):
        if task.hours[2] > 40:
            message = f"are up to {plain(task.hours[2])} h"
            mend = "are they minutes? Write 90 min"
            yield pair.in_file(
                "labor.yaml", "task-hours-odd", ("tasks", index, "hours"), message, mend, question=True
            )
    for index, crew in enumerate(pair.catalog.crews):
        odd = _odd_rate(crew)
        if odd:
            where: Trail = ("crews", index, "rate")
            yield pair.in_file("labor.yaml", "crew-rate-odd", where, odd, _RATE_MEND, question=True)
    for index, crew in enumerate(pair.shop.crews):
        odd = _odd_rate(crew)
        if odd:
            yield pair.in_shop("crew-rate-odd", ("crews", index, "rate"), odd, _RATE_MEND, question=True)


_RATE_MEND = "is it money for one hour of the whole crew?"


def _odd_rate(crew: Crew) -> str:
    # An owner may well count the own time as nothing; an electrician for nothing is a slip.
    if crew.rate_cents == 0 and crew.role is Role.OWNER:
        return ""
    return "" if 1_000 <= crew.rate_cents <= 50_000 else f"is {dollars(crew.rate_cents)} an hour"


RULES: tuple[Rule, ...] = (
    nothing_below_nothing,
    nothing_below_nothing_in_catalogs,
    money_makes_sense,
    nameplates_make_sense,
    lengths_make_sense,
    labor_makes_sense,
)
