"""The papers of a shop that is there: work at its place, panels before and after, what comes from the shop itself."""

import csv
import io
import re
from collections import Counter
from decimal import Decimal
from functools import cache
from pathlib import Path
from types import SimpleNamespace
from typing import Any, cast

import pytest
import yaml
from openpyxl import load_workbook

from costplan.circuits.facts import Facts
from costplan.ledger.ledger import at_year
from costplan.ledger.lines import LineKind
from costplan.model.choices import SurplusRule
from costplan.model.labor import Role
from costplan.model.loading import load_catalog, load_shop
from costplan.model.shop import Shop
from costplan.program.bench import Bench
from costplan.program.ranked import Ranked
from costplan.program.ranking import best_plans
from costplan.reports.page import scope_page, shopping_page
from costplan.reports.scope import WHOLE_SHOP, ScopeSheet, scope_sheet
from costplan.reports.scope_sections import panel_cells
from costplan.reports.scope_text import scope_csv, scope_text
from costplan.reports.shopping import ShoppingList, list_of
from costplan.reports.shopping_book import shopping_book
from costplan.reports.shopping_text import shopping_csv, shopping_text
from costplan.studies.comparison import Comparison
from costplan.studies.hired_scope import scope_today

ROOT = Path(__file__).parents[2]
WORKED = ROOT / "tests" / "reconfiguration" / "shops"
NAMES = sorted(path.stem for path in WORKED.glob("*.yaml") if path.stem != "r7")
"""All but one for which the tiny catalog sells no part, so that no plan is found with it."""
Row = dict[str, Any]


PLANS: dict[int, tuple[Facts, Ranked]] = {}


def planned(facts: Facts) -> Ranked:
    """Its best plan, found once."""
    if id(facts) not in PLANS:
        PLANS[id(facts)] = facts, best_plans(Bench.over(facts, SurplusRule.ALLOWED), 1)[0]
    return PLANS[id(facts)][1]


def sheet_of(facts: Facts) -> ScopeSheet:
    return scope_sheet(cast(Comparison, SimpleNamespace(facts=facts, plans=(planned(facts),))))


def listed(facts: Facts) -> ShoppingList:
    return list_of(facts, planned(facts))


@cache
def worked(name: str) -> Facts:
    shop, problems = load_shop(WORKED / f"{name}.yaml")
    catalog = load_catalog(ROOT / "examples" / "tiny" / "catalog")[0]
    assert shop is not None, problems
    assert catalog is not None
    return Facts(shop, catalog)


def laid_out(machines: list[Row], **more: Any) -> Facts:
    """The rooms and routes of the worked shops with other machines in them."""
    said = yaml.safe_load((WORKED / "s13.yaml").read_text())
    shop = Shop.model_validate({**said, "machines": machines, "shop": "by hand", "shelf": [], **more})
    return Facts(shop, worked("s13").catalog)


def machine(name: str, at: str, receptacle: str, now: Row | None = None, **more: Any) -> Row:
    """240 V with a 6-20 plug, else 120 V; 16 A on 12 AWG and 20 A."""
    volts = 240 if receptacle == "NEMA 6-20" else 120
    there = {"now": now} if now else {}
    ways = {"hard_wired": False}
    return {"name": name, "at": at, "volts": volts, "amps": "16 A", "plug": receptacle, "ways": ways} | (
        there | more
    )


def drop(place: str, receptacle: str) -> Row:
    poles = 2 if receptacle == "NEMA 6-20" else 1
    said = {"method": "wall drop", "panel": "panel", "place": place, "configuration": receptacle}
    return said | {"breaker": "20 A", "poles": poles, "awg": "12"}


def cord(place: str, receptacle: str, feet: int) -> Row:
    hangs = {"length": f"{feet} ft", "awg": "12", "conductors": 3}
    return drop(place, receptacle) | {"method": "cord", "cord": hangs}


