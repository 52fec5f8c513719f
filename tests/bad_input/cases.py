"""The mistakes: each is one change to the small shop, named for what the user did."""

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


def _parts(old: str, new: str) -> Changed:
    return with_change(PARTS, old, new)


def _gear_offers(old: str, new: str) -> Changed:
    return with_gear_change(OFFERS, old, new)


def _labor_more(text: str) -> Changed:
    return with_change(LABOR, "crews:\n", text + "crews:\n")


def _gear_parts(old: str, new: str) -> Changed:
    return with_gear_change(PARTS, old, new)


def _circuit(receptacle: str, words: str) -> str:
    more = f", {words}" if words else ""
    there = f"method: wall drop, panel: main, configuration: {receptacle}, breaker: 20 A, awg: '12'{more}"
    return f"    now: {{{there}}}\n"


_CONVERTER = GEAR_FILES[SHOP][
    GEAR_FILES[SHOP].index("  - name: converter") : GEAR_FILES[SHOP].index("  - name: far panel")
]
_DELTA = "  - {name: delta, system: 240 three-phase, breakers: family A, spaces_free: 6, place: door}\n"
_FED = "    panel_part: PN-1-60\n    fed_from: main\n"
_CIRCUITS = (
    "    one_pole_circuits:\n"
    '      - {breaker: 20 A, awg: "12", count: 4, test_button: false, shared_neutral: false, tied: false}\n'
)
_FIRST_EVENT = "{year: 2, machine: table saw, move: door}"
_SAW = "  - name: table saw\n"
_SAW_PLUG = "    plug: NEMA 6-20\n"
_FIRST_ROW = "R-6-20,counter,new,12.00,each,,2025-06-01,"

_LEAVES = "{year: 4, machine: sander, leaves: true}"
_SECOND_SCENARIO = "    weight: 40 %\n"
_PANELS = FILES[SHOP][FILES[SHOP].index("panels:") : FILES[SHOP].index("places:")]
_MACHINES = FILES[SHOP][FILES[SHOP].index("machines:") : FILES[SHOP].index("scenarios:")]
_GROUP = in_shop(_SAW, _SAW + "    count: 12\n")
_QUOTED_WAYS = """\
quoted_ways:
  - {name: boxes, method: wall drop, machines: [table saw, sander], put_in: {money: 300, hours: 4}}
  - name: cords
    method: cord
    machines: [table saw]
    put_in: {money: 200, own_hours: 1}
    move: {own_hours: 0.5}
    renew: {every: 4, money: 90}
strategies:
  - {name: on boxes, ways: {table saw: boxes, sander: fixed drop}}
"""
_QUOTED_SHOP = FILES[SHOP][: FILES[SHOP].index("cords:\n")] + _QUOTED_WAYS


def _more(text: str) -> Changed:
    """Lines added to the shop file, between others."""
    return in_shop("cords:\n", text + "cords:\n")


def _quoted(old: str, new: str) -> Changed:
    """The shop with nothing but quoted ways, changed."""
    if old not in _QUOTED_SHOP:
        raise ValueError(f"{old!r} is not there")
    return {SHOP: _QUOTED_SHOP.replace(old, new, 1)}


def _event(written: str) -> Changed:
    return in_shop(_FIRST_EVENT, written)


def _rearranged(written: str) -> Changed:
    return in_shop(
        _SECOND_SCENARIO, f"{_SECOND_SCENARIO}    rearranged: {{{written}, among: [bench, door]}}\n"
    )


def _now(written: str, at: str = "bench") -> Changed:
    """The saw with a circuit that it has."""
    return in_shop(_SAW + "    at: bench\n", f"{_SAW}    at: {at}\n    now: {{panel: main, {written}}}\n")


def _installed(written: str) -> Changed:
    """An outlet that nobody uses."""
    return _more(f"installed:\n  - {{place: door, panel: main, {written}}}\n")


_DROP = 'method: wall drop, configuration: NEMA 6-20, breaker: 20 A, awg: "10"'
_HUNG = _DROP.replace("wall drop", "cord") + ', cord: {length: 22 ft, awg: "12", conductors: 3}'
_SANDER = "  - name: sander\n    at: door\n"


def _kind(old: str, new: str, *more: Changed) -> Changed:
    changed = with_change(KINDS, old, new)
    for other in more:
        changed |= other
    return changed


