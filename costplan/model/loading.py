"""Shop files and catalog folders read and checked, each with the place of everything in it.

Nothing here raises for what a user wrote: what cannot be used comes back as problems, of all files at once.
"""

import os
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from os import scandir
from pathlib import Path
from typing import Generic, TypeVar

from pydantic import Field, ValidationError

from costplan.files.csv_reader import Table, read_table
from costplan.files.problems import At, Problem, errors_of
from costplan.files.yaml_reader import Places, YamlFile, place_of, read_yaml
from costplan.model.base import Entry
from costplan.model.catalog import Catalog, Condition, Job, Kind, Offer, Part, Recipe, Supplier
from costplan.model.demo_shelf import DEMO, demo_folder, is_demos, left_out
from costplan.model.experience import repriced
from costplan.model.hour_factors import HourFactor
from costplan.model.labor import Crew, JobCharge, Task
from costplan.model.mistakes import misread_words, mistakes_in
from costplan.model.offers import COLUMNS, REQUIRED, check_offers
from costplan.model.other_files import OTHER_SORT, another_file
from costplan.model.partly import sound_sections
from costplan.model.quoted import quotes_only
from costplan.model.shop import Shop

Model = TypeVar("Model", bound=Entry)


class PartsFile(Entry):
    """parts.yaml: what things are, whoever sells them."""

    parts: list[Part]
    """The parts."""


class KindsFile(Entry):
    """kinds.yaml: the kinds of parts."""

    kinds: list[Kind]
    """The kinds."""


class SuppliersFile(Entry):
    """suppliers.yaml: who sells parts."""

    suppliers: list[Supplier]
    """The suppliers."""


class LaborFile(Entry):
    """labor.yaml: the tasks and who does them."""

    tasks: list[Task]
    """The tasks."""
    crews: list[Crew]
    """The crews."""
    charges: list[JobCharge] = Field([])
    """Money that work costs besides hours and parts; recipes name them."""
    hour_factors: dict[str, HourFactor] = Field({})
    """What makes work slower, by name; places and routes of the shop file name them."""


class RecipesFile(Entry):
    """recipes.yaml: which parts and tasks a piece of work takes."""

    recipes: dict[str, Recipe]
    """The recipes, by the name of the work."""


class JobsFile(Entry):
    """jobs.yaml: what finished jobs took; a catalog need not have one."""

    jobs: list[Job]
    """The jobs."""


CATALOG_FILES: dict[str, type[Entry]] = {
    "parts.yaml": PartsFile,
    "kinds.yaml": KindsFile,
    "suppliers.yaml": SuppliersFile,
    "labor.yaml": LaborFile,
    "recipes.yaml": RecipesFile,
}
OFFERS_FILE = "offers.csv"
JOBS_FILE = "jobs.yaml"


@dataclass(frozen=True, slots=True)
class LoadedShop:
    """A shop file, read: `shop` is None when there is an error among the problems.

    `sections` are then those that could be read, and `named` the files that it names as far as they can be made out.
    """

    shop: Shop | None
    places: Places
    path: Path
    problems: tuple[Problem, ...] = ()
    sections: Mapping[str, object] = field(default_factory=dict)
    named: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class LoadedCatalog:
    """A catalog folder, read: `catalog` is None when there is an error among the problems.

    `sections` are then the lists that could be read.
    """

    catalog: Catalog | None
    places: dict[str, Places]
    offers: Table | None
    folder: Path
    problems: tuple[Problem, ...] = ()
    sections: Mapping[str, object] = field(default_factory=dict)


def place_in_file(name: str, line: int) -> str:
    """A line of a file, as reports show it: `offers.csv:31`."""
    return f"{name}:{line}" if line else name


def load_shop(path: Path) -> tuple[Shop | None, list[Problem]]:
    """The shop of a file and what is wrong with it; None when it cannot be used."""
    loaded = load_shop_with_places(path)
    return loaded.shop, list(loaded.problems)


def load_catalog(folder: Path) -> tuple[Catalog | None, list[Problem]]:
    """The catalog of a folder and what is wrong with it; None when it cannot be used."""
    loaded = load_catalog_with_places(folder)
    return loaded.catalog, list(loaded.problems)


def load_shop_with_places(path: Path) -> LoadedShop:
    """As `load_shop`, with the place of everything for messages and traces."""
    return shop_from(read_yaml(path), path)


def shop_from(file: YamlFile, path: Path) -> LoadedShop:
    """The shop that a file's text says, as `load_shop_with_places` gives it."""
    read = read_entry(file, Shop)
    return LoadedShop(read.entry, read.places, path, read.problems, read.sections, _named(file))


