"""Filler plates on the shopping list: NFPA 70 408.7, from memory, closes unused openings and no others."""

from types import SimpleNamespace
from typing import cast

from test_papers_there import chain, handed_on

from costplan.circuits.facts import Facts
from costplan.model.catalog import Kind, Offer, Part, Recipe
from costplan.model.choices import SurplusRule
from costplan.plans.comparison import Comparison
from costplan.plans.ranking import Bench, best_plans
from costplan.reports.openings import FILLER_PLATE
from costplan.reports.scope import scope_sheet
from costplan.reports.shopping import ListedPart, list_of
from costplan.reports.shopping_text import shopping_text


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


def plates(facts: Facts) -> tuple[ListedPart, str]:
    """The line of the filler plates, and the list as text."""
    listed = list_of(facts, best_plans(Bench.over(facts, SurplusRule.ALLOWED), 1)[0])
    (line,) = [part for part in listed.parts if part.kind == FILLER_PLATE]
    return line, " ".join(shopping_text(listed).split())


def test_plates_for_spaces_that_stay_open() -> None:
    """The saw's circuit of two poles is made safe and nothing takes its spaces."""
    line, text = plates(with_plates(handed_on()))
    said = "one for each space left open after the work (NEC 408.7): 2 in panel; leave out what is more"
    assert (line.quantity, line.said) == (2, said)
    assert "left open after the work" in text


def test_no_plates_where_other_circuits_take_the_spaces() -> None:
    """One drop is made safe and one is made anew in the same panel."""
    line, text = plates(with_plates(chain()))
    assert line.said.startswith("none needed: no space is left open after the work")
    assert "none needed" in text


def test_on_the_scope_sheet_plates_go_to_the_panel() -> None:
    facts = with_plates(handed_on())
    plans = tuple(best_plans(Bench.over(facts, SurplusRule.ALLOWED), 1))
    sheet = scope_sheet(cast(Comparison, SimpleNamespace(facts=facts, plans=plans)))
    (line,) = [part for part in sheet.owner_supplies if part.what.startswith("plate")]
    assert line.goes_to == "panel"
    assert "2 in panel" in line.what
