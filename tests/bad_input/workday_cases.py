"""Mistakes of owners, electricians and estimators at their desks: days, words and files in the wrong place."""

from changes import KINDS, PARTS, SHOP, Changed, in_offers, in_shop
from small_shop import FILES

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
}

WORKDAY_GOOD: dict[str, Changed] = {
    "minus_of_a_word_processor": in_shop("at: [20, 18]", "at: [20, \u221218]"),
}
