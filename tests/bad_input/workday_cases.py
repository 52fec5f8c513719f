"""Mistakes of owners, electricians and estimators at their desks: days, words and files in the wrong place."""

from changes import KINDS, OFFERS, PARTS, RECIPES, SHOP, SUPPLIERS, Changed, in_offers, in_shop
from small_shop import FILES, with_change


def _numbered(first: str, second: str) -> Changed:
    """The offers with a supplier's numbers in the first and the third row, of two parts at one supplier."""
    head, one, other, two, *rest = FILES[OFFERS].splitlines()
    lines = [
        f"{head},their_number",
        f"{one},{first}",
        f"{other},",
        f"{two},{second}",
        *(f"{row}," for row in rest),
    ]
    return {OFFERS: "\n".join(lines) + "\n"}


WORKDAY_CASES: dict[str, Changed] = {
    # figures and words
    "lease_to_a_day": in_shop("  ceiling_height: 10 ft\n", "  lease: {ends: 2031-06-30, take_out: true}\n"),
    "lease_in_months": in_shop("  ceiling_height: 10 ft\n", "  lease: {ends: 36 months, take_out: true}\n"),
    "rated_walls_yes": in_shop("  ceiling_height: 10 ft\n", "  rated_walls: yes\n"),
    "rated_walls_by_the_hour": in_shop("  ceiling_height: 10 ft\n", "  rated_walls: 1 hour\n"),
    "rated_walls_none": in_shop("  ceiling_height: 10 ft\n", "  rated_walls: none\n"),
    "invented_price": in_shop("invented: true", "invented: price"),
    "shop_hour_with_a_point_for_thousands": in_shop("  discount_rate: 3 %", "  shop_hour: 1.250"),
    "seen_as_a_day_number": in_offers("2025-06-01", "45809"),
    # files
    "blank_that_yaml_does_not_know": in_shop("    volts: 240\n", "\u00a0   volts: 240\n"),
    "two_words_in_one_line": in_shop("    hp: 3\n", "    hp: 3, amps: 12.8\n"),
    "shop_that_is_the_bids": {
        SHOP: "bids:\n  - {bidder: Bidder A, kind: hourly, date: 2025-06-20, rate: 95}\n"
    },
    "shop_that_is_the_labor_of_a_catalog": {SHOP: FILES["catalog/labor.yaml"]},
    "parts_that_are_the_kinds": {PARTS: FILES[KINDS]},
    # what says nothing, or counts twice
    "lease_of_capped_runs_that_stay": in_shop(
        "  ceiling_height: 10 ft\n", "  lease: {ends: 6, take_out: false, capped_too: true}\n"
    ),
    "recipe_that_lists_its_own_cable": with_change(
        RECIPES, "    extra: 5 ft\n", "    extra: 5 ft\n    parts: [{kind: building cable, quantity: 6}]\n"
    ),
    "price_of_a_box_for_one": {OFFERS: FILES[OFFERS] + "R-6-20,surplus,new,12.50,box of 25,,2025-06-01,\n"},
    "available_as_a_price": in_offers("each,,", "each,7.00,"),
    "their_number_of_two_parts": _numbered("4711", "4711"),
    "their_number_shortened": _numbered("7.32E+11", ""),
    "route_to_a_panel": in_shop(
        "fixed: 28 ft, cord: 22 ft}\n",
        "fixed: 28 ft, cord: 22 ft}\n  - {from: bench, to: main, fixed: 30 ft, cord: 24 ft}\n",
    ),
    "recipe_misspelled": with_change(RECIPES, "  make safe: {}", "  make safely: {}"),
    "cord_longest_in_inches": in_shop("cords:\n", 'cords:\n  longest: 25"\n'),
    "phone_shortened": with_change(SUPPLIERS, "tax: 7 %", "tax: 7 %, phone: 5.55E+09"),
}

WORKDAY_GOOD: dict[str, Changed] = {
    "minus_of_a_word_processor": in_shop("at: [20, 18]", "at: [20, \u221218]"),
}
