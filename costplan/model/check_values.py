"""Rules over single values: nothing below nothing, and questions about values probably in the wrong unit."""

from collections.abc import Iterator, Mapping
from datetime import date
from decimal import Decimal

from costplan.files.problems import Problem
from costplan.files.yaml_reader import Trail
from costplan.model.base import Entry, words_of
from costplan.model.pair import Pair, Rule, dollars, percent, plain

MAY_BE_NEGATIVE = frozenset({"growth", "at_ft", "ambient_c", "discount_rate"})
LARGEST_SINGLE_PHASE_HP = 15
"""Single-phase motors are seldom larger; common practice, no source."""
_NO_NUMBERS = frozenset({str, bool, int, date})
"""Types that hold no Decimal, passed over at once."""
_NOTHING_OR_MORE = "write a number that is 0 or more"
_MUST_BE_MORE_THAN_NOTHING = frozenset({"drop_limit", "ceiling_height_ft"})


def numbers_of(entry: Entry, trail: Trail = ()) -> Iterator[tuple[Trail, str, Decimal]]:
    """Every Decimal in an entry with its trail in the file's words and its field's name, as far as it could be read."""
    read = vars(entry)
    for name, word in words_of(type(entry)):
        value = read.get(name)
        if value is None or type(value) in _NO_NUMBERS or name in MAY_BE_NEGATIVE:
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
    for file, start, entry in pair.catalog_entries():
        for trail, name, value in numbers_of(entry, start):
            if value < 0:
                shown = _shown(name, value)
                yield pair.in_file(file, "negative", trail, f"is {shown}, below nothing", _NOTHING_OR_MORE)


def _shown(name: str, value: Decimal) -> str:
    return dollars(value) if "_cents" in name else plain(value)


def money_makes_sense(pair: Pair) -> Iterator[Problem]:
    """A discount rate does not take everything."""
    rate = pair.shop.money.discount_rate
    where: Trail = ("money", "discount_rate")
    if rate <= -1:
        yield pair.in_shop("discount-rate", where, f"is {percent(rate)}", "it must be above -100 %")


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
        elif plate.hp is not None and plate.phases == 1 and plate.hp > LARGEST_SINGLE_PHASE_HP:
            message = (
                f"is {plain(plate.hp)} hp on one phase, and the code's table for such motors ends at 10 hp"
            )
            mend = "is it in watts or amperes, or does it have three phases?"
            yield pair.in_shop("machine-hp-odd", (*trail, "hp"), message, mend, question=True)
        if plate.amps_a is not None and plate.amps_a > 200:
            message = f"is {plain(plate.amps_a)} A"
            mend = "is it in watts? Divide by the volts"
            yield pair.in_shop("machine-amps-odd", (*trail, "amps"), message, mend, question=True)


RULES: tuple[Rule, ...] = (
    nothing_below_nothing,
    nothing_below_nothing_in_catalogs,
    money_makes_sense,
    nameplates_make_sense,
)
