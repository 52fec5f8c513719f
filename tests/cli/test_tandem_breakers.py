"""A full panel, from the shop file to the papers, with the demo's prices.

100 A, 20 spaces all full, the label allows 24 circuits, so four tandem breakers; dwelling garage, 2020; a new 6-30 outlet.
Worked by hand; common practice: two tandem breakers free two spaces, each half follows the wire that is there
(NFPA 70 240.4(D)); circuits on ground-fault breakers, with a shared neutral or tied handles stay; the new breaker is a
two-pole ground-fault one of full width.
"""

import csv
import io
import json
from pathlib import Path
from typing import Any

from command import costplan

FULL = """\
shop: full garage (invented)
invented: true
catalog: {catalog}
today: 2026-11-02
years: 5
code: {{edition: 2020, occupancy: dwelling garage}}
service: {{amps: 100 A, measured_peak: {{amps: 38 A, seen: 2026-10-01, days: 30}}}}
panels:
  - name: main panel
    system: 120/240 single-phase
    breakers: family A
    spaces: 20
    spaces_free: 0
    place: wall
    tandems: 4
    one_pole_circuits:
{circuits}
places: [{{name: wall}}, {{name: saw spot}}]
routes: [{{from: main panel, to: saw spot, fixed: 30 ft, cord: 25 ft}}]
machines:
  - {{name: saw, at: saw spot, volts: 240, amps: 20 A, plug: NEMA 6-30, starts_by_itself: false,
     ways: {{only: [conduit drop], hard_wired: false}}}}
gear:
  - {{name: slim, kind: tandem breaker, panel: main panel, at_most: 4}}
cords: {{slack: [0 ft], families: [straight]}}
"""
FREE = "test_button: false, shared_neutral: false, tied: false"
ALL_KNOWN = f"""\
      - {{breaker: 15 A, awg: "14", count: 1, {FREE}}}
      - {{breaker: 20 A, awg: "12", count: 3, {FREE}}}
      - {{breaker: 20 A, awg: "12", count: 1, test_button: true}}
      - {{breaker: 15 A, awg: "14", count: 2, shared_neutral: true}}
      - {{breaker: 20 A, awg: "14", count: 1, {FREE}}}"""
CATALOG = Path(__file__).parents[2] / "catalogs" / "demo"


def written(folder: Path, circuits: str) -> str:
    file = folder / "shop.yaml"
    file.write_text(FULL.format(catalog=CATALOG, circuits=circuits), encoding="utf-8")
    return str(file)


def codes(file: str) -> list[str]:
    found = json.loads(costplan("check", file, "--format", "json").stdout)
    return [problem["code"] for problem in found if problem["path"] == file]


def test_two_tandem_breakers_make_room_for_a_two_pole_ground_fault_breaker(tmp_path: Path) -> None:
    file = written(tmp_path, ALL_KNOWN)
    assert codes(file) == ["one-pole-wire-thin"]

    done = costplan("compare", file, "--format", "json")
    plan: dict[str, Any] = json.loads(done.stdout)["plans"][0]
    assert [(gear["name"], gear["count"], gear["circuits"]) for gear in plan["gear"]] == [
        ("slim 15/20", 1, ["a 15 A on 14 AWG and a 20 A on 12 AWG"]),
        ("slim 20/20", 1, ["a 20 A on 12 AWG and a 20 A on 12 AWG"]),
    ]
    (panel,) = plan["panels"]
    assert (panel["by_gear"], panel["by_circuits"], panel["left"]) == (-2, 2, 0)
    assert panel["no_tandems"] == [
        "20 A on 12 AWG: its breaker is a ground-fault or arc-fault one",
        "2 x 15 A on 14 AWG: it shares its neutral",
        "20 A on 14 AWG: the wire is too thin for the breaker",
    ]


def test_the_papers_say_which_circuits_pair_up_and_that_poles_are_not_load(tmp_path: Path) -> None:
    file = written(tmp_path, ALL_KNOWN)
    rows = list(csv.DictReader(io.StringIO(costplan("shopping", file, "--format", "csv").stdout)))
    bought = {row["part"]: row for row in rows if row["part"]}
    slim = [part for part in bought if part.startswith("tandem")]
    assert sorted(slim) == ["tandem-a-15-20", "tandem-a-20"]
    assert "a 15 A on 14 AWG and a 20 A on 12 AWG" in bought["tandem-a-15-20"]["note"]
    # Said once on the paper, at the first of its lines.
    assert sum("Poles are not load" in bought[part]["note"] for part in slim) == 1
    (breaker,) = [row["what"] for part, row in bought.items() if part.startswith("breaker")]
    assert "2-pole" in breaker
    assert "ground-fault" in breaker

    for command in (["shopping"], ["scope"], ["compare", "--show", "all"]):
        told = " ".join(costplan(command[0], file, *command[1:]).stdout.split())
        assert "Poles are not load" in told, command
        assert "a 20 A on 12 AWG and" in told, command


def test_what_is_unknown_is_asked_and_blocks_the_way(tmp_path: Path) -> None:
    unknown = f"      - {{breaker: 20 A, count: 8, {FREE}}}"
    file = written(tmp_path, unknown)
    assert codes(file) == ["tandem-circuit-unknown"]
    told = " ".join(costplan("compare", file).stderr.split() + costplan("compare", file).stdout.split())
    assert "no more spaces by tandem breakers: 8 x 20 A: not known: the wire size" in told


def test_circuits_that_nobody_described_block_the_way(tmp_path: Path) -> None:
    file = written(tmp_path, "      []")
    assert codes(file) == ["tandem-circuits-unknown"]
    asked = costplan("check", file).stdout
    for words in ("the label", "wiring diagram", "test_button", "red-and-black", "tied"):
        assert words in asked
