"""The small catalog that `start` writes holds what a retooling needs: a comparison is the one with the whole catalog.

Both with what one supplier sells new: of used parts the small one has those alone that it has new too.
"""

import csv
import io
import json
from pathlib import Path
from typing import Any

import command
import pytest

from costplan.ledger.usable_parts import main_supplier
from costplan.model.demo_shelf import demo_folder
from costplan.model.loading import load_catalog_with_places

PAGE = """\
shop: Invented
years: 4
today: 2026-11-02
occupancy: commercial
vapors: no
panel: main; 120/240 single-phase; family A; 42; 200 A
panel: far; 240 three-phase; family B; 24; 200 A
"""
RETOOLED = {
    "to higher volts": "drill;; 120; 1 hp; 1; 30 / 24 ft from main, 50 ft from far; plug 5-15; retooled to 240 V in year 2",
    "to higher volts and more power": "planer;; 120; 1.5 hp; 1; 70 ft from main, 60 / 45 ft from far; "
    "retooled to 240 V 5 hp in year 2; moves every 3 years",
    "to three phases": "saw;; 240; 3 hp; 1; 35 / 28 ft from far, 50 ft from main; retooled to three-phase in year 2",
}


def new_only(offers: Path, supplier: str) -> None:
    """Leave of a catalog's offers what one supplier sells new."""
    rows = list(csv.DictReader(io.StringIO(offers.read_text(encoding="utf-8"))))
    kept = [row for row in rows if row["condition"] == "new" and row["supplier"] == supplier]
    with offers.open("w", encoding="utf-8", newline="") as written:
        out = csv.DictWriter(written, rows[0].keys())
        out.writeheader()
        out.writerows(kept)


def compared(folder: Path, line: str, catalog: Path | None = None) -> dict[str, Any]:
    """The comparison of what `start` writes of a page, at the prices of one supplier's new parts."""
    demo = load_catalog_with_places(demo_folder()).catalog
    assert demo is not None
    notes, file = folder / "notes.txt", folder / "shop.yaml"
    notes.write_text(f"{PAGE}{line}\n", encoding="utf-8")
    file.unlink(missing_ok=True)
    named = [] if catalog is None else ["--catalog", str(catalog)]
    done = command.run("start", str(file), "--machines", str(notes), *named)
    assert done.returncode == 0, done.stderr
    assert "was not told" not in done.stderr
    new_only((catalog or folder / "shop-catalog") / "offers.csv", main_supplier(demo))
    done = command.run("compare", str(file), "--plans", "3", "--format", "json")
    assert done.returncode == 0, done.stderr + done.stdout
    found: dict[str, Any] = json.loads(done.stdout)
    return found


@pytest.mark.parametrize("line", RETOOLED.values(), ids=RETOOLED.keys())
def test_a_retooling_lacks_no_part_in_the_small_catalog(line: str, tmp_path: Path) -> None:
    small = compared(tmp_path, line)
    assert small["missing"] == []
    assert small["plans"][0]["proven"]
    assert all(plan["lines"] for plan in small["plans"])
    assert command.run("catalog", "copy", str(tmp_path / "whole")).returncode == 0
    whole = compared(tmp_path, line, tmp_path / "whole")
    for found in ("present_value", "outlay"):
        assert [plan[found] for plan in small["plans"]] == [plan[found] for plan in whole["plans"]]
    ways = ("machine", "method", "alone", "incomplete")
    assert [[each[word] for word in ways] for each in small["not_ranked"]] == [
        [each[word] for word in ways] for each in whole["not_ranked"]
    ]