CASES: dict[str, Changed] = {
    # files
    "file_empty": {SHOP: ""},
    "file_only_comments": {SHOP: "# to be written\n"},
    "file_is_a_list": {SHOP: "- table saw\n- sander\n"},
    "file_missing": {"catalog/recipes.yaml": None},
    "file_latin_1": {SHOP: FILES[SHOP].replace("bench", "bänk").encode("latin-1")},
    "file_utf_16": {SUPPLIERS: FILES[SUPPLIERS].encode("utf-16")},
    "file_with_byte_order_mark": {SHOP: b"\xef\xbb\xbf" + FILES[SHOP].replace("hp: 3", "hp: three").encode()},
    "offers_empty": {OFFERS: ""},
    "offers_nul_byte": {OFFERS: FILES[OFFERS].replace("12.00", "12\0.00")},
    "everything_at_once": {
        **in_shop("volts: 240", "volts: 24O"),
        **in_offers("used", "usde"),
        **_parts("kind: plug", "knd: plug"),
        **with_change(LABOR, "role: owner", "role: onwer"),
    },
    # YAML
    "yaml_tab": in_shop("    at: bench", "\tat: bench"),
    "yaml_repeated_word": in_shop("    volts: 240\n", "    volts: 240\n    volts: 120\n"),
    "yaml_alias": in_shop("hp: 3", "hp: *three"),
    "yaml_merge": in_shop(_SAW_PLUG, "    <<: {plug: NEMA 6-20}\n"),
    "yaml_tag": in_shop("hp: 3", "hp: !!float 3"),
    "yaml_second_colon": in_shop("at: bench", "at: bench: left"),
    "yaml_open_bracket": in_shop("at: [12, 4]}", "at: [12, 4}"),
    "yaml_wrong_indent": in_shop("    volts: 240", "     volts: 240"),
    "yaml_open_quote": in_shop("shop: Small garage (invented)", "shop: 'Small garage"),
    "yaml_two_documents": in_shop("machines:", "---\nmachines:"),
    # words and values of the shop file
    "word_unknown": in_shop("    volts: 240", "    volt: 240"),
    "word_in_python_spelling": in_shop("amps: 12.8 A", "amps_a: 12.8"),
    "word_missing": in_shop("    at: bench\n", ""),
    "value_empty": in_shop("hp: 3", "hp:"),
    "volts_with_a_letter": in_shop("volts: 240", "volts: 24O"),
    "volts_of_no_supply": in_shop("volts: 240", "volts: 277"),
    "spaces_6_20_is_not_620": in_shop("spaces_free: 6", "spaces_free: 6_20"),
    "length_6_20_is_not_620": in_shop("fixed: 28 ft", "fixed: 6_20 ft"),
    "no_read_as_false": in_shop(_SAW_PLUG, _SAW_PLUG + "    never_moves: no\n"),
    "yes_for_a_word": in_shop("invented: true", "invented: on"),
    "true_for_a_number": in_shop("spaces_free: 6", "spaces_free: true"),
    "half_a_space": in_shop("spaces_free: 6", "spaces_free: 6.5"),
    "decimal_comma": in_shop("amps: 12.8 A", "amps: 12,8"),
    "unknown_unit": in_shop("amps: 12.8 A", "amps: 1400 W"),
    "percent_without_sign": in_shop("discount_rate: 3 %", "discount_rate: 3"),
    "day_the_other_way_round": in_shop("today: 2025-06-20", "today: 20.6.2025"),
    "day_as_a_number": in_shop("today: 2025-06-20", "today: 20250620"),
    "day_of_no_calendar": in_shop("today: 2025-06-20", "today: 2025-02-30"),
    "years_too_many": in_shop("years: 6", "years: 600"),
    "system_misspelled": in_shop("120/240 single-phase", "120/240 single phase"),
    "machines_not_a_list": in_shop("routes:\n  - {from", "routes:\n  {from"),
    "no_amps_and_no_hp": in_shop("    hp: 3\n", ""),
    "method_misspelled": in_shop(_SAW_PLUG, _SAW_PLUG + "    ways: {forbid: {wall drp: landlord}}\n"),
    "event_says_two_things": in_shop(_FIRST_EVENT, "{year: 2, machine: table saw, move: door, leaves: true}"),
    # figures as people write them, and sections that are not there
    "money_below_nothing": with_change(LABOR, "rate: 95", "rate: -100"),
    "two_hours_of_three": with_change(LABOR, "hours: [1, 1.5, 3]", "hours: [1, 1.5]"),
    "one_hour_for_three": with_change(LABOR, "hours: [1, 1.5, 3]", "hours: 2"),
    "coordinates_of_one_figure": in_shop("at: [12, 4]}", "at: [12]}"),
    "length_in_words": in_shop("fixed: 28 ft", "fixed: across the hall"),
    "length_as_a_range": in_shop("fixed: 28 ft", "fixed: 25-30 ft"),
    "money_as_a_range": with_change(LABOR, "rate: 95", "rate: 95-110"),
    "share_of_more_than_all": with_change(KINDS, "reject: {used: 10 %}", "reject: {used: 110 %}"),
    "figure_of_no_end": in_shop("fixed: 28 ft", f"fixed: {'9' * 15} ft"),
    "machine_is_text": in_shop(_SAW, "  - table saw\n" + _SAW),
    "shop_without_name_and_day": {
        SHOP: FILES[SHOP].replace("shop: Small garage (invented)\n", "").replace("today: 2025-06-20\n", "")
    },
    "parts_are_not_there": {PARTS: "# nothing yet\nkinds: []\n"},
    "labor_without_crews": {LABOR: FILES[LABOR][: FILES[LABOR].index("crews:")]},
    # within the shop file
    "weights_do_not_add_up": in_shop("weight: 40 %", "weight: 30 %"),
    "machine_repeated": in_shop("name: sander", "name: table saw"),
    "place_repeated": in_shop("{name: door", "{name: bench"),
    "place_unknown": in_shop("at: bench", "at: bnech"),
    "panel_unknown_in_installed": in_shop(
        "scenarios:",
        "installed:\n  - {place: door, panel: man, method: wall drop, configuration: NEMA 6-20}\nscenarios:",
    ),
    "route_without_length": in_shop(", fixed: 28 ft, cord: 22 ft", ""),
    "route_from_nowhere": in_shop("{from: main", "{from: mian"),
    "no_way_to_a_place": in_shop("{name: door, at: [20, 18]}", "{name: door}"),
    "plug_spelled_freely": in_shop("plug: NEMA 6-20", "plug: nema L6-20p"),
    "family_unknown": in_shop("breakers: family A", "breakers: family B"),
    "three_phase_without_panel": in_shop("    hp: 3\n", "    hp: 3\n    phases: 3\n"),
    "volts_208_and_240": in_shop("    volts: 240", "    volts: 208"),
    "retool_no_panel_can_feed": in_shop("move: door}", "retool: {volts: 480, phases: 3, hp: 5}}"),
    "ways_only_empty": in_shop(_SAW_PLUG, _SAW_PLUG + "    ways: {only: []}\n"),
    "ways_all_forbidden": in_shop(
        _SAW_PLUG, _SAW_PLUG + "    ways: {only: [cord], forbid: {cord: inspector}}\n"
    ),
    "event_after_the_plan": in_shop("{year: 2,", "{year: 9,"),
    "event_for_an_unknown_machine": in_shop("machine: table saw", "machine: tabel saw"),
    "event_before_it_arrives": in_shop(_SAW_PLUG, _SAW_PLUG + "    arrives: 3\n"),
    "event_after_it_left": in_shop(_FIRST_EVENT, "{year: 5, machine: sander, move: bench}"),
    "arrives_though_there": {
        SHOP: FILES[SHOP]
        .replace(_SAW_PLUG, _SAW_PLUG + "    arrives: 1\n")
        .replace(_FIRST_EVENT, "{year: 2, machine: table saw, arrives: door}")
    },
    "retool_changes_nothing": in_shop("move: door}", "retool: {volts: 240, hp: 3}}"),
    "moves_though_it_never_moves": in_shop(_SAW_PLUG, _SAW_PLUG + "    never_moves: true\n"),
    "lease_after_the_plan": in_shop("  ceiling_height: 10 ft", "  lease: {ends: 9}"),
    "rearranged_among_unknown_places": in_shop(
        "    weight: 60 %\n", "    weight: 60 %\n    rearranged: {times_per_year: 1, among: [bench, dor]}\n"
    ),
    "owner_does_what_only_electricians_may": in_shop(
        "cords:", "owner_does: [run-cable, wire-devise]\ncords:"
    ),
    "bid_covers_unknown_task": in_shop(
        "cords:", "bids:\n  - {name: bid, price: 900, covers: [run-cables], rest_by: owner}\ncords:"
    ),
    "recipe_unknown_in_shop": in_shop("cords:", "recipes:\n  wal drop: {}\ncords:"),
    "kind_unknown_in_may_be_used": in_shop("cords:", "may_be_used: [breakers]\ncords:"),
    # values in the wrong unit
    "slack_as_a_share": in_shop("slack: [0 ft, 15 ft]", "slack: [0, 0.5]"),
    "hp_in_watts": in_shop("hp: 3", "hp: 2200"),
    "amps_in_watts": in_shop("amps: 12.8 A", "amps: 1536"),
    "amperes_of_an_oven_without_its_load": in_shop("amps: 12.8 A", "amps: 28 A"),
    "route_of_nothing": in_shop("fixed: 28 ft", "fixed: 0"),
    "discount_rate_high": in_shop("discount_rate: 3 %", "discount_rate: 0.3"),
    "length_negative": in_shop("slack: [0 ft, 15 ft]", "slack: [0 ft, -15 ft]"),
    "hours_in_minutes": with_change(LABOR, "[1, 1.5, 3]", "[60, 90, 180]"),
    "hours_not_rising": with_change(LABOR, "[1, 1.5, 3]", "[3, 1.5, 1]"),
    "rate_in_cents": with_change(LABOR, "rate: 95,", "rate: 9500,"),
    # catalog
    "part_repeated": _parts("id: P-6-20", "id: R-6-20"),
    "part_of_unknown_kind": _parts("kind: receptacle", "kind: recepticle"),
    "part_lacks_an_attribute": _parts(
        "{awg: 12, conductors: 2, ground_awg: 12}", "{awg: 12, ground_awg: 12}"
    ),
    "part_with_unknown_attribute": _parts(
        "{awg: 12, conductors: 2, ground_awg: 12}", "{awg: 12, conductors: 2, ground_awg: 12, colour: yellow}"
    ),
    "part_attribute_with_unit": _parts("rating_a: 20", "rating_a: 20 A"),
    "part_without_volts": _parts(", volts: 240}", "}"),
    "part_ground_of_no_size": _parts("ground_awg: 12", "ground_awg: thick"),
    "kind_without_volts": _kind(", volts]", "]"),
    "kind_may_state_a_misspelled_mark": _kind(
        "kinds:\n",
        "kinds:\n  - kind: disconnect\n    attributes: [rating_a, poles, volts]\n    may_state: [hp_240_v_3_phases]\n",
    ),
    "kind_may_state_what_nobody_asks": _kind(
        "ground_fault, volts]\n", "ground_fault, volts]\n    may_state: [hp_240_v_3_phase]\n"
    ),
    "part_attribute_no": _parts("ground_fault: false", "ground_fault: no"),
    "part_configuration_spelled_freely": _parts("NEMA 6-20", "6-20R"),
    "kind_reject_all": with_change(KINDS, "{used: 10 %}", "{used: 100 %}"),
    "recipe_missing": with_change(RECIPES, "  pendant: {}\n", ""),
    "recipe_with_unknown_task": with_change(RECIPES, "{task: run-cable}", "{task: run-cabel}"),
    "recipe_with_unknown_kind": with_change(
        RECIPES, "  pendant: {}", "  pendant: {parts: [{kind: cable grip}]}"
    ),
    "no_electrician": with_change(
        LABOR, "  - {name: one electrician, role: electrician, rate: 95, call_out: 80}\n", ""
    ),
    "supplier_with_tax_and_markup": with_change(SUPPLIERS, "tax: 7 %", "tax: 7 %, markup: 20 %"),
    "supplier_with_a_markup_of_200_percent": with_change(SUPPLIERS, "tax: 7 %", "markup: 200 %"),
    "supplier_markup_below_nothing": with_change(SUPPLIERS, "tax: 7 %", "markup: -20 %"),
    "supplier_repeated": with_change(SUPPLIERS, "id: surplus", "id: counter"),
    # offers
    "offers_semicolons": {OFFERS: FILES[OFFERS].replace(",", ";")},
    "offers_semicolons_and_commas": {OFFERS: FILES[OFFERS].replace(",", ";").replace("12.00", "12,00")},
    "offers_tabs": {OFFERS: FILES[OFFERS].replace(",", "\t")},
    "offers_byte_order_mark": {OFFERS: b"\xef\xbb\xbf" + FILES[OFFERS].encode()},
    "offers_header_misspelled": in_offers("condition,price", "condtion,prise"),
    "offers_header_repeated": in_offers("seen,note", "note,note"),
    "offers_without_header": {OFFERS: FILES[OFFERS].split("\n", 1)[1]},
    "offers_long_row": in_offers("12.00,each", "1,250.00,each"),
    "offers_short_row": in_offers(_FIRST_ROW, "R-6-20,counter,new"),
    "offers_blank_cells": in_offers(_FIRST_ROW, "R-6-20,,,12.00,,,,"),
    "offers_open_quote": in_offers(_FIRST_ROW, 'R-6-20,"counter,new,12.00,each,,2025-06-01,'),
    "price_european": in_offers("12.00,each", '"1.234,56",each'),
    "price_missing": in_offers("12.00,each", ",each"),
    "price_in_words": in_offers("12.00,each", "call,each"),
    "price_negative": in_offers("12.00,each", "-12.00,each"),
    "price_old": in_offers("2025-06-01", "2024-01-15"),
    "price_from_the_future": in_offers("2025-06-01", "2025-07-15"),
    "available_zero": in_offers("each,6,", "each,0,"),
    "available_in_words": in_offers("each,6,", "each,plenty,"),
    "part_turned_into_a_date": in_offers("R-6-20,counter", "20-Jun,counter"),
    "part_turned_into_a_full_date": in_offers("NM-12-2,counter", "2025-12-02,counter"),
    "part_turned_into_3_dec": in_offers("SO-12-3,counter", "3-Dec,counter"),
    "part_unknown": in_offers("R-6-20,counter", "R-6-2O,counter"),
    "supplier_unknown": in_offers("R-6-20,counter", "R-6-20,conter"),
    "condition_unknown": in_offers("used", "second-hand"),
    "unit_unknown": in_offers("12.00,each", "12.00,box 25"),
    "plug_sold_by_the_foot": in_offers("15.00,each", "15.00,ft"),
    "used_where_new_is_a_must": in_offers("BR-2-20,counter,new", "BR-2-20,counter,used"),
    "offer_repeated": in_offers(_FIRST_ROW, f"{_FIRST_ROW}\n{_FIRST_ROW}"),
    "seen_the_other_way_round": in_offers("2025-06-01", "6/1/2025"),
    # shared gear
    "gear_three_phase_without_any_source": in_gear_shop(_CONVERTER, ""),
    "gear_converter_smaller_than_the_largest_motor": in_gear_shop("    hp: 5\n", "    hp: 7.5\n"),
    "gear_converter_small_beside_another_source": {
        **GEAR_FILES,
        SHOP: GEAR_FILES[SHOP]
        .replace("    hp: 5\n", "    hp: 7.5\n")
        .replace("places:\n", _DELTA + "places:\n", 1),
    },
    "gear_converter_on_a_three_phase_panel": {
        **GEAR_FILES,
        SHOP: GEAR_FILES[SHOP]
        .replace(
            "    fed_from: main\n    at: door\n    hours", "    fed_from: delta\n    at: door\n    hours"
        )
        .replace("places:\n", _DELTA + "places:\n", 1),
    },
    "gear_free_spaces_negative": in_gear_shop("spaces_free: 6", "spaces_free: -2"),
    "gear_tandem_where_the_label_forbids": in_gear_shop("    tandems: 2\n", "    tandems: 0\n"),
    "gear_tandem_without_circuits_to_pair": in_gear_shop("count: 4, test", "count: 1, test"),
    "gear_tandem_without_circuits_described": in_gear_shop(_CIRCUITS, ""),
    "gear_tandem_for_circuits_only_counted": in_gear_shop(_CIRCUITS, "    one_pole_circuits: 4\n"),
    "gear_tandem_for_circuits_half_known": in_gear_shop(
        'awg: "12", count: 4, test_button: false, ', "count: 4, "
    ),
    "gear_tandem_for_circuits_that_stay": in_gear_shop("shared_neutral: false", "shared_neutral: true"),
    "gear_tandem_on_wire_too_thin": in_gear_shop('awg: "12", count', 'awg: "14", count'),
    "gear_tandem_on_wire_of_no_size": in_gear_shop('awg: "12", count', 'awg: "13", count'),
    "gear_tandem_for_a_breaker_of_no_size": in_gear_shop("{breaker: 20 A, awg", "{breaker: 22 A, awg"),
    "gear_tandem_that_nobody_sells": in_gear_shop('{breaker: 20 A, awg: "12"', '{breaker: 15 A, awg: "12"'),
    "gear_tandem_larger_half_first": _gear_parts("second_rating_a: 20", "second_rating_a: 15"),
    "gear_tandem_of_a_ground_fault_breaker": _gear_parts(
        "second_rating_a: 20", "second_rating_a: 20, ground_fault: true"
    ),
    "gear_tandem_for_a_circuit_on_a_ground_fault_breaker": in_gear_shop(
        "test_button: false", "test_button: ground-fault"
    ),
    "gear_tandem_in_a_panel_to_be_bought": in_gear_shop("    panel: main\n", "    panel: far panel\n"),
    "gear_peak_above_the_service": in_gear_shop("amps: 40 A", "amps: 140 A"),
    "gear_peak_after_today": in_gear_shop("seen: 2025-05-31", "seen: 2025-07-31"),
    "gear_peak_recorded_too_short": in_gear_shop("days: 30", "days: 7"),
    "gear_panels_feed_each_other": {
        **GEAR_FILES,
        SHOP: GEAR_FILES[SHOP].replace(
            "  - name: far panel\n    kind: subpanel\n" + _FED,
            "  - name: far panel\n    kind: subpanel\n    panel_part: PN-1-60\n    fed_from: farther panel\n"
            "    at: door\n  - name: farther panel\n    kind: subpanel\n    panel_part: PN-1-60\n    fed_from: far panel\n",
        ),
    },
    "gear_panel_feeds_itself": in_gear_shop(
        "    place: panel wall\n", "    place: panel wall\n    fed_from: main\n"
    ),
    "gear_field_missing": in_gear_shop("    hours_per_year: 150\n", ""),
    "gear_fields_missing_of_several": {
        **GEAR_FILES,
        SHOP: GEAR_FILES[SHOP]
        .replace("    to: 200 A\n", "")
        .replace("    holds_to: 20 A\n", "")
        .replace("    panel: main\n", "")
        .replace("    panel_part: PN-1-60\n", ""),
    },
    "gear_utility_without_a_quote": in_gear_shop(
        "  - name: far panel\n    kind: subpanel\n    panel_part: PN-1-60\n    fed_from: main\n",
        "  - name: far panel\n    kind: utility three-phase\n    panel_part: PN-3-60\n    amps: 100 A\n",
    ),
    "gear_kind_unknown": in_gear_shop("kind: subpanel", "kind: sub panel"),
    "gear_part_unknown": in_gear_shop("part: CV-5", "part: CV-50"),
    "gear_part_of_wrong_kind": in_gear_shop("part: CV-5", "part: LM-60"),
    "gear_panel_part_of_wrong_kind": in_gear_shop("panel_part: PN-1-60", "panel_part: BR-2-20"),
    "gear_part_without_its_rating": _gear_parts("input_a: 36, ", ""),
    "gear_recipe_missing": with_gear_change(RECIPES, "  feeder: {}\n", ""),
    "gear_place_unknown": in_gear_shop("    at: door\n    hours", "    at: dor\n    hours"),
    "gear_fed_from_an_unknown_panel": in_gear_shop(_FED, _FED.replace("main", "mian")),
    "gear_holds_an_unknown_machine": in_gear_shop("machines: [mill,", "machines: [mil,"),
    "gear_upgrade_to_less": in_gear_shop("to: 200 A", "to: 100 A"),
    "gear_without_a_service": {
        **GEAR_FILES,
        SHOP: GEAR_FILES[SHOP].replace(
            "service:\n  amps: 100 A\n  measured_peak: {amps: 40 A, seen: 2025-05-31, days: 30}\n"
            "  at_once: [[table saw], [mill]]\n",
            "",
        ),
    },
    "gear_at_once_unknown_machine": in_gear_shop("at_once: [[table saw]", "at_once: [[table sow]"),
    "gear_at_most_of_an_unknown_machine": in_gear_shop(
        "at_once: [[table saw], [mill]]", "at_most: [{count: 1, of: [table sow, mill]}]"
    ),
    "gear_at_most_beside_at_once": in_gear_shop(
        "at_once: [[table saw], [mill]]",
        "at_once: [[table saw], [mill]]\n  at_most: [{count: 1, of: [table saw, sander]}]",
    ),
    "gear_at_most_of_none": in_gear_shop(
        "at_once: [[table saw], [mill]]", "at_most: [{count: 0, of: [table saw, mill]}]"
    ),
    "gear_at_most_of_all": in_gear_shop(
        "at_once: [[table saw], [mill]]", "at_most: [{count: 2, of: [table saw, mill]}]"
    ),
    **{
        f"main_disconnect_{name}": in_gear_shop(
            "  - name: load manager\n",
            f"  - name: main switch\n    kind: main disconnect\n{words}  - name: load manager\n",
        )
        for name, words in (
            ("without_its_fuses", ""),
            ("of_no_size", "    amps: 210 A\n    quote: 500\n"),
            ("too_small_for_the_upgrade", "    amps: 100 A\n    quote: 500\n"),
            ("that_nobody_sells", "    amps: 200 A\n"),
        )
    },
    "gear_promise_of_a_self_starter": in_gear_shop("starts_by_itself: false", "starts_by_itself: true"),
    **{
        f"converter_breaker_{name}": in_gear_shop(
            "    hours_per_year", f"    breaker: {amps} A\n    hours_per_year"
        )
        for name, amps in (("too_large", 50), ("too_small", 35), ("may_trip", 40), ("of_no_size", 42))
    },
    "converter_panel_without_protection": _gear_parts("input_a: 36", "input_a: 50"),
    "converter_panel_there_without_protection": {
        **_gear_parts("input_a: 36", "input_a: 50"),
        SHOP: GEAR_FILES[SHOP].replace("    hours_per_year", "    installed: true\n    hours_per_year"),
    },
    "converter_plate_asks_for_more_than_the_code": {
        **_gear_parts("input_a: 36,", "input_a: 36, breaker_at_least_a: 60,"),
        KINDS: GEAR_FILES[KINDS].replace(
            "idle_w, efficiency]\n", "idle_w, efficiency]\n    may_state: [breaker_at_least_a]\n"
        ),
    },
    "converter_that_only_starts": {
        **_gear_parts("{volts: 240, largest_motor_hp", "{type: static, volts: 240, largest_motor_hp"),
        KINDS: GEAR_FILES[KINDS].replace("[volts, largest_motor_hp", "[type, volts, largest_motor_hp"),
    },
    "converter_may_not_state_that": {
        **GEAR_FILES,
        KINDS: GEAR_FILES[KINDS].replace(
            "idle_w, efficiency]\n", "idle_w, efficiency]\n    may_state: [noise]\n"
        ),
    },
    "gear_supply_misspelled": in_gear_shop("{single-phase motor: its head", "{single phase motor: its head"),
}

