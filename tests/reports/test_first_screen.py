"""The first screen is a budget: at most 23 rows of 80 characters, the answer first, and nothing lost without a word.

The smallest terminal has 24 rows of 80 columns (common practice, no source); one row is for the next prompt.
All shops are invented; the money of the tiny example is worked by hand in the README.
"""

import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from soak import fresh
from strategies import DRILL, SAW, make_catalog, make_shop

from costplan.circuits.facts import Facts
from costplan.files.visible import beginning
from costplan.model.loading import catalog_of, load_shop_with_places
from costplan.model.quotes import Strategy
from costplan.reports import first_tables
from costplan.reports.budget import filled_rows
from costplan.reports.first_screen import first_screen
from costplan.reports.parts import Part, parts_named
from costplan.reports.plan_tables import bill_text
from costplan.reports.rounded import in_steps
from costplan.reports.sure import in_draws, sure_in_short, sure_words
from costplan.reports.terminal import comparison_text
from costplan.reports.verdict_words import verdict
from costplan.studies.comparison import Comparison, compare
from costplan.studies.figures import figures
from costplan.studies.gaps import Closed, Threat
from costplan.studies.strategies import StrategyRow
from costplan.studies.turned import NOTHING_TURNED
from costplan.studies.wanted import Wanted

ROOT = Path(__file__).parents[2]
LONG = "a machine whose name nobody would write on its tag, since it is as long as a sentence and goes on"


@cache
def example(path: str) -> Comparison:
    loaded = load_shop_with_places(ROOT / path)
    catalog = catalog_of(loaded).catalog
    assert loaded.shop is not None
    assert catalog is not None
    return compare(Facts(loaded.shop, catalog))


def tiny() -> Comparison:
    return example("examples/tiny/shop.yaml")


@cache
def left_out() -> Comparison:
    """A shop of two machines and of nine that no panel can feed."""
    none = [
        SAW | {"name": f"{LONG} {number}", "volts": 480, "phases": 3, "at": "bench A"} for number in range(9)
    ]
    return compare(Facts(make_shop([SAW, DRILL, *none]), make_catalog()))


def many_strategies(found: Comparison) -> Comparison:
    """Twelve strategies: allowed, refused, incomplete in turn."""
    cell = found.matrix["cords", found.column]
    rows = []
    for number in range(12):
        strategy = Strategy(name=f"{number} {LONG}", ways={"*": "cord"})
        reason = LONG if number % 3 == 1 else ""
        rows.append(StrategyRow(strategy, dict.fromkeys(("new", "surplus"), cell), reason))
    drawn = dict.fromkeys((row.name for row in rows if not row.reason), found.sureness.pure[1])
    return replace(found, strategies=tuple(rows), sureness=replace(found.sureness, strategies=drawn))


def all_at_once() -> Comparison:
    """Whatever may be said of a shop, said of one: left out, incomplete, not proven, equal, closed, laid out, noted."""
    found = many_strategies(left_out())
    layouts = example("tests/shops/layouts.yaml").layouts
    plans = tuple(replace(plan, bound_cents=plan.bound_cents - 12_345) for plan in found.plans)
    return replace(
        found,
        plans=plans,
        sureness=replace(
            found.sureness,
            groups=(tuple(range(1, len(plans) + 1)),),
            layout_apart_cents={f"{row.name} {LONG}": 100 for row in layouts},
        ),
        layouts=tuple(replace(row, name=f"{row.name} {LONG}") for row in (*layouts, *layouts)),
        threat=Threat((("saw", "cord", LONG),), 100),
        closed=tuple(
            Closed(f"no price for {LONG} {n}", (("saw", "cord"), ("drill", "cord"))) for n in range(5)
        ),
        warnings=tuple(f"{LONG} {number}" for number in range(20)),
    )


def unproven() -> Comparison:
    found = tiny()
    return replace(found, plans=tuple(replace(p, bound_cents=p.bound_cents - 12_345) for p in found.plans))


def equal() -> Comparison:
    found = tiny()
    return replace(found, sureness=replace(found.sureness, groups=((1, 2), (3, 4))))


SHOPS = {
    "tiny": tiny,
    "bargain": lambda: example("examples/bargain/shop.yaml"),
    "layouts": lambda: example("tests/shops/layouts.yaml"),
    "left out": left_out,
    "strategies": lambda: many_strategies(tiny()),
    "not proven": unproven,
    "equal": equal,
    "all at once": all_at_once,
}
LARGE = ("demo", "school", "forty")
"""Examples that take a minute each, so their screens are measured where fresh shops are drawn only."""


