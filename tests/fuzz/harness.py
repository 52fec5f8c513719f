"""Shops loaded and compared in process, with the oracle: a result, problems, or no plan, and nothing else, in bounded time."""

import random
import re
import signal
import traceback
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from mutations import damaged, mutated

from costplan.checks.checks import check_shop, pair_of
from costplan.circuits.facts import Facts
from costplan.cli.screen import visible
from costplan.files.csv_reader import Table, parse_table, read_table
from costplan.files.problems import as_dicts, errors_of, render_text
from costplan.files.yaml_reader import YamlFile, parse_yaml, read_yaml
from costplan.ledger.holding import UnknownWordsError
from costplan.model.base import Entry
from costplan.model.loading import (
    CATALOG_FILES,
    JOBS_FILE,
    OFFERS_FILE,
    JobsFile,
    LoadedCatalog,
    LoadedShop,
    ReadEntry,
    catalog_from,
    read_entry,
)
from costplan.model.money import TooLargeError
from costplan.model.offers import COLUMNS, REQUIRED
from costplan.model.shop import Shop
from costplan.program.ranked import NoPlanError
from costplan.reports.data import comparison_data, lines_csv
from costplan.reports.data_text import json_text
from costplan.reports.first_screen import first_screen
from costplan.reports.noted import noted_before
from costplan.reports.remarks_text import before_text
from costplan.reports.scope import scope_sheet
from costplan.reports.scope_text import scope_text
from costplan.reports.shopping import shopping_list
from costplan.reports.shopping_text import shopping_csv, shopping_text
from costplan.reports.sizes import sizes_text
from costplan.reports.terminal import comparison_text
from costplan.studies.bid_choice import compare_with_bids
from costplan.studies.comparison import Comparison
from costplan.studies.left_out import asked_of_check
from costplan.studies.wanted import Wanted

SHOP_FILE = "shop.yaml"
MODELS: Mapping[str, type[Entry]] = {SHOP_FILE: Shop, **CATALOG_FILES, JOBS_FILE: JobsFile}
STEERS = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\u200b-\u200f\u202a-\u202e\u2066-\u2069\ufeff]")
"""What no output may hold: controls but tabs and line ends, other line ends, and marks that turn or hide writing."""
LONGEST_LINE = 2_000
"""Whatever a file holds, no line about a problem is longer; the longest today is a list of all recipes."""
LOAD_SECONDS = 5.0
COMPARE_SECONDS = 60.0
"""Seconds of processor time after which a case counts as a hang; the usual case takes a thousandth."""


class HangError(Exception):
    """A case took longer than it may."""


@dataclass(frozen=True)
class Base:
    """A sound shop whose files are mutated, each text read once."""

    name: str
    texts: Mapping[str, str]
    parsed: Mapping[str, YamlFile] = field(repr=False)
    read: Mapping[str, ReadEntry[Entry]] = field(repr=False)
    table: Table = field(repr=False)


@dataclass(frozen=True)
class Case:
    """One file of a base as somebody might have written it: `content` is text, bytes, or the values of a read file."""

    base: Base
    file: str
    content: Any

    def table(self) -> Table:
        """The offers, read anew where they are what changed."""
        if self.file != OFFERS_FILE:
            return self.base.table
        if isinstance(self.content, bytes):
            return _through_a_file(self.content, lambda path: read_table(path, COLUMNS, REQUIRED))
        return parse_table(self.content, self.file, COLUMNS, REQUIRED)

    def read(self) -> Mapping[str, ReadEntry[Entry]]:
        """All YAML files, the changed one read anew."""
        if self.file == OFFERS_FILE:
            return self.base.read
        return {**self.base.read, self.file: read_entry(self._yaml(), MODELS[self.file])}

    def _yaml(self) -> YamlFile:
        if isinstance(self.content, bytes):
            return _through_a_file(self.content, read_yaml)
        if isinstance(self.content, str):
            return parse_yaml(self.content, self.file)
        return YamlFile(self.content, self.base.parsed[self.file].places, ())

    def told(self) -> str:
        """How to make the case again."""
        return f"{self.base.name}, {self.file}:\n{self.content!r}"


def _through_a_file(content: bytes, read: Any) -> Any:
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "file"
        path.write_bytes(content)
        return read(path)


def base_of(name: str, shop: str, catalog: Mapping[str, str]) -> Base:
    """A base from the texts of its files; `catalog` by file name."""
    texts = {**catalog, SHOP_FILE: shop}
    parsed = {file: parse_yaml(text, file) for file, text in texts.items() if file != OFFERS_FILE}
    read = {file: read_entry(yaml, MODELS[file]) for file, yaml in parsed.items()}
    return Base(name, texts, parsed, read, parse_table(texts[OFFERS_FILE], OFFERS_FILE, COLUMNS, REQUIRED))


