"""`costplan cautions`: all there are, those of a shop, and what it refuses."""

from command import TINY, costplan


def test_only_those_that_apply_are_printed_for_a_shop() -> None:
    mine = costplan("cautions", TINY)
    assert mine.returncode == 0, mine.stderr
    assert mine.stdout.startswith("Two-machine shed (invented), its best plan: cord: saw; wall drop: drill\n")
    assert "\npanel work [NEC 110.26(A)]\n  panel\n" in mine.stdout
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
    assert "table or json" in done.stderr