def assert_one_screen(found: Comparison) -> None:
    for rank in range(1, len(found.plans) + 1):
        lines = first_screen(found, rank=rank).splitlines()
        assert len(lines) <= 23
        assert max(map(len, lines)) <= 80
        assert re.match(r"(Without .+|Over \d+ years the best )", lines[0])
        assert lines[-1].startswith("More: --show ")
        wide = first_screen(found, rank=rank, width=120).splitlines()
        assert len(wide) <= 23
        assert max(map(len, wide)) <= 120


@pytest.mark.parametrize("name", SHOPS)
def test_every_shop_is_answered_on_one_screen(name: str) -> None:
    assert_one_screen(SHOPS[name]())


@pytest.mark.skipif(not fresh(), reason="minutes of search")
@pytest.mark.parametrize("name", LARGE)
def test_every_large_example_is_answered_on_one_screen(name: str) -> None:
    assert_one_screen(example(f"examples/{name}/shop.yaml"))


# what is on it ---------------------------------------------------------------------------------------


def words(found: Comparison) -> str:
    return " ".join(first_screen(found).split())


def test_the_figures_of_the_tiny_example_are_those_worked_by_hand() -> None:
    """Saw by cord 450, drill by drop 345 today: parts 150 and 45, six hours at 100; the owner's hour costs nothing."""
    text = words(tiny())
    assert text.startswith("Over 4 years the best mix costs about USD 805 ±30 in today's money;")
    assert (
        "How sure: plan 1 was the cheapest of 4 in every draw; cords were cheaper than fixed drops in every"
        in text
    )
    assert "all by cord costs about USD 310 less than all by drop." in text
    for row in (
        "± in 8 of 10 draws, USD of today; no used parts ... all new cash today",
        r"fixed drops: wired to each spot 1,170 ±\d+ 710 ±\d+",
        r"cords from beside the panel 860 ±\d+ 870 ±\d+",
        r"best mix: each its cheapest way 805 ±\d+ 795 ±\d+",
    ):
        assert re.search(row, text)
    assert re.search(r"Contingency: \d+; \d+ covers 9 of 10", text)
    assert (
        "Today: about USD 795 in cash, 195 of it for parts, 1.0 hours of your own work, hired: electrician."
        in text
    )


@pytest.mark.parametrize(
    ("cents", "spread", "said"),
    [
        # one digit finer than the uncertainty: dollars below 100 of it, tens below 1,000, hundreds from there on
        (80_500, 1_471, "805"),
        (758_243, 86_937, "7,580"),
        (2_141_170, 210_841, "21,400"),
        (46_000, 418, "460.00"),
        (75_500, 10_000, "760"),
        (-7_050, 1_000, "-70"),
    ],
)
def test_totals_are_rounded_to_one_digit_finer_than_they_are_uncertain(
    cents: int, spread: int, said: str
) -> None:
    assert in_steps(cents, spread) == said


def test_what_no_figure_contains_is_said_with_its_reason_and_how_many_more() -> None:
    text = words(left_out())
    assert text.startswith("Without a machine whose name")
    assert "no panel feeds 480 V 3-phase" in text
    assert re.search(r"and \d+ more", text)


def test_time_that_ran_out_is_said_with_what_it_may_have_cost() -> None:
    text = words(unproven())
    assert (
        "Not proven: time ran out; another run, and so shopping and scope, may list another plan. Some plan may be cheaper "
        "than the best shown, by 123.45 at most." in " ".join(text.split())
    )
    assert "years the best mix found before time was over (not proven) costs about" in " ".join(
        text.split()[:20]
    )


def test_the_rate_that_turns_it_says_whose_it_is() -> None:
    """A pair's rate is that of two people, and a rate that no answer gave is invented where the prices are."""
    found = tiny()
    crew = found.best.plan.hiring.crew
    pair = crew.model_copy(update={"people": 2})
    asked = found.facts.shop.model_copy(update={"invented": "prices", "crews": [pair]})

    def note(facts: Facts) -> str:
        asked = figures(facts, found.best, found.plans[1:])
        return next(figure.note for figure in asked if figure.name == f"hourly rate of {crew.name}")

    assert note(found.facts) == "invented"
    assert note(Facts(asked, found.facts.catalog)) == "for its 2 people"


