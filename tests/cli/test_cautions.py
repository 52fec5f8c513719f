"""`costplan cautions`: all there are, those of a shop, and what it refuses."""

import json

from command import TINY, costplan

KEYS = ("code", "severity", "path", "line", "column", "header", "field", "message", "mend")
"""Of a problem, as the README documents them."""


def test_only_those_that_apply_are_printed_for_a_shop() -> None:
    mine = costplan("cautions", TINY)
    assert mine.returncode == 0, mine.stderr
    assert mine.stdout.startswith("Two-machine shed (invented), its best plan: cord: saw; wall drop: drill\n")
    assert "\npanel work [NEC 110.26(A)]\n  panel (1 outlet and 1 cord beside it)\n" in mine.stdout
    for not_there in ("made leg", "drive", "replacement motor", "tandem breakers", "lease"):
        assert f"\n{not_there} [" not in mine.stdout
        assert f"\n{not_there} [" in costplan("cautions").stdout or not_there == "lease"


def test_a_catalog_or_a_layout_without_a_shop_is_a_mistake() -> None:
    done = costplan("cautions", "--catalog", "catalogs/demo")
    assert done.returncode == 2
    assert "name its file" in done.stderr


def test_rows_are_no_format_of_cautions() -> None:
    done = costplan("cautions", "--format", "csv")
    assert done.returncode == 2
    assert "'csv' is not one of" in done.stderr


def test_questions_known_before_a_plan_are_in_the_json_of_check() -> None:
    """Keys that were there stay; such a question has no place in a file, since nothing there is wrong."""
    found = json.loads(costplan("check", TINY, "--format", "json").stdout)
    asked = [entry for entry in found if entry["code"].startswith("ask-")]
    assert {entry["code"] for entry in asked} >= {"ask-load-unknown"}
    for entry in asked:
        assert set(entry) == {*KEYS}
        assert (entry["severity"], entry["path"], entry["line"]) == ("question", "", 0)
        assert entry["mend"].startswith("ask the ")
    told = " ".join(costplan("check", TINY).stdout.split())
    assert all(entry["message"] in told for entry in asked)
