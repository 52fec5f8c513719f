"""The papers as printable pages: one file each, no script, no font and nothing fetched."""

from collections.abc import Mapping
from functools import cache
from typing import TYPE_CHECKING, Any

from costplan.model.money import format_cents, format_price
from costplan.reports.scope import ScopeSheet
from costplan.reports.scope_sections import scope_sections
from costplan.reports.sections import Section
from costplan.reports.shopping import ListedPart, Order, ShoppingList
from costplan.reports.shopping_sections import (
    all_new_section,
    cut_section,
    most_section,
    own_section,
    questions_section,
    returned_section,
    sold_out_section,
)
from costplan.reports.shopping_text import check_groups, cut_words, for_words, inspected_words, order_extras

if TYPE_CHECKING:
    from jinja2 import Environment


def shopping_page(listed: ShoppingList) -> str:
    """The shopping list as HTML; every text of the user's is escaped."""
    return _render(
        "shopping.html.j2",
        {
            "listed": listed,
            "own": own_section(listed),
            "returned": returned_section(listed),
            "questions": questions_section(listed),
            "all_new": all_new_section(listed),
            "most": most_section(listed),
            "sold_out": sold_out_section(listed),
        },
    )


def scope_page(sheet: ScopeSheet) -> str:
    """The scope sheet as HTML; every text of the user's is escaped."""
    parts = [(type(part).__name__, part) for part in scope_sections(sheet)]
    return _render("scope.html.j2", {"sheet": sheet, "parts": parts})


def _render(name: str, values: Mapping[str, Any]) -> str:
    return _environment().get_template(name).render(values)


@cache
def _environment() -> "Environment":
    from jinja2 import Environment, PackageLoader, StrictUndefined

    environment = Environment(
        loader=PackageLoader("costplan.reports"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters.update(
        money=format_cents,
        price=format_price,
        cuts=cut_words,
        names=for_words,
        extras=order_extras,
        cut_section=_cut_section,
        inspected=_inspected,
        groups=check_groups,
    )
    return environment


def _cut_section(order: Order) -> Section:
    return cut_section([order])


def _inspected(part: ListedPart, order: Order) -> str:
    return inspected_words(order, part)