def test_where_a_pure_plan_is_not_proven_nothing_is_said_to_turn_it() -> None:
    """A total that is not proven may fall, so neither the winner nor its turning points are known."""
    found = tiny()
    fixed, cords = found.pure
    assert fixed.ranked is not None
    assert cords.ranked is not None
    for open_row, known in (("fixed drops", False), ("cords", True)):
        cell = {"fixed drops": fixed, "cords": cords}[open_row]
        assert cell.ranked is not None
        loose = replace(cell, ranked=replace(cell.ranked, bound_cents=80_000))
        matrix = {**found.matrix, (open_row, found.column): loose}
        text = words(replace(found, matrix=matrix, turned=NOTHING_TURNED, moves=None))
        assert "What could turn it: not known, since time ran out" in text
        # 860 is less than 1,170 whatever cords may still fall to; fixed drops may fall below it
        assert ("all by cord costs" in text) is known
        assert ("which of fixed drops and cords is cheaper is not proven" in text) is not known


def test_a_line_that_time_left_open_says_so() -> None:
    found = tiny()
    assert "not proven" not in bill_text(found.facts, found.best, 200)
    loose = replace(found.best, bound_cents=found.best.bound_cents - 1)
    assert "not proven" in bill_text(found.facts, loose, 200)


@pytest.mark.parametrize("name", ["tiny", "bargain", "layouts", "left out", "all at once"])
def test_no_screen_cuts_a_word(name: str) -> None:
    """Whatever stands before the dots is a whole word of the same screen printed without a limit of rows."""
    found = SHOPS[name]()
    whole = set(re.findall(r"[\w-]+", f"{comparison_text(found)} {found.best} {LONG}"))
    for line in first_screen(found).splitlines():
        for cut in re.findall(r"([\w-]+)(?: \.\.\.|\.\.\.)", line):
            assert cut in whole, line


@given(st.text("abc ,;", max_size=60), st.integers(8, 40))
def test_the_cutter_keeps_whole_words(text: str, room: int) -> None:
    said = beginning(text, room)
    assert len(said) <= max(room, len(text) if len(text) <= room else room)
    if said != text and said.endswith(" ..."):
        kept = said.removesuffix(" ...").split()
        assert kept == [word.rstrip(" ;,") for word in text.split()[: len(kept)]] or text.startswith(
            said.removesuffix(" ...")
        )
        after = text[len(said.removesuffix(" ...")) :]
        assert not after[:1].isalpha()


def test_the_cutter_at_a_word_that_is_too_long_by_itself() -> None:
    assert beginning("6 by armored cable", 14) == "6 ..."
    assert beginning("6 by armored cable", 16) == "6 by armored ..."
    assert beginning("unbreakable", 8) == "unbre..."
    assert filled_rows("one two three four", 1, 14) == ["one two ..."]


@pytest.mark.parametrize("room", range(24, 62))
def test_no_sum_is_announced_that_is_cut_off(room: int) -> None:
    """A figure that was cut off must not leave the words behind that lead to it."""
    said = beginning("The breaker lacks a test button; a new panel would cost about USD 12,000 more", room)
    assert not re.search(r"(would|cost|about|USD|more) \.\.\.$", said)
    assert len(said) <= room