def load_catalog_with_places(folder: Path) -> LoadedCatalog:
    """As `load_catalog`, with the place of everything for messages and traces."""
    what = _no_folder(folder)
    if what:
        mend = f"a catalog is a folder with {', '.join(CATALOG_FILES)} and {OFFERS_FILE}"
        problem = Problem("catalog-missing", At(str(folder)), "", what, mend)
        return LoadedCatalog(None, {}, None, folder, (problem,))
    names = [*CATALOG_FILES, *([JOBS_FILE] if (folder / JOBS_FILE).exists() else [])]
    read = {name: read_entry(read_yaml(folder / name), CATALOG_FILES.get(name, JobsFile)) for name in names}
    return catalog_from(read, read_table(folder / OFFERS_FILE, COLUMNS, REQUIRED), folder)


def catalog_from(read: Mapping[str, "ReadEntry[Entry]"], table: Table, folder: Path) -> LoadedCatalog:
    """The catalog that its files say, as `load_catalog_with_places` gives it."""
    places = {name: file.places for name, file in read.items()}
    parts = read["parts.yaml"].entry
    part_ids = {part.id for part in parts.parts} if isinstance(parts, PartsFile) else set()
    offers, found = check_offers(table, part_ids)
    of_table = [*table.problems, *found]
    problems = [*(problem for file in read.values() for problem in file.problems), *of_table]
    if not errors_of(problems):
        entries = {name: file.entry for name, file in read.items()}
        return LoadedCatalog(_catalog(entries, places, offers), places, table, folder, tuple(problems))
    sections = {name: value for file in read.values() for name, value in file.sections.items()}
    sections |= {} if errors_of(of_table) else {"offers": offers}
    return LoadedCatalog(None, places, table, folder, tuple(problems), sections)


def _no_folder(folder: Path) -> str:
    """Why no catalog can be read from there; empty when it is a folder that may be looked into."""
    try:
        if folder.is_dir():
            with scandir(folder):
                return ""
        return "is a file, not a folder" if folder.exists() else "there is no such folder"
    except (OSError, ValueError) as error:
        return f"cannot be read: {error.strerror if isinstance(error, OSError) else error}"


def catalog_of(shop: LoadedShop, chosen: Path | None = None) -> LoadedCatalog:
    """The catalog a shop is reckoned with: the chosen one, else that which the shop file names, else what may stand for it.

    A shop of nothing but quotes needs none. A shop that is marked as invented has the demo's where it names none; of any
    other shop that is a mistake, since invented prices would pass for its own.
    """
    if chosen is not None:
        return _demo() if str(chosen) == DEMO and not chosen.exists() else _of_folder(shop, chosen)
    if shop.shop is None:
        return _named_in(shop)
    named = shop.shop.catalog
    if named is None and quotes_only(shop.shop):
        return _no_catalog(shop)
    if named is None and not shop.shop.invented:
        return _not_named(
            shop, "catalog-unnamed", "names no folder, so there are no prices", _NAME_IT, key=True
        )
    if named in (None, DEMO):
        beside = shop.path.parent / DEMO
        if named is None or not beside.exists():
            return _demo()
        message = f'is the word for the shipped demo catalog, but "{beside}" is there too'
        mend = "write ./demo for the folder, or give the folder another name"
        return _not_named(shop, "catalog-two-meanings", message, mend)
    return _of_folder(shop, near(shop.path.parent / str(named)))


def _named_in(shop: LoadedShop) -> LoadedCatalog:
    """The catalog named in a shop file that cannot be made out; none where it names none."""
    named = shop.named.get("catalog")
    if named is None:
        return LoadedCatalog(None, {}, None, shop.path.parent)
    return _demo() if named == DEMO else _of_folder(shop, near(shop.path.parent / named))


_NAME_IT = (
    "write catalog: FOLDER (costplan catalog copy FOLDER makes one to put your prices in), or catalog: demo to see "
    "the invented prices of the shipped demo"
)


def near(path: Path) -> Path:
    """The path without detours, from here when it lies below here."""
    plain = Path(os.path.normpath(path))
    here = Path.cwd()
    return plain.relative_to(here) if plain.is_relative_to(here) else plain


def _demo() -> LoadedCatalog:
    """The shipped demo's catalog, its shelf left out."""
    loaded = load_catalog_with_places(near(demo_folder()))
    if loaded.catalog is None:
        return loaded
    offers = [offer for offer in loaded.catalog.offers if offer.condition is not Condition.ON_HAND]
    catalog = loaded.catalog.model_copy(update={"offers": offers, "invented": True})
    return replace(loaded, catalog=catalog)