CASES |= {
    "machine_named_as_some_of_a_group": {
        SHOP: str(_GROUP[SHOP])
        .replace(_FIRST_EVENT, "{year: 2, machine: table saw, how_many: 7, move: door}")
        .replace("name: sander", "name: table saw 1-7")
        .replace("machine: sander", "machine: table saw 1-7")
    },
    "next_machines_repeated": _more(
        "next_machines:\n  - {name: sander, at: door, volts: 240, hp: 2, price: 900}\n"
        "  - {name: lathe, at: door, volts: 240, hp: 2, price: 900, count: 2}\n"
        "  - {name: lathe, at: door, volts: 240, hp: 2, price: 900}\n"
    ),
    "quoted_machine_is_retooled": _quoted("move: door}", "retool: {volts: 240, hp: 5}}"),
    "quoted_machine_with_words_for_the_catalog": _quoted(
        _SAW_PLUG, _SAW_PLUG + "    lasts: {cord: 50 %}\n    full_load_hours: 200\n"
    ),
    "event_of_a_route_to_a_place": in_shop("    at: bench\n", "    route: {fixed: 40 ft}\n"),
    # when events fall, and how many machines they are about
    "event_at_the_end_of_the_plan": in_shop("{year: 2,", "{year: 6,"),
    "event_in_years_after_the_plan": in_shop("{year: 2,", "{years: [2, 9],"),
    "event_in_the_same_year_twice": in_shop("{year: 2,", "{years: [2, 2],"),
    "event_every_more_years_than_there_are": in_shop("{year: 2,", "{every: 6,"),
    "event_without_a_year": in_shop("{year: 2, ", "{"),
    "event_that_leaves_several_times": in_shop(_LEAVES, "{every: 2, machine: sander, leaves: true}"),
    "event_moves_to_the_same_place_again": in_shop("{year: 2,", "{years: [2, 4],"),
    "event_for_some_without_a_group": _event("{year: 2, machine: table saw, how_many: 2, move: door}"),
    "event_for_more_than_the_group_has": {
        SHOP: str(_GROUP[SHOP]).replace(
            _FIRST_EVENT, "{year: 2, machine: table saw, how_many: 13, move: door}"
        )
    },
    "event_some_of_a_group_leave": {
        SHOP: str(_GROUP[SHOP]).replace(
            _FIRST_EVENT, "{year: 2, machine: table saw, how_many: 3, leaves: true}"
        )
    },
    "event_retool_says_nothing": in_shop("move: door}", "retool: {continuous: true}}"),
    "event_times_without_a_new_spot": in_shop("move: door}", "move: door, times: 2}"),
    "machine_arrives_at_the_end_of_the_plan": in_shop(
        "    amps: 12.8 A\n", "    amps: 12.8 A\n    arrives: 6\n"
    ),
    "rearranged_daily": _rearranged("times_per_year: 400"),
    "rearranged_in_all_daily": _rearranged("times_in_all: 4000"),
    "rearranged_too_seldom": _rearranged("times_per_year: 0.1"),
    "rearranged_range_that_does_not_rise": _rearranged("times_per_year: [2, 1, 4]"),
    "rearranged_range_of_two": _rearranged("times_per_year: [1, 4]"),
    "rearranged_range_below_nothing": _rearranged("times_per_year: [-1, 1, 2]"),
    "rearranged_range_around_nothing": _rearranged("times_per_year: [0, 0, 0]"),
    "rearranged_range_up_to_any": _rearranged("times_per_year: [1, 2, 4000]"),
    "rearranged_range_in_all_of_halves": _rearranged("times_in_all: [1, 2.5, 4]"),
    "rearranged_range_up_to_daily": _rearranged("times_per_year: [1, 2, 365]"),
    "rearranged_range_too_seldom": _rearranged("times_per_year: [0, 0.1, 0.2]"),
    "rearranged_range_of_part_of_a_move": _rearranged("times_in_all: [1, 2, 6]"),
    "rearranged_part_of_a_move": _rearranged("times_per_year: 0.65"),
    "rearranged_says_how_often_twice": _rearranged("times_per_year: 1, times_in_all: 3"),
    "move_over_an_unknown_distance": {
        SHOP: FILES[SHOP]
        .replace("{name: door, at: [20, 18]}", "{name: door}")
        .replace("machines:\n", "  - {from: main, to: door, fixed: 40 ft, cord: 30 ft}\nmachines:\n", 1)
    },
    "visits_for_each_move_without_moves": {
        SHOP: FILES[SHOP]
        .replace(f"      - {_FIRST_EVENT}\n", "")
        .replace("cords:\n", "hired_visits: each move\ncords:\n")
    },
    # where machines stand and what feeds them
    "place_and_route": in_shop("    at: bench\n", "    at: bench\n    route: {fixed: 30 ft}\n"),
    "route_of_a_machine_from_an_unknown_panel": in_shop(
        "    at: bench\n", "    route: {panel: mian, fixed: 30 ft}\n"
    ),
    "route_of_a_machine_from_a_panel_that_cannot_feed_it": {
        **GEAR_FILES,
        SHOP: GEAR_FILES[SHOP]
        .replace(
            "    at: door\n    volts: 120\n", "    route: {panel: delta, fixed: 30 ft}\n    volts: 120\n"
        )
        .replace("places:\n", _DELTA + "places:\n", 1),
    },
    "route_of_a_machine_without_length": in_shop("    at: bench\n", "    route: {panel: main}\n"),
    "machine_without_a_place_named_as_one": {
        SHOP: FILES[SHOP]
        .replace("name: sander\n    at: door", "name: door\n    route: {fixed: 40 ft}")
        .replace("machine: sander", "machine: door")
    },
    "nameplate_missing": in_shop("    volts: 120\n    amps: 12.8 A\n", ""),
    "no_machines": {
        SHOP: FILES[SHOP].replace(_MACHINES, "").split("scenarios:")[0],
    },
    "no_panels": {
        SHOP: FILES[SHOP]
        .replace(_PANELS, "")
        .replace(
            "  - {from: main, to: bench, fixed: 28 ft, cord: 22 ft}\n",
            "  - {from: door, to: bench, cord: 9 ft}\n",
        )
    },
    # hour factors
    "hour_factor_defined_nowhere": in_shop("at: [12, 4]}", "at: [12, 4], hour_factors: [brick]}"),
    "hour_factor_misspelled": {
        SHOP: FILES[SHOP]
        .replace("at: [12, 4]}", "at: [12, 4], hour_factors: [brick]}")
        .replace("cord: 22 ft}", "cord: 22 ft, hour_factors: [brik]}")
        .replace("cords:\n", "hour_factors: {brick: 1.5}\ncords:\n")
    },
    "hour_factor_named_nowhere": _more("hour_factors: {brick: 1.5}\n"),
    "hour_factor_named_twice": {
        SHOP: FILES[SHOP]
        .replace("at: [12, 4]}", "at: [12, 4], hour_factors: [brick, brick]}")
        .replace("cords:\n", "hour_factors: {brick: 1.5}\ncords:\n")
    },
    "hour_factor_of_nothing": {
        SHOP: FILES[SHOP]
        .replace("at: [12, 4]}", "at: [12, 4], hour_factors: [brick]}")
        .replace("cords:\n", "hour_factors: {brick: 0}\ncords:\n")
    },
    "hour_factor_to_a_ceiling_alone": _more("hour_factors: {high: {factor: 1.2, ceiling_to: 14 ft}}\n"),
    "hour_factor_of_falling_ceilings": _more(
        "hour_factors: {high: {factor: 1.2, ceiling_above: 14 ft, ceiling_to: 10 ft}}\n"
    ),
    # quoted ways
    "quoted_name_of_a_method": _quoted("name: cords\n", "name: cord\n"),
    "quoted_name_of_a_strategy_word": _quoted("name: cords\n", "name: fixed drop\n"),
    "quoted_name_repeated": _quoted("name: cords\n", "name: boxes\n"),
    "quoted_for_an_unknown_machine": _quoted("[table saw]", "[tabel saw, table saw]"),
    "quoted_for_a_machine_twice": _quoted("[table saw]", "[table saw, table saw]"),
    "quoted_from_an_unknown_panel": _quoted("hours: 4}}", "hours: 4}, panel: mian, poles: 2}"),
    "quoted_panel_without_poles": _quoted("hours: 4}}", "hours: 4}, panel: main}"),
    "quoted_poles_without_panel": _quoted("hours: 4}}", "hours: 4}, poles: 2}"),
    "quoted_hours_of_nobody": {
        SHOP: _QUOTED_SHOP,
        LABOR: FILES[LABOR].split("crews:")[0] + "crews: []\n",
    },
    "quoted_for_nothing": _quoted("put_in: {money: 300, hours: 4}", "put_in: {}"),
    "quoted_way_fetches_more_than_it_cost": _quoted("money: 90}", "money: 90}\n    comes_back: 3000"),
    "lease_ends_before_the_plan": in_shop(
        "ceiling_height: 10 ft", "ceiling_height: 10 ft\n  lease: {ends: 4, take_out: true}"
    ),
    "lease_too_short_for_those_who_stay": {
        SHOP: FILES[SHOP]
        .replace("ceiling_height: 10 ft", "ceiling_height: 10 ft\n  lease: {ends: 4, take_out: true}")
        .replace("    weight: 60 %\n", "    weight: 60 %\n    lease_ends: 5\n")
    },
    "lease_ends_without_a_lease": in_shop("    weight: 60 %\n", "    weight: 60 %\n    lease_ends: 5\n"),
    "crew_beside_those_of_the_catalog": _more(
        "crews:\n  - {name: me, role: owner, rate: 20}\n  - {name: hers, role: electrician, rate: 90}\n"
    ),
    "later_permit_dearer_than_the_first": with_change(
        LABOR, "rate: 95", "rate: 95, permit: 120, later_permit: 600"
    ),
    "hours_below_zero": _quoted("hours: 4", "hours: -3"),
    "quoted_renewal_never_comes": _quoted("every: 4", "every: 6"),
    "quoted_renewal_for_nothing": _quoted("{every: 4, money: 90}", "{every: 4}"),
    "quoted_move_of_what_never_moves": _quoted(f"      - {_FIRST_EVENT}\n", ""),
    "quoted_hours_not_rising": _quoted("own_hours: 1}", "own_hours: [2, 1, 3]}"),
    "quoted_ways_all_forbidden": _quoted(_SAW_PLUG, _SAW_PLUG + "    ways: {only: [ceiling outlet]}\n"),
    "from_catalog_without_a_quoted_way": in_shop(_SAW_PLUG, _SAW_PLUG + "    ways: {from_catalog: true}\n"),
    # strategies
    "strategy_for_an_unknown_machine": _quoted(
        "{table saw: boxes, sander", "{table saw: boxes, sandr: boxes, sander"
    ),
    "strategy_repeated": _quoted(
        "strategies:\n", 'strategies:\n  - {name: on boxes, ways: {"*": wall drop}}\n'
    ),
    "strategy_with_an_unknown_way": _quoted("sander: fixed drop", "sander: fixed drops"),
    "strategy_forgets_a_machine": _quoted("{table saw: boxes, sander: fixed drop}", "{table saw: boxes}"),
    "strategy_with_a_way_quoted_for_others": _quoted("sander: fixed drop", "sander: cords"),
    "strategy_with_a_way_that_is_not_quoted": _quoted("sander: fixed drop", "sander: conduit drop"),
    "strategy_with_a_rest_of_nothing": _quoted("sander: fixed drop}", 'sander: fixed drop, "*": boxes}'),
    "strategy_from_an_unknown_panel": _more(
        'strategies:\n  - {name: all, ways: {"*": wall drop from mian}}\n'
    ),
    "strategy_names_a_machine_and_its_group": {
        SHOP: str(_GROUP[SHOP])
        .replace(_FIRST_EVENT, "{year: 2, machine: table saw, how_many: 7, move: door}")
        .replace(
            "cords:\n",
            'strategies:\n  - {name: all, ways: {table saw: cord, table saw 1-7: wall drop, "*": cord}}\ncords:\n',
        )
    },
    # wear and resale
    "lasts_unknown_kind": in_shop(_SAW_PLUG, _SAW_PLUG + "    lasts: {cords: 50 %}\n"),
    "lasts_no_time_at_all": in_shop(_SAW_PLUG, _SAW_PLUG + "    lasts: {cord: 0 %}\n"),
    "lasts_very_long": in_shop(_SAW_PLUG, _SAW_PLUG + "    lasts: {cord: 400 %}\n"),
    "lasts_without_a_life": in_shop(_SAW_PLUG, _SAW_PLUG + "    lasts: {plug: 50 %}\n"),
    "life_that_no_recipe_renews": _kind(
        "[awg, conductors, ground_awg]\n", "[awg, conductors, ground_awg]\n    life: 5\n"
    ),
    "renews_an_unknown_kind": with_change(RECIPES, "  pendant: {}\n", "  pendant: {}\n  renew cables: {}\n"),
    "resale_of_a_part_above_its_price": _parts(
        "    name: plug 6-20\n", "    name: plug 6-20\n    resale: {new: 120 %}\n"
    ),
    "resale_of_what_stays": _kind("    reject: {used: 10 %}\n", "    resale: {new: 30 %}\n"),
    "resale_rule_without_resale": _kind(
        "    life: 8\n", "    life: 8\n    resale_rule: straight line over life\n"
    ),
    "resale_falls_over_no_life": _kind(
        "    attributes: [configuration]\n    portable: true\n",
        "    attributes: [configuration]\n    portable: true\n    resale: {new: 30 %}\n"
        "    resale_rule: straight line over life\n",
    ),
    "resale_of_a_part_falls_over_no_life": _parts(
        "    name: plug 6-20\n",
        "    name: plug 6-20\n    resale: {new: 20 %}\n    resale_rule: straight line over life\n",
    ),
    "recipe_asks_for_what_nobody_sells": {
        **_kind("kinds:\n", "kinds:\n  - kind: cord grip\n    attributes: []\n"),
        **with_change(RECIPES, "  pendant: {}", "  pendant: {parts: [{kind: cord grip}]}"),
    },
    # crews and purchases
    "owner_with_a_minimum": with_change(LABOR, "pace: 0.6}", "pace: 0.6, minimum: 50}"),
    "owner_of_the_shop_with_set_up": _more("crews:\n  - {name: owner, role: owner, rate: 25, set_up: 1 h}\n"),
    "crew_of_three_without_a_pace": with_change(LABOR, "rate: 95,", "rate: 95, people: 3,"),
    "crew_of_no_people": with_change(LABOR, "rate: 95,", "rate: 95, people: 0,"),
    "pair_at_the_pace_of_one": with_change(LABOR, "rate: 95,", "rate: 95, people: 2, pace: 1,"),
    "pair_at_the_pace_of_three": with_change(LABOR, "rate: 95,", "rate: 95, people: 2, pace: 3.0,"),
    "one_at_the_pace_of_a_pair": _more(
        "crews:\n  - {name: one electrician, role: electrician, rate: 95, pace: 2.2}\n"
    ),
    "hour_factor_of_an_unknown_task": _labor_more("hour_factors: {high: {factor: 1.2, tasks: [climb]}}\n"),
    "hour_factor_of_nothing_in_the_book": _labor_more("hour_factors: {high: {factor: 0}}\n"),
    "premium_high": _more(
        "next_machines:\n  - {name: lathe, at: door, volts: 240, hp: 2, price: 900, premium: 80 %}\n"
    ),
    "gear_overhaul_of_a_subpanel": in_gear_shop(
        "    kind: subpanel\n", "    kind: subpanel\n    overhaul: {every: 3, money: 100}\n"
    ),
    "gear_overhaul_never_comes": in_gear_shop(
        "    hours_per_year: 150\n", "    hours_per_year: 150\n    overhaul: {every: 6, money: 100}\n"
    ),
    "gear_panel_that_reaches_no_place": {
        **GEAR_FILES,
        SHOP: GEAR_FILES[SHOP]
        .replace("  - {name: bench,", "  - {name: shed}\n  - {name: bench,")
        .replace(_FED + "    at: door\n  - name: tandem", _FED + "    at: shed\n  - name: tandem"),
    },
    # what is there today
    "now_two_on_one_outlet": {
        SHOP: str(_now(_DROP)[SHOP]).replace(
            _SANDER, f"{_SANDER}    now: {{panel: main, place: bench, {_DROP}}}\n"
        )
    },
    "now_outlet_among_installed": {
        SHOP: str(_now(_DROP)[SHOP]).replace(
            "cords:\n",
            "installed:\n"
            "  - {place: bench, panel: main, method: wall drop, configuration: NEMA 6-20}\ncords:\n",
        )
    },
    "now_at_a_place_of_unknown_distance": {
        SHOP: str(_now(f"place: shed, {_DROP}")[SHOP]).replace(
            "  - {name: bench,", "  - {name: shed}\n  - {name: bench,"
        )
    },
    "now_from_a_panel_without_a_route": {
        SHOP: str(_now(_DROP)[SHOP])
        .replace("now: {panel: main,", "now: {panel: small,")
        .replace(
            "places:\n",
            "  - {name: small, system: 120/240 single-phase, breakers: family A, spaces_free: 6}\nplaces:\n",
            1,
        )
    },
    "now_from_a_panel_without_a_length_to_it": {
        SHOP: str(_now(_DROP)[SHOP])
        .replace("    at: bench\n", "    route: {panel: main, fixed: 30 ft, cord: 25 ft}\n", 1)
        .replace("now: {panel: main,", "now: {panel: small,")
        .replace(
            "places:\n",
            "  - {name: small, system: 120/240 single-phase, breakers: family A, spaces_free: 6}\nplaces:\n",
            1,
        )
    },
    "now_cord_too_short": _now(_HUNG.replace("22 ft", "12 ft")),
    "now_breaker_of_no_size": _now(_DROP.replace("20 A", "22 A")),
    "now_receptacle_of_no_table": _now(_DROP.replace("6-20", "6-25")),
    "now_receptacle_spelled_freely": _now(_DROP.replace("NEMA 6-20", "6-20R")),
    "now_three_poles_in_a_single_phase_panel": _now(f"poles: 3, {_DROP}"),
    "now_one_pole_for_240_volts": _now(f"poles: 1, {_DROP}"),
    "now_receptacle_of_other_volts": _now(f"poles: 2, {_DROP.replace('NEMA 6-20', 'NEMA L8-20')}"),
    "now_receptacle_behind_a_large_breaker": _now(_DROP.replace("20 A", "60 A").replace('"10"', '"6"')),
    "now_wire_of_no_size": _now(_DROP.replace('"10"', "12/2")),
    "now_cord_of_no_size": _now(_HUNG.replace('awg: "12", conductors', "awg: 12/3, conductors")),
    "fuses_behind_a_plug": in_shop(_SAW_PLUG, f"{_SAW_PLUG}    ways: {{fused: true}}\n"),
    "fuses_without_a_disconnect": in_shop(_SAW_PLUG, "    ways: {fused: true, hard_wired: false}\n"),
    "plug_for_other_volts": in_shop(_SAW_PLUG, "    plug: NEMA 5-15\n"),
    "plug_for_fewer_amperes": in_shop("    hp: 3\n" + _SAW_PLUG, "    amps: 24 A\n" + _SAW_PLUG),
    "plug_for_less_than_the_horsepower": in_shop(_SAW_PLUG, "    plug: NEMA 6-15\n"),
    "plug_for_far_less_than_the_horsepower": in_shop("    hp: 3\n" + _SAW_PLUG, "    hp: 10\n" + _SAW_PLUG),
    "plate_with_two_breakers": in_shop(
        _SAW_PLUG, "    breaker: 20 A\n    largest_breaker: 30 A\n" + _SAW_PLUG
    ),
    "plate_with_a_peak_horsepower": in_shop(
        "    hp: 3\n" + _SAW_PLUG, "    hp: 5.5\n    amps: 12 A\n" + _SAW_PLUG
    ),
    "welder_without_its_duty_cycle": in_shop(
        "    hp: 3\n" + _SAW_PLUG, "    amps: 18 A\n    load: welder\n" + _SAW_PLUG
    ),
    "welder_with_more_effective_amperes": in_shop(
        "    hp: 3\n" + _SAW_PLUG, "    amps: 18 A\n    load: welder\n    effective_amps: 29 A\n" + _SAW_PLUG
    ),
    "arc_welder_above_its_plug": in_shop(
        "    hp: 3\n" + _SAW_PLUG, "    amps: 30 A\n    load: welder\n    duty_cycle: 20 %\n" + _SAW_PLUG
    ),
    "arc_welder_of_a_spot_welders_duty": in_shop(
        "    hp: 3\n" + _SAW_PLUG, "    amps: 18 A\n    load: welder\n    duty_cycle: 5 %\n" + _SAW_PLUG
    ),
    "spot_welder_with_a_duty_cycle": in_shop(
        "    hp: 3\n" + _SAW_PLUG, "    amps: 18 A\n    load: spot welder\n    duty_cycle: 10 %\n" + _SAW_PLUG
    ),
    "spot_welder_with_words_of_others": in_shop(
        "    hp: 3\n" + _SAW_PLUG,
        "    amps: 18 A\n    load: spot welder\n    one_operation: true\n    effective_amps: 9 A\n"
        + _SAW_PLUG,
    ),
    "one_operation_of_an_arc_welder": in_shop(
        "    hp: 3\n" + _SAW_PLUG,
        "    amps: 18 A\n    load: welder\n    duty_cycle: 60 %\n    one_operation: true\n" + _SAW_PLUG,
    ),
    "one_operation_of_a_motor": in_shop(_SAW_PLUG, "    one_operation: true\n" + _SAW_PLUG),
    "one_operation_in_words": in_shop(_SAW_PLUG, "    one_operation: always\n" + _SAW_PLUG),
    "outlet_of_an_arc_welder_below_its_breaker": in_shop(
        "    hp: 3\n" + _SAW_PLUG,
        "    amps: 30 A\n    load: welder\n    duty_cycle: 20 %\n    breaker: 30 A\n"
        "    now: {method: wall drop, panel: main, configuration: NEMA 6-20, breaker: 30 A, awg: '10'}\n"
        + _SAW_PLUG,
    ),
    "ground_of_no_size": in_shop(_SAW_PLUG, _SAW_PLUG + _circuit("NEMA 6-20", "ground_awg: thin")),
    "ground_too_thin_for_its_breaker": in_shop(
        _SAW_PLUG, _SAW_PLUG + _circuit("NEMA 6-20", "ground_awg: '14'")
    ),
    "duplex_in_words": in_shop(_SAW_PLUG, _SAW_PLUG + _circuit("NEMA 6-20", "duplex: two")),
    "receptacle_below_its_breaker": in_shop(_SAW_PLUG, "    plug: NEMA 6-15\n" + _circuit("NEMA 6-15", "")),
    "single_receptacle_below_its_breaker": in_shop(
        _SAW_PLUG, "    plug: NEMA 6-15\n" + _circuit("NEMA 6-15", "duplex: false")
    ),
    "drop_limit_over_one": in_shop(_SAW_PLUG, "    drop_limit: 150 %\n" + _SAW_PLUG),
    "drop_limit_of_nothing": in_shop(_SAW_PLUG, "    drop_limit: 0 %\n" + _SAW_PLUG),
    "volts_from_the_highest": in_shop("    volts: 240\n    hp: 3\n", "    volts: 460/208-230\n    hp: 3\n"),
    "volts_between_two": in_shop(
        "    volts: 240\n    hp: 3\n" + _SAW_PLUG, "    volts: 208-219\n    hp: 3\n" + _SAW_PLUG
    ),
    "amperes_for_fewer_volts": in_shop("    hp: 3\n" + _SAW_PLUG, "    amps: 9.4-8.6/4.3\n" + _SAW_PLUG),
    "amperes_in_words": in_shop("    hp: 3\n" + _SAW_PLUG, "    amps: nine\n" + _SAW_PLUG),
    "second_motor_without_a_load": in_shop(
        _SAW_PLUG, "    more_motors: [{what: coolant pump}]\n" + _SAW_PLUG
    ),
    "second_motor_larger": in_shop(_SAW_PLUG, "    more_motors: [{what: pump, hp: 5}]\n" + _SAW_PLUG),
    "second_motor_of_three_phases": in_shop(_SAW_PLUG, "    more_motors: [{hp: 1, phases: 3}]\n" + _SAW_PLUG),
    "motor_words_of_a_heater": in_shop(
        "    hp: 3\n" + _SAW_PLUG,
        "    amps: 12\n    load: heater\n    brake: true\n    rpm: 1725\n" + _SAW_PLUG,
    ),
    "shaft_of_another_frame": in_shop(_SAW_PLUG, "    frame: 182T\n    shaft: 5/8 in\n" + _SAW_PLUG),
    "enclosure_of_no_kind": in_shop(_SAW_PLUG, "    enclosure: dusty\n" + _SAW_PLUG),
    "speed_of_the_spindle": in_shop(_SAW_PLUG, "    rpm: 9000\n" + _SAW_PLUG),
    "cord_told_twice": in_shop(
        _SAW_PLUG, '    own_cord: 8 ft\n    cord: {awg: "12", length: 6 ft}\n' + _SAW_PLUG
    ),
    "cord_of_no_size": in_shop(_SAW_PLUG, "    cord: {awg: 12/3}\n" + _SAW_PLUG),
    "cord_too_thin_for_its_plate": in_shop(
        "    hp: 3\n" + _SAW_PLUG, '    amps: 16\n    cord: {awg: "16"}\n' + _SAW_PLUG
    ),
    "least_heat_of_a_motor": in_shop(_SAW_PLUG, "    least_heat: 75 %\n" + _SAW_PLUG),
    "least_heat_over_all": in_shop(
        "    hp: 3\n" + _SAW_PLUG, "    amps: 12\n    load: heater\n    least_heat: 120 %\n" + _SAW_PLUG
    ),
    "two_speeds_without_amperes": in_shop(_SAW_PLUG, "    two_speed: true\n" + _SAW_PLUG),
    "plate_above_the_table": in_shop("    hp: 3\n" + _SAW_PLUG, "    hp: 3\n    amps: 22\n"),
    "duty_cycle_of_a_motor": in_shop(_SAW_PLUG, "    duty_cycle: 40 %\n" + _SAW_PLUG),
    "duty_cycle_over_one": in_shop(_SAW_PLUG, "    load: welder\n    duty_cycle: 120 %\n" + _SAW_PLUG),
    "load_of_no_kind": in_shop(_SAW_PLUG, "    load: lamp\n" + _SAW_PLUG),
    "load_told_twice": in_shop(_SAW_PLUG, "    load: motor\n    motor: false\n" + _SAW_PLUG),
    "terminals_of_90": in_shop(_SAW_PLUG, "    terminals: 90\n" + _SAW_PLUG),
    "now_too_few_wires": _now(f"conductors: 2, {_DROP.replace('NEMA 6-20', 'NEMA 14-20')}"),
    "now_ends_where_the_machine_is_not": _now(f"place: panel wall, {_DROP}"),
    "now_hard_wired_where_the_machine_is_not": _now(
        f"place: panel wall, {_DROP.replace(' configuration: NEMA 6-20,', '')}"
    ),
    "now_cord_to_where_the_machine_is_not": _now(f"place: panel wall, {_DROP.replace('wall drop', 'cord')}"),
    "now_ends_at_an_unknown_distance": {
        SHOP: str(_now(f"place: shed, {_DROP}")[SHOP])
        .replace("  - {name: bench,", "  - {name: shed}\n  - {name: bench,")
        .replace("routes:\n", "routes:\n  - {from: main, to: shed, fixed: 20 ft}\n")
    },
    "panel_with_more_poles_than_spaces": {
        SHOP: str(_now(_DROP)[SHOP])
        .replace("    spaces_free: 6\n", "    spaces_free: 6\n    spaces: 10\n")
        .replace(
            "cords:\n",
            "installed:\n"
            "  - {place: door, panel: main, method: wall drop, configuration: NEMA 6-20}\n"
            "  - {place: door, panel: main, method: wall drop, configuration: NEMA 5-20}\ncords:\n",
        )
    },
    "installed_breaker_of_no_size": _installed("method: wall drop, configuration: NEMA 6-20, breaker: 18 A"),
    "installed_receptacle_of_no_table": _installed("method: wall drop, configuration: NEMA 6-25"),
    "installed_three_phase_in_a_single_phase_panel": _installed(
        "method: wall drop, configuration: NEMA 15-20"
    ),
    "installed_one_pole_for_240_volts": _installed("method: wall drop, configuration: NEMA 6-20, poles: 1"),
    "installed_receptacle_behind_a_large_breaker": _installed(
        "method: wall drop, configuration: NEMA 6-20, breaker: 300 A"
    ),
    "installed_wire_too_thin": _installed(
        'method: wall drop, configuration: NEMA 6-30, breaker: 30 A, awg: "14"'
    ),
    "installed_wire_of_a_lamp": _installed('method: wall drop, configuration: NEMA 6-20, awg: "18"'),
    "installed_wire_of_no_size": _installed("method: wall drop, configuration: NEMA 6-20, awg: twelve"),
    "installed_too_few_wires": _installed("method: wall drop, configuration: NEMA 14-30, conductors: 2"),
    # days and shares that two readers would read differently
    "day_with_slashes": in_shop("today: 2025-06-20", "today: 03/04/26"),
    "share_of_500_without_sign": in_shop(
        "  discount_rate: 3 %\n", "  discount_rate: 3 %\n  price_uncertainty: 500\n"
    ),
    "tax_without_sign": with_change(SUPPLIERS, "tax: 7 %", "tax: 7"),
}

