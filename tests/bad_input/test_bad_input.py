"""What a user sees for each mistake, word for word. COSTPLAN_REWRITE=1 writes the expected texts anew."""

import os
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

sys.path.insert(0, str(Path(__file__).parent))
from cases import CASES as OTHER_CASES
from cases import GOOD as OTHER_GOOD
from changes import Changed
from money_cases import MONEY_CASES, MONEY_GOOD
from small_shop import FILES, write_small_shop
from workday_cases import WORKDAY_CASES, WORKDAY_GOOD

from costplan.checks.checks import check_shop, pair_of
from costplan.circuits.as_it_stands import asked_as_it_stands
from costplan.circuits.facts import Facts
from costplan.files.problems import Problem, as_dicts, errors_of, in_order, render_text
from costplan.files.yaml_reader import parse_yaml
from costplan.model.loading import catalog_of, load_catalog_with_places, load_shop_with_places

CASES = {**OTHER_CASES, **MONEY_CASES, **WORKDAY_CASES}
GOOD = {**OTHER_GOOD, **MONEY_GOOD, **WORKDAY_GOOD}
EXPECTED = Path(__file__).parent / "expected"


def problems_of(folder: Path, changed: Changed, monkeypatch: pytest.MonkeyPatch) -> list[Problem]:
    write_small_shop(folder, changed)
    monkeypatch.chdir(folder)
    shop = load_shop_with_places(Path("garage.yaml"))
    # A shop file that cannot be used says nothing of its catalog, which is beside it here.
    catalog = catalog_of(shop, None if shop.shop is not None else Path("catalog"))
    found = [*shop.problems, *catalog.problems, *check_shop(shop, catalog)]
    pair = pair_of(shop, catalog)
    if pair is None or errors_of(found):
        return found
    return in_order([*found, *asked_as_it_stands(pair, Facts(pair.shop, pair.catalog))])


@pytest.mark.parametrize("case", CASES)
def test_mistake_is_explained_word_for_word(
    case: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shown = render_text(problems_of(tmp_path, CASES[case], monkeypatch)) + "\n"
    golden = EXPECTED / f"{case}.txt"
    if os.environ.get("COSTPLAN_REWRITE") == "1":
        golden.write_text(shown, encoding="utf-8")

    assert golden.read_text(encoding="utf-8") == shown


@pytest.mark.parametrize("case", CASES)
def test_mistake_is_found_with_its_place(case: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    problems = problems_of(tmp_path, CASES[case], monkeypatch)

    assert problems
    assert all(problem.at.path in FILES and problem.code and problem.message for problem in problems)
    assert all(problem.mend for problem in problems)
    assert len(as_dicts(problems)) == len(set(problems))


@pytest.mark.parametrize("case", GOOD)
def test_harmless_habits_are_accepted(case: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert render_text(problems_of(tmp_path, GOOD[case], monkeypatch)) == "no problems"


def test_every_expected_text_has_its_case() -> None:
    assert {path.stem for path in EXPECTED.glob("*.txt")} == set(CASES)


@given(st.binary(max_size=200), st.sampled_from(sorted(FILES)))
def test_random_bytes_are_answered_with_problems(
    tmp_path_factory: pytest.TempPathFactory, content: bytes, file: str
) -> None:
    folder = tmp_path_factory.mktemp("random")
    path = write_small_shop(folder, {file: content})
    shop = load_shop_with_places(path)
    catalog = load_catalog_with_places(folder / "catalog")

    assert errors_of([*shop.problems, *catalog.problems])


@given(st.data())
def test_damaged_files_never_raise(tmp_path_factory: pytest.TempPathFactory, data: st.DataObject) -> None:
    """A valid file with a piece overwritten is read, or explained; the text of either can be shown."""
    file = data.draw(st.sampled_from(sorted(FILES)))
    text = FILES[file]
    at = data.draw(st.integers(0, len(text)))
    gap = data.draw(st.integers(0, 12))
    piece = data.draw(
        st.text(st.sampled_from("0123456789:-[]{}#&*!|>'\"%@,.\t\n _abcNO½\u2028\x85"), max_size=8)
    )
    folder = tmp_path_factory.mktemp("damaged")
    path = write_small_shop(folder, {file: text[:at] + piece + text[at + gap :]})
    shop = load_shop_with_places(path)
    catalog = load_catalog_with_places(folder / "catalog")
    problems = [*shop.problems, *catalog.problems, *check_shop(shop, catalog)]

    assert (shop.shop is None) == bool(errors_of(shop.problems))
    assert (catalog.catalog is None) == bool(errors_of(catalog.problems))
    assert render_text(problems)


@given(st.text(max_size=80))
def test_random_text_as_yaml_never_raises(text: str) -> None:
    read = parse_yaml(text, "x.yaml")

    assert read.data is not None or read.problems
    assert render_text(read.problems)
