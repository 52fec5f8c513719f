"""Papers ask a thing once, with everybody named of whom it is asked; and nothing that was found is lost on the way."""

from functools import cache
from pathlib import Path

import pytest
from shipped_shops import demo_catalog

from costplan.circuits.facts import Facts
from costplan.files.shipped import shipped
from costplan.model.loading import load_shop
from costplan.program.bench import Bench
from costplan.program.ranking import best_plans
from costplan.reports.noted import Line, Noted, noted
from costplan.reports.remarks import Topic, Whom
from costplan.reports.remarks_text import asked_words

SMALL = Path(__file__).parents[1] / "shops" / "asked.yaml"
BARGAIN = shipped("examples") / "bargain" / "shop.yaml"


@cache
def found(path: Path) -> tuple[Noted, ...]:
    shop, problems = load_shop(path)
    assert shop is not None, problems
    catalog = demo_catalog()
    facts = Facts(shop, catalog)
    return noted(facts, best_plans(Bench.over(facts, shop.money.surplus), 1)[0])


@pytest.mark.parametrize(("path", "asked"), [(SMALL, 128), (BARGAIN, 58)], ids=["small", "bargain"])
def test_every_name_of_every_question_stands_in_it(path: Path, asked: int) -> None:
    """So many questions of a machine, a panel or the whole shop, each counted apart, are in so many fewer sentences."""
    counted = 0
    for entry in found(path):
        for line in entry.about:
            assert (line.name if isinstance(line, Line) else line) in entry.whose
            assert not isinstance(line, Line) or line.more in entry.whose
        counted += len(entry.remark.asks) * max(len(entry.about), 1)
    assert counted == asked


@pytest.mark.parametrize("path", [SMALL, BARGAIN], ids=["small", "bargain"])
def test_no_question_stands_twice_and_no_machine_is_asked_twice_what_disconnects_it(path: Path) -> None:
    for whom in Whom:
        words = asked_words(found(path), whom)
        assert len(set(words)) == len(words)
    of_disconnects = [
        (line.name if isinstance(line, Line) else line)
        for entry in found(path)
        if any("(disconnected_by)" in ask.text for ask in entry.remark.asks if ask.of is Whom.OWNER)
        for line in entry.about
    ]
    assert len(set(of_disconnects)) == len(of_disconnects) > 0


def test_machines_told_alike_share_what_is_said_of_them() -> None:
    alike = (Line("saw", "20 A"), "lathe", Line("jointer", "20 A"), Line("drill", "15 A"))
    assert Noted(Topic.OWN_CORD, alike).whose == "lathe; saw and jointer (20 A); drill (15 A)"
    assert Noted(Topic.OWN_CORD, (Line("saw", "20 A"), "lathe")).whose == "saw (20 A), lathe"
    # What is said of the saw alone is not read of the lathe.
    assert Noted(Topic.OWN_CORD, ("lathe", Line("saw", "20 A"))).whose == "lathe; saw (20 A)"
