"""Mistakes that cost money and were once taken as they stood: each is one change to the small shop, named for the mistake."""

from changes import (
    KINDS,
    LABOR,
    OFFERS,
    PARTS,
    RECIPES,
    SHOP,
    SUPPLIERS,
    Changed,
    in_gear_shop,
    in_offers,
    in_shop,
)
from small_shop import FILES, GEAR_FILES, with_change, with_gear_change

_PLUG = "    plug: NEMA 6-20\n"
_FIRST = "R-6-20,counter,new,12.00,each,,2025-06-01,"
_WAY = "fixed: 28 ft, cord: 22 ft"
_NEXT = """\
next_machines:
  - {name: planer, at: bench, volts: 240, hp: 3, price: 1400.00, MORE}
"""
_QUOTED = """\
quoted_ways:
  - {name: boxes, method: wall drop, panel: main, poles: 2, machines: [table saw], put_in: {money: 300, hours: 4}}
"""


def _labor(old: str, new: str) -> Changed:
    return with_change(LABOR, old, new)


def _recipes(old: str, new: str) -> Changed:
    return with_change(RECIPES, old, new)


def _more(text: str) -> Changed:
    return in_shop("cords:\n", text + "cords:\n")


def _next(words: str) -> Changed:
    return _more(_NEXT.replace("MORE", words))


def _quoted(old: str, new: str) -> Changed:
    return _more(_QUOTED.replace(old, new))


def _money(words: str) -> Changed:
    return in_shop("  discount_rate: 3 %\n", f"  discount_rate: 3 %\n  {words}\n")


def _now(words: str, plug: str = _PLUG) -> Changed:
    return in_shop(_PLUG, f"{plug}    now: {{panel: main, {words}}}\n")


def _stored(words: str) -> Changed:
    return _more(f"shelf:\n  - {{part: SO-12-3, {words}}}\n")


def _factor(factor: str) -> Changed:
    slow = in_shop("at: [12, 4]}", "at: [12, 4], hour_factors: [brick]}")
    text = str(slow[SHOP]).replace("cords:\n", f"hour_factors: {{brick: {factor}}}\ncords:\n")
    return {SHOP: text}


def _charge(price: str, per: str) -> Changed:
    listed = f"charges:\n  - {{id: lift, name: rent a lift, price: {price}}}\ncrews:\n"
    return {
        **_labor("crews:\n", listed),
        **_recipes("  conduit drop: {}", f"  conduit drop: {{charges: [{{charge: lift, per: {per}}}]}}"),
    }


def _lot(row: str) -> Changed:
    """A row more, with the columns of freight and of what can be used."""
    first, rest = FILES[OFFERS].split("\n", 1)
    return {OFFERS: f"{first},freight,usable\nR-6-20,surplus,used,{row}\n{rest}"}


