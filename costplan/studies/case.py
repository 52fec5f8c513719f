"""A shop file with its catalog and its bids, read and checked: what every command and `costplan.load` begin with."""

import os
from dataclasses import dataclass
from pathlib import Path

from costplan.checks.check_bids import check_bids
from costplan.checks.checks import catalog_as_read, check_shop, pair_of, shop_as_read
from costplan.circuits.facts import Facts
from costplan.files.problems import Problem, UserMistakeError, errors_of, in_order
from costplan.files.shipped import shipped
from costplan.model.bids import Bid, LoadedBids, load_bids
from costplan.model.catalog import Catalog
from costplan.model.loading import catalog_of, load_shop_with_places, near
from costplan.model.shop import Shop


@dataclass(frozen=True)
class Case:
    """A shop that can be compared: its facts, the bids that it names, and what is asked about its files."""

    facts: Facts
    bids: tuple[Bid, ...] = ()
    questions: tuple[Problem, ...] = ()


def load(shop: str | os.PathLike[str], catalog: str | os.PathLike[str] | None = None) -> Case:
    """Read a shop file and the catalog that it names, or the catalog in another folder.

    Raises UserMistakeError, whose `problems` say what is wrong and where, and whose text is what the commands print; OSError
    for a file that the system refuses.
    """
    path = Path(shop)
    facts, problems = read_case(path, None if catalog is None else Path(catalog))
    if facts is None or errors_of(problems):
        raise UserMistakeError(problems)
    named = facts.shop.bids_file
    if named is None:
        return Case(facts, (), tuple(problems))
    received = load_bids(beside(path, named))
    return Case(facts, received.bids or (), tuple(problems))


def read_case(
    shop: Path | None, catalog: Path | None, *, ways: bool = False
) -> tuple[Facts | None, list[Problem]]:
    """Shop and catalog with what is wrong in them and in the bids that the shop file names; None is the demo shop.

    ways: also ask about machines that have no possible way. Without facts where the files could not be read.
    """
    path = shop or near(shipped("examples") / "demo" / "shop.yaml")
    loaded_shop = load_shop_with_places(path)
    loaded_catalog = catalog_of(loaded_shop, catalog)
    problems = [*loaded_shop.problems, *loaded_catalog.problems, *check_shop(loaded_shop, loaded_catalog)]
    received = loaded_shop.named.get("bids_file")
    if received is not None:
        seen = shop_as_read(loaded_shop), catalog_as_read(loaded_catalog)
        whole = loaded_shop.shop is not None and loaded_catalog.catalog is not None
        problems += checked_bids(near(beside(path, received)), *seen, whole=whole)[1]
    if loaded_shop.shop is None or loaded_catalog.catalog is None:
        return None, problems
    facts, pair = Facts(loaded_shop.shop, loaded_catalog.catalog), pair_of(loaded_shop, loaded_catalog)
    if pair is None or errors_of(problems):
        return facts, problems
    from costplan.circuits.as_it_stands import asked_as_it_stands
    from costplan.circuits.runs_at_once import asked_what_runs_at_once

    asked = [*asked_as_it_stands(pair, facts), *asked_what_runs_at_once(pair, facts)]
    if ways:
        from costplan.studies.left_out import asked_of_check

        asked += asked_of_check(pair, facts, problems)
    return facts, in_order([*problems, *asked])


def beside(shop: Path, name: str) -> Path:
    """The file that a shop file names, relative to it."""
    return Path(os.path.normpath(shop.parent / name))


def checked_bids(
    path: Path, shop: Shop, catalog: Catalog, *, whole: bool = True
) -> tuple[LoadedBids, list[Problem]]:
    """The bids of a file and everything wrong with them; not `whole` where a file beside it is not read."""
    loaded = load_bids(path)
    return loaded, [*loaded.problems, *check_bids(loaded, shop, catalog, whole=whole)]
