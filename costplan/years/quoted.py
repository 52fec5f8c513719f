"""The stream of a machine by a quoted way: what was quoted is paid when it happens, and nothing is sized."""

from collections.abc import Mapping
from dataclasses import replace

from costplan.circuits.circuit import Standing as Place
from costplan.circuits.needs import NOTHING, Bundle, Charge, Item, Return, Spec, StockNeed, Wear
from costplan.circuits.outlet_key import OutletKey
from costplan.circuits.quoted_work import quoted_bundle
from costplan.circuits.things import Made
from costplan.circuits.ways import Way
from costplan.model.catalog import Phase
from costplan.model.choices import VisitRule
from costplan.model.layouts import MovedToday
from costplan.model.quotes import QuotedWay
from costplan.model.shop import Machine, Shop
from costplan.years.calendar import Life
from costplan.years.course import Record, Thing, merged
from costplan.years.stream import TODAY, Date, End, Standing, Stream, Trip


def quoted_stream(
    shop: Shop, machine: Machine, way: Way, quote: QuotedWay, fate: Mapping[str, Life]
) -> Stream:
    """Put in on arrival, moved or put in anew at every move, renewed in its time, back at the end."""
    courses = {name: _QuotedCourse(shop, machine, way, quote, name, life) for name, life in fate.items()}
    for course in courses.values():
        course.run()
    return merged(courses, fate)


def phase_bundle(what: str, phase: Phase) -> Bundle:
    """What a phase of a quoted way takes."""
    return quoted_bundle(what, phase.money_cents, phase.hours, phase.own_hours, permit=phase.permit)


class _QuotedCourse(Record):
    def __init__(
        self, shop: Shop, machine: Machine, way: Way, quote: QuotedWay, scenario: str, life: Life
    ) -> None:
        super().__init__()
        self.shop, self.machine, self.way, self.quote = shop, machine, way, quote
        self.scenario, self.life = scenario, life
        self.thing: Thing | None = None
        self.here: Place | None = None

    def run(self) -> None:
        if self.life.leaves == 0:
            self._gone_today(self.life.standings[0])
            return
        if isinstance(self.machine, MovedToday) and self.quote.there_today:
            self._put_in(TODAY, replace(self.life.standings[0], place=self.machine.stood_at), None, ())
        for place in self.life.standings:
            self._stand(place)
        leaves, horizon = self.life.leaves, self.shop.years
        if self.thing is not None and leaves is not None:
            assert self.here is not None
            self.thing.end = End((leaves, 0), self._left(self.here))
            self.standings.append(Standing(leaves, "", 0, 0))
        elif self.thing is not None and self.here is not None:
            self._comes_out(self.thing, self.here)
            self._back(horizon)

    def _back(self, horizon: int) -> None:
        if self.quote.comes_back_cents:
            back = Charge(f"{self.quote.name}: back at the end", -self.quote.comes_back_cents, at_end=True)
            self.do(self.scenario, (horizon, 0), "the plan ends", Bundle(charges=(back,)))

    def _gone_today(self, place: Place) -> None:
        """What it has today it leaves to whoever comes."""
        if self.quote.there_today:
            self._put_in(TODAY, place, None, ())
            assert self.thing is not None
            self.thing.end = End(TODAY, self._left(place))
        self.standings = [Standing(0, "", 0, 0)]

    def _stand(self, place: Place) -> None:
        date, before = (place.year, place.step), self.here
        self.here = place
        if before is not None and (before.place, before.building) == (place.place, place.building):
            return
        trip: Trip = ()
        if before is not None and before.building == place.building:
            each = self.shop.hired_visits is VisitRule.EACH_MOVE
            trip = (self.machine.name, self.way, place.step) if each and place.year else ()
            if self.quote.move is not None:
                moved = phase_bundle(f"{self.quote.name}: move", self.quote.move)
                self.do(self.scenario, date, place.why, moved, trip)
                return
        self._put_in(date, place, before, trip)

    def _put_in(self, date: Date, place: Place, before: Place | None, trip: Trip) -> None:
        self.here = place
        if self.thing is not None and before is not None:
            stays = before.building == place.building
            self.thing.end = End(date, self._left(before) if stays else None)
            if not stays:
                self._comes_out(self.thing, before)
        put_in = phase_bundle(f"{self.quote.name}: put in", self.quote.put_in)
        wears: tuple[Wear, ...] = ()
        if self.quote.renew is not None and self.quote.renew.every < self.shop.years:
            renewed = phase_bundle(f"{self.quote.name}: renew", self.quote.renew)
            wears = (Wear(None, renewed, self.quote.renew.every),)
        need = StockNeed(self._item(place), put_in, wears=wears)
        there = self.quote.there_today and date[0] == 0 and not self.things
        self.thing = Thing(date, "is there already" if there else place.why, need, there, trip)
        self.things.append(self.thing)
        if self.quote.panel is not None:
            self.standings.append(Standing(date[0], self.quote.panel, self.quote.poles, 0))

    def _item(self, place: Place) -> Item:
        key = OutletKey(
            building=place.building,
            place=place.place,
            panel=self.quote.panel or "",
            run=None,
            end="",
            poles=self.quote.poles,
            quote=self.quote.name,
        )
        return Item(Spec(Made.QUOTED_OUTLET, outlet=key))

    def _left(self, place: Place) -> Return | None:
        """The outlet stays for whoever comes, unless it moves along with its machine."""
        if self.quote.move is not None:
            return None
        return Return(
            self._item(place),
            panel=self.quote.panel or "",
            poles=self.quote.poles,
            taken_out=self._taken_out(place),
            stays=True,
        )

    def _taken_out(self, place: Place) -> Bundle:
        """What it takes when the landlord has it taken out; nothing in another building, or where he asks for nothing."""
        lease = self.shop.building.lease
        if lease is None or not lease.take_out or self.quote.take_out is None or place.building:
            return NOTHING
        return phase_bundle(f"{self.quote.name}: take out", self.quote.take_out)

    def _comes_out(self, thing: Thing, place: Place) -> None:
        thing.comes_out(self.scenario, self.life.wiring_out, place.place, self._taken_out(place))
