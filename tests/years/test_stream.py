"""What a stream tells of its circuit by year: worked by hand on streams of a few lines; no source, these are definitions."""

from costplan.circuits.needs import NOTHING, Item, Return, StockNeed, make_spec
from costplan.years.stream import TODAY, Date, End, Given, Standing, Stream, Use

OUTLET, PLUG, BREAKER, KIT = (Return(Item(make_spec(kind))) for kind in ("outlet", "plug", "breaker", "kit"))
SCENARIOS = ("calm", "busy")


def use(ends: Date | None = None, *, parted: tuple[tuple[Date, Return], ...] = ()) -> Use:
    """An outlet that is there today, of which the same becomes in both scenarios."""
    end = None if ends is None else End(ends, None)
    return Use(
        "",
        TODAY,
        "is there",
        StockNeed(OUTLET.item, NOTHING),
        tuple((name, end) for name in SCENARIOS),
        parted=tuple((name, date, left) for name in SCENARIOS for date, left in parted),
    )


def test_its_panel_is_that_of_the_last_change_until_it_is_gone() -> None:
    here, there, gone = Standing(0, "main", 2, 0), Standing(2, "sub", 2, 0), Standing(4, "", 0, 0)
    known = Stream((), (), standings={"calm": (here, there, gone)})

    assert [known.at("calm", year) for year in range(6)] == [here, here, there, there, None, None]
    assert known.at("busy", 0) is None


def test_it_is_changed_in_the_years_after_today_in_which_it_is_there_afterwards() -> None:
    standings = [Standing(0, "main", 2, 0), Standing(3, "sub", 2, 0), Standing(2, "sub", 2, 0)]
    known = Stream((), (), standings={"calm": (*standings, Standing(2, "main", 2, 0), Standing(4, "", 0, 0))})

    assert known.change_years("calm") == [2, 3]


def test_it_ends_today_when_its_end_is_in_year_0() -> None:
    ends: list[Date | None] = [None, (0, 0), (0, 1), (1, 0), (2, 0)]
    assert [use(end).ends_today for end in ends] == [False, True, True, False, False]


def test_what_is_set_free_today_is_counted_once_for_all_scenarios() -> None:
    """A kit today and one in year 2; of the outlet its plug comes out today and its breaker in year 1."""
    given = (Given("", TODAY, KIT), Given("calm", (2, 0), KIT))
    known = Stream((), (use(parted=(((0, 0), PLUG), ((1, 0), BREAKER))),), given)

    assert known.given_today() == [KIT, PLUG]
