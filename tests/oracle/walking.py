"""One scenario walked through: what each machine needs bought, worked and paid, year by year."""

import math
from collections import defaultdict
from dataclasses import replace
from decimal import Decimal

from booking import (
    CHANGE,
    RUN_KIND,
    RUN_RECIPE,
    Asks,
    Buy,
    Load,
    Outlet,
    State,
    Thing,
    Variant,
    configuration_of,
    load_of,
)
from buying import Piece, Spec
from events import Happening, NotReckoned, Unit, home, lease_over
from quoting import Quoting

from costplan.model.catalog import Recipe
from costplan.model.choices import Method, VisitRule
from costplan.model.nameplate import Electrical
from costplan.model.shop import Machine
from costplan.standards import conductors, receptacles

OUTLET_FT = 4
"""Height of an outlet and of a cord's end at a machine, as the guide says; common practice, no source."""
AT_ITS_OUTLET_FT = 6
"""How far from its outlet a machine still stands at it, as the guide says (likened to NEC 210.50(C), from memory)."""


def _wire_of(cable: Thing) -> str:
    """The wire that a cord was asked for with."""
    return next(str(value) for name, _, value in cable.piece.spec.asks if name == "awg")


def _wires(load: Load) -> tuple[str, str]:
    """The wire of the run and of the cord."""
    return load.awg, load.cord_awg


def _with_plate(machine: Machine, plate: Electrical) -> Machine:
    """The machine with another nameplate, and no plug that goes with it."""
    told = {name: getattr(plate, name) for name in Electrical.model_fields}
    return machine.model_copy(update={**told, "plug": None})


