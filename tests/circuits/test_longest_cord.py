"""A cord longer than the user would consider is no way; 300 ft is common practice, no source. Shops are invented."""

from strategies import SAW, make_catalog, make_shop

from costplan.circuits.facts import Facts
from costplan.ledger.options import Option, survey
from costplan.model.choices import Method


def cords(longest_ft: int) -> list[object]:
    """The saw's ways by a cord, of 30 ft and more, and those that are none."""
    shop = make_shop([SAW])
    choices = shop.cords.model_copy(update={"longest_ft": longest_ft})
    found = survey(Facts(shop.model_copy(update={"cords": choices}), make_catalog()))
    return [
        entry if isinstance(entry, Option) else entry.reason
        for entry in (*found.options["saw"], *found.unbuildable)
        if entry.way.method is Method.CORD
    ]


def test_what_is_longer_is_no_way_and_says_its_length() -> None:
    within, beyond = cords(300), cords(10)
    assert within
    assert all(isinstance(entry, Option) for entry in within)
    assert beyond
    assert all("ft long, and the longest to consider is 10 ft" in str(entry) for entry in beyond)
