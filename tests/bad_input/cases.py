"""The mistakes: each is one change to the small shop, named for what the user did."""

from small_shop import FILES, GEAR_FILES, with_change, with_gear_change

Changed = dict[str, str | bytes | None]

_SHOP = "garage.yaml"
_PARTS = "catalog/parts.yaml"
_KINDS = "catalog/kinds.yaml"
_SUPPLIERS = "catalog/suppliers.yaml"
_LABOR = "catalog/labor.yaml"
_RECIPES = "catalog/recipes.yaml"
_OFFERS = "catalog/offers.csv"


def _shop(old: str, new: str) -> Changed:
    return with_change(_SHOP, old, new)


def _parts(old: str, new: str) -> Changed:
    return with_change(_PARTS, old, new)


def _offers(old: str, new: str) -> Changed:
    return with_change(_OFFERS, old, new)


def _gear(old: str, new: str) -> Changed:
    return with_gear_change(_SHOP, old, new)


def _gear_parts(old: str, new: str) -> Changed:
    return with_gear_change(_PARTS, old, new)


_CONVERTER = GEAR_FILES[_SHOP][
    GEAR_FILES[_SHOP].index("  - name: converter") : GEAR_FILES[_SHOP].index("  - name: far panel")
]
_DELTA = "  - {name: delta, system: 240 three-phase, breakers: family A, spaces_free: 6, place: door}\n"
_FED = "    panel_part: PN-1-60\n    fed_from: main\n"
_FIRST_EVENT = "{year: 2, machine: table saw, move: door}"
_SAW = "  - name: table saw\n"
_SAW_PLUG = "    plug: NEMA 6-20\n"
_FIRST_ROW = "R-6-20,counter,new,12.00,each,,2025-06-01,"