class Walk(Quoting):
    """Walks one scenario with a variant for each machine; leaves `buys` and `works`."""

    def run(self) -> None:
        """All years in order; last, what was left for good is made safe and freed breakers are matched."""
        self._step(
            0,
            [
                Happening(0, 0, unit, "arrives", home(self.machines[unit.machine]))
                for unit in self.states
                if self.machines[unit.machine].arrives == 0
            ],
        )
        for year in range(1, self.shop.years + 1):
            mine = [entry for entry in self.course.happenings if entry.year == year]
            there = {unit: state.place for unit, state in self.states.items() if state.place}
            for step in sorted({entry.step for entry in mine}):
                self._step(year, [entry for entry in mine if entry.step == step])
            if year < self.shop.years:
                self._wear(year)
            self._care(year, there)
        self._settle_outlets()
        self._refuse_crowding()
        self._take_out()
        self._come_back()

    # Steps -----------------------------------------------------------------------------------------------

    def _step(self, year: int, happenings: list[Happening]) -> None:
        rule = self.shop.hired_visits
        coming = []
        for entry in happenings:
            state = self.states[entry.unit]
            present = bool(state.place)
            if entry.what == "shop moves" and not present:
                continue  # it is not there yet, or no more
            if (entry.what == "arrives") == present:
                raise NotReckoned(f"{entry.unit.machine} would {entry.what} in year {entry.year} but cannot.")
            own = rule is VisitRule.EACH_MOVE and entry.what == "moves"
            visit: object = ("move", entry.step, entry.unit) if own else "year"
            if entry.what == "moves":
                machine = self.machines[entry.unit.machine]
                if machine.never_moves:
                    raise NotReckoned(f"{machine.name} never moves and yet is moved.")
            if entry.like:
                self.likes[entry.place] = entry.like
            if self._leave(year, entry, state, visit):
                coming.append((entry, visit))
        self._refuse_rivals(coming)
        cords = [entry for entry, _ in coming if self.variants[entry.unit.machine].method is Method.CORD]
        self.rivals = len(cords) > 1
        for entry, visit in coming:
            self._come(year, entry, visit)

    def _leave(self, year: int, entry: Happening, state: State, visit: object) -> bool:
        """Lets go of what does not come along; whether the unit then needs power at a place."""
        unit, variant = entry.unit, self.variants[entry.unit.machine]
        if entry.what == "arrives":
            return True
        if variant.quoted:
            return self._quoted_leaves(entry, state)
        if entry.what == "shop moves":
            raise NotReckoned("A move of the whole shop is reckoned for quoted ways only.")
        if entry.what == "retooled":
            self._retool(year, entry, state, visit)
            return True
        if entry.what == "leaves":
            self.stock += [thing for thing in state.cord if not self._worn(thing, year)]
            state.cord = []
            self._abandon(year, state, visit, unit)
            state.place = ""
            return False
        if variant.method is Method.CORD or self._within_own_cord(unit, state, entry.place):
            return True
        if not variant.moved:
            self._abandon(year, state, visit, unit)
        return True

    def _abandon(self, year: int, state: State, visit: object, unit: Unit) -> None:
        if state.outlet is not None:
            state.outlet.user, state.outlet.left = None, (year, visit, unit)
            state.outlet = None

    def _within_own_cord(self, unit: Unit, state: State, place: str) -> bool:
        outlet = state.outlet
        if outlet is None or outlet.place == place:
            return outlet is not None
        spots = {spot.name: spot for spot in self.shop.places}
        ends = {self._like(outlet.place), self._like(place)}
        if place in self.likes or len(ends) < 2:
            return False
        for route in self.shop.routes:
            if {route.start, route.end} == ends and route.cord_ft is not None:
                return route.cord_ft <= self.machines[unit.machine].own_cord_ft
        here, there = (spots[end].at_ft if end in spots else None for end in ends)
        if here is None or there is None:
            return False
        feet = Decimal(str(math.hypot(*(float(one - other) for one, other in zip(here, there, strict=True)))))
        if feet > AT_ITS_OUTLET_FT:
            feet += 2 * max(self.shop.building.ceiling_height_ft - OUTLET_FT, Decimal(0))
        return feet <= self.machines[unit.machine].own_cord_ft

    def _refuse_rivals(self, coming: list[tuple[Happening, object]]) -> None:
        """Where more than one comes for what waits at a place, or may choose, nothing is guessed."""
        wanted: dict[tuple[object, ...], int] = defaultdict(int)
        for entry, _ in coming:
            variant = self.variants[entry.unit.machine]
            if variant.quoted or self.states[entry.unit].outlet:
                continue
            place = self._outlet_place(variant, entry.place)
            wanted[place, variant] += 1
        places = {key[0] for key in wanted}
        for place in places:
            waiting = [
                outlet for outlet in self.outlets if outlet.left and not outlet.gone and outlet.place == place
            ]
            takers = sum(count for key, count in wanted.items() if key[0] == place)
            alike = len({(o.method, o.configuration, o.breaker_a, o.awg, o.length_ft) for o in waiting}) <= 1
            same = len({key[1] for key in wanted if key[0] == place}) == 1
            if (
                waiting
                and not (alike and (same or takers <= len(waiting)))
                and (len(waiting) > 1 or takers > 1)
            ):
                raise NotReckoned(
                    f"More than one assignment of the outlets that wait at {place} is possible."
                )

    def _come(self, year: int, entry: Happening, visit: object) -> None:
        unit, state, variant = entry.unit, self.states[entry.unit], self.variants[entry.unit.machine]
        self._book_for(unit)
        machine = self.machines[unit.machine]
        before = state.place
        place = entry.place or before
        state.place = place
        if variant.quoted:
            self._quoted_comes(year, entry, state, before, visit)
            return
        if entry.what == "moves":
            self._brew(
                year,
                visit,
                machine,
                self._recipe(machine, "move machine"),
                Decimal(0),
                self._cord_words(unit, place),
            )
        load = self._wired_for_all(entry, load_of(machine, self.shop.code.edition))
        configuration = configuration_of(machine, variant.family, load)
        if machine.plug and receptacles.find_configuration(machine.plug).rating_a != load.breaker_a:
            raise NotReckoned(f"The plug of {machine.name} has another rating than its breaker.")
        if state.outlet is None:
            state.outlet = self._outlet(year, visit, unit, variant, load, configuration, place)
        elif variant.moved and not self._within_own_cord(unit, state, place):
            self._move_outlet(year, visit, unit, variant, state.outlet, place)
        if variant.method is Method.CORD:
            self._cord(
                year, visit, unit, variant, load, configuration, state, moved=before not in ("", place)
            )
        self._check_drop(unit, variant, load, state)
        if (before == "" or entry.what == "retooled") and machine.plug != configuration:
            plug = self._buy(
                year, machine, "plug", (("configuration", "is", configuration),), Decimal(1), "plug"
            )
            state.cord.append(plug)
            words = self._cord_words(unit, place)
            state.cord += self._brew(
                year, visit, machine, self._recipe(machine, "machine plug"), Decimal(0), words
            )

    # Retooling -------------------------------------------------------------------------------------------

    def _retool(self, year: int, entry: Happening, state: State, visit: object) -> None:
        """Another nameplate, for a cord: the run beside the panel stays where its wire will do, with other ends; else it is
        given up. The cord gets other ends, whatever becomes of its cable."""
        unit, variant = entry.unit, self.variants[entry.unit.machine]
        old, outlet, plate = self.machines[unit.machine], state.outlet, entry.plate
        if variant.method is not Method.CORD or old.count > 1 or outlet is None or plate is None:
            raise NotReckoned("A retooling is reckoned for one machine by a cord, or for a quoted way.")
        if plate.volts == old.volts or old.plug != outlet.configuration:
            raise NotReckoned("A retooling is reckoned to other volts, of a machine that came with its plug.")
        machine = self.machines[unit.machine] = _with_plate(old, plate)
        load = self._wired_for_all(entry, load_of(machine, self.shop.code.edition))
        ends = configuration_of(machine, variant.family, load)
        words = self._panel_words()
        if conductors.awg_rank(outlet.awg) < conductors.awg_rank(load.awg):
            self._abandon(year, state, visit, unit)
        else:
            kept = [thing for thing in outlet.things if thing.slot not in ("receptacle", "breaker")]
            made = replace(outlet, configuration=ends, breaker_a=load.breaker_a, poles=load.poles)
            asks = (("configuration", "is", ends),)
            made.things = [*kept, self._buy(year, machine, "receptacle", asks, Decimal(1), "receptacle")]
            for name in ("change receptacle", "change breaker"):
                recipe = self._recipe(machine, name)
                self._brew(year, visit, machine, recipe, made.length_ft, words, self._device_a(made))
            self.freed_breakers.append((year, outlet.breaker_a, outlet.poles))
            self.outlets[self.outlets.index(outlet)] = state.outlet = made
            self.breakers.append((year, made, unit))
        for thing in [thing for thing in state.cord if thing.slot in ("plug", "connector")]:
            state.cord.remove(thing)
            self.stock.append(thing)
            state.cord += self._end(year, visit, machine, state, thing.slot, ends, Decimal(0))

    def _wired_for_all(self, entry: Happening, load: Load) -> Load:
        """The load with the heaviest wires that its machine ever asks for, where the variant has them from the first."""
        if not self.variants[entry.unit.machine].heavy:
            return load
        plates = [one.plate for one in self.course.happenings if one.unit == entry.unit and one.plate]
        machines = [_with_plate(self.machines[entry.unit.machine], plate) for plate in plates]
        for later in (load_of(machine, self.shop.code.edition) for machine in machines):
            awg, cord = (
                conductors.thicker(*sizes) for sizes in zip(_wires(load), _wires(later), strict=True)
            )
            load = replace(load, awg=awg, cord_awg=cord)
        return load

    # Outlets ---------------------------------------------------------------------------------------------

    def _outlet_place(self, variant: Variant, place: str) -> str:
        return f"beside {self.shop.panels[0].name}" if variant.method is Method.CORD else place

    def _outlet(
        self,
        year: int,
        visit: object,
        unit: Unit,
        variant: Variant,
        load: Load,
        configuration: str,
        place: str,
    ) -> Outlet:
        spot = self._outlet_place(variant, place)
        if year == 0 and self.machines[unit.machine].now:
            return self._present(unit, variant, load, configuration, place)
        for outlet in self.outlets:
            fits = (outlet.method, outlet.configuration, outlet.breaker_a) == (
                variant.method,
                configuration,
                load.breaker_a,
            )
            thick = conductors.awg_rank(outlet.awg) >= conductors.awg_rank(load.awg)
            if outlet.place == spot and outlet.left and not outlet.gone and fits and thick:
                if any(self._worn(thing, year) for thing in outlet.things):
                    raise NotReckoned("An outlet with worn parts is taken over.")
                outlet.user, outlet.left = unit, None
                return outlet
        machine = self.machines[unit.machine]
        recipe = self._recipe(machine, RUN_RECIPE[variant.method])
        route = Decimal(0) if variant.method is Method.CORD else self._length(unit, place, "fixed")
        length = (route + recipe.extra_ft) * (1 + recipe.waste)
        made = Outlet(
            spot,
            place,
            variant.method,
            configuration,
            load.breaker_a,
            load.poles,
            load.awg,
            length,
            route,
            user=unit,
        )
        words, device_a = self._outlet_words(unit, made), self._device_a(made)
        things = self._brew(year, visit, machine, recipe, length, words, device_a, route)
        if recipe.quote is None:
            things += self._run_wires(year, machine, variant, load, length)
            terminals = (("configuration", "is", configuration),)
            things.append(self._buy(year, machine, "receptacle", terminals, Decimal(1), "receptacle"))
            things += self._brew(
                year, visit, machine, self._recipe(machine, "receptacle"), length, words, device_a
            )
            if variant.method is Method.WALL and self.shop.building.patching:
                things += self._brew(year, visit, machine, self._recipe(machine, "patch"), length, words)
        self._ground_fault()
        things += self._brew(
            year,
            visit,
            machine,
            self._recipe(machine, "breaker"),
            length,
            self._panel_words(),
            load.breaker_a,
        )
        made.things = things
        self.outlets.append(made)
        self.breakers.append((year, made, unit))
        return made

    @staticmethod
    def _device_a(outlet: Outlet) -> int:
        """What box and cover must take: the receptacle, also where it is for more than the breaker."""
        return max(outlet.breaker_a, receptacles.find_configuration(outlet.configuration).rating_a)

    def _present(self, unit: Unit, variant: Variant, load: Load, configuration: str, place: str) -> Outlet:
        """The drop that a machine has now, as it must be; anything else is refused."""
        machine = self.machines[unit.machine]
        now = machine.now
        told = now and (now.method, now.configuration, now.breaker_a, now.awg, now.place or place, now.poles)
        if told != (variant.method, configuration, load.breaker_a, load.awg, place, load.poles):
            raise NotReckoned(f"The present circuit of {machine.name} is another than its way needs.")
        if variant.method is Method.CORD or (now and now.cord):
            raise NotReckoned("Cords that are there now are not reckoned.")
        parts = [part for part in self.parts if part.kind in ("receptacle", "breaker")]
        if any(part.life_years or self.kinds[part.kind].life_years for part in parts):
            raise NotReckoned("Present parts that wear out are not reckoned.")
        recipe = self._recipe(machine, RUN_RECIPE[variant.method])
        route = self._length(unit, place, "fixed")
        length = (route + recipe.extra_ft) * (1 + recipe.waste)
        there = Outlet(
            place, place, variant.method, configuration, load.breaker_a, load.poles, load.awg, length, route
        )
        there.user = unit
        self.outlets.append(there)
        return there

    def _ground_fault(self) -> None:
        code = self.shop.code
        if code.ground_fault_place or code.occupancy.value == "dwelling garage":
            raise NotReckoned("Ground-fault protection is not reckoned.")

    def _run_wires(
        self, year: int, machine: Machine, variant: Variant, load: Load, length: Decimal
    ) -> list[Thing]:
        wire = ("awg", "wire", load.awg)
        if variant.method is Method.CONDUIT:
            return [
                self._buy(year, machine, "conduit", (("trade_size", "is", "3/4"),), length, "conduit"),
                self._buy(year, machine, "building wire", (wire,), length * 3, "building wire"),
            ]
        kind = RUN_KIND[variant.method]
        return [self._buy(year, machine, kind, (wire, ("conductors", "least", 2)), length, kind)]

    def _move_outlet(
        self, year: int, visit: object, unit: Unit, variant: Variant, outlet: Outlet, place: str
    ) -> None:
        if any(other.left and not other.gone and other.place == place for other in self.outlets):
            raise NotReckoned("A drop that moves meets an outlet that waits at its new place.")
        machine = self.machines[unit.machine]
        recipe = self._recipe(machine, f"move {variant.method.value}")
        run = self._recipe(machine, RUN_RECIPE[variant.method])
        outlet.laid_ft = self._length(unit, place, "fixed")
        outlet.length_ft = (outlet.laid_ft + run.extra_ft) * (1 + run.waste)
        outlet.place = outlet.like = place
        words = self._outlet_words(unit, outlet)
        for thing in self._brew(
            year, visit, machine, recipe, outlet.length_ft, words, self._device_a(outlet), outlet.laid_ft
        ):
            if self.life_of[thing.piece.spec] is not None:
                raise NotReckoned("A part with a life in the recipe of a moved drop is not reckoned.")

    def _settle_outlets(self) -> None:
        """Made safe in the year it was left what nobody took over; its breaker serves a later circuit."""
        freed = list(self.freed_breakers)
        for outlet in self.outlets:
            if outlet.left is None:
                continue
            year, visit, unit = outlet.left
            self._book_for(unit)
            if not self.shop.building.make_safe or year == lease_over(self.shop, self.course):
                continue  # in the year in which all comes out nothing is made safe first
            machine = self.machines[unit.machine]
            recipe = self._recipe(machine, "make safe")
            self._brew(
                year,
                visit,
                machine,
                recipe,
                outlet.length_ft,
                self._outlet_words(unit, outlet),
                outlet.breaker_a,
                outlet.laid_ft,
            )
            outlet.gone = True
            freed.append((year, outlet.breaker_a, outlet.poles))
        freed.sort()
        panel = self.shop.panels[0] if self.shop.panels else None
        for year, outlet, unit in sorted(self.breakers, key=lambda entry: entry[0]):
            self._book_for(unit)
            asks = (
                ("family", "is", panel.breakers if panel else ""),
                ("poles", "is", outlet.poles),
                ("rating_a", "is", outlet.breaker_a),
                ("ground_fault", "is", False),
            )
            spec = self._spec(self.machines[unit.machine], "breaker", asks)
            free = next(
                (
                    entry
                    for entry in freed
                    if entry[0] <= year and entry[1:] == (outlet.breaker_a, outlet.poles)
                ),
                None,
            )
            if self.life_of[spec] is not None and self.life_of[spec] < self.shop.years:
                raise NotReckoned("Breakers that wear out within the plan are not reckoned.")
            if free:
                freed.remove(free)
            else:
                self.buys.append(Buy(year, self.label, Piece(spec, Decimal(1), "each")))

    def _refuse_crowding(self) -> None:
        """Poles of every outlet that stands, waiting ones too, must fit the panel at the end of each year."""
        made = {id(outlet): year for year, outlet, _ in self.breakers}
        for year in range(self.shop.years):
            standing = [
                outlet
                for outlet in self.outlets
                if made.get(id(outlet), 0) <= year
                and not (outlet.left and outlet.gone and outlet.left[0] <= year)
            ]
            if standing and sum(outlet.poles for outlet in standing) > self.shop.panels[0].spaces_free:
                raise NotReckoned("The panel has not spaces enough for this strategy.")

    def _take_out(self) -> None:
        """What stands at the lease's end comes out, once each; capped runs too where the lease says so."""
        over = lease_over(self.shop, self.course)
        if over is None:
            return
        lease = self.shop.building.lease
        for outlet in self.outlets:
            if outlet.gone and not (lease and lease.capped_too):
                continue
            last = outlet.left[2] if outlet.left else Unit(self.shop.machines[0].name, 0)
            unit = outlet.user or last
            self._book_for(unit)
            machine = self.machines[unit.machine]
            words = self._outlet_words(unit, outlet)
            recipe = self._recipe(machine, "take out")
            feet, device_a = outlet.length_ft, self._device_a(outlet)
            self._brew(over, "year", machine, recipe, feet, words, device_a, outlet.laid_ft)

    # Cords -----------------------------------------------------------------------------------------------

    def _cord(
        self,
        year: int,
        visit: object,
        unit: Unit,
        variant: Variant,
        load: Load,
        configuration: str,
        state: State,
        *,
        moved: bool,
    ) -> None:
        machine = self.machines[unit.machine]
        recipe = self._recipe(machine, "cord set")
        if recipe.quote or recipe.parts:
            raise NotReckoned("A cord set with parts or a quote in its recipe is not reckoned.")
        length = (self._length(unit, state.place, "cord") + variant.slack_ft + recipe.extra_ft) * (
            1 + recipe.waste
        )
        words = self._cord_words(unit, state.place)
        cable = next((thing for thing in state.cord if thing.slot == "cord"), None)
        if (
            cable is not None
            and cable.piece.quantity >= length - variant.slack_ft
            and conductors.awg_rank(_wire_of(cable)) >= conductors.awg_rank(load.cord_awg)
        ):
            if moved:
                self._hang_again(year, visit, machine, state, cable.piece.quantity)
            return
        asks = self._cord_asks(machine, load)
        spec = self._spec(machine, "cord", asks)
        first = cable is None
        if cable is not None:
            state.cord.remove(cable)
            if not self._worn(cable, year):
                self.stock.append(cable)
        taken = self._from_stock(year, "cord", spec, length, (recipe,))
        state.cord.append(taken or self._buy(year, machine, "cord", asks, length, "cord"))
        if not taken:
            self._brew(year, visit, machine, Recipe(tasks=recipe.tasks), length, words)
        if first:
            self._hang(year, visit, machine, state, configuration, length)
        elif moved:
            self._hang_again(year, visit, machine, state, length)

    def _hang_again(self, year: int, visit: object, machine: Machine, state: State, length: Decimal) -> None:
        """A cord that came along is hung at its new place: the work of that, and nothing to buy."""
        hanging = self._recipe(machine, "overhead cord").model_copy(update={"parts": []})
        self._brew(year, visit, machine, hanging, length, self._words(state.place, True))

    def _cord_asks(self, machine: Machine, load: Load) -> Asks:
        hard = [service.value for service in self.shop.cords.service] == ["hard"]
        asks: Asks = (
            ("awg", "wire", load.cord_awg),
            ("conductors", "least", 3),
            ("volts", "least", machine.volts),
        )
        return (*asks, ("service", "is", "hard")) if hard else asks

    def _hang(
        self, year: int, visit: object, machine: Machine, state: State, configuration: str, length: Decimal
    ) -> None:
        """Both ends of a new cord and what it hangs on."""
        words = self._words(state.place, True)
        for slot in ("plug", "connector"):
            state.cord += self._end(year, visit, machine, state, slot, configuration, length)
        if any(thing.slot not in ("cord", "plug", "connector") for thing in self.stock):
            raise NotReckoned("An overhead kit that was set free could be used again; not reckoned.")
        state.cord += self._brew(year, visit, machine, self._recipe(machine, "overhead cord"), length, words)

    def _end(
        self,
        year: int,
        visit: object,
        machine: Machine,
        state: State,
        slot: str,
        configuration: str,
        length: Decimal,
    ) -> list[Thing]:
        """A plug or connector of a cord, from what was set free or new, with what putting it on takes."""
        asks = (("configuration", "is", configuration),)
        work = self._recipe(machine, "cord end")
        taken = self._from_stock(year, slot, self._spec(machine, slot, asks), Decimal(1), (work,))
        if taken:
            return [taken]
        bought = self._buy(year, machine, slot, asks, Decimal(1), slot)
        return [bought, *self._brew(year, visit, machine, work, length, self._words(state.place, True))]

    def _from_stock(
        self, year: int, slot: str, spec: Spec, quantity: Decimal, recipes: tuple[Recipe, ...]
    ) -> Thing | None:
        """A thing set free that serves, with its age; refused where its work or the choice is not plain."""
        fitting = [
            thing
            for thing in self.stock
            if thing.slot == slot
            and thing.piece.spec == spec
            and thing.piece.quantity >= quantity
            and not self._worn(thing, year)
        ]
        if not fitting:
            return None
        if any(recipe.tasks or recipe.parts for recipe in recipes):
            raise NotReckoned("The work of using a free cord or its ends again is not said plainly.")
        if self.rivals or len({(thing.piece.quantity, thing.born) for thing in fitting}) > 1:
            raise NotReckoned("More than one assignment of what was set free is possible.")
        self.stock.remove(fitting[0])
        return fitting[0]

    def _care(self, year: int, there: dict[Unit, str]) -> None:
        """Care of every cord that was there in the year, of a machine that leaves at its end too."""
        for unit, place in there.items():
            self._book_for(unit)
            variant = self.variants[unit.machine]
            if variant.quoted or variant.method is not Method.CORD:
                continue
            machine = self.machines[unit.machine]
            words = self._cord_words(unit, self.states[unit].place or place)
            self._brew(year, "year", machine, self._recipe(machine, "yearly cord care"), Decimal(0), words)

    # Wear ------------------------------------------------------------------------------------------------

    def _worn(self, thing: Thing, year: int) -> bool:
        life = self.life_of[thing.piece.spec]
        return life is not None and thing.born + life <= year

    def _wear(self, year: int) -> None:
        for outlet in self.outlets:
            if outlet.user is not None:
                self._renew(year, outlet.user, outlet.things, outlet)
        for unit, state in self.states.items():
            if state.place:
                self._renew(year, unit, state.cord, None)

    def _renew(self, year: int, unit: Unit, things: list[Thing], outlet: Outlet | None) -> None:
        self._book_for(unit)
        machine = self.machines[unit.machine]
        for thing in things:
            if not self._worn(thing, year):
                continue
            kind = thing.piece.spec.kind
            thing.born = year
            self.buys.append(Buy(year, self.label, thing.piece))
            words = (
                self._outlet_words(unit, outlet)
                if outlet
                else self._cord_words(unit, self.states[unit].place)
            )
            own = self._recipes(machine).get(f"renew {kind}")
            if own is None and kind == "cord":
                own = Recipe(tasks=self._recipe(machine, "cord set").tasks)
            elif own is None and kind == "overhead kit":
                own = Recipe(tasks=self._recipe(machine, "overhead cord").tasks)
            elif own is None:
                own = self._recipe(machine, CHANGE.get(kind, f"renew {kind}"))
            length = thing.piece.quantity if kind == "cord" else outlet.length_ft if outlet else Decimal(0)
            for taken in self._brew(year, "year", machine, own, length, words):
                if self.life_of[taken.piece.spec] is not None:
                    raise NotReckoned("A part with a life in a recipe of renewing is not reckoned.")