_INTO_MACHINE = with_change(
    RECIPES, "  pendant: {}\n", "  pendant: {}\n  cord into machine:\n    tasks: [{task: wire-device}]\n"
)


def _jacketed(words: str) -> Changed:
    """Cords that may state their jacket, one of which does."""
    known = "    attributes: [awg, conductors, volts, service]\n"
    cord = "volts: 600, service: hard"
    return {
        **with_change(KINDS, known, f"{known}    may_state: [jacket_in]\n"),
        **with_change(PARTS, cord, f"{cord}, {words}" if words else cord),
    }


def _gripped(attributes: str) -> Changed:
    """A cord grip with these attributes."""
    part = "  - {id: G-1, kind: cord grip, name: cord grip, attributes: " + attributes + "}\n"
    kind = "  - {kind: cord grip, may_state: [jacket_from_in, jacket_to_in]}\n"
    return {PARTS: FILES[PARTS] + part, KINDS: FILES[KINDS] + kind}


CASES |= {
    "place_of_an_unknown_occupancy": in_shop(
        "{name: bench, at: [12, 4]}", "{name: bench, at: [12, 4], occupancy: garage}"
    ),
    "place_listed_as_what_is_not": in_shop(
        "{name: bench, at: [12, 4]}", "{name: bench, at: [12, 4], ground_fault_place: wet}"
    ),
    "place_listed_in_a_dwelling": in_shop(
        "{name: bench, at: [12, 4]}",
        "{name: bench, at: [12, 4], occupancy: dwelling garage, ground_fault_place: true}",
    ),
    "construction_misspelled": in_shop(
        "  ceiling_height: 10 ft\n", "  ceiling_height: 10 ft\n  construction: V\n"
    ),
    "construction_unknown": with_change(
        KINDS,
        "    attributes: [awg, conductors, ground_awg]\n",
        "    attributes: [awg, conductors, ground_awg]\n    nonmetallic: true\n",
    ),
    "construction_that_decides_nothing": in_shop(
        "building:\n", "code: {occupancy: dwelling garage}\nbuilding:\n  construction: type V\n"
    ),
    "cable_whose_sheath_nobody_described": in_shop(
        "building:\n", "code: {occupancy: commercial}\nbuilding:\n"
    ),
    "panel_without_a_place_among_places": {
        SHOP: FILES[SHOP]
        .replace("{name: bench, at: [12, 4]}", "{name: bench, at: [12, 4], occupancy: dwelling garage}")
        .replace("    place: panel wall\n", "")
        .replace("routes:\n", "routes:\n  - {from: main, to: door, fixed: 40 ft, cord: 30 ft}\n")
    },
    "place_classed_where_nobody_works": in_shop(
        "  - {name: door, at: [20, 18]}\n",
        "  - {name: door, at: [20, 18]}\n  - {name: attic, at: [5, 5], occupancy: dwelling room}\n",
    ),
    "jacket_in_millimeters": _jacketed("jacket_in: 15.2"),
    "jacket_with_a_unit": _jacketed("jacket_in: 0.60 in"),
    "jacket_unknown": {**_jacketed(""), **_INTO_MACHINE},
    "grip_upside_down": _gripped("{jacket_from_in: 0.625, jacket_to_in: 0.5}"),
    "grip_of_half_a_range": {**_gripped("{jacket_from_in: 0.5}"), **_INTO_MACHINE},
}

