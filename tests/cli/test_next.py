"""`costplan next`: mistakes named with their status, a machine by options, and a page that adds up."""

import csv
import io
import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from command import BARGAIN, ROOT, TINY, costplan

from costplan.model.shop import NextMachine
from costplan.studies.asked_next import asked_about

OK, USER_MISTAKE = 0, 2
BY_OPTIONS = (
    "--name",
    "my planer",
    "--price",
    "2900",
    "--freight",
    "$180.00",
    "--volts",
    "240",
    "--hp",
    "5 hp",
)


def data_of(*arguments: str) -> Any:
    done = costplan("next", *arguments, "--format", "json")
    assert done.returncode == OK, done.stderr
    return json.loads(done.stdout, parse_float=Decimal, parse_int=Decimal)


def without_bids() -> str:
    """The bargain shop, paying by the catalog's crews."""
    return (ROOT / BARGAIN).read_text(encoding="utf-8").replace("bids_file: bids.yaml\n", "")


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((BARGAIN, "bog planer"), "there are big planer, panel planer"),
        ((TINY,), "--name"),
        ((BARGAIN, "big planer", "--name", "planer"), "not both"),
        ((BARGAIN, "--name", "planer"), "--price, --volts, --at"),
        ((BARGAIN, *BY_OPTIONS, "--at", "attic"), "planer bay"),
        (
            (BARGAIN, "--name", "planer", "--price", "9", "--volts", "240", "--at", "middle"),
            "needs amps or hp",
        ),
        (
            (
                BARGAIN,
                "--name",
                "planer",
                "--price",
                "cheap",
                "--volts",
                "240",
                "--hp",
                "5",
                "--at",
                "middle",
            ),
            "--price",
        ),
        (
            (BARGAIN, "--name", "table saw", "--price", "9", "--volts", "240", "--hp", "5", "--at", "middle"),
            "--name",
        ),
        ((BARGAIN, "--up-to", "40"), "--up-to"),
        (("no-such-shop.yaml",), "no-such-shop.yaml"),
    ],
)
def test_mistakes_are_named_and_never_a_traceback(arguments: tuple[str, ...], words: str) -> None:
    done = costplan("next", *arguments)
    assert done.returncode == USER_MISTAKE
    assert words in done.stderr
    assert "Traceback" not in done.stderr
    assert done.stdout == ""


def test_a_machine_by_options_is_priced_as_the_same_machine_in_the_file(tmp_path: Path) -> None:
    """At the same place with the same hours; the file's takes part in at_once, a load manager and resale."""
    shop = tmp_path / "shop.yaml"
    text = without_bids()
    for line in ("    - [panel planer]\n", "    worth_at_end: 45 %\n"):
        assert line in text
        text = text.replace(line, "")
    shop.write_text(text.replace("[big planer, panel planer]", "[big planer]"), encoding="utf-8")
    catalog = ("--catalog", "catalogs/demo")
    (listed,) = data_of(str(shop), "panel planer", *catalog)["machines"]
    (described,) = data_of(str(shop), *BY_OPTIONS, "--at", "planer bay", "--hours", "80", *catalog)[
        "machines"
    ]
    assert (listed.pop("name"), described.pop("name")) == ("panel planer", "my planer")
    assert described == listed


def test_all_in_is_the_machine_and_its_power_the_cheapest_first() -> None:
    machines = data_of(BARGAIN)["machines"]
    assert [machine["name"] for machine in machines] == ["big planer", "panel planer"]
    for machine in machines:
        assert machine["proven"] is True
        assert machine["total"] == machine["machine"] + machine["power"]
        assert machine["power"] == min(variant["power"] for variant in machine["variants"])
    assert machines[0]["total"] < machines[1]["total"]


def test_power_is_the_difference_of_two_comparisons(tmp_path: Path) -> None:
    """The same machine written among the machines and compared, less the shop without it."""

    def best(shop: str) -> Any:
        done = costplan("compare", shop, "--catalog", "catalogs/demo", "--plans", "1", "--format", "json")
        assert done.returncode == OK, done.stderr
        return json.loads(done.stdout, parse_float=Decimal)["plans"][0]["present_value"]

    without, with_it = tmp_path / "without.yaml", tmp_path / "with_it.yaml"
    text = without_bids()
    without.write_text(text, encoding="utf-8")
    entry = "  - {name: my planer, at: planer bay, volts: 240, hp: 5, full_load_hours: 80}\n"
    with_it.write_text(text.replace("machines:\n", f"machines:\n{entry}", 1), encoding="utf-8")
    (machine,) = data_of(
        str(without), *BY_OPTIONS, "--at", "planer bay", "--hours", "80", "--catalog", "catalogs/demo"
    )["machines"]
    assert machine["power"] == best(str(with_it)) - best(str(without))
    assert machine["machine"] == 2900 + 180


def test_of_several_alike_each_on_a_drive_costs_what_holding_one_to_a_drive_does() -> None:
    data = data_of(BARGAIN, "big planer", "--up-to", "1")
    (counted,) = data["by_count"]
    held = {variant["held_to"]: variant["power"] for variant in data["machines"][0]["variants"]}
    assert counted["count"] == 1
    assert counted["each_on_a_drive"] == held["by a drive"]
    assert counted["behind_a_three_phase_panel"] == held["from rotary converter"]


def test_the_csv_has_the_machines_of_the_json() -> None:
    done = costplan("next", BARGAIN, "big planer", "--format", "csv")
    (row,), (machine,) = csv.DictReader(io.StringIO(done.stdout)), data_of(BARGAIN, "big planer")["machines"]
    assert row["name"] == "big planer"
    assert {key: Decimal(row[key]) for key in ("power", "total", "power_later")} == {
        "power": machine["power"],
        "total": machine["total"],
        "power_later": machine["power_by_time"]["later"],
    }


def test_a_price_of_the_command_line_is_asked_about_as_one_of_a_file() -> None:
    described = {
        "name": "planer",
        "at": "bench",
        "volts": "240",
        "hp": "5",
        "price": "1.40",
        "freight": "220",
    }

    (odd,) = asked_about(NextMachine.model_validate(described), "USD")

    assert (odd.machine, odd.field) == ("planer", "price")
    assert odd.words.startswith("is 1.40; usual is 100.00 to 20,000.00")