@cache
def chain() -> Facts:
    """Four drops and five places: one run converted, one made anew, one made safe, two taken over as they are."""
    machines = [
        machine("saw", "B", "NEMA 6-20", drop("A", "NEMA 6-20")),
        machine("jointer", "E", "NEMA 6-20", drop("B", "NEMA 6-20")),
        machine("drill", "D", "NEMA 5-20", drop("C", "NEMA 5-20")),
        machine("sander", "A", "NEMA 5-20", drop("D", "NEMA 5-20")),
    ]
    return laid_out(machines, shelf=[{"part": "receptacle-6-20"}])


@cache
def handed_on() -> Facts:
    """A drill gets outlet and cable of a saw that goes to an idle outlet."""
    machines = [
        machine("saw", "E", "NEMA 6-20", cord("A", "NEMA 6-20", 40)),
        machine("drill", "C", "NEMA 5-20", drop("A", "NEMA 5-20")),
    ]
    idle = {"place": "E", "panel": "panel", "method": "wall drop", "configuration": "NEMA 6-20"}
    return laid_out(machines, installed=[idle])


def section(text: str, head: str) -> list[str]:
    """The lines of a section, without what is blank at their ends."""
    lines = text.split("\n")
    first = next(number for number, line in enumerate(lines) if line.startswith(head))
    last = next(number for number in range(first, len(lines)) if not lines[number])
    return [line.rstrip() for line in lines[first:last]]


@pytest.mark.parametrize("name", NAMES)
def test_every_hired_task_that_is_paid_today_is_on_the_sheet_with_its_place(name: str) -> None:
    facts = worked(name)
    ranked, sheet = planned(facts), sheet_of(facts)
    owners = {crew.name for crew in facts.crews if crew.role is Role.OWNER}
    paid: Counter[str] = Counter()
    for line in ranked.lines:
        if line.kind is LineKind.LABOR and not line.year and line.crew not in owners:
            paid[facts.tasks[line.task].name] += line.quantity  # type: ignore[assignment]
    asked: Counter[str] = Counter()
    for row in sheet.work:
        asked[row.what] += 0 if row.besides else row.quantity  # type: ignore[assignment]
        assert row.place != WHOLE_SHOP
    asked = +asked
    leveled: Counter[str] = Counter()
    for item in scope_today(facts, ranked):
        leveled[item.what] += item.quantity  # type: ignore[assignment]
    assert asked == paid == leveled


@pytest.mark.parametrize("name", NAMES)
def test_the_poles_before_and_after_are_those_that_the_panel_has_left(name: str) -> None:
    facts = worked(name)
    ranked = planned(facts)
    (room,) = at_year(facts, ranked.plan, ranked.chosen, 0).panels()
    free = facts.written.panels[0].spaces_free
    for panel in sheet_of(facts).panels:
        assert free + panel.poles_today - panel.poles_after == room.left


def test_work_stands_where_it_is_done() -> None:
    """Made safe is the drill's old outlet at C, though the drill stands at D; breakers are changed in the panel."""
    assert [(row.place, row.words, row.machines) for row in sheet_of(chain()).work if not row.besides] == [
        ("A", "change a device: receptacle NEMA 6-20R out, receptacle NEMA 5-20R in", ("sander",)),
        ("C", "make unused wiring safe: drill's old outlet, receptacle NEMA 5-20R", ("drill",)),
        ("E", "run the cable: line 4", ("jointer",)),
        ("E", "set the box and the outlet: line 4", ("jointer",)),
        (
            "in panel",
            "set the breaker and land the circuit: circuit at E: 2-pole 20 A on (out of the circuit at A)",
            ("jointer",),
        ),
        (
            "in panel",
            "change a device: circuit at A: 2-pole 20 A off, 1-pole 20 A on (out of the circuit at C)",
            ("sander",),
        ),
    ]


def test_what_becomes_of_the_outlet_of_every_machine() -> None:
    states = {row.machines: (row.place, row.state) for row in sheet_of(chain()).circuits}
    assert states == {
        ("saw",): ("B", "stays as it is, serves saw from now on, jointer until now"),
        ("jointer",): ("E", "new"),
        ("drill",): ("D", "stays as it is, serves drill from now on, sander until now"),
        ("sander",): (
            "A",
            "the run stays, serves sander from now on, saw until now: change the receptacle and the breaker",
        ),
    }