MONEY_CASES: dict[str, Changed] = {
    # lots, freight, errands, whole spares
    "lot_of_none": _lot("20.00,lot of 0,,,,,"),
    "usable_more_than_all": _lot("20.00,lot of 40,,,,,120 %"),
    "usable_of_no_lot": _lot("20.00,box of 40,,,,,60 %"),
    "freight_of_a_truck": _lot("20.00,lot of 40,,,,2600.00,60 %"),
    "freight_below_nothing": _lot("20.00,lot of 40,,,,-2,60 %"),
    "rejects_by_a_word_of_ones_own": _money("rejects: two more"),
    "errand_of_a_week": with_change(SUPPLIERS, "delivery: 15.00", "errand: {own_hours: 40 h}"),
    # whose prices
    "catalog_blank": {
        SHOP: FILES[SHOP].replace("catalog: catalog", "catalog:").replace("invented: true\n", "")
    },
    "catalog_missing": {SHOP: FILES[SHOP].replace("catalog: catalog\n", "").replace("invented: true\n", "")},
    "currency_as_a_sign": in_shop("years: 6", "years: 6\ncurrency: $"),
    "price_with_the_sign_of_another_currency": in_offers("12.00,each", "€12.00,each"),
    # prices
    "price_twice": in_offers(_FIRST, f"{_FIRST}\n{_FIRST.replace('12.00', '13.00')}"),
    "price_twice_one_of_them_a_lot": in_offers(
        "R-6-20,surplus,used,3.00,each,6,",
        "R-6-20,surplus,used,3.00,each,6,,\nR-6-20,surplus,used,4.00,each,,",
    ),
    "price_of_nothing": in_offers("12.00,each", "0.00,each"),
    "price_in_cents": in_offers("15.00,each", "1500,each"),
    "price_of_a_box_as_each": in_offers("12.00,each", "300.00,each"),
    "price_of_each_as_a_box": in_offers("12.00,each", "12.00,box of 100"),
    "price_of_100_ft_as_a_foot": in_offers("1.25,ft", "125.00,ft"),
    "price_of_a_foot_as_100_ft": in_offers("1.25,ft", "1.25,100 ft"),
    "price_of_a_foot_as_a_reel": in_offers("60.00,piece of 47 ft", "1.30,piece of 47 ft"),
    "price_without_its_decimals": in_offers("17.00,each", '"1,700",each'),
    "price_of_surplus_dearer_than_any": in_offers("3.00,each,6", "300.00,each,6"),
    "price_of_a_converter_in_hundreds": with_gear_change(OFFERS, "1200.00,each", "12.00,each"),
    "price_far_from_others_of_an_unknown_kind": {
        KINDS: FILES[KINDS] + "  - {kind: sawdust chute}\n",
        PARTS: FILES[PARTS]
        + "".join(f"  - {{id: SD-{size}, kind: sawdust chute, name: chute {size}}}\n" for size in "ABCD"),
        OFFERS: FILES[OFFERS]
        + "".join(
            f"SD-{size},counter,new,{price},each,,2025-06-01,\n"
            for size, price in zip("ABCD", ("4.00", "5.00", "6.00", "500.00"), strict=True)
        ),
    },
    "price_far_from_the_other_offer": {
        KINDS: FILES[KINDS] + "  - {kind: sawdust chute}\n",
        PARTS: FILES[PARTS] + "  - {id: SD-A, kind: sawdust chute, name: chute}\n",
        OFFERS: FILES[OFFERS]
        + "SD-A,counter,new,4.00,each,,2025-06-01,\nSD-A,surplus,used,100.00,each,,2025-06-01,\n",
    },
    # suppliers
    "supplier_tax_of_a_hundredth": with_change(SUPPLIERS, "tax: 7 %", "tax: 0.07 %"),
    "supplier_delivery_in_cents": with_change(SUPPLIERS, "delivery: 15.00", "delivery: 1500"),
    "supplier_order_fee_in_cents": with_change(
        SUPPLIERS, "delivery: 15.00", "delivery: 15.00, order_fee: 450"
    ),
    "supplier_cut_charge_in_cents": with_change(SUPPLIERS, "tax: 7 %", "tax: 7 %, cut_charge: 150"),
    # labor
    "hours_of_a_device_in_minutes": _labor("[0.2, 0.3, 0.6]", "[12, 18, 36]"),
    "hours_of_a_run_for_each_foot": _recipes("{task: run-cable}", "{task: run-cable, per: ft}"),
    "hours_a_hundred_times": _recipes("{task: run-cable}", "{task: run-cable, quantity: 100}"),
    "hours_of_nothing": _labor("[1, 1.5, 3]", "[0, 0, 0]"),
    "hours_of_two_units": _labor("[1, 1.5, 3]", "[1, 1.5, 90]"),
    "rate_of_a_day": _labor("rate: 95,", "rate: 760,"),
    "rate_of_one_for_two": _labor("rate: 95,", "rate: 35, people: 2,"),
    "pace_of_a_sixteenth": _labor("pace: 0.6", "pace: 0.06"),
    "call_out_in_cents": _labor("call_out: 80", "call_out: 8000"),
    "permit_in_cents": _labor("call_out: 80", "call_out: 80, permit: 6500"),
    "minimum_in_hours": _labor("call_out: 80", "call_out: 80, minimum: 2"),
    "set_up_in_minutes": _labor("call_out: 80", "call_out: 80, set_up: 45"),
    "stop_of_the_shop_in_minutes": _labor("permit: true}", "permit: true, stops_shop: 30}"),
    "hour_factor_of_what_comes_on_top": _factor("0.2"),
    "hour_factor_as_a_percentage": _factor("150"),
    "charge_in_cents": _charge("18000", "run"),
    "charge_for_each_foot": _charge("180.00", "ft"),
    # recipes and quotes
    "extra_in_inches": _recipes("extra: 5 ft", "extra: 60"),
    "waste_of_300_percent": _recipes("extra: 5 ft", "extra: 5 ft\n    waste: 300 %"),
    "quote_of_a_run_for_each_foot": _recipes(
        "  conduit drop: {}", "  conduit drop: {quote: {per_run: 95.00, per_ft: 950.00}}"
    ),
    "quote_in_minutes": _recipes(
        "  conduit drop: {}", "  conduit drop: {quote: {per_run: 95.00, hours_per_run: 90}}"
    ),
    "quote_of_nothing": _recipes("  conduit drop: {}", "  conduit drop: {quote: {per_run: 0}}"),
    "quoted_way_in_cents": _quoted("money: 300", "money: 30000"),
    "quoted_way_in_minutes": _quoted("hours: 4", "hours: 240"),
    "bid_of_nothing": _more(
        "bids:\n  - {name: bid, price: 0, covers: [run-cable], rest_by: one electrician}\n"
    ),
    "bid_in_cents": _more(
        "bids:\n  - {name: bid, price: 90000, covers: [run-cable], rest_by: one electrician}\n"
    ),
    # kinds
    "life_in_months": with_change(KINDS, "life: 8", "life: 96"),
    "resale_of_a_hundredth": with_change(KINDS, "life: 8", "life: 8\n    resale: {new: 0.35 %}"),
    "reject_of_nearly_all": with_change(KINDS, "{used: 10 %}", "{used: 90 %}"),
    "inspection_in_minutes": with_change(KINDS, "{used: 10 %}", "{used: 10 %}\n    inspect: 10"),
    # money and years of the shop
    "electricity_in_cents": _money("electricity_per_kwh: 16"),
    "shop_hour_in_cents": _money("shop_hour: 4000"),
    "growth_of_300_percent": _money("growth: {parts: 300 %}"),
    # ranges
    "range_not_rising": _money("growth: {labor: [3 %, 1 %, 2 %]}"),
    "range_of_two": _money("growth: {labor: [1 %, 2 %]}"),
    "range_above_its_high": in_shop("discount_rate: 3 %", "discount_rate: [1 %, 6 %, 5 %]"),
    "range_of_a_rate_not_rising": _labor("rate: 95", "rate: [120, 95, 80]"),
    "range_of_a_rate_below_nothing": _labor("rate: 95", "rate: [-10, 95, 120]"),
    "range_of_a_rate_in_cents": _labor("rate: 95", "rate: [80, 95, 9500]"),
    "range_around_nothing": with_change(KINDS, "{used: 10 %}", "{used: [0, 0, 0]}"),
    "range_of_reject_to_all": with_change(KINDS, "{used: 10 %}", "{used: [5 %, 10 %, 100 %]}"),
    "range_of_a_price_not_rising": in_offers(_FIRST, _FIRST.replace("12.00", "[12/10/20]")),
    "range_of_a_price_below_nothing": in_offers(_FIRST, _FIRST.replace("12.00", "[-5/12/20]")),
    "range_of_a_price_without_brackets": in_offers(_FIRST, _FIRST.replace("12.00", "10/12/20")),
    "range_of_a_price_of_two": in_offers(_FIRST, _FIRST.replace("12.00", "[10/12]")),
    "range_of_a_price_of_words": in_offers(_FIRST, _FIRST.replace("12.00", "[low/12/high]")),
    "range_of_a_weight_above_all": in_shop("weight: 40 %", "weight: [30 %, 40 %, 120 %]"),
    "weights_of_ranges_do_not_add_up": in_shop("weight: 40 %", "weight: [20 %, 30 %, 50 %]"),
    "range_of_the_only_weight": in_shop(
        FILES[SHOP][FILES[SHOP].index("scenarios:") :],
        "scenarios:\n  - {name: stays, weight: [50 %, 100 %, 100 %]}\n",
    ),
    "spread_of_a_kind_below_nothing": with_change(
        KINDS, "{used: 10 %}", "{used: 10 %}\n    price_uncertainty: 60 %"
    ),
    "distribution_of_no_name": _money("distribution: normal"),
    "price_uncertainty_of_300_percent": _money("price_uncertainty: 300 %"),
    "outlay_cap_in_thousands": _money("outlay_cap: 6"),
    "discount_rate_of_a_hundredth": in_shop("discount_rate: 3 %", "discount_rate: 0.03 %"),
    "drop_limit_of_30_percent": in_shop("building:\n", "code: {drop_limit: 30 %}\nbuilding:\n"),
    "warmest_air_in_fahrenheit": in_shop("building:\n", "code: {ambient_c: 86}\nbuilding:\n"),
    "moves_of_every_day": in_shop(
        "    weight: 40 %\n",
        "    weight: 40 %\n    rearranged: {times_per_year: 365, among: [bench, door]}\n",
    ),
    "full_load_hours_over_a_year": in_shop(_PLUG, f"{_PLUG}    full_load_hours: 9000\n"),
    "full_load_hours_of_nearly_all": in_shop(_PLUG, f"{_PLUG}    full_load_hours: 8000\n"),
    "converter_switched_on_over_a_year": in_gear_shop("hours_per_year: 150", "hours_per_year: 15000"),
    "converter_idles_in_kilowatts": with_gear_change(PARTS, "idle_w: 400", "idle_w: 0.4"),
    "utility_fee_in_cents": in_gear_shop("utility connection: 400.00", "utility connection: 90000"),
    # lengths
    "route_in_inches": in_shop(_WAY, "fixed: 336, cord: 264"),
    "route_in_metres": in_shop(_WAY, "fixed: 8.5, cord: 6.7"),
    "route_of_two_units": in_shop(_WAY, "fixed: 28 ft, cord: 264"),
    "place_in_millimetres": in_shop("at: [12, 4]", "at: [3600, 1200]"),
    "own_cord_in_inches": in_shop(_PLUG, f"{_PLUG}    own_cord: 96\n"),
    "slack_in_inches": in_shop("slack: [0 ft, 15 ft]", "slack: [0 ft, 180]"),
    # machines
    "machine_twice": in_shop(
        "  - name: sander\n", "  - {name: Table-saw, at: bench, volts: 240, hp: 3}\n  - name: sander\n"
    ),
    "machines_as_many_as_its_volts": in_shop(_PLUG, f"{_PLUG}    count: 240\n"),
    "next_machine_for_nothing": _more(_NEXT.replace("1400.00, MORE", "0")),
    "next_machine_with_freight_of_cents": _next("freight: 22000"),
    "next_machine_worth_300_percent": _next("worth_at_end: 300 %"),
    "next_machine_taxed_by_70_percent": _next("tax: 70 %"),
    "next_machine_for_a_dear_one": _next("trade_in: 30000"),
    "motor_in_watts_on_one_phase": in_shop("hp: 3\n", "hp: 75\n"),
    # plugs, configurations and what is there
    "plug_of_no_table": in_shop("NEMA 6-20", "NEMA 6-25"),
    "plug_that_is_a_word": in_shop("NEMA 6-20", "hello"),
    "plug_of_no_pins": in_shop("NEMA 6-20", "IEC 60309 77 A 2P+E 250 V 6h"),
    "part_of_no_configuration": with_change(
        PARTS, "{configuration: NEMA 6-20}", "{configuration: NEMA 6-25}"
    ),
    "part_of_no_wire_size": with_change(PARTS, "{awg: 12, conductors: 2", "{awg: 13, conductors: 2"),
    "part_of_no_breaker_size": with_change(PARTS, "rating_a: 20,", "rating_a: 22,"),
    "shelf_plug_that_is_a_word": _stored("length: 30 ft, plug: hello, connector: NEMA 6-20"),
    "shelf_plug_too_large_for_its_wire": _stored("length: 30 ft, plug: NEMA 6-50, connector: NEMA 6-50"),
    "shelf_ends_of_other_volts": _stored("length: 30 ft, plug: NEMA 5-20, connector: NEMA 6-20"),
    "now_6_20_behind_50_amperes": _now(
        'method: wall drop, configuration: NEMA 6-20, breaker: 50 A, awg: "6"'
    ),
    "now_wire_too_thin_for_its_breaker": _now(
        'method: wall drop, configuration: NEMA 6-30, breaker: 30 A, awg: "12"', plug="    plug: NEMA 6-30\n"
    ),
    "now_motor_behind_a_large_breaker": _now('method: wall drop, breaker: 50 A, awg: "12"', plug=""),
    "now_motor_on_thin_wire": _now('method: wall drop, breaker: 20 A, awg: "14"', plug=""),
    "now_receptacle_of_another_plug": _now(
        'method: wall drop, configuration: NEMA 6-30, breaker: 30 A, awg: "10"'
    ),
    "now_receptacle_for_other_volts": _now(
        'method: wall drop, configuration: NEMA 5-20, breaker: 20 A, awg: "12"', plug=""
    ),
    "now_cord_shorter_than_its_way": _now(
        'method: cord, configuration: NEMA 6-20, breaker: 20 A, awg: "12", '
        'cord: {length: 10 ft, awg: "12", conductors: 3}'
    ),
    "now_cord_too_thin": _now(
        'method: cord, configuration: NEMA 6-20, breaker: 20 A, awg: "12", '
        'cord: {length: 30 ft, awg: "18", conductors: 3}'
    ),
    "now_cord_of_two_wires": _now(
        'method: cord, configuration: NEMA 6-20, breaker: 20 A, awg: "12", '
        'cord: {length: 30 ft, awg: "12", conductors: 2}'
    ),
    # far more than any shop has
    "years_of_two_lifetimes": in_shop("years: 6", "years: 60"),
    "growth_of_minus_half": _money("growth: {labor: -50 %}"),
    "offers_by_the_million": in_offers("3.00,each,6,", "3.00,each,1000000,"),
    "spaces_of_a_street": in_shop("spaces_free: 6", "spaces_free: 6\n    spaces: 900"),
    "panel_part_of_thousands_of_spaces": with_gear_change(PARTS, "spaces: 8", "spaces: 5000"),
    "panel_part_of_hundreds_of_spaces": with_gear_change(PARTS, "spaces: 8", "spaces: 800"),
    "part_for_a_transmission_line": with_change(PARTS, "volts: 600", "volts: 60000"),
    "peak_in_watts": in_gear_shop("amps: 40 A", "amps: 9600"),
    "breaker_in_watts": _now('method: wall drop, breaker: 4800, awg: "12"', plug=""),
    # what people write who were never asked the other way round
    "lease_to_a_year_of_the_calendar": in_shop("building:\n", "building:\n  lease: {ends: 2033}\n"),
    "event_in_a_year_of_the_calendar": in_shop("{year: 2, machine", "{year: 2027, machine"),
    "machine_that_leaves_in_a_year_of_the_calendar": in_shop(_PLUG, f"{_PLUG}    leaves: 2028\n"),
    "today_of_another_century": in_shop("today: 2025-06-20", "today: 2052-06-20"),
    "today_with_day_and_month_changed": {
        SHOP: FILES[SHOP].replace("2025-06-20", "2025-01-06"),
        OFFERS: FILES[OFFERS].replace("2025-06-01", "2025-05-30"),
    },
    "section_not_indented": in_shop("panels:\n", "lease: {ends: 6}\npanels:\n"),
    "places_in_metres_beside_routes_in_feet": in_shop(
        "at: [12, 4]}\n  - {name: door, at: [20, 18]}", "at: [3.7, 1.2]}\n  - {name: door, at: [6, 5.5]}"
    ),
    "price_that_is_a_word": in_offers("12.00,each", "call,each"),
    "table_that_is_a_workbook": {OFFERS: b"PK\x03\x04\x14\x00\x06\x00\xa7\x00"},
    "hours_of_a_month": in_shop(_PLUG, f"{_PLUG}    full_load_hours: 60 a month\n"),
    "worth_in_money": _next("worth_at_end: 700.00"),
    "peak_in_kilowatts": in_gear_shop("amps: 40 A", "amps: 9 kW"),
    "sets_in_one_list": in_gear_shop("at_once: [[table saw], [mill]]", "at_once: [table saw, mill]"),
    "forbidden_ways_as_a_list": in_shop("building:\n", "building:\n  forbid: [wall drop]\n"),
    "shelf_cord_in_inches": _stored("length: 360, plug: NEMA 6-20, connector: NEMA 6-20"),
    "now_wire_in_square_millimeters": _now(
        'method: wall drop, configuration: NEMA 6-20, breaker: 20 A, awg: "4"'
    ),
    "output_of_a_welder_for_its_input": in_shop(
        "    hp: 3\n    plug: NEMA 6-20\n",
        "    amps: 200 A\n    load: welder\n    duty_cycle: 60 %\n    plug: NEMA 6-50\n",
    ),
    "cord_for_sale_without_a_ground": with_change(PARTS, "awg: 12, conductors: 3", "awg: 12, conductors: 2"),
    "edition_that_never_came_out": in_shop("building:\n", "code: {edition: 2022}\nbuilding:\n"),
    "way_of_two_lengths": in_shop(
        "machines:\n",
        "  - {from: bench, to: door, cord: 20 ft}\n  - {from: door, to: bench, cord: 45 ft}\nmachines:\n",
    ),
    "cord_five_times_its_drop": in_shop(_WAY, "fixed: 12 ft, cord: 62 ft"),
    "no_blank_after_a_colon": in_shop("    volts: 240\n    hp: 3", "    volts:240\n    hp: 3"),
    "no_break_space_after_a_colon": in_shop("    at: bench\n", "    at:\u00a0bench\n"),
    "plate_amperes_of_half_its_horsepower": in_shop("    hp: 3\n", "    hp: 3\n    amps: 6 A\n"),
}

