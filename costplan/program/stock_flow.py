"""The flow of stock: at every date what is asked for is bought or served by what was set free, and what is left over rests.

Two rows say all of it. Of each use asked for at a date, the *balance*:

    bought + whole cords that bring it + things set free in time that serve it = asked for

Of things alike set free at a date, the *stock*, with those that serve later uses of the same scenario:

    set free - those that serve again = left over, which is at least 0

Serving again may itself ask for more (other ends) and set free in turn (what is cut off), so dates are taken in order. What
is left over is made safe and taken out at the end of a lease, where that costs something; else the row has no variable for it.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable
from itertools import product
from operator import itemgetter

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Bundle, Return, Spec
from costplan.circuits.outlets import place_of, same_run
from costplan.circuits.present import idle_outlets
from costplan.circuits.shelf import shelf
from costplan.circuits.things import Made
from costplan.circuits.wear import life_choices
from costplan.ledger.aging import begun, changes, follow, inner_uses, new_today, still_good
from costplan.ledger.cords_passed_on import wear_on
from costplan.ledger.plan import Lasting, Reused, Shared
from costplan.ledger.pricing import When
from costplan.ledger.serving import comes_out, in_order
from costplan.program.body import Causes
from costplan.program.charges import Charges
from costplan.program.cord_rows import CordRows
from costplan.program.program import Terms, add_terms
from costplan.program.stock import Stock, in_time, say
from costplan.years.calendar import years_of_wiring_out
from costplan.years.stream import TODAY, Date, Trip, Use


class OutOfTimeError(Exception):
    """Building takes longer than a run may."""


class StockFlow:
    """Collects what is asked for and set free; then adds the balance of each use and the row of each stock.

    `reuse`, `lasting` and `shared` say what variables stand for; `waiting` has the poles that outlets take while they wait
    to be used, by panel, scenario and year.
    """

    def __init__(
        self,
        facts: Facts,
        causes: Causes,
        charges: Charges,
        out_of_time: Callable[[], bool] = bool,
        *,
        offcuts: bool = True,
    ) -> None:
        """offcuts: whether what is cut off cords is set free; out_of_time: asked only then."""
        self.facts, self.program, self.causes, self.charges = facts, causes.program, causes, charges
        self.out_of_time, self.offcuts = out_of_time, offcuts
        self.stock_rows: list[int] = []
        self.horizon = facts.shop.years
        self.weights = charges.weights
        self.wiring_out = years_of_wiring_out(facts.shop)
        self.asked: dict[tuple[str, Date], dict[Use, Terms]] = defaultdict(dict)
        self.stock: dict[tuple[str, Date, Return], Stock] = {}
        self.numbered_stock: dict[tuple[str, str], dict[Spec, list[tuple[int, Stock]]]] = defaultdict(
            lambda: defaultdict(list)
        )
        self.reuse: dict[int, Reused] = {}
        self.lasting: dict[int, Lasting] = {}
        self.shared: dict[int, Shared] = {}
        self.waiting: dict[tuple[str, str, int], Terms] = defaultdict(dict)
        self.cords = CordRows(self.program, facts, causes.most, self.stock_of)

    def ask(self, use: Use, terms: Terms) -> None:
        """Note that variables ask for a use at its date."""
        asked = self.asked[use.scenario, use.since]
        if use not in asked:
            asked[use] = {}
        add_terms(asked[use], terms)

    def add(self) -> None:
        """Every date in order: what stock can serve is served or bought, what nobody uses is made safe."""
        # What is there is held at 1 (low=1), so that it is a cause like any other, set free before anything is asked for.
        for item, count in shelf(self.facts).items():
            index = self.program.variable(f"on the shelf: {say(item)}", low=1)
            self.set_free("", TODAY, Return(new_today(self.facts, item)), {index: count})
        for left, count in idle_outlets(self.facts).items():
            index = self.program.variable(f"is there: {say(left.item)}", low=1)
            self.set_free("", TODAY, left, {index: count})
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

        Uses are resolved one after the other, each from what was set free before its turn, so the order matters; of two that
        `in_order` ranks alike either may be first.
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
                self.set_free(scenario, date, Return(item), {stock.unused: 1})
        done: set[Use] = {use for use in asked if use.present}
        while pending := [use for use in asked if use not in done]:
            for use in sorted(pending, key=in_order):
                done.add(use)
                self._resolve(use, asked[use])

    def _resolve(self, use: Use, terms: Terms) -> None:
        """A use is served from stock where that is possible, else bought."""
        when, thing = self.charges.when(use.scenario, use.since[0]), use.thing
        sources, runs = self._sources(use), self._outlets_given_other_ends(use)
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
        # The list grows while it is gone through: what is cut off a cord may serve the next machine that asks for the same.
        for stock in used:
            balance[self._serve(stock, use, when, high)] = 1
            used += [left for left in self._sources(use) if high > 1 and all(left is not one for one in used)]
        self.causes.serves.update(
            {index: (use, high) for index, sign in balance.items() if sign > 0 and index not in whole}
        )
        self.program.row(f"balance {use.scenario} {use.since}: {say(thing.item)}", balance, 0, 0)

    def _serve(self, stock: Stock, use: Use, when: When, high: int) -> int:
        """A variable for how many things of a stock serve a use, as they are or with their ends changed."""
        if self.offcuts and self.out_of_time():
            raise OutOfTimeError
        # With offcuts left out only the stock's row may limit how often it serves: `Choice.floor` is a bound without that row.
        most = min(high, self.causes.most(stock.terms)) if self.offcuts else high
        name = f"stock {stock.date} to {use.since} {use.scenario}: {say(stock.left.item)}"
        index = self.program.variable(name, most)
        self.reuse[index] = Reused(use, stock.scenario, stock.date, stock.left, 0)
        stock.used_by[index] = use.scenario
        self.charges.apply(use.thing.reused, when, {index: 1}, use.trip)
        scenarios = (use.scenario,) if use.scenario else tuple(self.weights)
        # The poles of a live outlet are counted to the end (`_stays_live`): a use, which brings its own, takes them off from
        # its date on. One that is made safe takes its poles only while it waits for the use.
        live, since = stock.left.live, use.since[0]
        waits = range(since, self.horizon + 1) if live else range(stock.date[0], since)
        for scenario, year in product(scenarios, waits):
            poles = -stock.left.poles if live else stock.left.poles
            self.waiting[stock.left.panel, scenario, year][index] = poles
        changed = changes(self.facts, use, stock.left, stock.date[0])
        for part in changed.uses:
            self.ask(part, {index: 1})
        for left in changed.freed:
            self.set_free(use.scenario, use.since, left, {index: 1})
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

    def _outlets_given_other_ends(self, use: Use) -> list[Stock]:
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
        self.charges.apply(use.thing.bought_with(lives), when, terms, use.trip)
        for inner in inner_uses(use):
            self.ask(inner, terms)
        self._follow(use, terms, *begun(self.facts, use, lives))

    def _follow(self, use: Use, terms: Terms, due: tuple[int, ...], lives: tuple[int, ...]) -> None:
        """What follows from having the thing: its wear is replaced, and at the end it is set free or taken out."""
        for out in use.taken_out:
            self.charges.apply(out.bundle, self.charges.when(out.scenario, out.year), terms)
        for scenario, _ in use.ends:
            renewals, freed = follow(use, scenario, due, lives, self.horizon)
            for year, bundle in renewals:
                self.charges.apply(bundle, self.charges.when(scenario, year), terms)
            for date, left in freed:
                # Today belongs to all scenarios: set free once.
                if date[0] or scenario == use.ends[0][0]:
                    self.set_free(scenario if date[0] else "", date, left, terms)

    def stock_of(self, scenario: str, date: Date, left: Return) -> Stock:
        """The stock of things alike that are set free at a date."""
        key = (scenario, date, left)
        if key not in self.stock:
            self.stock[key] = Stock(scenario, date, left)
            spec = left.item.spec
            self.numbered_stock[spec.kind, place_of(spec)][spec].append((len(self.stock), self.stock[key]))
        return self.stock[key]

    def set_free(self, scenario: str, date: Date, left: Return, terms: Terms) -> None:
        """Note what variables set free at a date."""
        add_terms(self.stock_of(scenario, date, left).terms, terms)

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
            self._left_over_in(stock, dict(stock.terms), stock.used_by, stock.scenario)
            return
        taken = [index for index, of in stock.used_by.items() if not of]
        free = dict(stock.terms) | dict.fromkeys(taken, -1)
        later = {name: [i for i, of in stock.used_by.items() if of == name] for name in self.weights}
        if stock.unused is None and not stock.left.unused:
            for name, users in later.items():
                self._left_over_in(stock, free, users, name)
            return
        if any(later.values()):
            # Today belongs to every scenario: what is left live today is taken over in each of them.
            kept = self.program.variable(f"left live: {say(stock.left.item)}", self.causes.most(stock.terms))
            free[kept] = -1
            for name, users in later.items():
                row = dict.fromkeys(users, 1) | {kept: -1}
                self.program.row(f"left live for {name}: {say(stock.left.item)}", row, 0, 0)
        self._left_over_in(stock, free, (), "")

    def _left_over_in(self, stock: Stock, free: Terms, users: Iterable[int], scenario: str) -> None:
        """What is left of things that are free once some are taken, and what comes of it in a scenario."""
        left, row = stock.left, free | dict.fromkeys(users, -1)
        consequences: list[tuple[When, Bundle, Trip]] = []
        if left.unused:
            consequences.append((self.charges.when(scenario, stock.date[0]), left.unused, left.item.left_in))
        for name, out in self.wiring_out.items():
            # What is left for good today is so in every scenario; each has its own end of the lease.
            if out is not None and scenario in ("", name) and comes_out(self.facts.shop, left):
                consequences.append((self.charges.when(name, out), left.taken_out, ()))
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
            self.charges.apply(bundle, when, unused, trip)