def a_case(base: Base, rng: random.Random, file: str | None = None, by_value: float = 0.7) -> Case:
    """A case drawn: half of the time of the shop file, `by_value` of all by value, the rest by text."""
    file = file or (
        SHOP_FILE if rng.random() < 0.5 else rng.choice([name for name in base.texts if name != SHOP_FILE])
    )
    times = rng.choice([1, 1, 1, 2, 3])
    if file != OFFERS_FILE and rng.random() < by_value:
        return Case(base, file, mutated(base.parsed[file].data, MODELS[file], rng, times))
    return Case(base, file, damaged(base.texts[file], rng, times))


@dataclass(frozen=True)
class Loaded:
    """A case as the commands load it."""

    shop: LoadedShop
    catalog: LoadedCatalog
    text: str
    sound: bool


def load(case: Case) -> Loaded:
    """Load a case as the commands do. Raises what they would end with as a defect, AssertionError where the oracle fails."""
    with within(LOAD_SECONDS):
        read = case.read()
        of_shop = read[SHOP_FILE]
        shop = LoadedShop(of_shop.entry, of_shop.places, Path(SHOP_FILE), of_shop.problems, of_shop.sections)
        of_catalog = {name: file for name, file in read.items() if name != SHOP_FILE}
        catalog = catalog_from(of_catalog, case.table(), Path())
        problems = [*shop.problems, *catalog.problems, *check_shop(shop, catalog)]
        text = render_text(problems)
        json_text(as_dicts(problems))
    sound = not errors_of(problems)
    assert (shop.shop is None) == bool(errors_of(shop.problems))
    assert (catalog.catalog is None) == bool(errors_of(catalog.problems))
    unmended = [problem for problem in problems if not problem.mend or not problem.message]
    assert not unmended, f"nothing says how to mend {unmended[0].code}: {unmended[0].message}"
    _is_for_people(text)
    return Loaded(shop, catalog, text, sound)


def compare(loaded: Loaded) -> str:
    """Which end a sound case comes to: `plan`, `no plan`, `too large`, `unknown words`; every text of it is looked at."""
    assert loaded.shop.shop is not None
    assert loaded.catalog.catalog is not None
    pair = pair_of(loaded.shop, loaded.catalog)
    assert pair is not None
    with within(COMPARE_SECONDS):
        facts = Facts(loaded.shop.shop, loaded.catalog.catalog)
        _is_for_people(render_text(asked_of_check(pair, facts, [])))
        _is_for_people(before_text(noted_before(facts)))
        _is_for_people(sizes_text(facts, None))
        try:
            comparison = compare_with_bids(
                facts, (), Wanted(plans=2, strategies=True, layouts=True, seconds=20)
            )
        except NoPlanError as error:
            _has_reasons(error.reasons)
            _is_for_people("\n".join(error.reasons))
            return "no plan"
        except TooLargeError as error:
            _is_for_people(str(error))
            return "too large"
        except UnknownWordsError as error:
            _has_reasons(error.reasons)
            return "unknown words"
        for text in _papers(comparison):
            _is_for_people(text)
    return "plan"


def _papers(comparison: Comparison) -> Iterator[str]:
    yield comparison_text(comparison, rank=1)
    yield _one_screen(first_screen(comparison))
    yield json_text(comparison_data(comparison))
    yield lines_csv(comparison)
    shopping = shopping_list(comparison, 1)
    yield shopping_text(shopping)
    yield shopping_csv(shopping)
    yield scope_text(scope_sheet(comparison, 1))


def _one_screen(text: str) -> str:
    """The first screen, which fits on a terminal of 24 rows and 80 columns, and begins with the answer."""
    lines = text.splitlines()
    assert len(lines) < 24, f"{len(lines)} rows"
    assert max(map(len, lines)) <= 80, max(lines, key=len)
    assert re.match(r"(Without |Over \d+ years the best )", lines[0]), lines[0]
    return text


def _has_reasons(reasons: Sequence[str]) -> None:
    assert all(reasons), "a reason is blank"
    assert reasons, "no reason is given"


def _is_for_people(text: str) -> None:
    shown = visible(text)
    found = STEERS.search(shown)
    assert found is None, f"{found!r} reaches the screen"
    long = next((line for line in text.splitlines() if len(line) > LONGEST_LINE * 100), None)
    assert long is None, f"a line of {len(long or '')} characters: {(long or '')[:200]}"


@contextmanager
def within(seconds: float) -> Iterator[None]:
    """Raise HangError where the work takes more processor time."""

    def late(*_: object) -> None:
        raise HangError(f"took more than {seconds} s")

    before = signal.signal(signal.SIGPROF, late)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


def signature(error: BaseException) -> str:
    """What tells one failure from another: the sort of error and the innermost places of ours."""
    frames = [frame for frame in traceback.extract_tb(error.__traceback__) if "costplan" in frame.filename]
    places = [f"{Path(frame.filename).name}:{frame.lineno} {frame.name}" for frame in frames[-2:]]
    said = str(error).partition(":")[0][:80] if isinstance(error, AssertionError) else ""
    return f"{type(error).__name__} at {' < '.join(reversed(places))} {said}".rstrip()
