"""The list of today's work in drawn shops: what is taken is freed by an earlier line, and nothing is left out."""

from collections import Counter
from dataclasses import replace

import pytest
from drawn_anew import Drawn, shop_of, shops
from hypothesis import given, settings
from soak import examples
from test_drives_anew import FREE_PANELS, motor, row_of, with_drives
from totals_anew import SHOPS, TINY, WIDE, read

from costplan.circuits.facts import Facts
from costplan.ledger.lines import LineKind
from costplan.ledger.steps import Act, Step
from costplan.model.catalog import Catalog
from costplan.model.choices import SurplusRule
from costplan.model.shop import Shop
from costplan.program.bench import Bench
from costplan.program.ranked import NoPlanError, Ranked
from costplan.program.ranking import best_plans
from costplan.reports.kept import DRIVE_NOTE, kept_text, tasks_data
from costplan.reports.own_shop import NOT_USED_AGAIN
from costplan.reports.shopping import list_of
from costplan.reports.shopping_text import shopping_text
from costplan.reports.work_draft import Phase
from costplan.reports.work_list import WorkList, work_list
from costplan.reports.work_words import ENDS
from costplan.studies.comparison import OutOfRanking

NAMES = sorted(path.stem for path in SHOPS.glob("*.yaml") if path.stem != "r7")
WIDEST = 100


def best(shop: Shop, catalog: Catalog) -> tuple[Facts, Ranked] | None:
    facts = Facts(shop, catalog)
    try:
        return facts, best_plans(Bench.over(facts, SurplusRule.ALLOWED), 1)[0]
    except NoPlanError:
        return None


def goes_elsewhere(step: Step) -> bool:
    """Whether a thing that a machine has goes to another, into another run, or onto the shelf."""
    if not step.source or step.act in (Act.MAKE_SAFE, Act.LEAVE_LIVE):
        return False
    return step.source != step.machine or step.out_of is not None or step.act is Act.BACK_TO_SHELF


def key(step: Step) -> tuple[Step, object, object]:
    return step, step.run, step.out_of


def check(facts: Facts, ranked: Ranked) -> WorkList:
    found = work_list(facts, ranked)
    numbers = [line.number for line in found.lines]
    assert numbers == list(range(1, len(numbers) + 1))
    phases = [list(Phase).index(line.phase) for line in found.lines]
    assert phases == sorted(phases)
    free: Counter[object] = Counter()
    for line in found.lines:
        if line.step is not None and goes_elsewhere(line.step):
            assert free[key(line.step)] > 0, line.words
        free.update(map(key, line.frees))
    done = Counter(key(line.step) for line in found.lines if line.step is not None)
    done.update(key(step) for line in found.lines for step in line.along)
    assert set(done.values()) <= {1}
    check_whole_cords(ranked)
    for line in ranked.lines:
        if line.kind is LineKind.LABOR and line.year == 0 and line.step is not None:
            doing = [
                entry for entry in found.lines if entry.step is not None and key(entry.step) == key(line.step)
            ]
            assert all(line.crew in entry.who for entry in doing), line
    for step in ranked.steps:
        if goes_elsewhere(step):
            assert free[key(step)] == 1, step
            # What a cord hangs from may stay where it hangs, so that nothing is done.
            assert done[key(step)] or step.kind == "kit", step
        elif step.act in (Act.MAKE_SAFE, Act.LEAVE_LIVE, Act.TAKE_FROM_SHELF):
            assert done[key(step)], step
        elif step.act is Act.BUY and not step.within:
            assert done[key(step)] or any(part.within == step.kind for part in ranked.steps), step
    return found


def check_whole_cords(ranked: Ranked) -> None:
    """Neither end of a cord that changes hands whole goes anywhere else, and none is put on it."""
    for step in ranked.steps:
        if step.whole and step.source:
            assert not any(end.kind in ENDS and end.source == step.source for end in ranked.steps), step
            got = [end for end in ranked.steps if end.machine == step.machine and end.kind in ENDS]
            assert all(end.act is Act.BACK_TO_SHELF for end in got), step