def test_outlets_that_change_machines_are_no_work() -> None:
    facts = worked("s1")
    sheet = sheet_of(facts)
    assert sheet.work == ()
    assert "Work by location\n  nothing\n" in scope_text(sheet)
    assert {row.state.split(",")[0] for row in sheet.circuits} == {"stays as it is"}


def test_the_panel_before_and_after() -> None:
    (panel,) = sheet_of(chain()).panels
    assert panel_cells(panel) == [
        ["A, wall drop", "20 A 2-pole", "saw", "20 A 1-pole", "sander", "receptacle and breaker changed"],
        ["B, wall drop", "20 A 2-pole", "jointer", "20 A 2-pole", "saw", "taken over as it is"],
        ["C, wall drop", "20 A 1-pole", "drill", "", "", "made safe"],
        ["D, wall drop", "20 A 1-pole", "sander", "20 A 1-pole", "drill", "taken over as it is"],
        ["E, wall drop", "", "", "20 A 2-pole", "jointer", "new"],
        ["poles in all", "6", "", "6", "", ""],
        ["spaces free", "2", "", "2", "", ""],
    ]
    assert section(scope_text(sheet_of(chain())), "Before and after")[1].split("  ")[0] == "circuit"


def test_breakers_that_change_place() -> None:
    assert section(scope_text(sheet_of(chain())), "Breakers")[:3] == [
        "Breakers that change place",
        "  - 1-pole 20 A breaker: out of the circuit at C, into the circuit at A",
        "  - 2-pole 20 A breaker: out of the circuit at A, into the circuit at E",
    ]
    assert section(scope_text(sheet_of(handed_on())), "Breakers")[:3] == [
        "Breakers that change place",
        "  - 1-pole 20 A breaker: out of the circuit at A, into the circuit beside panel",
        "  - 2-pole 20 A breaker: out of the circuit beside panel, onto the owner's shelf",
    ]


def test_machines_of_a_group_are_counted_and_their_poles_too() -> None:
    """Three saws go to E, one of their outlets serves the drill that comes there, two are made safe."""
    saws = machine("saw", "E", "NEMA 6-20", drop("A", "NEMA 6-20"), count=3)
    sheet = sheet_of(laid_out([saws, machine("drill", "A", "NEMA 6-20", drop("B", "NEMA 6-20"))]))
    assert panel_cells(sheet.panels[0]) == [
        ["A, wall drop", "2 x 20 A 2-pole", "saw", "", "", "made safe"],
        ["A, wall drop", "20 A 2-pole", "saw", "20 A 2-pole", "drill", "taken over as it is"],
        ["B, wall drop", "20 A 2-pole", "drill", "", "", "made safe"],
        ["E, wall drop", "", "", "3 x 20 A 2-pole", "saw", "new"],
        ["poles in all", "8", "", "8", "", ""],
        ["spaces free", "2", "", "2", "", ""],
    ]
    assert sheet.breakers == (
        "2 x 2-pole 20 A breaker: out of the circuit at A, into the circuit at E",
        "2-pole 20 A breaker: out of the circuit at B, into the circuit at E",
    )


def test_idle_outlets_and_cords_in_the_panel_s_table() -> None:
    (panel,) = sheet_of(handed_on()).panels
    assert panel_cells(panel) == [
        ["A, wall drop", "20 A 1-pole", "drill", "", "", "made safe"],
        [
            "E, wall drop",
            "20 A 2-pole (amperes assumed from the receptacle: look)",
            "idle",
            "20 A 2-pole (amperes assumed from the receptacle: look)",
            "saw",
            "taken over as it is",
        ],
        [
            "beside the panel, cord",
            "20 A 2-pole",
            "saw",
            "20 A 1-pole",
            "drill at C",
            "receptacle and breaker changed",
        ],
        ["poles in all", "5", "", "3", "", ""],
        ["spaces free", "2", "", "4", "", ""],
    ]


def test_an_idle_outlet_that_nobody_takes_stays_idle() -> None:
    idle = {"place": "E", "panel": "panel", "method": "wall drop", "configuration": "NEMA 6-20"}
    facts = laid_out([machine("saw", "A", "NEMA 6-20", drop("A", "NEMA 6-20"))], installed=[idle])
    rows = {row.at: (row.after.serves, row.done) for row in sheet_of(facts).panels[0].rows}
    assert rows == {"A": ("saw", "as it is"), "E": ("idle", "as it is")}