MONEY_GOOD: dict[str, Changed] = {
    "a_way_measured_from_both_ends_alike": in_shop(
        "machines:\n",
        "  - {from: bench, to: door, cord: 20 ft}\n  - {from: door, to: bench, cord: 20 ft}\nmachines:\n",
    ),
    "hours_of_a_year_in_words": {
        SHOP: str(_money("electricity_per_kwh: 0.15")[SHOP]).replace(
            _PLUG, f"{_PLUG}    full_load_hours: 80 hours a year\n"
        )
    },
    "two_lots_of_one_thing": in_offers(
        "R-6-20,surplus,used,3.00,each,6,",
        "R-6-20,surplus,used,3.00,each,6,,\nR-6-20,surplus,used,4.00,each,9,",
    ),
    "a_box_beside_the_piece": in_offers(
        _FIRST, f"{_FIRST}\n{_FIRST.replace('12.00,each', '95.00,box of 10')}"
    ),
    "a_cheap_find": in_offers("3.00,each,6", "0.60,each,6"),
    "money_near_a_dollar": in_shop("years: 6", "years: 6\ncurrency: CAD"),
    "money_far_from_a_dollar": {
        **in_shop("years: 6", "years: 6\ncurrency: JPY"),
        OFFERS: FILES[OFFERS].replace("12.00,each", "1800,each").replace("3.00,each", "450,each"),
        LABOR: FILES[LABOR].replace("rate: 95, call_out: 80", "rate: 14000, call_out: 12000"),
    },
    "motor_behind_the_largest_breaker_of_the_code": _now(
        'method: wall drop, breaker: 40 A, awg: "10"', plug=""
    ),
    "gear_as_it_is": {**GEAR_FILES},
}
