"""The choice as one integer program: ways, stock, visits, and today's purchase.

Every cost coefficient is the rounded present value of the very line that is printed, so the program's
objective is the printed total to the cent.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from itertools import product
from operator import itemgetter

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Bundle, Need, Return, Spec
from costplan.circuits.outlets import place_of, same_run
from costplan.circuits.present import idle_outlets
from costplan.circuits.shelf import shelf
from costplan.circuits.things import Made
from costplan.circuits.ways import Way
from costplan.circuits.wear import life_choices
from costplan.ledger.aging import (
    begun,
    changes,
    follow,
    inner_uses,
    new_today,
    still_good,
    wear_on,
)
from costplan.ledger.options import Option, Survey
from costplan.ledger.plan import Lasting, Reused, Shared
from costplan.ledger.pricing import When
from costplan.ledger.serving import comes_out, in_order
from costplan.program.body import Body, Causes
from costplan.program.cord_rows import CordRows
from costplan.program.frame import Frame
from costplan.program.gear_rows import GearRows
from costplan.program.program import Gives, Program, Terms, add_terms
from costplan.program.stock import Stock, in_time, say
from costplan.sourcing.market import Market
from costplan.years.calendar import weights_of, years_of_wiring_out
from costplan.years.stream import Date, Trip, Use


def build_frame(
    facts: Facts,
    market: Market,
    survey: Survey,
    options: Mapping[str, Iterable[Option]],
    out_of_time: Callable[[], bool] = bool,
) -> Frame:
    """The program over these options, with today's purchase inside, for any way of hiring.

    What does not turn on the market is built once for a survey, under whatever rule its options are priced.
    Long cords make a stock for every length that may be left of them; where time is up before all is built, what is cut
    off cords is left out, and `Body.stock_rows` says so.
    """
    asked = {name: [(one.way, one.stream, one.count) for one in found] for name, found in options.items()}
    built_of = asked, survey.gear, {name: survey.change_years(name) for name in weights_of(facts.shop)}
    built: list[Body] = survey.bodies
    body = next((known for known in built if known.is_of(facts, built_of)), None)
    if body is None:
        try:
            body = _Builder(facts, survey, out_of_time).build(options, built_of)
        except _OutOfTimeError:
            body = _Builder(facts, survey, offcuts=False).build(options, built_of)
        built.append(body)
    return Frame.buying(body, facts, market)


class _OutOfTimeError(Exception):
    """Building takes longer than a run may."""


class _Builder:
    def __init__(
        self,
        facts: Facts,
        survey: Survey,
        out_of_time: Callable[[], bool] = bool,
        *,
        offcuts: bool = True,
    ) -> None:
        """offcuts: whether what is cut off cords is set free."""
        self.facts, self.survey = facts, survey
        self.out_of_time, self.offcuts = out_of_time, offcuts
        self.stock_rows: list[int] = []
        self.horizon = facts.shop.years
        self.weights = weights_of(facts.shop)
        self.wiring_out = years_of_wiring_out(facts.shop)
        self.program = Program()
        self.ways: dict[str, dict[Way, int]] = {}
        self.causes = Causes(self.program, {}, {})
        self.demand: dict[Need, Terms] = defaultdict(dict)
        self.asked: dict[tuple[str, Date], dict[Use, Terms]] = defaultdict(dict)
        self.stock: dict[tuple[str, Date, Return], Stock] = {}
        self.numbered_stock: dict[tuple[str, str], dict[Spec, list[tuple[int, Stock]]]] = defaultdict(
            lambda: defaultdict(list)
        )
        self.charged: dict[tuple[Bundle, When, Trip], Terms] = defaultdict(dict)
        self.dated: dict[tuple[str, int], When] = {}
        self.reuse: dict[int, Reused] = {}
        self.lasting: dict[int, Lasting] = {}
        self.shared: dict[int, Shared] = {}
        self.cords = CordRows(self.program, facts, self.causes.most, self._stock_of)
        self.spaces: dict[tuple[str, str, int], Terms] = defaultdict(dict)
        self.waiting: dict[tuple[str, str, int], Terms] = defaultdict(dict)

    def build(self, options: Mapping[str, Iterable[Option]], built_of: object) -> Body:
        gear = GearRows(self.program, self.facts, self.survey, self._apply)
        for machine, open_options in options.items():
            self.ways[machine] = {}
            count = 1
            for option in open_options:
                count = option.count
                self._option(machine, option)
            terms = dict.fromkeys(self.ways[machine].values(), 1)
            self.program.row(f"ways for {machine}", terms, count, count, (Gives.WAYS, machine))
        self.cords.add(options, self.ways)
        self._walk()
        self._panel_spaces(gear)
        gear.gate(self.spaces, self.causes.machine_of)
        gear.loads(options, self.ways)
        return Body(
            facts=self.facts,
            built_of=built_of,
            causes=self.causes,
            charged=self.charged,
            ways=self.ways,
            reuse=self.reuse,
            lasting=self.lasting,
            shared=self.shared,
            whole_cords=self.cords.used,
            gear=gear,
            demand=self.demand,
            askers=self._askers(),
            stock_rows=None if self.offcuts else frozenset(self.stock_rows),
        )

    # ways -----------------------------------------------------------------------------------------

    def _option(self, machine: str, option: Option) -> None:
        index = self.program.variable(f"{machine} by {option.way.describe()}", option.count)
        self.ways[machine][option.way] = index
        self.causes.machine_of[index] = machine
        for deed in option.stream.deeds:
            self._apply(deed.bundle, self._when(deed.scenario, deed.date[0]), {index: 1}, deed.trip)
        for use in option.stream.uses:
            self._ask(use, {index: 1})
        for given in option.stream.given:
            self._set_free(given.scenario, given.date, given.left, {index: 1})
        for key, poles in option.spaces.items():
            self.spaces[key][index] = poles

    def _ask(self, use: Use, terms: Terms) -> None:
        asked = self.asked[use.scenario, use.since]
        if use not in asked:
            asked[use] = {}
        add_terms(asked[use], terms)

    def _when(self, scenario: str, year: int) -> When:
        if (scenario, year) not in self.dated:
            self.dated[scenario, year] = When.of(self.weights, scenario, year)
        return self.dated[scenario, year]

    def _apply(self, bundle: Bundle, when: When, terms: Terms, trip: Trip = ()) -> None:
        """Charge a bundle to an integer expression of variables."""
        if not bundle:
            return
        if when.year == 0:
            for need in bundle.needs:
                add_terms(self.demand[need.each], terms, need.quantity)
        add_terms(self.charged[bundle, when, trip], terms)

    def _askers(self) -> dict[str | int, dict[Need, int]]:
        """The most each machine can ask of each need; other variables count as themselves."""
        askers: dict[str | int, dict[Need, int]] = defaultdict(dict)
        for need, terms in self.demand.items():
            for index, count in terms.items():
                asker = askers[self.causes.owner(index)]
                asker[need] = max(asker.get(need, 0), count * self.program.variables[index].high)
        return dict(askers)

    # stock ----------------------------------------------------------------------------------------

    def _walk(self) -> None:
        """Every date in order: what stock can serve is served or bought, what nobody uses is made safe."""
        for item, count in shelf(self.facts).items():
            index = self.program.variable(f"on the shelf: {say(item)}", low=1)
            self._set_free("", (0, 0), Return(new_today(self.facts, item)), {index: count})
        for left, count in idle_outlets(self.facts).items():
            index = self.program.variable(f"is there: {say(left.item)}", low=1)
            self._set_free("", (0, 0), left, {index: count})
        for scenario in ("", *self.weights):
            dates = sorted(
                date for of, date in {*self.asked, *((k[0], k[1]) for k in self.stock)} if of == scenario
            )
            while dates:
                date = dates.pop(0)
                self._date(scenario, date)
                later = {key[1] for key in self.stock if key[0] == scenario and key[1] > date}
                dates = sorted({*dates, *later})
        for stock in self.stock.values():
            self._left_over(stock)
            if stock.left.live and not stock.left.idle:
                self._stays_live(stock)

    def _stays_live(self, stock: Stock) -> None:
        """An outlet that nobody makes safe takes its poles from when its machine leaves it."""
        scenarios = (stock.scenario,) if stock.scenario else tuple(self.weights)
        for scenario, year in product(scenarios, range(stock.date[0], self.horizon + 1)):
            add_terms(self.waiting[stock.left.panel, scenario, year], stock.terms, stock.left.poles)

    def _date(self, scenario: str, date: Date) -> None:
        """What is there, what nobody uses again, then uses `in_order`, and what these ask for in turn.

        A use takes what is set free before it is resolved, so that order tells; of two alike in it either may be first.
        """
        asked = self.asked.get((scenario, date), {})
        for use in [use for use in asked if use.present]:
            self._there(use, asked[use])
        for stock in [
            s for s in self.stock.values() if (s.scenario, s.date) == (scenario, date) and s.left.freed
        ]:
            stock.unused = self.program.variable(
                f"unused {scenario} {date}: {say(stock.left.item)}", self.causes.most(stock.terms)
            )
            for item in stock.left.freed:
                self._set_free(scenario, date, Return(item), {stock.unused: 1})
        done: set[Use] = {use for use in asked if use.present}
        while pending := [use for use in asked if use not in done]:
            for use in sorted(pending, key=in_order):
                done.add(use)
                self._resolve(use, asked[use])

    def _resolve(self, use: Use, terms: Terms) -> None:
        """A use is served from stock where that is possible, else bought."""
        when, thing = self._when(use.scenario, use.since[0]), use.thing
        sources, runs = self._sources(use), self._runs(use)
        whole = self.cords.serving.get(use, [])
        shared = self._in_use_by_sharing(use, terms)
        choices = product(*(life_choices(self.facts, wear) for wear in thing.wears))
        lives = [] if thing.found_only else list(choices)
        if not sources and not runs and not whole and shared is None and len(lives) == 1:
            self._buy(use, when, terms, lives[0])
            return
        terms = terms if shared is None else {shared: 1}
        high = self.causes.most(terms)
        balance = {index: -count for index, count in terms.items()} | dict.fromkeys(whole, 1)
        for chosen in lives:
            index = self.program.variable(f"bought {use.scenario} {use.since}: {say(thing.item)}", high)
            balance[index] = 1
            self._buy(use, when, {index: 1}, chosen)
            if len(lives) > 1:
                self.lasting[index] = Lasting(use, chosen, 0)
        for index in whole:
            self._follow(use, {index: 1}, *wear_on(self.facts, use, self.cords.used[index]))
        used = [*sources, *runs]
        for stock in used:
            balance[self._pipe(stock, use, when, high)] = 1
            # What is cut off a cord may serve the next machine that asks for the same.
            used += [left for left in self._sources(use) if high > 1 and all(left is not one for one in used)]
        self.causes.serves.update(
            {index: (use, high) for index, sign in balance.items() if sign > 0 and index not in whole}
        )
        self.program.row(f"balance {use.scenario} {use.since}: {say(thing.item)}", balance, 0, 0)

    def _pipe(self, stock: Stock, use: Use, when: When, high: int) -> int:
        """A variable for how many things of a stock serve a use, as they are or with their ends changed."""
        if self.offcuts and self.out_of_time():
            raise _OutOfTimeError
        # Where what is cut off is left out, the stock's row alone says how often it serves: `Choice.floor` passes that by.
        most = min(high, self.causes.most(stock.terms)) if self.offcuts else high
        name = f"stock {stock.date} to {use.since} {use.scenario}: {say(stock.left.item)}"
        index = self.program.variable(name, most)
        self.reuse[index] = Reused(use, stock.scenario, stock.date, stock.left, 0)
        stock.pipes[index] = use.scenario
        self._apply(use.thing.reused, when, {index: 1}, use.trip)
        scenarios = (use.scenario,) if use.scenario else tuple(self.weights)
        live, since = stock.left.live, use.since[0]
        waits = range(since, self.horizon + 1) if live else range(stock.date[0], since)
        for scenario, year in product(scenarios, waits):
            poles = -stock.left.poles if live else stock.left.poles
            self.waiting[stock.left.panel, scenario, year][index] = poles
        changed = changes(self.facts, use, stock.left, stock.date[0])
        for part in changed.uses:
            self._ask(part, {index: 1})
        for left in changed.freed:
            self._set_free(use.scenario, use.since, left, {index: 1})
        self._follow(use, {index: 1}, *changed.wear)
        return index

    def _there(self, use: Use, terms: Terms) -> None:
        """What is there already is as new today, with what it holds."""
        for known in (use, *inner_uses(use)):
            self._follow(known, terms, *begun(self.facts, known))

    def _sources(self, use: Use) -> list[Stock]:
        """What is set free in time that the use could take, in the order in which it is set free."""
        wanted = use.thing.item
        able = [
            (number, stock)
            for spec, entries in self.numbered_stock[wanted.spec.kind, place_of(wanted.spec)].items()
            if spec.covers(wanted.spec)
            for number, stock in entries
            if stock.left.item.length_ft >= wanted.length_ft
            and (self.offcuts or not stock.left.cut_off)
            and in_time(stock, use)
            and still_good(self.facts, use, stock.left.item, stock.date[0])
        ]
        return [stock for _, stock in sorted(able, key=itemgetter(0))]

    def _runs(self, use: Use) -> list[Stock]:
        """Outlets set free in time that serve the use once their ends are changed."""
        wanted = use.thing
        return [
            stock
            for spec, entries in self.numbered_stock[Made.OUTLET, place_of(wanted.item.spec)].items()
            if wanted.ends and same_run(spec, wanted.item.spec)
            for _, stock in entries
            if in_time(stock, use)
            and not (
                spec.covers(wanted.item.spec) and still_good(self.facts, use, stock.left.item, stock.date[0])
            )
        ]

    def _buy(self, use: Use, when: When, terms: Terms, lives: tuple[int, ...]) -> None:
        self._apply(use.thing.bought_with(lives), when, terms, use.trip)
        for inner in inner_uses(use):
            self._ask(inner, terms)
        self._follow(use, terms, *begun(self.facts, use, lives))

    def _follow(self, use: Use, terms: Terms, due: tuple[int, ...], lives: tuple[int, ...]) -> None:
        """What follows from having the thing: its wear is replaced, and at the end it is set free or taken out."""
        for out in use.taken_out:
            self._apply(out.bundle, self._when(out.scenario, out.year), terms)
        for scenario, _ in use.ends:
            renewals, freed = follow(use, scenario, due, lives, self.horizon)
            for year, bundle in renewals:
                self._apply(bundle, self._when(scenario, year), terms)
            for date, left in freed:
                if date[0] or scenario == use.ends[0][0]:
                    self._set_free(scenario if date[0] else "", date, left, terms)

    def _stock_of(self, scenario: str, date: Date, left: Return) -> Stock:
        key = (scenario, date, left)
        if key not in self.stock:
            self.stock[key] = Stock(scenario, date, left)
            spec = left.item.spec
            self.numbered_stock[spec.kind, place_of(spec)][spec].append((len(self.stock), self.stock[key]))
        return self.stock[key]

    def _set_free(self, scenario: str, date: Date, left: Return, terms: Terms) -> None:
        add_terms(self._stock_of(scenario, date, left).terms, terms)

    def _in_use_by_sharing(self, use: Use, terms: Terms) -> int | None:
        """A variable for whether machines that take turns have one of the thing together today, as all who ask for it do."""
        most = self.causes.most(terms)
        if use.thing.shared_by is None or most < 2:
            return None
        used = self.program.variable(f"shared: {say(use.thing.item)}")
        saved = self.program.variable(f"saved: {say(use.thing.item)}", most - 1)
        for group, high in self.causes.together(terms):
            # One by one, so that a fraction of a thing in use serves no whole machine in the relaxation.
            row = {used: high * max(terms[index] for index in group)} | {i: -terms[i] for i in group}
            self.program.row(f"in use {used}", row, low=0)
        self.program.row(f"sharing {used}", terms | {used: -1, saved: -1}, 0, 0)
        self.shared[saved] = Shared(use, 0)
        return used

    def _left_over(self, stock: Stock) -> None:
        """What nobody uses again is made safe or stands, until it is taken out, or is just there."""
        if stock.scenario:
            self._rest(stock, dict(stock.terms), stock.pipes, stock.scenario)
            return
        taken = [index for index, of in stock.pipes.items() if not of]
        free = dict(stock.terms) | dict.fromkeys(taken, -1)
        later = {name: [i for i, of in stock.pipes.items() if of == name] for name in self.weights}
        if stock.unused is None and not stock.left.unused:
            for name, pipes in later.items():
                self._rest(stock, free, pipes, name)
            return
        if any(later.values()):
            # Today belongs to every scenario: what is left live today is taken over in each of them.
            kept = self.program.variable(f"left live: {say(stock.left.item)}", self.causes.most(stock.terms))
            free[kept] = -1
            for name, pipes in later.items():
                row = dict.fromkeys(pipes, 1) | {kept: -1}
                self.program.row(f"left live for {name}: {say(stock.left.item)}", row, 0, 0)
        self._rest(stock, free, (), "")

    def _rest(self, stock: Stock, free: Terms, pipes: Iterable[int], scenario: str) -> None:
        """What is left of things that are free once some are taken, and what comes of it in a scenario."""
        left, row = stock.left, free | dict.fromkeys(pipes, -1)
        consequences: list[tuple[When, Bundle, Trip]] = []
        if left.unused:
            consequences.append((self._when(scenario, stock.date[0]), left.unused, left.item.left_in))
        for name, out in self.wiring_out.items():
            # What is left for good today is so in every scenario; each has its own end of the lease.
            if out is not None and scenario in ("", name) and comes_out(self.facts.shop, left):
                consequences.append((self._when(name, out), left.taken_out, ()))
        if stock.unused is None and not consequences:
            if len(row) > len(stock.terms):
                self.stock_rows.append(len(self.program.rows))
                self.program.row(f"stock of {say(left.item)}", row, low=0)
            return
        unused = row
        trip = left.item.left_in
        if stock.unused is not None or trip or len(row) > len(stock.terms):
            index = stock.unused
            if index is None:
                name = f"unused {stock.date} {scenario}: {say(left.item)}".replace("  ", " ")
                index = self.program.variable(name, self.causes.most(stock.terms))
            self.program.row(f"stock of {say(left.item)}", row | {index: -1}, 0, 0)
            unused = {index: 1}
            if trip:
                self.causes.serves[index] = (trip, self.causes.most(stock.terms))
        for when, bundle, trip in consequences:
            self._apply(bundle, when, unused, trip)

    # limits ---------------------------------------------------------------------------------------

    def _panel_spaces(self, gear: GearRows) -> None:
        """No panel is ever too full, until the shop moves."""
        seen: set[tuple[str, tuple[tuple[int, int], ...]]] = set()
        dates = {(panel, *date) for panel in self.facts.panels for date in gear.dates()}
        for panel, scenario, year in sorted(dates | set(self.spaces)):
            row = dict(self.spaces.get((panel, scenario, year), {}))
            add_terms(row, self.waiting.get((panel, scenario, year), {}))
            for index, shared in self.shared.items():
                if row and shared.panel == panel and not shared.use.scenario:
                    row[index] = -replace(shared, saved=1).poles
            row |= gear.poles(panel, scenario, year)
            key = (panel, tuple(sorted(row.items())))
            if year >= gear.first_shop_move[scenario] or key in seen or not row:
                continue
            seen.add(key)
            high = self.facts.panels[panel].spaces_free
            limit = (Gives.SPACES, panel)
            self.program.row(f"spaces in {panel}, {scenario}, year {year}", row, high=high, limit=limit)
