from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from small_shop import FILES, with_change, write_small_shop

from costplan.checks.checks import check_shop
from costplan.files.csv_reader import parse_table
from costplan.files.yaml_reader import place_of
from costplan.model.catalog import Condition, Offer
from costplan.model.loading import (
    catalog_of,
    load_catalog,
    load_catalog_with_places,
    load_shop,
    load_shop_with_places,
)
from costplan.model.offers import COLUMNS, REQUIRED, read_offers


def test_small_shop_is_read_with_its_places(tmp_path: Path) -> None:
    loaded = load_shop_with_places(write_small_shop(tmp_path))
    shop, problems = load_shop(tmp_path / "garage.yaml")

    assert shop is not None
    assert problems == []
    assert shop == loaded.shop
    assert shop.machines[1].amps_a == Decimal("12.8")
    assert place_of(loaded.places, ("scenarios", 1, "events", 0)) == "garage.yaml:38"
    assert place_of(loaded.places, ("machines", 0, "volts")) == "garage.yaml:25"


def test_catalog_is_read_with_its_rows(tmp_path: Path) -> None:
    write_small_shop(tmp_path)
    catalog, problems = load_catalog(tmp_path / "catalog")

    assert problems == []
    assert catalog is not None
    assert catalog.parts[3].attributes == {
        "awg": Decimal(12),
        "conductors": Decimal(2),
        "ground_awg": Decimal(12),
    }
    assert catalog.offers[1].row == 3
    loaded = load_catalog_with_places(tmp_path / "catalog")
    assert place_of(loaded.places["parts.yaml"], ("parts", 1)) == "parts.yaml:6"


def test_fast_offers_equal_validated_ones(tmp_path: Path) -> None:
    write_small_shop(tmp_path)
    catalog, _ = load_catalog(tmp_path / "catalog")
    assert catalog is not None
    fast = catalog.offers[1]
    slow = Offer.model_validate(
        {
            "part": "R-6-20",
            "supplier": "surplus",
            "condition": "used",
            "price": "3.00",
            "per": "each",
            "available": "6",
            "seen": "2025-05-10",
            "note": "",
            "row": 3,
        }
    )

    assert fast == slow
    assert fast.model_dump() == slow.model_dump()
    assert "supplier='surplus'" in repr(fast)
    assert fast.model_copy(update={"row": 4}).row == 4


def test_odd_but_clear_cells_are_read() -> None:
    text = (
        "part,supplier,condition,price,per,available,seen,note\n A , s ,New Old Stock,$1 250,EA,,,\n".replace(
            "$1 250", "$1250"
        )
    )
    offers, problems = read_offers(parse_table(text, "offers.csv", COLUMNS, REQUIRED), {"A"})

    assert problems == []
    assert [(o.part, o.supplier, o.condition, o.price_cents, o.per) for o in offers] == [
        ("A", "s", Condition.NEW_OLD_STOCK, Decimal(125000), "each")
    ]


def test_good_rows_survive_among_bad_ones_in_order() -> None:
    rows = [
        "A,s,new,1.00,each,,,",
        "A,s,odd,1.00,each,,,",
        "B,s,new,2.00,each,3,2025-01-02,x",
        "",
        "A,s,used,,ft,,,",
    ]
    table = parse_table(",".join(COLUMNS) + "\n" + "\n".join(rows), "offers.csv", COLUMNS, REQUIRED)
    offers, problems = read_offers(table, {"A"})

    assert [offer.row for offer in offers] == [2, 4, 6]
    assert [problem.at.line for problem in problems] == [3]
    assert offers[1].seen == date(2025, 1, 2)
    assert offers[2].price_cents is None


def test_all_files_are_read_before_anything_is_said(tmp_path: Path) -> None:
    changed = with_change("catalog/parts.yaml", "kind: plug", "knid: plug")
    changed |= with_change("catalog/labor.yaml", "who: [electrician]", "who: [plumber]")
    write_small_shop(tmp_path, changed | {"catalog/kinds.yaml": ""})
    catalog, problems = load_catalog(tmp_path / "catalog")

    assert catalog is None
    assert {Path(problem.at.path).name for problem in problems} == {"parts.yaml", "labor.yaml", "kinds.yaml"}


def test_missing_catalog_says_what_one_is(tmp_path: Path) -> None:
    catalog, problems = load_catalog(tmp_path / "nowhere")

    assert catalog is None
    assert problems[0].message == "there is no such folder"


def test_inside_names_are_no_words_of_the_file(tmp_path: Path) -> None:
    """A price in cents would else be taken a hundredfold."""
    write_small_shop(tmp_path, with_change("catalog/suppliers.yaml", "delivery: 15", "delivery_cents: 15"))
    _, problems = load_catalog(tmp_path / "catalog")

    assert [problem.code for problem in problems] == ["supplier-unknown-word"]


def test_ten_thousand_offers_are_read() -> None:
    head, *rows = FILES["catalog/offers.csv"].splitlines()
    many = [rows[n % len(rows)].replace(".00", f".{n % 100:02d}") for n in range(10_000)]
    table = parse_table("\n".join([head, *many]), "offers.csv", COLUMNS, REQUIRED)
    offers, problems = read_offers(table, {row.split(",")[0] for row in rows})

    assert len(offers) == 10_000
    assert problems == []


QUOTES = """\
shop: Quotes only (invented)
invented: true
today: 2025-06-20
years: 6
crews: [{name: one electrician, role: electrician, rate: 95}]
machines: [{name: lathes, count: 12}]
quoted_ways: [{name: boxes, method: wall drop, put_in: {money: 300, hours: 4}}]
"""


@pytest.mark.parametrize(
    ("old", "new", "has_parts"),
    [
        ("years: 6", "years: 6", False),
        ("years: 6", "years: 6\ncatalog: catalog", True),
        ("count: 12}", "count: 12, ways: {from_catalog: true}}", True),
        ("count: 12}]", "count: 12}, {name: saw, volts: 240, hp: 3}]", False),
        ("put_in", "machines: [lathe], put_in", True),
    ],
    ids=["quotes only", "named", "beside the catalog", "for all machines", "for another machine"],
)
def test_a_shop_of_quotes_only_needs_no_catalog(tmp_path: Path, old: str, new: str, has_parts: bool) -> None:
    write_small_shop(tmp_path, {"garage.yaml": QUOTES.replace(old, new)})
    shop = load_shop_with_places(tmp_path / "garage.yaml")
    found = catalog_of(shop)

    assert shop.problems == ()
    assert found.catalog is not None
    assert bool(found.catalog.parts) == has_parts
    if not has_parts and "saw" not in new:
        assert check_shop(shop, found) == []


def test_a_quote_that_nobody_can_do_is_told_without_a_catalog(tmp_path: Path) -> None:
    crews = "crews: [{name: one electrician, role: electrician, rate: 95}]\n"
    write_small_shop(tmp_path, {"garage.yaml": QUOTES.replace(crews, "")})
    shop = load_shop_with_places(tmp_path / "garage.yaml")
    problems = check_shop(shop, catalog_of(shop))

    assert [(problem.code, problem.at.line) for problem in problems] == [("quoted-no-electrician", 6)]