def test_what_is_left_live_keeps_its_poles() -> None:
    saw = machine("saw", "B", "NEMA 6-20", drop("A", "NEMA 6-20"))
    facts = laid_out([saw], building={**_building(), "make_safe": False})
    (panel,) = sheet_of(facts).panels
    assert {row.at: (row.after.serves, row.done) for row in panel.rows} == {
        "A": ("idle", "left live"),
        "B": ("saw", "new"),
    }
    assert (panel.poles_today, panel.poles_after) == (2, 4)


def _building() -> Row:
    return dict(yaml.safe_load((WORKED / "s13.yaml").read_text())["building"])


def test_breakers_and_wires_are_those_that_are_there() -> None:
    """Two runs of 10 AWG change machines and their ends; the drill draws more than the 15 A breaker at C carries."""
    thin = drop("C", "NEMA 5-20") | {"breaker": "15 A", "awg": "10"}
    thick = drop("A", "NEMA 6-20") | {"awg": "10"}
    machines = [machine("saw", "C", "NEMA 6-20", thick), machine("drill", "A", "NEMA 5-20", thin)]
    sheet = sheet_of(laid_out(machines, shelf=[{"part": "receptacle-5-20"}, {"part": "receptacle-6-20"}]))
    assert sheet.breakers == (
        "1-pole 15 A breaker: out of the circuit at C, onto the owner's shelf",
        "2-pole 20 A breaker: out of the circuit at A, into the circuit at C",
    )
    assert {row.at: (row.today.breaker, row.after.breaker) for row in sheet.panels[0].rows} == {
        "A": ("20 A 2-pole", "20 A 1-pole"),
        "C": ("15 A 1-pole", "20 A 2-pole"),
    }
    assert [row.conductors.split(" (")[0] for row in sheet.circuits] == ["2 × 10 AWG"] * 2


def test_a_shop_with_nothing_there_has_no_such_sections() -> None:
    facts = laid_out([machine("saw", "A", "NEMA 6-20")])
    sheet = sheet_of(facts)
    assert sheet.panels == ()
    for paper in (scope_text(sheet), scope_page(sheet), scope_csv(sheet)):
        assert not re.search("Before and after|panel before|panel after|change place|changes place", paper)


def test_before_and_after_on_the_page_and_in_the_csv() -> None:
    sheet = sheet_of(chain())
    page = " ".join(scope_page(sheet).split())
    assert "<h2>Before and after: panel</h2>" in page
    assert "<td>C, wall drop</td><td>20 A 1-pole</td><td>drill</td><td></td><td></td>" in page
    assert "<li>2-pole 20 A breaker: out of the circuit at A, into the circuit at E</li>" in page
    rows = list(csv.DictReader(io.StringIO(scope_csv(sheet))))
    poles = {
        head: sum(int(row["poles"]) for row in rows if row["section"] == head)
        for head in ("panel before", "panel after")
    }
    assert poles == {"panel before": 6, "panel after": 6}
    (safe,) = [row for row in rows if row["section"] == "panel after" and row["what"] == "made safe"]
    assert (safe["place"], safe["machines"], safe["poles"]) == ("C", "", "0")
    assert [row["what"] for row in rows if row["section"] == "breaker changes place"] == list(sheet.breakers)


def test_the_owner_supplies_what_the_shelf_gives() -> None:
    supplied = {(part.what, part.condition) for part in sheet_of(chain()).owner_supplies}
    assert ("receptacle NEMA 6-20", "on-hand") in supplied


# the shopping list --------------------------------------------------------------------------------


def test_what_comes_from_the_shop_itself() -> None:
    assert section(shopping_text(listed(chain())), "From your own shop") == [
        "From your own shop",
        "  qty  what                  from                     for        cut to    left over",
        "-----  --------------------  -----------------------  -------  --------  -----------",
        "    1  receptacle NEMA 6-20  the shelf                jointer",
        "    1  breaker, 2-pole 20 A  the circuit at A (feeds  jointer",
        "                             the saw today)",
        "    1  breaker, 1-pole 20 A  the circuit at C (feeds  sander",
        "                             the drill today)",
        "nothing of it is bought; what is cut you cut yourself; plugs and connectors come off cords, not",
        "off machines",
    ]


