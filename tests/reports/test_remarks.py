"""The list of cautions and questions: complete, short, sourced, and never a verdict on what may be built."""

import re
from decimal import Decimal
from pathlib import Path

import pytest

from costplan.circuits.ground_fault import ground_fault
from costplan.circuits.size_types import Load, Rules
from costplan.model.choices import LoadKind, Occupancy
from costplan.reports.noted import Noted, beyond, gathered
from costplan.reports.remarks import At, Remark, Topic, Whom, all_remarks, remark
from costplan.reports.remarks_text import PLACES, all_data, all_text, asked_words, before_text, beside
from costplan.studies.protection_cost import EDITIONS

ROOT = Path(__file__).parents[2]
SHIPPED = (
    *(ROOT / "costplan").rglob("*.py"),
    *(ROOT / "costplan").rglob("*.yaml"),
    *(ROOT / "costplan").rglob("*.csv"),
    *(ROOT / "costplan").rglob("*.md"),
    *(ROOT / "costplan").rglob("*.j2"),
    *(ROOT / "catalogs").rglob("*.*"),
    *(ROOT / "examples").rglob("*.*"),
    *(ROOT / "tests" / "goldens").iterdir(),
    ROOT / "README.md",
    ROOT / "DEVELOPERS.md",
    ROOT / "CHANGELOG.md",
)


def test_every_topic_has_its_words_once() -> None:
    assert [entry.topic for entry in all_remarks()] == sorted(
        Topic, key=[entry.topic for entry in all_remarks()].index
    )
    assert len(all_remarks()) == len(Topic)


@pytest.mark.parametrize("entry", all_remarks(), ids=lambda entry: str(entry.topic))
def test_a_remark_is_short_and_full_and_says_where_it_is_from(entry: Remark) -> None:
    assert len(entry.short) <= 120
    assert entry.short.endswith(".") if entry.short else entry.asks
    assert not entry.work or entry.work.endswith(".")
    assert entry.full.endswith((".", "?"))
    assert "\n" not in entry.full
    assert entry.when
    assert not entry.when.endswith(".")
    assert entry.confirmation in {"page", "page in part", "from memory", "common practice, no source"}
    assert entry.section or entry.confirmation == "common practice, no source"
    assert all(ask.text.rstrip().endswith(("?", ".")) for ask in entry.asks)


def test_what_holds_for_every_plan_is_three_cautions_at_most() -> None:
    assert 1 <= sum(entry.at is At.END and bool(entry.short) for entry in all_remarks()) <= 3


def test_everybody_who_can_answer_is_asked_something() -> None:
    assert {ask.of for entry in all_remarks() for ask in entry.asks} == set(Whom)


def test_the_whole_list_has_every_place_topic_and_question() -> None:
    text, data = all_text(), all_data()
    for heading in PLACES.values():
        assert f"{heading}\n" in text
    assert [entry["topic"] for entry in data] == [str(entry.topic) for entry in all_remarks()]
    for entry in all_remarks():
        assert f"\n{entry.topic}" in text
        assert re.sub(r"\s+", " ", f"Said when {entry.when}.") in re.sub(r"\s+", " ", text)


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: str(path.relative_to(ROOT)))
def test_nothing_shipped_says_that_a_thing_is_within_the_law(path: Path) -> None:
    """costplan asks and flags; the local code and a licensed electrician decide."""
    if path.is_file() and path.suffix != ".xlsx":
        assert not re.search(r"\b(il)?legal(ly)?\b", path.read_text(encoding="utf-8"), re.IGNORECASE)


def test_a_topic_is_said_once_with_all_that_it_is_about() -> None:
    found = gathered(
        [(Topic.DIRECTORY, "b"), (Topic.STILL_CORD, "saw"), (Topic.DIRECTORY, "a"), (Topic.DIRECTORY, "b")]
    )
    assert found == (Noted(Topic.STILL_CORD, ("saw",)), Noted(Topic.DIRECTORY, ("b", "a")))
    other = (Noted(Topic.LOCKOUT), Noted(Topic.DIRECTORY, ("a", "c")))
    assert beyond(found, [other, other]) == (Noted(Topic.DIRECTORY, ("c",)), Noted(Topic.LOCKOUT))


def test_questions_go_to_whoever_can_answer_with_what_they_are_about() -> None:
    found = (Noted(Topic.INTERRUPTING_RATING, ("main panel",)), Noted(Topic.LEASE))
    assert beside(found, At.PANEL) == f"  - main panel: {remark(Topic.INTERRUPTING_RATING).short}"
    asked = asked_words(found, Whom.ELECTRICIAN)
    assert len(asked) == 1
    assert asked[0].startswith("main panel: What fault current")
    assert "electrician, about main panel: " in before_text(found)
    assert "landlord: May this wiring be put in" in before_text(found)
    assert before_text(()) == ""


@pytest.mark.parametrize("place", [True, False])
def test_the_editions_that_are_asked_about_are_those_that_differ(place: bool) -> None:
    """NFPA 70 210.8(B): 240 V receptacles of listed places from 2017; elsewhere no edition asks."""
    load = Load(240, 1, False, LoadKind.OTHER, None, None, False, None)
    readings = {ground_fault(load, "straight", 20, _rules(edition, place=place))[0] for edition in EDITIONS}
    assert readings == ({False, True} if place else {False})


def _rules(edition: int, *, place: bool) -> Rules:
    return Rules(edition, Occupancy.COMMERCIAL, place, Decimal("0.03"), Decimal(30))
