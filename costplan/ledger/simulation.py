"""A plan walked year by year, knowing nothing of the integer program: the second opinion.

It keeps a stock of its own, checks that what the plan takes from it is really there, and emits every line.

It shares with the program what both are made of: the streams of the ways, what follows from a thing's use (`aging`,
`cords_passed_on`), in which order uses are served (`serving`), the course of gear (`years.upkeep`) and prices (`pricing`,
`unit_cost`). What is wrong there is wrong in both, and only `tests/oracle`, which shares none of it, can
tell.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.circuits.needs import LOOSE, Bundle, Item, Need, Return
from costplan.circuits.present import idle_outlets
from costplan.circuits.shared_gear import candidate
from costplan.circuits.shelf import fits, shelf
from costplan.circuits.things import Made, PartKind
from costplan.ledger.aging import Wearing, begun, changes, follow, inner_uses, new_today, still_good
from costplan.ledger.asked import Asked, in_building_left, outlet_of, taking, where
from costplan.ledger.cords_passed_on import cords_asked, wear_on
from costplan.ledger.ledger import overloads
from costplan.ledger.lines import Line, hired_labor
from costplan.ledger.on_offer import gear_lacks
from costplan.ledger.options import Chosen
from costplan.ledger.paid import Paid, gear_since, marked, most_alike, uncertain_moves
from costplan.ledger.plan import CordAsked, GearBought, Plan, Reused, Visits, WholeCordUsed
from costplan.ledger.pricing import TODAY, Call, Calls, Once, Pricer, Stop, When
from costplan.ledger.receipt import purchase_lines
from costplan.ledger.serving import comes_out, in_order
from costplan.ledger.steps import Act, Step
from costplan.ledger.stockroom import SimulationError, Stockroom
from costplan.model.choices import VisitRule
from costplan.years.calendar import arrivals, scenarios_of, weights_of, years_of_wiring_out
from costplan.years.stream import LEASE_ENDS, Cause, Date, Stream, TakenOut, Trip, Use
from costplan.years.stream import TODAY as TODAY_DATE
from costplan.years.upkeep import gear_course


@dataclass(frozen=True)
class Walk:
    """A plan's lines, which machines each need of today is for, today's work step by step, and what is bought later."""

    lines: tuple[Line, ...]
    needed_by: Mapping[Need, Mapping[str, int]]
    steps: tuple[Step, ...] = ()
    later: Mapping[tuple[Need, When], int] = field(default_factory=dict)


def walk(facts: Facts, pricer: Pricer, plan: Plan, chosen: Sequence[Chosen]) -> Walk:
    """Every line of the plan. Raises SimulationError when the plan does not hold together."""
    return _Walker(facts, pricer, plan, chosen).walk()


class _Walker:
    def __init__(self, facts: Facts, pricer: Pricer, plan: Plan, chosen: Sequence[Chosen]) -> None:
        self.facts, self.pricer, self.plan, self.chosen = facts, pricer, plan, chosen
        self.horizon = facts.shop.years
        self.scenarios = scenarios_of(facts.shop)
        self.weights = weights_of(facts.shop)
        self.wiring_out = years_of_wiring_out(facts.shop)
        self.in_turn = uncertain_moves(facts)
        self.arrivals = arrivals(facts.shop)
        self.lines: list[Line] = []
        self.asked: dict[Need, Counter[str]] = defaultdict(Counter)
        self.later: Counter[tuple[Need, When]] = Counter()
        self.paid: dict[When, list[Paid]] = defaultdict(list)
        self.labor: Counter[tuple[When, Trip]] = Counter()
        self.stock = Stockroom(plan.reused)
        self.whole_left = list(plan.whole_cords)
        self.steps: list[Step] = []
        self.on_whole: dict[tuple[str, Use], list[WholeCordUsed]] = defaultdict(list)
        self.lasting = {(entry.use, entry.lives): entry.count for entry in plan.lasting}
        self.to_share: dict[Use, int] = Counter({shared.use: shared.saved for shared in plan.shared})

    def walk(self) -> Walk:
        self._check_counts()
        self._gear()
        for item, count in shelf(self.facts).items():
            for _ in range(count):
                self.stock.set_free("", (0, 0), "", Return(new_today(self.facts, item)))
        for left, count in idle_outlets(self.facts).items():
            for _ in range(count):
                self.stock.set_free("", (0, 0), "", left)
        self._walk_scenario("")
        for scenario in self.scenarios:
            self._walk_scenario(scenario.name)
            for problem in overloads(self.facts, self.plan, self.chosen, scenario):
                raise SimulationError(problem)
        self._left_over()
        if any(used.count for used in self.whole_left):
            raise SimulationError("a whole cord set aside is never used")
        if any(self.lasting.values()):
            raise SimulationError("parts chosen by how long they last are never used")
        self._visits()
        self.lines += purchase_lines(self.facts, self.pricer, self.plan, self.asked)
        needed_by = {need: dict(machines) for need, machines in self.asked.items()}
        return Walk(tuple(self.lines), needed_by, tuple(self.steps), self.later)

    def _check_counts(self) -> None:
        count: Counter[str] = Counter()
        for found in self.chosen:
            count[found.option.machine] += found.count
        for name in self.plan.ways:
            there = self.facts.machines[name].count
            if count[name] != there:
                raise SimulationError(f"{count[name]} of {there} {name} are powered")

    # gear -----------------------------------------------------------------------------------------

    def _gear(self) -> None:
        """What shared gear costs: put in when the plan says, run, moved and renewed from then on."""
        shop = self.facts.shop
        put_in = [(bought, self.facts.gear[bought.name]) for bought in self.plan.gear]
        there = [(GearBought(gear.name, "", 0, 1), gear) for gear in shop.gear if gear.installed]
        for bought, gear in put_in + there:
            ready = candidate(self.facts, gear)
            if gear.installed and gear_lacks(self.pricer.market, ready):
                continue
            for scenario in self.scenarios:
                if bought.scenario not in ("", scenario.name):
                    continue
                moves = scenario.shop_move_years
                for year, bundle, cause in gear_course(ready, bought.year, moves, shop.years):
                    if year > 0:
                        when = self._when(scenario.name, year)
                        for _ in range(bought.count):
                            why = gear_since(bought.year, year)
                            self._spend(bundle, when, gear.entry, why, cause=cause)
            if bought.year == 0:
                for _ in range(bought.count):
                    self._spend(ready.bundle, TODAY, gear.entry, "put in today")

    # circuits -------------------------------------------------------------------------------------

    def _walk_scenario(self, scenario: str) -> None:
        """Everything of a scenario in the order of its dates; of today, when the scenario is empty."""
        uses: dict[Date, list[Asked]] = defaultdict(list)
        for found in self.chosen:
            for _ in range(found.count):
                self._deeds(found.option.machine, found.option.stream, scenario)
                for use in (use for use in found.option.stream.uses if use.scenario == scenario):
                    outlet = outlet_of(found.option.stream, use)
                    uses[use.since].append(Asked(found.option.machine, use, outlet))
        for date in sorted({*uses, *self.stock.dates(scenario)}):
            for asked in uses[date]:
                if asked.use.present:
                    self._there(asked)
            self._unused_parts(scenario, date)
            self._whole_cords(scenario, date)
            later, put_in = self._change_ends([asked for asked in uses[date] if not asked.use.present])
            for asked in [*sorted(later, key=lambda asked: in_order(asked.use)), *put_in]:
                self._begin(asked)

    def _change_ends(self, uses: list[Asked]) -> tuple[list[Asked], list[Asked]]:
        """Runs that stay and get other ends come first, so that what is taken out of one can serve in another.

        Gives the uses still to begin, and those of the ends put in.
        """
        rest, put_in = [], []
        for asked in uses:
            found = self.stock.take(asked.machine, asked.use, self._with_other_ends)
            if found is None:
                rest.append(asked)
            else:
                put_in += self._from_stock(asked, *found)
        return rest, put_in

    def _with_other_ends(self, taken: Reused) -> bool:
        good = still_good(self.facts, taken.use, taken.item, taken.since[0])
        return not good or not taken.item.serves(taken.use.thing.item)

    def _from_stock(self, asked: Asked, since: Date, giver: str, left: Return) -> list[Asked]:
        """Take a thing from stock; gives what comes along with it or is put into it."""
        machine, use = asked.machine, asked.use
        taken = self._step(taking(machine, giver, left), asked, left.item, giver, left)
        if giver and since[0] == 0 < use.since[0] and use.scenario == self.scenarios[0].name:
            waits = Act.LEAVE_LIVE if left.item.spec.kind == Made.OUTLET else Act.BACK_TO_SHELF
            step = Step(waits, giver, left.item, use.thing.item, giver, out_of=left.out_of)
            self.steps.append(replace(step, cut_off=left.cut_off))
        self._spend_on(use.thing.reused, asked, taken)
        changed = changes(self.facts, use, left, since[0])
        for freed in changed.freed:
            self.stock.set_free(use.scenario, use.since, machine, replace(freed, out_of=left.item))
        self._follow(asked, changed.wear)
        return [Asked(machine, part, asked.outlet) for part in changed.uses]

    def _deeds(self, machine: str, stream: Stream, scenario: str) -> None:
        """What one machine's stream does and gives in a scenario, whatever stock holds."""
        for deed in (deed for deed in stream.deeds if deed.scenario == scenario):
            when, change = self._when(scenario, deed.date[0]), None if deed.yearly else deed.date
            self._spend(deed.bundle, when, machine, deed.why, deed.trip, date=change)
        for given in (given for given in stream.given if given.scenario == scenario):
            self.stock.set_free(scenario, given.date, machine, given.left)

    def _unused_parts(self, scenario: str, date: Date) -> None:
        """What is set free of things that nobody ever uses again."""
        for machine, left in self.stock.never_used(scenario, date):
            for item in left.freed:
                self.stock.set_free(scenario, date, machine, Return(item, out_of=left.item))

    def _begin(self, asked: Asked) -> None:
        machine, use = asked.machine, asked.use
        on_whole = self.on_whole[machine, use]
        found = None if on_whole else self.stock.take(machine, use)
        if on_whole:
            self._follow(asked, wear_on(self.facts, use, on_whole.pop()))
        elif found is not None:
            stored, giver, left = found
            if self._with_other_ends(Reused(use, "", stored, left, 1)):
                raise SimulationError(f"{left.item} cannot serve {use.thing.item}")
            for along in self._from_stock(asked, stored, giver, left):
                self._begin(along)
        elif self.to_share.get(use):
            self.to_share[use] -= 1
            self._step(Act.SHARE, asked, use.thing.item)
        elif use.thing.found_only:
            raise SimulationError(f"{use.thing.item} is not in stock")
        else:
            self._buy(asked)

    def _buy(self, asked: Asked) -> None:
        machine, use = asked.machine, asked.use
        wear = self._new_wear(use)
        bought = self._step(Act.BUY, asked, use.thing.item)
        self._spend_on(use.thing.bought_with(wear[1]), asked, bought)
        for inner in inner_uses(use):
            self._begin(Asked(machine, inner, asked.outlet, within=use.thing.item.spec.kind))
        self._follow(asked, wear)

    def _there(self, asked: Asked) -> None:
        """What is there already is as new today, with what it holds."""
        use = asked.use
        if not use.ends_today:
            self._step(Act.KEEP, replace(asked, outlet=None), use.thing.item, asked.machine)
        self._follow(asked, begun(self.facts, use))
        for inner in inner_uses(use):
            within = use.thing.item.spec.kind
            self._follow(Asked(asked.machine, inner, asked.outlet, within), begun(self.facts, inner))

    def _new_wear(self, use: Use) -> Wearing:
        for (of, lives), count in self.lasting.items():
            if of == use and count:
                self.lasting[of, lives] -= 1
                return begun(self.facts, use, lives)
        return begun(self.facts, use)

    def _follow(self, asked: Asked, wear: Wearing) -> None:
        machine, use = asked.machine, asked.use
        for out in use.taken_out:
            self._taken_out(out, machine)
        for scenario, _ in use.ends:
            renewals, freed = follow(use, scenario, *wear, self.horizon)
            for year, bundle in renewals:
                when = self._when(scenario, year)
                self._spend(bundle, when, machine, "is worn out", place=asked.place, cause=Cause.WORN)
            for date, left in freed:
                if date[0] or scenario == use.ends[0][0]:
                    if left.item.spec.kind == PartKind.BREAKER and use.thing.item.spec.kind == Made.OUTLET:
                        left = replace(left, out_of=use.thing.item)
                    self.stock.set_free(scenario if date[0] else "", date, machine, left)

    def _whole_cords(self, scenario: str, date: Date) -> None:
        for found in self.chosen if any(used.count for used in self.whole_left) else ():
            for cord in cords_asked(found.option.stream.uses):
                if (cord.cable.scenario, cord.cable.since) == (scenario, date):
                    for _ in range(found.count):
                        self._whole_cord(found.option.machine, cord)

    def _whole_cord(self, machine: str, asked: CordAsked) -> None:
        """Take a whole cord for a machine that hangs on it from then on, as the plan says."""
        cable = asked.cable
        for position, used in enumerate(self.whole_left):
            if used.count and used.asked == asked:
                if not fits(used.cord, tuple(use.thing for use in asked.pieces)) or used.since > cable.since:
                    raise SimulationError(f"{used.cord} cannot serve {asked}")
                self.whole_left[position] = replace(used, count=used.count - 1)
                pieces = [Return(piece) for piece in asked.taken_of(used.cord)]
                giver = self.stock.giver_of(used.scenario, used.since, pieces, machine)
                for left in pieces:
                    self.stock.remove(used.scenario, used.since, left, cable.scenario, giver)
                if cable.since == TODAY_DATE:
                    act = taking(machine, giver, pieces[0])
                    step = Step(act, machine, used.cord.cable, cable.thing.item, giver, whole=True)
                    self.steps.append(step)
                elif giver and used.since == TODAY_DATE and cable.scenario == self.scenarios[0].name:
                    waits = Step(
                        Act.BACK_TO_SHELF, giver, used.cord.cable, cable.thing.item, giver, whole=True
                    )
                    self.steps.append(waits)
                for use in asked.served_by(used.cord):
                    self.on_whole[machine, use].append(used)
                return

    def _left_over(self) -> None:
        """What nobody ever used again is made safe or stands, until it is taken out."""
        for scenario, date, machine, left in self.stock.unused(self.weights):
            step = self._leave(scenario, date, machine, left)
            when = self._when(scenario, date[0])
            place = where(left.item)
            why = "left unused"
            self._spend(left.unused, when, machine, why, left.item.left_in, why, place, step, date)
            for name, out in self.wiring_out.items():
                if out is not None and scenario in ("", name) and comes_out(self.facts.shop, left):
                    self._taken_out(TakenOut(name, out, place, left.taken_out), machine)

    def _taken_out(self, out: TakenOut, machine: str) -> None:
        moves = next(one.shop_move_years for one in self.scenarios if one.name == out.scenario)
        place = in_building_left(out.place) if moves else out.place
        self._spend(out.bundle, self._when(out.scenario, out.year), machine, LEASE_ENDS, place=place)

    # steps of today's work ------------------------------------------------------------------------

    def _step(self, act: Act, asked: Asked, item: Item, source: str = "", left: Return | None = None) -> Step:
        """A thing taken or bought; today's are noted."""
        use, wanted = asked.use, asked.use.thing.item
        changed = act in (Act.KEEP, Act.TAKE_OVER) and not use.present and not item.serves(wanted)
        run = asked.run if item.spec.kind in LOOSE else None
        step = Step(act, asked.machine, item, wanted, source, ends_change=changed, run=run)
        left = left or Return(item)
        step = replace(step, within=asked.within, out_of=left.out_of, cut_off=left.cut_off)
        if use.since[0] == 0 and not use.scenario:
            self.steps.append(step)
        return step

    def _leave(self, scenario: str, date: Date, machine: str, left: Return) -> Step:
        """What becomes of a thing that nobody uses again; today's is noted, of the first scenario, if of any."""
        act = Act.BACK_TO_SHELF
        if left.item.spec.kind == Made.OUTLET:
            act = Act.MAKE_SAFE if left.unused else Act.LEAVE_LIVE
        step = Step(act, machine, left.item, source=machine, out_of=left.out_of, takes=left.unused.needs)
        of_today = date[0] == 0 and scenario in ("", self.scenarios[0].name)
        if machine and of_today and left.item.spec.kind != Made.BREAKER_OF_OUTLET and not left.cut_off:
            self.steps.append(step)
        return step

    # money ----------------------------------------------------------------------------------------

    def _when(self, scenario: str, year: int) -> When:
        return When.of(self.weights, scenario, year)

    def _spend_on(self, bundle: Bundle, asked: Asked, step: Step) -> None:
        use = asked.use
        when, of = self._when(use.scenario, use.since[0]), use.thing.item
        self._spend(bundle, when, asked.machine, use.why, use.trip, of, asked.place, step, use.since)

    def _spend(
        self,
        bundle: Bundle,
        when: When,
        machine: str,
        why: str,
        trip: Trip = (),
        what: Item | str = "",
        place: str = "",
        step: Step | None = None,
        date: Date | None = None,
        cause: Cause = Cause.RUN,
    ) -> None:
        """date: of the change that brings it, if one does."""
        if not bundle:
            return
        in_turn = (when.scenario, machine, date) in self.in_turn
        if (when.scenario, machine, date) in self.arrivals:
            cause = Cause.BEGUN
        if when.year == 0:
            for need in bundle.needs:
                self.asked[need.each][machine] += need.quantity
            lines = self.pricer.effort(bundle, when, machine, why)
        else:
            lines = self.pricer.later(bundle, when, machine, why)
            self.later.update((need, when) for need in bundle.needs)
        self.lines += [
            replace(line, place=place, step=step, in_turn=in_turn, cause=cause, trip=trip) for line in lines
        ]
        self.labor[when, trip] += hired_labor(lines)
        self.paid[when].append(Paid(bundle, trip, what, in_turn, cause))

    def _visits(self) -> None:
        """Visits, the year's own or one a move, with their permits; the first permit of a scenario is told apart."""
        each = self.facts.shop.hired_visits is VisitRule.EACH_MOVE
        planned = {(v.scenario, v.year, v.trip): v for v in self.plan.visits}
        had: dict[tuple[str, Call], bool] = {}
        for when in sorted(self.paid, key=lambda when: (when.year, when.scenario)):
            for trip, once, count in self._once(when, planned if each else {}):
                self._visited(self.pricer.once(when, once) * count, when, once, trip)
            for call, permit in ((Call.VISIT, Call.PERMIT), (Call.OWN_VISIT, Call.OWN_PERMIT)):
                counts = self._counts(when, call, permit, planned if each else {})
                for trip, visits, _ in counts:
                    self._visited(self.pricer.visit(when, call) * visits, when, call, trip)
                for trip, _, permits in counts:
                    for _ in range(permits):
                        first = not (had.get((when.scenario, call)) or had.get(("", call)))
                        self._visited(self.pricer.permit(when, permit, first=first), when, permit, trip)
                        had[when.scenario, call] = True
                for trip, visits, _ in counts if call is Call.VISIT else ():
                    short = visits * self.pricer.least_cents(when) - self.labor[when, trip]
                    if short > 0:
                        self._visited([self.pricer.short(when, short)], when, call, trip)
            for hours in self._stops(when, planned if each else {}):
                self._visited(self.pricer.shop_stopped(when, hours), when, Stop, ())
        self.lines += self.pricer.bid()

    def _visited(self, lines: list[Line], when: When, asked: Call | Once | type[Stop], trip: Trip) -> None:
        """What a visit of a date has once, as what the work that asks for it makes it."""
        if when.year:
            lines = marked(lines, [paid for paid in self.paid[when] if self._asks(paid, asked)])
        self.lines += [replace(line, trip=trip) for line in lines]
        self.labor[when, trip] += hired_labor(lines)

    def _asks(self, paid: Paid, asked: Call | Once | type[Stop]) -> bool:
        calls = self.pricer.calls(paid.bundle, today=False)
        return any(call == asked or type(call) is asked for call in calls)

    def _stops(self, when: When, planned: Mapping[tuple[str, int, Trip], Visits]) -> Iterator[Decimal]:
        """How long the shop stands in each visit of a date: as long as the longest task of the visit takes."""
        by_trip: dict[Trip, set[Decimal]] = defaultdict(set)
        for paid in self.paid[when] if self.facts.shop.money.shop_hour_cents else ():
            calls = self.pricer.calls(paid.bundle, today=when.year == 0)
            by_trip[paid.trip] |= {call.hours for call in calls if isinstance(call, Stop)}
        for trip, hours_asked in by_trip.items():
            levels = sorted(hours_asked)
            if not levels:
                continue
            if not trip:
                yield from levels[-1:]
                continue
            said = planned.get((when.scenario, when.year, trip))
            counts = dict(said.stops) if said is not None else {}
            if any(not counts.get(hours) for hours in levels):
                raise SimulationError(f"the shop stands too short a time in the visits of {trip}")
            for hours, next_hours in zip(levels, [*levels[1:], None], strict=True):
                more = counts.get(next_hours, 0) if next_hours is not None else 0
                yield from [hours] * (counts.get(hours, 0) - more)

    def _once(
        self, when: When, planned: Mapping[tuple[str, int, Trip], Visits]
    ) -> Iterator[tuple[Trip, Once, int]]:
        """What the visits of a date have once each, and how many of them have it."""
        asked: dict[tuple[Trip, Once], list[tuple[Item | str, Calls]]] = defaultdict(list)
        for paid in self.paid[when]:
            calls = self.pricer.calls(paid.bundle, today=when.year == 0)
            for once in (call for call in calls if isinstance(call, Once)):
                asked[paid.trip if once.hired else (), once].append((paid.what, calls))
        for (trip, once), called in asked.items():
            if not trip:
                yield trip, once, 1
                continue
            said = planned.get((when.scenario, when.year, trip))
            count = dict(said.once).get(once, 0) if said is not None else 0
            if count < most_alike(called, once):
                raise SimulationError(
                    f"{once.what} is asked for more often than the visits of {trip} have it"
                )
            yield trip, once, count

    def _counts(
        self, when: When, call: Call, permit: Call, planned: Mapping[tuple[str, int, Trip], Visits]
    ) -> list[tuple[Trip, int, int]]:
        """Visits and permits of one date: of the year's own visit, then of every move that has its own."""
        by_trip: dict[Trip, list[tuple[Item | str, Calls]]] = defaultdict(list)
        for paid in self.paid[when]:
            calls = self.pricer.calls(paid.bundle, today=when.year == 0)
            by_trip[paid.trip if call.hired else ()].append((paid.what, calls))
        found: list[tuple[Trip, int, int]] = []
        for trip, called in by_trip.items():
            if not trip:
                visit, needed = (int(any(each in c for _, c in called)) for each in (call, permit))
                found.append((trip, visit, needed))
                continue
            said = planned.get((when.scenario, when.year, trip))
            visits, permits = (said.count, said.permits) if said is not None else (0, 0)
            if visits < most_alike(called, call) or permits < most_alike(called, permit):
                raise SimulationError(f"{visits} visits are too few for the work of {trip}")
            found.append((trip, visits, permits))
        return found
