"""Filler plates and the openings that stay: NFPA 70 408.7, from memory, closes unused openings and no others."""

from collections.abc import Callable
from types import SimpleNamespace
from typing import Any, cast

import pytest
from test_noted import CONVERTER, MAIN, MILL, NO_DRIVE, NO_MOTOR, Row, facts_of
from test_noted import shop as noted_shop
from test_papers_there import chain, handed_on

from costplan.checks.check_places import plates_go_by_the_panel
from costplan.circuits.facts import Facts
from costplan.ledger.steps import Act
from costplan.model.catalog import Kind, Offer, Part, Recipe
from costplan.model.choices import SurplusRule
from costplan.model.ratings import FILLER_PLATE
from costplan.program.bench import Bench
from costplan.program.ranking import best_plans
from costplan.reports.before_after import PanelTable
from costplan.reports.scope import scope_sheet
from costplan.reports.scope_plan import plan_today
from costplan.reports.scope_sections import panel_cells
from costplan.reports.scope_work import Besides, WorkRow
from costplan.reports.shopping import list_of
from costplan.studies.comparison import Comparison


def with_plates(facts: Facts) -> Facts:
    """The same shop where two filler plates go with every outlet that is made safe."""
    catalog = facts.catalog
    sold = {"supplier": "store", "condition": "new", "price": 2, "part": "plate", "per": "each"}
    row = max(offer.row for offer in catalog.offers) + 1
    safe = {"parts": [{"kind": FILLER_PLATE, "quantity": 2}], "tasks": [{"task": "make-safe"}]}
    update = {
        "parts": [
            *catalog.parts,
            Part.model_validate({"id": "plate", "kind": FILLER_PLATE, "name": "plate"}),
        ],
        "offers": [*catalog.offers, Offer.model_validate(sold | {"row": row})],
        "kinds": [*catalog.kinds, Kind.model_validate({"kind": FILLER_PLATE})],
        "recipes": {**catalog.recipes, "make safe": Recipe.model_validate(safe)},
    }
    return Facts(facts.shop, catalog.model_copy(update=update))


@pytest.mark.parametrize("shop", [handed_on, chain], ids=["spaces stay open", "another circuit takes them"])
def test_no_plates_are_bought_by_the_outlet(shop: Callable[[], Facts]) -> None:
    """A circuit that is made safe may leave two openings or none, which only the panel tells; the money is as without."""
    facts = with_plates(shop())
    best = best_plans(Bench.over(facts, SurplusRule.ALLOWED), 1)[0]
    assert not [part for part in list_of(facts, best).parts if part.kind == FILLER_PLATE]
    assert not [line for line in best.lines if "plate" in line.what]
    safe = [step for step in best.steps if step.act is Act.MAKE_SAFE]
    assert safe
    assert not [need for step in safe for need in step.takes if need.spec.kind == FILLER_PLATE]


def test_no_recipe_buys_plates() -> None:
    """Nor with a panel: its cover's own blanks stay where no breaker goes."""
    assert with_plates(handed_on()).expanded("make safe").needs == ()


@pytest.mark.parametrize(("shop", "opened"), [(handed_on, [2]), (chain, [])])
def test_the_scope_sheet_counts_the_openings_that_stay(shop: Callable[[], Facts], opened: list[int]) -> None:
    """The saw's circuit of two poles is made safe: nothing takes its spaces, or a circuit that is made anew does."""
    facts = with_plates(shop())
    plans = tuple(best_plans(Bench.over(facts, SurplusRule.ALLOWED), 1))
    sheet = scope_sheet(cast(Comparison, SimpleNamespace(facts=facts, plans=plans)))
    assert [row.quantity for row in sheet.work if row.besides is Besides.OPENINGS] == opened
    assert not [part for part in sheet.owner_supplies if part.what.startswith("plate")]


@pytest.mark.parametrize("recipe", ["make safe", "take out", "subpanel"])
def test_plates_in_a_recipe_are_asked_about(recipe: str) -> None:
    facts = with_plates(handed_on())

    def complain(code: str, trail: object, message: str, mend: str, *, question: bool) -> tuple[str, bool]:
        return code, question

    plated = facts.catalog.recipes["make safe"]
    recipes = [
        (complain, (), name, plated if name == recipe else Recipe())
        for name in ("make safe", "take out", "subpanel", "breaker")
    ]
    pair: Any = SimpleNamespace(recipes=lambda: recipes)
    found: list[Any] = list(plates_go_by_the_panel(pair))
    assert found == [("plates-by-recipe", True)]


def _panels_with_a_converter(
    tmp_path: Any, mill: Row, gear: Row
) -> tuple[dict[str, PanelTable], tuple[WorkRow, ...]]:
    """A grinder on the main panel, a mill of three phases behind a converter whose panel has 18 spaces."""
    now = {
        "method": "conduit drop",
        "panel": "main panel",
        "configuration": "NEMA 6-20",
        "breaker": 20,
        "poles": 2,
    }
    grinder = {"name": "grinder", "at": "bench", "volts": 240, "amps": 12, "plug": "NEMA 6-20", "now": now}
    forbidden = {"forbid_supply": NO_DRIVE | NO_MOTOR}
    mill = MILL | {"ways": {"only": ["conduit drop"], "hard_wired": False} | forbidden} | mill
    facts = facts_of(noted_shop(machines=[grinder, mill], panels=[MAIN], gear=[CONVERTER | gear]), tmp_path)
    today = plan_today(facts, best_plans(Bench.over(facts, SurplusRule.ALLOWED), 1)[0])
    return {table.panel: table for table in today.panels}, today.work


def test_the_panel_of_a_converter_has_the_spaces_of_its_part(tmp_path: Any) -> None:
    """By hand: of 18 spaces a mill's breaker takes three; 15 stay, whose blanks stay in."""
    tables, work = _panels_with_a_converter(tmp_path, {}, {})
    table = tables["converter"]
    assert (table.brought, table.poles_after, table.free_after) == (True, 3, 15)
    assert panel_cells(table)[-1][:4] == ["spaces free", "not there", "", "15"]
    (row,) = [row for row in work if row.besides is Besides.OPENINGS]
    assert (row.place, row.quantity) == ("in converter", 15)
    assert "gets a filler plate of whoever closes it" in row.detail


def test_the_panel_of_a_converter_that_is_there_counts_its_circuits_once(tmp_path: Any) -> None:
    """By hand: of 18 spaces the mill's present breaker takes three today and afterwards."""
    now = {
        "method": "conduit drop",
        "panel": "converter",
        "configuration": "NEMA 15-20",
        "breaker": 20,
        "poles": 3,
    }
    tables, work = _panels_with_a_converter(tmp_path, {"now": now}, {"installed": True})
    table = tables["converter"]
    assert (table.brought, table.poles_today, table.free_today) == (False, 3, 15)
    assert table.free_after == 18 - table.poles_after
    assert not [row for row in work if row.besides is Besides.OPENINGS and row.place == "in converter"]