CASES: dict[str, Changed] = {
    # files
    "file_empty": {_SHOP: ""},
    "file_only_comments": {_SHOP: "# to be written\n"},
    "file_is_a_list": {_SHOP: "- table saw\n- sander\n"},
    "file_missing": {"catalog/recipes.yaml": None},
    "file_latin_1": {_SHOP: FILES[_SHOP].replace("bench", "bänk").encode("latin-1")},
    "file_utf_16": {_SUPPLIERS: FILES[_SUPPLIERS].encode("utf-16")},
    "file_with_byte_order_mark": {
        _SHOP: b"\xef\xbb\xbf" + FILES[_SHOP].replace("hp: 3", "hp: three").encode()
    },
    "offers_empty": {_OFFERS: ""},
    "offers_nul_byte": {_OFFERS: FILES[_OFFERS].replace("12.00", "12\0.00")},
    "everything_at_once": {
        **_shop("volts: 240", "volts: 24O"),
        **_offers("used", "usde"),
        **_parts("kind: plug", "knd: plug"),
        **with_change(_LABOR, "role: owner", "role: onwer"),
    },
    # YAML
    "yaml_tab": _shop("    at: bench", "\tat: bench"),
    "yaml_repeated_word": _shop("    volts: 240\n", "    volts: 240\n    volts: 120\n"),
    "yaml_alias": _shop("hp: 3", "hp: *three"),
    "yaml_merge": _shop(_SAW_PLUG, "    <<: {plug: NEMA 6-20}\n"),
    "yaml_tag": _shop("hp: 3", "hp: !!float 3"),
    "yaml_second_colon": _shop("at: bench", "at: bench: left"),
    "yaml_open_bracket": _shop("at: [12, 4]}", "at: [12, 4}"),
    "yaml_wrong_indent": _shop("    volts: 240", "     volts: 240"),
    "yaml_open_quote": _shop("shop: Small garage (invented)", "shop: 'Small garage"),
    "yaml_two_documents": _shop("machines:", "---\nmachines:"),
    # words and values of the shop file
    "word_unknown": _shop("    volts: 240", "    volt: 240"),
    "word_in_python_spelling": _shop("amps: 12.8 A", "amps_a: 12.8"),
    "word_missing": _shop("    at: bench\n", ""),
    "value_empty": _shop("hp: 3", "hp:"),
    "volts_with_a_letter": _shop("volts: 240", "volts: 24O"),
    "volts_of_no_supply": _shop("volts: 240", "volts: 277"),
    "spaces_6_20_is_not_620": _shop("spaces_free: 6", "spaces_free: 6_20"),
    "length_6_20_is_not_620": _shop("fixed: 28 ft", "fixed: 6_20 ft"),
    "no_read_as_false": _shop(_SAW_PLUG, _SAW_PLUG + "    never_moves: no\n"),
    "yes_for_a_word": _shop("invented: true", "invented: on"),
    "true_for_a_number": _shop("spaces_free: 6", "spaces_free: true"),
    "half_a_space": _shop("spaces_free: 6", "spaces_free: 6.5"),
    "decimal_comma": _shop("amps: 12.8 A", "amps: 12,8"),
    "unknown_unit": _shop("amps: 12.8 A", "amps: 1400 W"),
    "percent_without_sign": _shop("discount_rate: 3 %", "discount_rate: 3"),
    "day_the_other_way_round": _shop("today: 2025-06-20", "today: 20.6.2025"),
    "day_as_a_number": _shop("today: 2025-06-20", "today: 20250620"),
    "day_of_no_calendar": _shop("today: 2025-06-20", "today: 2025-02-30"),
    "years_too_many": _shop("years: 6", "years: 600"),
    "system_misspelled": _shop("120/240 single-phase", "120/240 single phase"),
    "machines_not_a_list": _shop("routes:\n  - {from", "routes:\n  {from"),
    "no_amps_and_no_hp": _shop("    hp: 3\n", ""),
    "method_misspelled": _shop(_SAW_PLUG, _SAW_PLUG + "    ways: {forbid: {wall drp: landlord}}\n"),
    "event_says_two_things": _shop(_FIRST_EVENT, "{year: 2, machine: table saw, move: door, leaves: true}"),
    # within the shop file
    "weights_do_not_add_up": _shop("weight: 40 %", "weight: 30 %"),
    "machine_repeated": _shop("name: sander", "name: table saw"),
    "place_repeated": _shop("{name: door", "{name: bench"),
    "place_unknown": _shop("at: bench", "at: bnech"),
    "panel_unknown_in_installed": _shop(
        "scenarios:",
        "installed:\n  - {place: door, panel: man, method: wall drop, configuration: NEMA 6-20}\nscenarios:",
    ),
    "route_without_length": _shop(", fixed: 28 ft, cord: 22 ft", ""),
    "route_from_nowhere": _shop("{from: main", "{from: mian"),
    "no_way_to_a_place": _shop("{name: door, at: [20, 18]}", "{name: door}"),
    "plug_spelled_freely": _shop("plug: NEMA 6-20", "plug: nema L6-20p"),
    "family_unknown": _shop("breakers: family A", "breakers: family B"),
    "three_phase_without_panel": _shop("    hp: 3\n", "    hp: 3\n    phases: 3\n"),
    "volts_208_and_240": _shop("    volts: 240", "    volts: 208"),
    "retool_no_panel_can_feed": _shop("move: door}", "retool: {volts: 480, phases: 3, hp: 5}}"),
    "ways_only_empty": _shop(_SAW_PLUG, _SAW_PLUG + "    ways: {only: []}\n"),
    "ways_all_forbidden": _shop(
        _SAW_PLUG, _SAW_PLUG + "    ways: {only: [cord], forbid: {cord: inspector}}\n"
    ),
    "event_after_the_plan": _shop("{year: 2,", "{year: 9,"),
    "event_for_an_unknown_machine": _shop("machine: table saw", "machine: tabel saw"),
    "event_before_it_arrives": _shop(_SAW_PLUG, _SAW_PLUG + "    arrives: 3\n"),
    "event_after_it_left": _shop(_FIRST_EVENT, "{year: 5, machine: sander, move: bench}"),
    "arrives_though_there": {
        _SHOP: FILES[_SHOP]
        .replace(_SAW_PLUG, _SAW_PLUG + "    arrives: 1\n")
        .replace(_FIRST_EVENT, "{year: 2, machine: table saw, arrives: door}")
    },
    "two_moves_in_a_year": _shop(
        _FIRST_EVENT, f"{_FIRST_EVENT}\n      - {{year: 2, machine: table saw, move: bench}}"
    ),
    "retool_changes_nothing": _shop("move: door}", "retool: {volts: 240, hp: 3}}"),
    "moves_though_it_never_moves": _shop(_SAW_PLUG, _SAW_PLUG + "    never_moves: true\n"),
    "lease_after_the_plan": _shop("  ceiling_height: 10 ft", "  lease: {ends: 9}"),
    "rearranged_among_unknown_places": _shop(
        "    weight: 60 %\n", "    weight: 60 %\n    rearranged: {times_per_year: 1, among: [bench, dor]}\n"
    ),
    "owner_does_what_only_electricians_may": _shop("cords:", "owner_does: [run-cable, wire-devise]\ncords:"),
    "bid_covers_unknown_task": _shop(
        "cords:", "bids:\n  - {name: bid, price: 900, covers: [run-cables], rest_by: owner}\ncords:"
    ),
    "recipe_unknown_in_shop": _shop("cords:", "recipes:\n  wal drop: {}\ncords:"),
    "kind_unknown_in_may_be_used": _shop("cords:", "may_be_used: [breakers]\ncords:"),
    # values in the wrong unit
    "slack_as_a_share": _shop("slack: [0 ft, 15 ft]", "slack: [0, 0.5]"),
    "hp_in_watts": _shop("hp: 3", "hp: 2200"),
    "amps_in_watts": _shop("amps: 12.8 A", "amps: 1536"),
    "route_of_nothing": _shop("fixed: 28 ft", "fixed: 0"),
    "discount_rate_high": _shop("discount_rate: 3 %", "discount_rate: 0.3"),
    "length_negative": _shop("slack: [0 ft, 15 ft]", "slack: [0 ft, -15 ft]"),
    "hours_in_minutes": with_change(_LABOR, "[1, 1.5, 3]", "[60, 90, 180]"),
    "hours_not_rising": with_change(_LABOR, "[1, 1.5, 3]", "[3, 1.5, 1]"),
    "rate_in_cents": with_change(_LABOR, "rate: 95,", "rate: 9500,"),
    # catalog
    "part_repeated": _parts("id: P-6-20", "id: R-6-20"),
    "part_of_unknown_kind": _parts("kind: receptacle", "kind: recepticle"),
    "part_lacks_an_attribute": _parts("{awg: 12, conductors: 2}", "{awg: 12}"),
    "part_with_unknown_attribute": _parts(
        "{awg: 12, conductors: 2}", "{awg: 12, conductors: 2, colour: yellow}"
    ),
    "part_attribute_with_unit": _parts("rating_a: 20", "rating_a: 20 A"),
    "part_attribute_no": _parts("ground_fault: false", "ground_fault: no"),
    "part_configuration_spelled_freely": _parts("NEMA 6-20", "6-20R"),
    "kind_reject_all": with_change(_KINDS, "{used: 10 %}", "{used: 100 %}"),
    "recipe_missing": with_change(_RECIPES, "  pendant: {}\n", ""),
    "recipe_with_unknown_task": with_change(_RECIPES, "{task: run-cable}", "{task: run-cabel}"),
    "recipe_with_unknown_kind": with_change(
        _RECIPES, "  pendant: {}", "  pendant: {parts: [{kind: cable grip}]}"
    ),
    "no_electrician": with_change(
        _LABOR, "  - {name: one electrician, role: electrician, rate: 95, call_out: 80}\n", ""
    ),
    "supplier_repeated": with_change(_SUPPLIERS, "id: surplus", "id: counter"),
    # offers
    "offers_semicolons": {_OFFERS: FILES[_OFFERS].replace(",", ";")},
    "offers_semicolons_and_commas": {_OFFERS: FILES[_OFFERS].replace(",", ";").replace("12.00", "12,00")},
    "offers_tabs": {_OFFERS: FILES[_OFFERS].replace(",", "\t")},
    "offers_byte_order_mark": {_OFFERS: b"\xef\xbb\xbf" + FILES[_OFFERS].encode()},
    "offers_header_misspelled": _offers("condition,price", "condtion,prise"),
    "offers_header_repeated": _offers("seen,note", "note,note"),
    "offers_without_header": {_OFFERS: FILES[_OFFERS].split("\n", 1)[1]},
    "offers_long_row": _offers("12.00,each", "1,250.00,each"),
    "offers_short_row": _offers(_FIRST_ROW, "R-6-20,counter,new"),
    "offers_blank_cells": _offers(_FIRST_ROW, "R-6-20,,,12.00,,,,"),
    "offers_open_quote": _offers(_FIRST_ROW, 'R-6-20,"counter,new,12.00,each,,2025-06-01,'),
    "price_european": _offers("12.00,each", '"1.234,56",each'),
    "price_missing": _offers("12.00,each", ",each"),
    "price_in_words": _offers("12.00,each", "call,each"),
    "price_negative": _offers("12.00,each", "-12.00,each"),
    "price_old": _offers("2025-06-01", "2024-01-15"),
    "price_from_the_future": _offers("2025-06-01", "2025-07-15"),
    "available_zero": _offers("each,6,", "each,0,"),
    "available_in_words": _offers("each,6,", "each,plenty,"),
    "part_turned_into_a_date": _offers("R-6-20,counter", "20-Jun,counter"),
    "part_turned_into_a_full_date": _offers("NM-12-2,counter", "2025-12-02,counter"),
    "part_turned_into_3_dec": _offers("SO-12-3,counter", "3-Dec,counter"),
    "part_unknown": _offers("R-6-20,counter", "R-6-2O,counter"),
    "supplier_unknown": _offers("R-6-20,counter", "R-6-20,conter"),
    "condition_unknown": _offers("used", "second-hand"),
    "unit_unknown": _offers("12.00,each", "12.00,box 25"),
    "plug_sold_by_the_foot": _offers("15.00,each", "15.00,ft"),
    "used_where_new_is_a_must": _offers("BR-2-20,counter,new", "BR-2-20,counter,used"),
    "offer_repeated": _offers(_FIRST_ROW, f"{_FIRST_ROW}\n{_FIRST_ROW}"),
    "seen_the_other_way_round": _offers("2025-06-01", "6/1/2025"),
    # shared gear
    "gear_three_phase_without_any_source": _gear(_CONVERTER, ""),
    "gear_converter_smaller_than_the_largest_motor": _gear("    hp: 5\n", "    hp: 7.5\n"),
    "gear_converter_small_beside_another_source": {
        **GEAR_FILES,
        _SHOP: GEAR_FILES[_SHOP]
        .replace("    hp: 5\n", "    hp: 7.5\n")
        .replace("places:\n", _DELTA + "places:\n", 1),
    },
    "gear_converter_on_a_three_phase_panel": {
        **GEAR_FILES,
        _SHOP: GEAR_FILES[_SHOP]
        .replace(
            "    fed_from: main\n    at: door\n    hours", "    fed_from: delta\n    at: door\n    hours"
        )
        .replace("places:\n", _DELTA + "places:\n", 1),
    },
    "gear_free_spaces_negative": _gear("spaces_free: 6", "spaces_free: -2"),
    "gear_tandem_where_the_label_forbids": _gear("    tandems: 2\n", "    tandems: 0\n"),
    "gear_tandem_without_circuits_to_pair": _gear("one_pole_circuits: 4", "one_pole_circuits: 1"),
    "gear_tandem_in_a_panel_to_be_bought": _gear("    panel: main\n", "    panel: far panel\n"),
    "gear_peak_above_the_service": _gear("amps: 40 A", "amps: 140 A"),
    "gear_peak_after_today": _gear("seen: 2025-05-31", "seen: 2025-07-31"),
    "gear_peak_recorded_too_short": _gear("days: 30", "days: 7"),
    "gear_panels_feed_each_other": {
        **GEAR_FILES,
        _SHOP: GEAR_FILES[_SHOP].replace(
            "  - name: far panel\n    kind: subpanel\n" + _FED,
            "  - name: far panel\n    kind: subpanel\n    panel_part: PN-1-60\n    fed_from: farther panel\n"
            "    at: door\n  - name: farther panel\n    kind: subpanel\n    panel_part: PN-1-60\n    fed_from: far panel\n",
        ),
    },
    "gear_panel_feeds_itself": _gear(
        "    place: panel wall\n", "    place: panel wall\n    fed_from: main\n"
    ),
    "gear_field_missing": _gear("    hours_per_year: 150\n", ""),
    "gear_fields_missing_of_several": {
        **GEAR_FILES,
        _SHOP: GEAR_FILES[_SHOP]
        .replace("    to: 200 A\n", "")
        .replace("    holds_to: 20 A\n", "")
        .replace("    panel: main\n", "")
        .replace("    panel_part: PN-1-60\n", ""),
    },
    "gear_utility_without_a_quote": _gear(
        "  - name: far panel\n    kind: subpanel\n    panel_part: PN-1-60\n    fed_from: main\n",
        "  - name: far panel\n    kind: utility three-phase\n    panel_part: PN-3-60\n    amps: 100 A\n",
    ),
    "gear_kind_unknown": _gear("kind: subpanel", "kind: sub panel"),
    "gear_part_unknown": _gear("part: CV-5", "part: CV-50"),
    "gear_part_of_wrong_kind": _gear("part: CV-5", "part: LM-60"),
    "gear_panel_part_of_wrong_kind": _gear("panel_part: PN-1-60", "panel_part: BR-2-20"),
    "gear_part_without_its_rating": _gear_parts("input_a: 36, ", ""),
    "gear_recipe_missing": with_gear_change(_RECIPES, "  feeder: {}\n", ""),
    "gear_place_unknown": _gear("    at: door\n    hours", "    at: dor\n    hours"),
    "gear_fed_from_an_unknown_panel": _gear(_FED, _FED.replace("main", "mian")),
    "gear_holds_an_unknown_machine": _gear("machines: [mill,", "machines: [mil,"),
    "gear_upgrade_to_less": _gear("to: 200 A", "to: 100 A"),
    "gear_without_a_service": {
        **GEAR_FILES,
        _SHOP: GEAR_FILES[_SHOP].replace(
            "service:\n  amps: 100 A\n  measured_peak: {amps: 40 A, seen: 2025-05-31, days: 30}\n"
            "  at_once: [[table saw], [mill]]\n",
            "",
        ),
    },
    "gear_at_once_unknown_machine": _gear("at_once: [[table saw]", "at_once: [[table sow]"),
    "gear_supply_misspelled": _gear("{single-phase motor: its head", "{single phase motor: its head"),
}

GOOD: dict[str, Changed] = {
    "with_shared_gear": {**GEAR_FILES},
    "as_it_is": {},
    "prices_with_signs": _offers("12.00,each", '"$1,250.00",each'),
    "prices_in_euro": _offers("12.00,each", "€12.00,each"),
    "blank_rows_and_trailing_commas": {_OFFERS: FILES[_OFFERS] + "\n,,,,,,,\n,,,,,,,,,\n"},
    "windows_line_breaks": {name: text.replace("\n", "\r\n") for name, text in FILES.items()},
    "shop_with_byte_order_mark": {_SHOP: b"\xef\xbb\xbf" + FILES[_SHOP].encode()},
    "metres_and_fractions": {
        _SHOP: FILES[_SHOP].replace("fixed: 28 ft", "fixed: 8.5 m").replace("hp: 3", "hp: 7-1/2 hp")
    },
}