def test_a_cord_in_pieces_and_one_to_cut_yourself() -> None:
    text = shopping_text(listed(worked("s11")))
    assert [thing.cells[1:] for thing in listed(worked("s11")).own] == [
        ("connector NEMA 6-20", "the shelf", "saw", "", ""),
        ("cord 12/3, 40 ft", "the shelf", "saw", "30 ft", "10 ft"),
        ("plug NEMA 6-20", "the shelf", "saw", "", ""),
        ("breaker, 2-pole 20 A", "the circuit at E (feeds the saw today)", "saw", "", ""),
    ]
    assert text.index("From your own shop") < text.index("Buy at:")
    taken = [thing.cells[1:4] for thing in listed(handed_on()).own]
    assert taken == [
        ("breaker, 1-pole 20 A", "the circuit at A (feeds the drill today)", "drill"),
        ("cord 12/3, 40 ft", "the saw's old 40 ft cord, at A", "drill"),
        ("overhead kit", "the saw's old 40 ft cord, at A", "drill"),
    ]


def test_cords_that_change_hands_whole() -> None:
    assert [thing.cells for thing in listed(worked("s3")).own] == [
        (
            "1",
            "cord 12/3, 40 ft, whole, as it hangs",
            "the planer's old 40 ft cord, at C, where it stays",
            "saw",
            "do not cut: needs 40 ft",
            "",
        ),
        (
            "1",
            "cord 12/3, 30 ft, whole, as it hangs",
            "the saw's old 30 ft cord, at A, where it stays",
            "planer",
            "do not cut: needs 30 ft",
            "",
        ),
    ]


def test_own_ends_go_onto_another_cable_and_what_is_kept_is_not_listed() -> None:
    assert [thing.cells[1:4] for thing in listed(worked("s4")).own] == [
        ("cord 12/3, 40 ft", "the shelf", "planer"),
        ("connector NEMA 6-20", "the planer's old 20 ft cord, at B", "planer"),
        ("overhead kit", "the planer's old 20 ft cord, at B", "planer"),
        ("plug NEMA 6-20", "the planer's old 20 ft cord, at B", "planer"),
    ]
    kept = laid_out([machine("saw", "A", "NEMA 6-20", cord("A", "NEMA 6-20", 30))])
    assert listed(kept).own == ()
    assert "From your own shop" not in shopping_text(listed(kept))
    assert "From your own shop" not in shopping_page(listed(kept))


def test_every_paper_has_what_comes_from_the_shop_before_the_suppliers() -> None:
    paper = listed(worked("s11"))
    rows = list(csv.DictReader(io.StringIO(shopping_csv(paper))))
    assert [row["row"] for row in rows][:5] == ["own", "own", "own", "own", "part"]
    (cut,) = [row for row in rows if row["cuts"].startswith("cut yourself")]
    assert (cut["what"], cut["cuts"], cut["left_over"]) == (
        "cord 12/3, 40 ft",
        "cut yourself to 30 ft",
        "10",
    )
    assert all(row["amount"] == "" for row in rows[:4])
    book = load_workbook(io.BytesIO(shopping_book(paper)))
    assert book.sheetnames[:2] == ["All orders", "From your own shop"]
    sheet = book["From your own shop"]
    cells = [tuple(cell.value or "" for cell in row) for row in sheet.iter_rows(min_row=5)]
    assert cells == [thing.cells for thing in paper.own]
    page = " ".join(shopping_page(paper).split())
    assert page.index("<h2>From your own shop</h2>") < page.index("<h2>All orders</h2>")
    assert '<td>cord 12/3, 40 ft</td><td>the shelf</td><td>saw</td><td class="n">30 ft</td>' in page


def test_the_total_is_what_is_paid() -> None:
    rows = list(csv.DictReader(io.StringIO(shopping_csv(listed(chain())))))
    total = sum(Decimal(row["amount"] or 0) for row in rows)
    assert total * 100 == listed(chain()).total_cents