def _of_folder(shop: LoadedShop, folder: Path) -> LoadedCatalog:
    """The catalog of a folder; in a shop that is not invented without what lies on the shelf of the demo."""
    invented = shop.shop is not None and shop.shop.invented is True
    if not invented and folder.resolve() == demo_folder().resolve():
        return _demo()
    loaded = load_catalog_with_places(folder)
    if shop.shop is None or invented or loaded.catalog is None or loaded.offers is None:
        return loaded
    foreign = [offer for offer in loaded.catalog.offers if is_demos(offer)]
    if not foreign:
        return loaded
    own = [offer for offer in loaded.catalog.offers if not is_demos(offer)]
    asked = [left_out(offer, loaded.offers) for offer in foreign]
    catalog = loaded.catalog.model_copy(update={"offers": own})
    return replace(loaded, catalog=catalog, problems=(*loaded.problems, *asked))


def _not_named(shop: LoadedShop, code: str, message: str, mend: str, *, key: bool = False) -> LoadedCatalog:
    problem = shop.places.problem(code, ("catalog",), message, mend, key=key)
    return LoadedCatalog(None, {}, None, shop.path.parent, (problem,))


def _no_catalog(shop: LoadedShop) -> LoadedCatalog:
    path = str(shop.path)
    catalog = Catalog(parts=[], kinds=[], suppliers=[], tasks=[], crews=[], recipes={}, offers=[])
    places = {name: Places(path) for name in CATALOG_FILES}
    return LoadedCatalog(catalog, places, Table(path, (), {}, (), {}, 2, ()), shop.path.parent)


def _catalog(read: Mapping[str, Entry | None], places: dict[str, Places], offers: Sequence[Offer]) -> Catalog:
    lists = {
        name: getattr(file, name)
        for file in read.values()
        if file is not None
        for name in type(file).model_fields
    }
    jobs: list[Job] = lists.get("jobs", [])
    traces = [
        [place_of(places[JOBS_FILE], ("jobs", number, "prices", index)) for index in range(len(job.prices))]
        for number, job in enumerate(jobs)
    ]
    offers, paid = repriced(offers, jobs, traces)
    # All of it is validated already; validating 10,000 offers again would take longer than reading them.
    return Catalog.model_construct(**lists, offers=offers, paid=paid)


@dataclass(frozen=True, slots=True)
class ReadEntry(Generic[Model]):
    """A YAML file as an entry of its model, which is None when there is an error; then `sections` is what is sound."""

    entry: Model | None
    places: Places
    problems: tuple[Problem, ...]
    sections: Mapping[str, object]


def read_entry(file: YamlFile, model: type[Model]) -> ReadEntry[Model]:
    """What a YAML file says, and what of it is sound where some is wrong."""
    entry, places, problems = entry_of(file, model)
    if entry is not None:
        sections = {name: getattr(entry, name) for name in type(entry).model_fields}
    else:
        data = None if any(problem.code == OTHER_SORT for problem in problems) else file.data
        sections = sound_sections(model, data, _wrong_sections(places, problems))
    return ReadEntry(entry, places, tuple(problems), sections)


def _wrong_sections(places: Places, problems: Sequence[Problem]) -> set[str]:
    """The words at the top of a file under which there are errors."""
    tops = sorted(
        (place.key_line, place.key_column, str(trail[0]))
        for trail, place in places.by_trail.items()
        if len(trail) == 1
    )
    found = set()
    for problem in errors_of(problems):
        above = [
            word for line, column, word in tops if (line, column) <= (problem.at.line, problem.at.column)
        ]
        found |= set(above[-1:])
    return found


_NAMES_A_FILE = re.compile(r"(catalog|bids_file): *[\"']?([^\s\"'#]+)[\"']? *(?:#.*)?")


def _named(file: YamlFile) -> dict[str, str]:
    """The files that a shop file names, also where the rest of it cannot be read."""
    if file.data is not None:
        said = {word: file.data.get(word) for word in ("catalog", "bids_file")}
        return {word: name for word, name in said.items() if isinstance(name, str) and name}
    found = [match for line in file.places.lines if (match := _NAMES_A_FILE.fullmatch(line))]
    return {match[1]: match[2] for match in found}


def entry_of(file: YamlFile, model: type[Model]) -> tuple[Model | None, Places, list[Problem]]:
    """What a YAML file says, as an entry of the model, its places, and what is wrong with it.

    The entry is None when there is an error among the problems.
    """
    problems = list(file.problems)
    if file.data is None:
        return None, file.places, problems
    other = another_file(file, model)
    if other is not None:
        return None, file.places, [other]
    try:
        entry = model.model_validate(file.data, by_alias=True, by_name=False)
    except ValidationError as error:
        return None, file.places, problems + mistakes_in(error, model, file.places)
    problems += misread_words(entry, file.data, file.places)
    return (None if errors_of(problems) else entry), file.places, problems
