"""A shop file with its catalog and its bids, read and checked: what every command and `costplan.load` begin with."""

import os
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from costplan.checks.check_bids import check_bids
from costplan.checks.checks import catalog_as_read, check_shop, pair_of, shop_as_read
from costplan.circuits.facts import Facts
from costplan.files.asked import WrongUseError
from costplan.files.problems import Problem, UserMistakeError, allowed_words, errors_of, in_order
from costplan.files.shipped import shipped
from costplan.files.yaml_reader import Places
from costplan.model.bids import Bid, LoadedBids, load_bids
from costplan.model.catalog import Catalog
from costplan.model.layouts import laid_out, layout_named
from costplan.model.loading import catalog_of, load_shop_with_places, near
from costplan.model.shop import Shop


@dataclass(frozen=True)
class Case:
    """A shop that can be compared: its facts, the bids received, and what is asked about its files.

    `asked_of_bids` are questions about the file of bids alone, which are among `questions` where the shop file names it.
    `places` say where everything is written, by the name of a catalog's file; that of the shop file is SHOP_FILE.
    """

    facts: Facts
    bids: tuple[Bid, ...] = ()
    questions: tuple[Problem, ...] = ()
    asked_of_bids: tuple[Problem, ...] = ()
    places: Mapping[str, Places] = field(default_factory=dict, repr=False, compare=False)


SHOP_FILE = ""
"""What the shop file is called among the places of a case, since it may have any name."""
Name = str | os.PathLike[str]
"""The name of a file or a folder."""


def load(
    shop: Name | None = None,
    catalog: Name | None = None,
    *,
    layout: str | None = None,
    bids: Name | None = None,
) -> Case:
    """Read a shop file and the catalog that it names, or the catalog in another folder; None is the demo shop.

    layout: of the shop file, taken in place of today's; bids: a file of bids in place of the one that the shop file names.
    Raises UserMistakeError, whose `problems` say what is wrong and where, and whose text is what the commands print;
    WrongUseError where the file has no such layout; OSError for a file that the system refuses.
    """
    path = None if shop is None else Path(shop)
    facts, problems, places = _read(path, None if catalog is None else Path(catalog))
    if facts is None or errors_of(problems):
        raise UserMistakeError(problems)
    facts = in_layout(facts, layout)
    received, asked = received_bids(path, facts, None if bids is None else Path(bids))
    return Case(facts, received, tuple(problems), asked, places)


def in_layout(facts: Facts, name: str | None) -> Facts:
    """The shop of a layout of its file; None is today's. Raises WrongUseError when there is no such layout."""
    if name is None:
        return facts
    layout = layout_named(facts.written, name)
    if layout is None:
        known = [layout.name for layout in facts.written.layouts]
        mend = allowed_words(name, known) if known else "the shop file lists none; add some under layouts:"
        raise WrongUseError(f'--layout "{name}": there is no such layout; {mend}')
    return Facts(laid_out(facts.written, layout), facts.catalog)


def received_bids(
    shop: Path | None, facts: Facts, chosen: Path | None = None
) -> tuple[tuple[Bid, ...], tuple[Problem, ...]]:
    """The bids of the chosen file, else of the one the shop file names, and what is asked about them.

    None where there is no file. Raises UserMistakeError.
    """
    path = bids_path(shop, facts.shop, chosen)
    if path is None:
        return (), ()
    loaded, problems = checked_bids(path, facts.shop, facts.catalog)
    if loaded.bids is None or errors_of(problems):
        raise UserMistakeError(problems)
    return loaded.bids, tuple(problems)


def bids_path(shop: Path | None, read: Shop, chosen: Path | None) -> Path | None:
    """The file of bids: the chosen one, else the one the shop file names, beside it; None when there is none."""
    if chosen is not None or read.bids_file is None:
        return chosen
    return beside_shop(shop or demo_shop(), read.bids_file)


def demo_shop() -> Path:
    """The shop file of the shipped demo."""
    return shipped("examples") / "demo" / "shop.yaml"


def read_case(
    shop: Path | None, catalog: Path | None, *, ways: bool = False
) -> tuple[Facts | None, list[Problem]]:
    """Shop and catalog with what is wrong in them and in the bids that the shop file names; None is the demo shop.

    ways: also ask about machines that have no possible way. Without facts where the files could not be read.
    """
    return _read(shop, catalog, ways=ways)[:2]


def _read(
    shop: Path | None, catalog: Path | None, *, ways: bool = False
) -> tuple[Facts | None, list[Problem], Mapping[str, Places]]:
    """As `read_case`, with where everything is written."""
    path = shop or near(demo_shop())
    loaded_shop = load_shop_with_places(path)
    loaded_catalog = catalog_of(loaded_shop, catalog)
    places = {SHOP_FILE: loaded_shop.places, **loaded_catalog.places}
    problems = [*loaded_shop.problems, *loaded_catalog.problems, *check_shop(loaded_shop, loaded_catalog)]
    received = loaded_shop.named.get("bids_file")
    if received is not None:
        seen = shop_as_read(loaded_shop), catalog_as_read(loaded_catalog)
        whole = loaded_shop.shop is not None and loaded_catalog.catalog is not None
        problems += checked_bids(near(beside_shop(path, received)), *seen, whole=whole)[1]
    if loaded_shop.shop is None or loaded_catalog.catalog is None:
        return None, problems, places
    facts, pair = Facts(loaded_shop.shop, loaded_catalog.catalog), pair_of(loaded_shop, loaded_catalog)
    if pair is None or errors_of(problems):
        return facts, problems, places
    from costplan.circuits.as_it_stands import asked_as_it_stands
    from costplan.circuits.runs_at_once import asked_what_runs_at_once
    from costplan.circuits.spaces_needed import asked_of_spaces

    asked = [
        *asked_as_it_stands(pair, facts),
        *asked_what_runs_at_once(pair, facts),
        *asked_of_spaces(pair, facts),
    ]
    if ways:
        from costplan.studies.left_out import asked_of_check

        asked += asked_of_check(pair, facts, problems)
    return facts, in_order([*problems, *asked]), places


def beside_shop(shop: Path, name: str) -> Path:
    """The file that a shop file names, relative to it."""
    return Path(os.path.normpath(shop.parent / name))


def checked_bids(
    path: Path, shop: Shop, catalog: Catalog, *, whole: bool = True
) -> tuple[LoadedBids, list[Problem]]:
    """The bids of a file and everything wrong with them; not `whole` where a file beside it is not read."""
    loaded = load_bids(path)
    return loaded, [*loaded.problems, *check_bids(loaded, shop, catalog, whole=whole)]
