"""Rules over single values: nothing below nothing, and questions about values probably in the wrong unit."""

from collections.abc import Iterator

from costplan.files.problems import Problem
from costplan.files.yaml_reader import Trail
from costplan.model.numbers_written import Number, numbers_of
from costplan.model.pair import Pair, Rule, dollars, percent, plain
from costplan.standards import motors, usual

LARGEST_SINGLE_PHASE_HP = 15
"""Single-phase motors are seldom larger; common practice, no source."""
_NOTHING_OR_MORE = "write a number that is 0 or more"
_MUST_BE_MORE_THAN_NOTHING = frozenset({"drop_limit", "ceiling_height_ft"})


def nothing_below_nothing(pair: Pair) -> Iterator[Problem]:
    """Lengths, hours, money and shares of the shop are not negative."""
    for number in numbers_of(pair.shop):
        if number.below_nothing:
            yield pair.in_shop(
                "negative", number.trail, f"is {_shown(number)}, below nothing", _NOTHING_OR_MORE
            )
        elif number.value == 0 and number.name in _MUST_BE_MORE_THAN_NOTHING:
            yield pair.in_shop("zero", number.trail, "is 0", "write a number above 0")


def nothing_below_nothing_in_catalogs(pair: Pair) -> Iterator[Problem]:
    """Lengths, hours, money and shares of the catalog are not negative."""
    for file, start, entry in pair.catalog_entries():
        for number in numbers_of(entry, start):
            if number.below_nothing:
                message = f"is {_shown(number)}, below nothing"
                yield pair.in_file(file, "negative", number.trail, message, _NOTHING_OR_MORE)


def _shown(number: Number) -> str:
    return dollars(number.value) if "_cents" in number.name else plain(number.value)


def money_makes_sense(pair: Pair) -> Iterator[Problem]:
    """A discount rate does not take everything."""
    rate = pair.shop.money.discount_rate
    where: Trail = ("money", "discount_rate")
    if rate <= -1:
        yield pair.in_shop("discount-rate", where, f"is {percent(rate)}", "it must be above -100 %")


def nameplates_make_sense(pair: Pair) -> Iterator[Problem]:
    """Questions about nameplates that few small shops have."""
    largest_hp = usual.figures()["Electrical", "hp"].above  # what is above that is asked about already
    for trail, plate in pair.plates():
        if plate.phases == 1 and LARGEST_SINGLE_PHASE_HP < (plate.hp or 0) <= largest_hp:
            assert plate.hp is not None
            message = f"is {motors.hp_words(plate.hp)} hp on one phase, and the code's table for such motors ends at 10 hp"
            mend = "is it in watts or amperes, or does it have three phases?"
            yield pair.in_shop("machine-hp-odd", (*trail, "hp"), message, mend, question=True)


RULES: tuple[Rule, ...] = (
    nothing_below_nothing,
    nothing_below_nothing_in_catalogs,
    money_makes_sense,
    nameplates_make_sense,
)