def test_the_best_plan_names_its_first_eight_machines_and_counts_the_others(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    name = "big bench saw no. {}".format
    # A group of three counts as three.
    machines = [("cord", name(n), 1) for n in range(1, 12)] + [("cord", "3 lathes", 3)]
    monkeypatch.setattr(first_tables, "machines_by_way", lambda *_: machines)
    found = equal()
    rows = first_tables.rows_by_name(found, 80)
    said = " ".join(" ".join(first_tables.ways_by_name(found, rows, 80)).split())
    assert all(name(n) in said for n in range(1, 9))
    hidden = sum(name(n) not in said for n in range(9, 12)) + 3
    assert said.endswith(f"and {hidden} more machines: --show machines")
    assert rows <= 4


def test_equals_are_one_line_with_what_to_decide_on() -> None:
    text = first_screen(equal())
    assert re.search(r"^1 and 2 +about 55 apart +795 to 870 ", text, re.MULTILINE)
    assert "Plans 1 and 2 are too close to call" in text
    assert "decide on cash today, your own hours" in " ".join(text.split())


def test_an_incomplete_total_is_one_at_least_and_names_no_winner() -> None:
    catalog = make_catalog()
    offers = [offer for offer in catalog.offers if not offer.part.startswith("cord-")]
    found = compare(
        Facts(make_shop([SAW, DRILL]), catalog.model_copy(update={"offers": offers})), Wanted(plans=1)
    )
    assert_one_screen(found)
    text = words(found)
    assert "No verdict between fixed drops and cords" in text
    assert "cords from beside the panel at least " in text
    assert "best complete mix" in text


def test_even_with_everything_at_once_nothing_of_money_or_safety_is_lost() -> None:
    text = words(all_at_once())
    for said in (
        "Left out, in no figure: ",
        "Not proven: time ran out",
        "No winner is named",
        "too close to call",
        "! Missing: no price for",
        "more rows: --show totals",
        "Strategies: ",
        "Layouts (other arrangements you list): ",
        "Today: ",
        "a licensed electrician decide",
        "costplan cautions SHOP",
        "More: --show totals",
    ):
        assert said in text, said


# the parts -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("width", [40, 80, 120])
@pytest.mark.parametrize("name", ["tiny", "bargain", "layouts", "left out", "all at once"])
def test_no_part_is_wider_than_the_terminal(name: str, width: int) -> None:
    lines = comparison_text(SHOPS[name](), width=width).splitlines()
    assert max(map(len, lines)) <= width


@pytest.mark.parametrize("part", Part)
def test_a_part_alone_is_what_it_is_among_all_with_the_answer_last(part: Part) -> None:
    found = example("examples/bargain/shop.yaml")
    whole, alone = comparison_text(found), comparison_text(found, parts=[part])
    blocks = alone.rstrip("\n").split("\n\n")
    head, body, cautions, answer = blocks[0], blocks[1:-2], blocks[-2], blocks[-1]
    assert body, part
    assert "\n\n".join(body) in whole
    assert head.startswith(found.facts.shop.name)
    assert cautions.startswith("Cautions\n")
    assert verdict(found) in answer
    assert whole.endswith(f"{cautions}\n\n{answer}\n")


def test_parts_are_printed_in_their_order_each_once() -> None:
    assert parts_named("lines, buy,buy", Part) == (Part.BUY, Part.LINES)
    assert parts_named("all,buy", Part) == tuple(Part)
    with pytest.raises(ValueError, match=r'"bill": there is no such part; allowed: .*buy'):
        parts_named("buy,bill", Part)


def test_where_rows_are_few_how_sure_it_is_takes_one() -> None:
    two_rows, *_, longer, shorter = sure_in_short(example("examples/bargain/shop.yaml"))
    assert re.fullmatch(r"plan 1 cheapest in \d+ %, fixed drops below cords in all of 10,000 draws", longer)
    assert re.fullmatch(re.escape(longer) + r"; plan 1 takes \d+ to \d+ in 8 of 10, median \d+", two_rows)
    assert re.fullmatch(r"plan 1 leads in \d+ %, fixed drops in every draw", shorter)


def test_a_plan_that_is_cheapest_more_often_than_plan_1_is_named() -> None:
    """A mean may be lower where a plan is seldom the cheapest: shares as 23 % and 47 % of the draws."""
    found = tiny()
    chances = (0.23, 0.47, 0.2, 0.1)
    plans = tuple(
        replace(drawn, cheapest=share) for drawn, share in zip(found.sureness.plans, chances, strict=True)
    )
    other = replace(found, sureness=replace(found.sureness, plans=plans))
    assert "plan 2 most often, in 47 % of draws" in sure_words(other)[0]
    assert sure_in_short(other)[0].startswith("plan 1 cheapest in 23 % (plan 2 in 47 %), ")
    assert sure_in_short(other)[-1].startswith("plan 2 leads in 47 %, plan 1 in 23 %, ")
    assert "plan 2 most often, in 47 % of draws" in words(other)


@pytest.mark.parametrize(
    ("share", "said"),
    [
        (0, "no draw"),
        (1, "every draw"),
        (0.9999, "over 99 % of draws"),
        (0.0001, "under 1 % of draws"),
        (0.99, "99 % of draws"),
        (0.7634, "76 % of draws"),
    ],
)
def test_almost_always_is_not_always(share: float, said: str) -> None:
    assert in_draws(share) == said
