"""One mistake does not hide another: what could be read of the files is looked at, and nothing is said that is not so."""

from pathlib import Path

import pytest
from small_shop import FILES, write_small_shop
from typer.testing import CliRunner

from costplan.cli.choices import Exit
from costplan.cli.main import app
from costplan.model.partly import UnreadError, partly, sound_sections
from costplan.model.shop import Shop

ALL_WRONG = {
    "garage.yaml": FILES["garage.yaml"]
    .replace("hp: 3\n", "hp: three\n")
    .replace("to: bench, f", "to: bnech, f")
    + "bids_file: bids.yaml\n",
    "catalog/parts.yaml": FILES["catalog/parts.yaml"].replace("kind: plug\n", "kind: plugg\n"),
    "catalog/suppliers.yaml": FILES["catalog/suppliers.yaml"].replace("tax: 7 %", "tax: seven"),
    "catalog/labor.yaml": FILES["catalog/labor.yaml"].replace("rate: 95", "rate: -95"),
    "catalog/recipes.yaml": FILES["catalog/recipes.yaml"].replace(
        "task: wire-device}]\n  disc", "task: wire}]\n  disc"
    ),
    "catalog/offers.csv": FILES["catalog/offers.csv"].replace("17.00,each", "17.00,dozen"),
    "bids.yaml": "bids:\n  - {bidder: Bidder A, kind: fixed, date: 2025-06-01, price: 900, covers: [nothing-known], "
    "rest_by: one electrician}\n",
}
"""A mistake in every file that the shop names, two in its own; those of rules among those of reading."""
TOLD = [
    ("bids.yaml", "bid-covers"),
    ("catalog/labor.yaml", "crew-rate"),
    ("catalog/offers.csv", "offer-per"),
    ("catalog/parts.yaml", "part-kind"),
    ("catalog/recipes.yaml", "recipe-task"),
    ("catalog/suppliers.yaml", "supplier-tax"),
    ("garage.yaml", "route-to"),
    ("garage.yaml", "machine-hp"),
]


def run(
    folder: Path, changed: dict[str, str | bytes | None], monkeypatch: pytest.MonkeyPatch, *command: str
) -> tuple[int, str]:
    write_small_shop(folder, changed)
    monkeypatch.chdir(folder)
    result = CliRunner().invoke(app, [*command, "garage.yaml"])
    return result.exit_code, result.output


@pytest.mark.parametrize("command", ["check", "compare", "size", "shopping", "scope", "next", "bids"])
def test_every_file_tells_its_mistakes_at_once(
    command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    status, output = run(tmp_path, ALL_WRONG, monkeypatch, command)

    told = [
        (line.split(":")[0], line.split(": ")[1])
        for line in output.splitlines()
        if not line.startswith(" ") and ": " in line
    ]
    assert status == Exit.USER_MISTAKE
    if command == "check":
        # The shop that is asked about comes first.
        assert told == [told for told in TOLD if told[0] == "garage.yaml"] + TOLD[:-2]
    else:
        assert told == TOLD
    assert output.endswith("8 problems in 7 files; nothing was computed\n")


@pytest.mark.parametrize("broken", ["\tpanels: []\n", "panels: [\n", "machines: &a\n"])
def test_a_shop_file_that_cannot_be_made_out_still_names_its_files(
    broken: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    changed = ALL_WRONG | {"garage.yaml": ALL_WRONG["garage.yaml"] + broken}

    _, output = run(tmp_path, changed, monkeypatch, "check")

    assert "catalog/parts.yaml" in output
    assert "bids.yaml" in output


def test_a_shop_that_cannot_be_made_out_and_names_no_catalog_is_held_against_none(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop = FILES["garage.yaml"].replace("catalog: catalog\n", "").replace("years: 6", "years: six")

    _, output = run(tmp_path, {"garage.yaml": shop}, monkeypatch, "check")

    assert output.endswith("1 problem in 1 file; nothing was computed\n")


def test_nothing_is_said_of_what_stands_in_a_section_that_is_wrong(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The places are not read, so nobody complains of a machine at an unknown place."""
    shop = FILES["garage.yaml"].replace("at: [12, 4]", "at: [12, four]")

    _, output = run(tmp_path, {"garage.yaml": shop}, monkeypatch, "check")

    assert output.endswith("1 problem in 1 file; nothing was computed\n")


def test_a_section_that_is_wrong_cannot_be_looked_at_and_its_default_is_nobodys() -> None:
    data = {"shop": "x", "years": 3, "money": 5, "machines": [{"volts": 1}]}
    read = sound_sections(Shop, data, {"money", "machines"})
    shop = partly(Shop, read)

    assert (shop.name, shop.years, shop.routes) == ("x", 3, [])
    for section in ("money", "machines", "today"):
        with pytest.raises(UnreadError):
            getattr(shop, section)
