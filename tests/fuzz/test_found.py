"""Each distinct failure that the fuzzer found, as a case of its own, run as a user would."""

from pathlib import Path

import pytest
from small_shop import FILES, GEAR_FILES, write_small_shop
from typer.testing import CliRunner

from costplan.cli.choices import Exit
from costplan.cli.main import app
from costplan.files.problems import errors_of
from costplan.files.yaml_reader import parse_yaml

ROOT = Path(__file__).parents[2]


def told(folder: Path, files: dict[str, str], monkeypatch: pytest.MonkeyPatch) -> tuple[int, str]:
    """The status and the text of `check`."""
    write_small_shop(folder, {**files})
    monkeypatch.chdir(folder)
    result = CliRunner().invoke(app, ["check", "garage.yaml"])
    return result.exit_code, result.output


def test_a_list_in_the_place_of_a_word_is_mended() -> None:
    """The complaint had no mend."""
    read = parse_yaml("shop: x\n[a, b]: c\n", "shop.yaml")

    assert [problem.code for problem in errors_of(read.problems)] == ["yaml-odd-word"]
    assert read.problems[0].mend == 'write "word: value"; put quotes around a text that begins with [ or {'


def test_a_kind_renamed_under_a_shelf_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Parts on the shelf whose kind nobody lists ended with a KeyError."""
    shelf = "shelf:\n  - {part: SO-12-3, length: 20 ft}\n"
    files = {
        "garage.yaml": FILES["garage.yaml"] + shelf,
        "catalog/kinds.yaml": FILES["catalog/kinds.yaml"].replace("- kind: cord", "- kind: cords"),
    }

    status, output = told(tmp_path, files, monkeypatch)

    assert status == Exit.USER_MISTAKE
    assert "part-kind" in output


def test_a_rating_that_no_part_has_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A panel of sixty million million amperes ended in a ValidationError."""
    parts = GEAR_FILES["catalog/parts.yaml"].replace(
        "rating_a: 60, spaces: 8", "rating_a: 60000000000000, spaces: 8"
    )

    status, output = told(tmp_path, {**GEAR_FILES, "catalog/parts.yaml": parts}, monkeypatch)

    assert status == Exit.USER_MISTAKE
    assert 'rating_a is "60000000000000", which no part has' in output


@pytest.mark.parametrize("size", ["0", "45", "5/0"])
def test_a_wire_of_no_size_is_told(size: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A cable of size 0 ended in a ValueError when it was compared; so would a recipe's."""
    parts = FILES["catalog/parts.yaml"].replace("{awg: 12, conductors: 2", f'{{awg: "{size}", conductors: 2')
    recipes = FILES["catalog/recipes.yaml"].replace(
        "  wall drop:\n",
        f'  wall drop:\n    parts: [{{kind: building cable, attributes: {{awg: "{size}"}}}}]\n',
    )

    status, output = told(
        tmp_path, {"catalog/parts.yaml": parts, "catalog/recipes.yaml": recipes}, monkeypatch
    )

    assert status == Exit.USER_MISTAKE
    assert output.count(f'awg is "{size}", not a wire size') == 2


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("    hp: 3\n", "    hp: 3\n    count: 6000000\n", 'count is "6000000", too large to be meant'),
        ("    hp: 3\n", "    hp: 3\n    count: 60000\n", "count is 60000, which is out of range"),
        ("move: door}", "new_spot: true, times: 999999}", "times is 999999, which is out of range"),
        (
            "events:\n",
            "rearranged: {times_per_year: 9999999, among: [bench, door]}\n    events:\n",
            "times_per_year",
        ),
        ("spaces_free: 6\n", "spaces_free: 999999\n", "spaces_free is 999999, which is out of range"),
    ],
)
def test_counts_that_no_shop_has_are_told_at_once(
    old: str, new: str, said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Six million machines took minutes and all memory."""
    shop = FILES["garage.yaml"]
    assert old in shop

    status, output = told(tmp_path, {"garage.yaml": shop.replace(old, new, 1)}, monkeypatch)

    assert status == Exit.USER_MISTAKE
    assert said in output


@pytest.mark.parametrize(
    "changes",
    [
        [
            ("cord: 25 ft}", "cord: 99999999 ft}"),
            ("fixed: 25 ft", "fixed: 99999999 ft"),
            ("2.00,ft", "99999999.00,ft"),
        ],
        [("years: 4", "years: 60"), ("discount_rate: 0 %", "discount_rate: 0 %\n  growth: {labor: 90000 %}")],
        [("years: 4", "years: 60"), ("discount_rate: 0 %", "discount_rate: -99.9999999 %")],
    ],
)
def test_amounts_that_nothing_can_add_up_are_no_plan(
    changes: list[tuple[str, str]], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """They ended as a defect within the solver."""
    files = {
        name: (ROOT / "examples" / "tiny" / name).read_text() for name in ("shop.yaml", "catalog/offers.csv")
    }
    for path in (ROOT / "examples" / "tiny" / "catalog").glob("*.yaml"):
        files[f"catalog/{path.name}"] = path.read_text()
    for old, new in changes:
        name = next(name for name, text in files.items() if old in text)
        files[name] = files[name].replace(old, new)
    files["garage.yaml"] = files.pop("shop.yaml")
    write_small_shop(tmp_path, {**files})
    monkeypatch.chdir(tmp_path)

    result = CliRunner().invoke(app, ["compare", "garage.yaml", "--plans", "1"])

    assert result.exit_code == Exit.NO_PLAN
    assert "come to more than can be reckoned" in result.output


def test_a_cable_of_no_wires_costs_what_nobody_knows(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Beside a usual price of nothing it ended with a division by nothing."""
    parts = FILES["catalog/parts.yaml"].replace("{awg: 12, conductors: 2", "{awg: 12, conductors: 0")
    assert parts != FILES["catalog/parts.yaml"]

    status, output = told(tmp_path, {"catalog/parts.yaml": parts}, monkeypatch)

    assert status in (Exit.OK, Exit.USER_MISTAKE, Exit.NO_PLAN)
    assert "offer-price-far" not in output