def check_machines(facts: Facts, found: WorkList) -> None:
    """Who has something done is plugged in once; who only keeps is in no line."""
    plugged = Counter(line.machine for line in found.lines if line.words.startswith("plug "))
    for machine in facts.shop.machines:
        assert plugged[machine.name] == (machine.name not in found.kept), machine.name
        assert (machine.name in found.kept) <= (machine.name not in {line.machine for line in found.lines})


def check_text(facts: Facts, ranked: Ranked, found: WorkList) -> None:
    assert shopping_text(list_of(facts, ranked))
    text = kept_text(facts, ranked)
    assert max(map(len, text.splitlines()), default=0) <= WIDEST
    data = tasks_data(facts, ranked)
    assert [entry["words"] for entry in data if entry["number"]] == [line.words for line in found.lines]
    told = sum(entry["act"] is not None for entry in data)
    assert told == len({key(step) for step in ranked.steps})


@settings(max_examples=examples(12))
@given(shops())
def test_what_is_put_in_was_freed_before(drawn: Drawn) -> None:
    known = best(shop_of(drawn.row()), WIDE)
    if known is None:
        return
    found = check(*known)
    check_machines(known[0], found)
    check_text(*known, found)


@pytest.mark.parametrize("name", NAMES)
def test_what_is_put_in_was_freed_before_in_the_worked_shops(name: str) -> None:
    known = best(read(name), TINY)
    assert known is not None
    found = check(*known)
    check_machines(known[0], found)
    check_text(*known, found)


def drives_change_machines() -> tuple[Facts, Ranked]:
    """Two machines change places; their drives stay with the outlets, and so change machines."""
    machines = [
        motor("mill", 3, "B", "NEMA 6-30", "large", had_at="A"),
        motor("lathe", 3, "A", "NEMA 6-20", "small", had_at="B"),
    ]
    known = best(Shop.model_validate(row_of(machines, [], [], FREE_PANELS)), with_drives())
    assert known is not None
    return known


def test_a_drive_is_fitted_where_its_machine_stands_by_then() -> None:
    found = check(*drives_change_machines())
    in_turn = (
        "unplug",
        "take the drive",
        "set the",
        "lathe stands",
        "fit",
        "change the plug",
        "test",
        "plug",
    )
    first = [min(line.number for line in found.lines if line.words.startswith(begins)) for begins in in_turn]
    assert first == sorted(first)
    off = {line.machine: line.place for line in found.lines if line.words.startswith("take the drive")}
    assert off == {"mill": "A", "lathe": "B"}
    last_moved = max(line.number for line in found.lines if "stands at" in line.words)
    assert last_moved < min(line.number for line in found.lines if line.words.startswith("fit"))


def test_the_plug_of_a_machine_behind_a_drive_is_on_the_drive_s_line_cord() -> None:
    facts, ranked = drives_change_machines()
    plugs = [line.words for line in work_list(facts, ranked).lines if line.words.startswith("change the")]
    assert plugs == [
        "change the plug on the line cord of the lathe's drive, at least 10 AWG, to NEMA 6-30, bought",
        "change the plug on the line cord of the mill's drive, at least 12 AWG, to NEMA 6-20, bought",
    ]
    assert " ".join(kept_text(facts, ranked).split()).count(DRIVE_NOTE) == 1


def test_a_way_that_a_rule_refuses_is_no_question_for_a_supplier() -> None:
    refused = OutOfRanking(
        "mill", "drive, cord", "drive, cord", None, "a rule", incomplete=True, refused=True
    )
    asked = [refused, replace(refused, refused=False, reason="no price")]
    whys = [question.what for question in list_of(*drives_change_machines(), out=asked).questions]
    assert "a rule" not in whys
    assert "no price" in whys


def test_the_old_plugs_of_machines_are_to_keep_or_discard() -> None:
    assert [thing.cells for thing in list_of(*drives_change_machines()).returned] == [
        ("1", f"plug NEMA 6-20, {NOT_USED_AGAIN}", "the lathe"),
        ("1", f"plug NEMA 6-30, {NOT_USED_AGAIN}", "the mill"),
    ]