GOOD: dict[str, Changed] = {
    "now_where_it_stands": _now(_DROP),
    "now_in_reach_of_its_cord": {
        SHOP: str(_now(f"place: corner, {_DROP}")[SHOP]).replace(
            "  - {name: bench,", "  - {name: corner, at: [12, 9]}\n  - {name: bench,"
        )
    },
    "now_where_a_scenario_takes_it": _now(f"place: door, {_DROP}"),
    "now_on_a_long_cord": _now(_HUNG),
    "two_cords_from_outlets_alike": {
        SHOP: str(_now(_HUNG)[SHOP]).replace(
            _SANDER,
            f"  - name: sander\n    at: bench\n    now: {{panel: main, {_HUNG.replace('NEMA 6-20', 'NEMA 5-20')}}}\n",
        )
    },
    "group_on_as_many_outlets": {
        SHOP: str(_now(_DROP)[SHOP])
        .replace(_SAW, _SAW + "    count: 3\n")
        .replace("    spaces_free: 6\n", "    spaces_free: 6\n    spaces: 12\n")
    },
    "pair_of_15_a_on_20_a": {
        SHOP: FILES[SHOP]
        .replace("amps: 12.8", "amps: 11")
        .replace(
            _SANDER,
            f"{_SANDER}    now: {{panel: main, method: wall drop, configuration: NEMA 5-15, poles: 1, "
            'breaker: 20 A, awg: "12", duplex: true}\n',
        )
    },
    "installed_with_all_its_figures": _installed(
        'method: wall drop, configuration: NEMA 14-30, breaker: 20 A, poles: 2, awg: "12", conductors: 3'
    ),
    "two_moves_in_a_year": in_shop(
        _FIRST_EVENT, f"{_FIRST_EVENT}\n      - {{year: 2, machine: table saw, move: bench}}"
    ),
    "quoted_ways": {SHOP: _QUOTED_SHOP},
    "group_with_a_route": {
        SHOP: FILES[SHOP]
        .replace("    at: bench\n", "    count: 12\n    route: {fixed: 40 ft, cord: 30 ft}\n")
        .replace(_FIRST_EVENT, "{every: 2, machine: table saw, how_many: 7, new_spot: true, times: 3}")
    },
    "recipes_that_a_catalog_may_have": with_change(
        RECIPES, "  pendant: {}\n", "  pendant: {}\n  move wall drop: {}\n  renew building cable: {}\n"
    ),
    "converter_that_idles_on_nothing": _gear_parts("idle_w: 400", "idle_w: 0"),
    "strategies_as_printed": _more(
        'strategies:\n  - {name: walls, ways: {table saw: "wall drop, hard-wired from main", "*": fixed drop}}\n'
    ),
    "with_shared_gear": {**GEAR_FILES},
    "as_it_is": {},
    "figures_as_people_write_them": {
        SHOP: FILES[SHOP]
        .replace("fixed: 28 ft", "fixed: 27'6\"")
        .replace("cord: 22 ft", "cord: about 22½ ft")
        .replace("hp: 3", "hp: 1½")
        .replace("discount_rate: 3 %", "discount_rate: 3 percent"),
        LABOR: FILES[LABOR]
        .replace("[1, 1.5, 3]", "[1, 1½, about 3 h]")
        .replace("rate: 95", "rate: about $95"),
    },
    "prices_with_signs": in_offers("12.00,each", "$12.00,each"),
    "prices_in_euro": {
        **in_offers("12.00,each", "€12.00,each"),
        **in_shop("years: 6", "years: 6\ncurrency: EUR"),
    },
    "prices_of_thousands": _gear_offers("1200.00,each", '"$1,200.00",each'),
    "blank_rows_and_trailing_commas": {OFFERS: FILES[OFFERS] + "\n,,,,,,,\n,,,,,,,,,\n"},
    "windows_line_breaks": {name: text.replace("\n", "\r\n") for name, text in FILES.items()},
    "shop_with_byte_order_mark": {SHOP: b"\xef\xbb\xbf" + FILES[SHOP].encode()},
    "metres_and_fractions": {
        SHOP: FILES[SHOP].replace("fixed: 28 ft", "fixed: 8.5 m").replace("hp: 3", "hp: 1-1/2 hp")
    },
}
