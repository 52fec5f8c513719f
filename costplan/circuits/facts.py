"""A shop and its catalog together, with the look-ups that circuits need."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cached_property
from typing import Any

from costplan.circuits.needs import Bundle, Need, Slowed, Slowing, Spec
from costplan.circuits.recipes import expand, rounded_up
from costplan.circuits.size_types import CircuitSize, Rules
from costplan.circuits.sold import Sold, sold_of
from costplan.circuits.things import PartKind
from costplan.model.brought import panels_of
from costplan.model.catalog import Catalog, Kind, Part, Recipe
from costplan.model.conditions import SpaceWords
from costplan.model.experience import Experience, PaceExperience, crews_by_name, experiences, pace_experiences
from costplan.model.gear import SERVICE, Gear, GearKind
from costplan.model.hour_factors import HourFactor, of_ceiling, speaks_of_ceiling
from costplan.model.installed import SMALLEST_CIRCUIT_A, USUAL_SMALLEST_A, installed_size
from costplan.model.labor import Crew, JobCharge, Role, Task
from costplan.model.layouts import TakenAway
from costplan.model.left_out import LeftOut, Without, left_out_of
from costplan.model.ratings import CORD_GRIP, GRIP_FROM_IN, GRIP_TO_IN
from costplan.model.routes import RouteBook
from costplan.model.shop import Machine, Panel, Shop
from costplan.model.spaces import Space, spaces, told
from costplan.model.spelled_out import SpelledOut, spelled_out
from costplan.model.system import LINE_VOLTS
from costplan.model.tandems import with_pairs

DRIVE = "drive"
"""The kind of part that makes three phases of one for one machine."""


@dataclass(frozen=True)
class Facts:
    """Everything the user wrote, read once."""

    written: Shop
    """The shop as the user wrote it."""
    catalog: Catalog

    @cached_property
    def spelled_out(self) -> SpelledOut:
        """The shop with every short form written out."""
        return spelled_out(self.written)

    @cached_property
    def shop(self) -> Shop:
        """The plain shop: groups divided, every machine at a place, every event in one year, tandem breakers by ratings."""
        return with_pairs(self.spelled_out.shop)

    @cached_property
    def group_of(self) -> Mapping[str, str]:
        """The name the user wrote, by machine."""
        return self.spelled_out.group_of

    @cached_property
    def routes(self) -> RouteBook:
        """Lengths of runs."""
        return RouteBook(self.shop, self.panels)

    @cached_property
    def kinds(self) -> Mapping[str, Kind]:
        """Part kinds by name."""
        return {kind.kind: kind for kind in self.catalog.kinds}

    @cached_property
    def tasks(self) -> Mapping[str, Task]:
        """Tasks by id, their hours moved towards those of the shop's own jobs."""
        return {name: known.task for name, known in self.experience.items()}

    @cached_property
    def experience(self) -> Mapping[str, Experience]:
        """Tasks by id with what stands behind their hours."""
        return experiences(self.catalog.tasks, self.catalog.jobs, self._said_crews)

    @cached_property
    def pace_experience(self) -> Mapping[str, PaceExperience]:
        """Crews by name with what stands behind their pace."""
        return pace_experiences(self.catalog.tasks, self.catalog.jobs, self._said_crews)

    @cached_property
    def _said_crews(self) -> Mapping[str, Crew]:
        return crews_by_name((*self.catalog.crews, *self.shop.crews))

    @cached_property
    def crews(self) -> tuple[Crew, ...]:
        """All crews, at the pace in force; the shop's replace the catalog's of the same name."""
        return tuple(known.crew for known in self.pace_experience.values())

    @cached_property
    def owner(self) -> Crew:
        """The owner's crew, the shop file's before the catalog's; one whose time is worth nothing when none is listed."""
        owners = [crew for crew in self.crews if crew.role is Role.OWNER]
        return owners[-1] if owners else Crew.model_validate({"name": "owner", "role": "owner", "rate": 0})

    @cached_property
    def parts(self) -> Mapping[str, Part]:
        """Parts by id."""
        return {part.id: part for part in self.catalog.parts}

    @cached_property
    def machines(self) -> Mapping[str, Machine]:
        """Machines by name."""
        return {machine.name: machine for machine in self.shop.machines}

    @cached_property
    def taken_away(self) -> frozenset[str]:
        """Machines of the plain shop that a layout takes away today."""
        return frozenset(name for name, machine in self.machines.items() if isinstance(machine, TakenAway))

    @cached_property
    def left_out(self) -> tuple[Without, ...]:
        """Machines that no way can power and that are in no figure, by the name the user wrote."""
        return left_out_of(self.written.machines)

    @cached_property
    def not_powered(self) -> frozenset[str]:
        """Machines of the plain shop that no plan powers: those taken away today, and those left out."""
        out = {name for name, machine in self.machines.items() if isinstance(machine, LeftOut)}
        return self.taken_away | out

    @cached_property
    def panels(self) -> Mapping[str, Panel]:
        """Panels by name: those that are there, then those that gear brings or would bring."""
        return panels_of(self.shop, self.catalog.parts)

    @cached_property
    def gear(self) -> Mapping[str, Gear]:
        """Shared gear by name."""
        return {gear.name: gear for gear in self.shop.gear}

    def line_volts(self, panel: str) -> int:
        """Volts between the lines of a panel, which its breakers and disconnects are rated for."""
        service = self.shop.service if panel == SERVICE else None
        return LINE_VOLTS[service.system if service is not None else self.panels[panel].system]

    @cached_property
    def highest_line_volts(self) -> int:
        """The highest volts between lines of any panel."""
        return max((self.line_volts(name) for name in self.panels), default=0)

    @cached_property
    def spaces(self) -> Mapping[str, Space]:
        """What the code calls the space at every place, by its name; the empty name is the shop."""
        return spaces(self.shop)

    def space_at(self, place: str, there: SpaceWords | None = None) -> Space:
        """What the code calls the space at a place, as the shop says where the place says nothing.

        there: what is said of another building; its places have no words of their own.
        """
        if there is not None:
            return told(self.spaces[""], there)
        return self.spaces.get(place) or self.spaces[""]

    def place_of_panel(self, panel: str) -> str:
        """The place a panel hangs at; empty where nobody said."""
        known = self.panels.get(panel)
        return (known.place or "") if known is not None else ""

    @cached_property
    def _rules_by_space(self) -> dict[Space, Rules]:
        return {}

    def rules_at(self, place: str, there: SpaceWords | None = None) -> Rules:
        """The code facts that sizing asks for, for an outlet at a place; `there`: in a building of which so much is said."""
        space = self.space_at(place, there)
        if space not in self._rules_by_space:
            self._rules_by_space[space] = replace(
                self.rules, occupancy=space.occupancy, ground_fault_place=space.ground_fault_place
            )
        return self._rules_by_space[space]

    @cached_property
    def rules(self) -> Rules:
        """The code facts that sizing asks for, where no place has its own."""
        code = self.shop.code
        return Rules(
            code.edition,
            code.occupancy,
            code.ground_fault_place,
            code.drop_limit,
            code.ambient_c,
            code.terminals_c,
            code.starting_margin,
            int(code.smallest_circuit_a or self._smallest_by_habit_a),
            code.small_children,
        )

    @property
    def _smallest_by_habit_a(self) -> int:
        """20 A, so that any outlet takes any small machine; 15 A where the shop has 15 A circuits, so that those serve."""
        there = [machine.now.breaker_a for machine in self.shop.machines if machine.now is not None]
        idle = [installed_size(outlet).breaker_a for outlet in self.shop.installed]
        return SMALLEST_CIRCUIT_A if SMALLEST_CIRCUIT_A in (*there, *idle) else USUAL_SMALLEST_A

    def converters_above(self, panel: str) -> list[tuple[Gear, Part]]:
        """The phase converters between a panel and the service, with their parts, nearest first."""
        found, name = [], panel
        while name in self.panels:
            gear = self.gear.get(name)
            if gear is not None and gear.kind is GearKind.CONVERTER:
                found.append((gear, self.parts[gear.part or ""]))
            name = self.panels[name].fed_from or ""
        return found

    @cached_property
    def known_lives(self) -> dict[tuple[Spec, Decimal, int], tuple[int, ...]]:
        """Lives of the parts that meet a spec, worked out once."""
        return {}

    @cached_property
    def wearing_kinds(self) -> frozenset[str]:
        """Kinds of which some part has a life."""
        kinds = {kind.kind for kind in self.catalog.kinds if kind.life_years is not None}
        return frozenset(kinds | {part.kind for part in self.catalog.parts if part.life_years is not None})

    @cached_property
    def sold(self) -> Mapping[str, Sold]:
        """Parts by id that somebody sells at a price, and how: all that circuits and ways look at of prices."""
        return sold_of(self.catalog.offers)

    @cached_property
    def priced_parts(self) -> frozenset[str]:
        """Ids of parts that somebody sells at a price."""
        return frozenset(self.sold)

    def at_prices(self, prices: Mapping[int, Decimal]) -> "Facts":
        """The same at other prices, by row of the offers.

        All that is remembered here stays where the same is sold, since nothing else of a price is looked at.
        """
        offers = [
            offer.model_copy(update={"price_cents": prices[offer.row]}) if offer.row in prices else offer
            for offer in self.catalog.offers
        ]
        other = Facts(self.written, self.catalog.model_copy(update={"offers": offers}))
        sold, unpriced = self.sold, self.offers_without_price
        if unpriced.isdisjoint(prices) or other.sold == sold:
            known = {"catalog": other.catalog, "offers_without_price": unpriced.difference(prices)}
            other.__dict__.update(self.__dict__ | known)
        return other

    @cached_property
    def offers_without_price(self) -> frozenset[int]:
        """Rows of offers that have no price."""
        return frozenset(offer.row for offer in self.catalog.offers if offer.price_cents is None)

    @cached_property
    def drives_there(self) -> tuple[Part, ...]:
        """Drives that are in the shop, on machines or on the shelf, each kind of them once."""
        ids = [stored.part for stored in self.shop.shelf]
        ids += [m.now.drive for m in self.shop.machines if m.now is not None and m.now.drive is not None]
        return tuple(self.parts[part] for part in dict.fromkeys(ids) if self.parts[part].kind == DRIVE)

    @cached_property
    def cord_lengths_there(self) -> tuple[int, ...]:
        """Lengths of the cords that are in the shop, hanging or on the shelf, whole feet."""
        hanging = [
            m.now.cord.length_ft for m in self.shop.machines if m.now is not None and m.now.cord is not None
        ]
        stored = [
            s.length_ft for s in self.shop.shelf if s.length_ft and self.parts[s.part].kind == PartKind.CORD
        ]
        return tuple(sorted({int(length) for length in (*hanging, *stored)}))

    @cached_property
    def parts_to_be_had(self) -> frozenset[str]:
        """Ids of parts that somebody sells at a price, or that lie on the shelf."""
        return self.priced_parts | {stored.part for stored in self.shop.shelf}

    @cached_property
    def offered_or_had(self) -> frozenset[str]:
        """Ids of parts that somebody offers, at whatever price, or that are to be had."""
        return self.offered_parts | self.parts_to_be_had

    def has_recipe(self, name: str, machine: Machine | None = None) -> bool:
        """Whether there is a recipe of this name."""
        own = machine.recipes if machine is not None else {}
        return any(name in book for book in (own, self.shop.recipes, self.catalog.recipes))

    def slowed(self, place: str, panel: str = "", *, along: bool = False) -> Slowed:
        """What makes work at a place slower; `along`: and along the route there from the panel.

        The ceiling's height does by itself, unless the place or the route says otherwise.
        """
        return self._slowed_by((place, panel if along else None, True))

    @cached_property
    def _slowed(self) -> dict[tuple[str, str | None, bool], Slowed]:
        return {}

    def _slowed_by(self, asked: tuple[str, str | None, bool]) -> Slowed:
        if asked not in self._slowed:
            self._slowed[asked] = self._made_slower(*asked)
        return self._slowed[asked]

    def _made_slower(self, place: str, panel: str | None, overhead: bool) -> Slowed:
        spot = next((spot for spot in self.shop.places if spot.name == place), None)
        route = next((r for r in self.shop.routes if (r.start, r.end) == (panel, place)), None)
        said = [each.said_hour_factors for each in (spot, route) if each is not None]
        words = list(dict.fromkeys(word for named in said for word in named or ()))
        if overhead and not speaks_of_ceiling(said, self.hour_factors):
            words += [word for word in self.of_ceiling if word not in words]
        known = ((word, self.hour_factors[word]) for word in words if word in self.hour_factors)
        return Slowed(tuple(Slowing(word, by.factor, tuple(by.tasks)) for word, by in known))

    @cached_property
    def of_ceiling(self) -> tuple[str, ...]:
        """Names of the factors that the height of the ceiling brings by itself."""
        book, own = self.catalog.hour_factors, self.shop.hour_factors
        return of_ceiling(book, own, self.shop.building.ceiling_height_ft)

    @cached_property
    def hour_factors(self) -> Mapping[str, HourFactor]:
        """What makes work slower, by name; the shop's replace the catalog's."""
        return {**self.catalog.hour_factors, **self.shop.hour_factors}

    def slowed_at_panel(self, panel: str) -> Slowed:
        """What makes work in a panel and beside it slower: nothing there hangs from the ceiling."""
        return self._slowed_by((self.place_of_panel(panel), None, False))

    @cached_property
    def kinds_there(self) -> frozenset[str]:
        """Kinds of parts that are in the shop as things of their own: on the shelf, or on a cord that may come apart."""
        there = {self.parts[stored.part].kind for stored in self.shop.shelf}
        corded = any(m.now is not None and m.now.cord is not None for m in self.shop.machines)
        ended = any(stored.plug is not None for stored in self.shop.shelf)
        return frozenset(there | ({"plug"} if corded or ended else set()))

    @cached_property
    def _receptacles(self) -> frozenset[tuple[str, frozenset[str]]]:
        """Receptacles to be had: the configuration, and what they state of themselves that is so."""
        found = [
            part.attributes
            for part in self.catalog.parts
            if part.kind == PartKind.RECEPTACLE and part.id in self.parts_to_be_had
        ]
        return frozenset(
            (str(says["configuration"]), frozenset(word for word in says if says[word] is True))
            for says in found
        )

    def has_receptacle(self, configuration: str | None, *words: str) -> bool:
        """Whether a receptacle, None for whichever, is to be had that states all of these words, as `ground_fault`."""
        return any(
            configuration in (None, code) and stated.issuperset(words) for code, stated in self._receptacles
        )

    @cached_property
    def nonmetallic(self) -> frozenset[str]:
        """Kinds of cable that the catalog says are nonmetallic-sheathed."""
        return frozenset(kind.kind for kind in self.catalog.kinds if kind.nonmetallic)

    @cached_property
    def offered_parts(self) -> frozenset[str]:
        """Ids of parts that somebody offers, at a price or with the price to be asked."""
        return frozenset(offer.part for offer in self.catalog.offers)

    @cached_property
    def parts_by_kind(self) -> Mapping[str, tuple[Part, ...]]:
        """Parts by kind, in the catalog's order."""
        found: dict[str, list[Part]] = {}
        for part in self.catalog.parts:
            found.setdefault(part.kind, []).append(part)
        return {kind: tuple(parts) for kind, parts in found.items()}

    @cached_property
    def _parts_meeting(self) -> dict[Spec, tuple[Part, ...]]:
        return {}

    def parts_meeting(self, spec: Spec) -> tuple[Part, ...]:
        """Parts of the catalog that meet or exceed a spec, whoever has them; looked through once a spec."""
        if spec not in self._parts_meeting:
            parts = self.parts_by_kind.get(spec.kind, ())
            self._parts_meeting[spec] = tuple(part for part in parts if spec.met_by(part))
        return self._parts_meeting[spec]

    @cached_property
    def on_offer(self) -> Mapping[str, tuple[Part, ...]]:
        """Parts by kind that somebody offers, or that are to be had."""
        return {
            kind: tuple(part for part in parts if part.id in self.offered_or_had)
            for kind, parts in self.parts_by_kind.items()
        }

    def recipe(self, name: str, machine: Machine | None = None) -> Recipe:
        """The machine's recipe, else the shop's, else the catalog's. Raises KeyError when there is none."""
        own = machine.recipes if machine is not None else {}
        for book in (own, self.shop.recipes, self.catalog.recipes):
            if name in book:
                return book[name]
        raise KeyError(f'no recipe "{name}"')

    def run_length_ft(self, recipe: Recipe, route_ft: Decimal) -> int:
        """Whole feet of wiring for a route: route, extra and waste."""
        return rounded_up((route_ft + recipe.extra_ft) * (1 + recipe.waste))

    @cached_property
    def jackets(self) -> dict[tuple[Spec, bool], list[Decimal]]:
        """Jackets of the thinnest cords that would do, looked for once a spec."""
        return {}

    @cached_property
    def grip_ranges(self) -> tuple[tuple[Decimal, Decimal], ...]:
        """The smallest and the largest jacket that each grip on offer holds, inches, rising."""
        stated = (part.attributes for part in self.on_offer.get(CORD_GRIP, ()))
        known = {
            (Decimal(str(says[GRIP_FROM_IN])), Decimal(str(says[GRIP_TO_IN])))
            for says in stated
            if GRIP_FROM_IN in says and GRIP_TO_IN in says
        }
        return tuple(sorted(known))

    @cached_property
    def builders(self) -> dict[tuple[Any, ...], Any]:
        """What builds circuits, by machine and way, so that no circuit is built twice."""
        return {}

    @cached_property
    def _expanded(self) -> dict[tuple[object, ...], Bundle]:
        return {}

    def expanded(
        self,
        name: str,
        machine: Machine | None = None,
        *,
        length_ft: int = 0,
        laid_ft: Decimal | None = None,
        size: CircuitSize | None = None,
        trade_size: str = "",
    ) -> Bundle:
        """Parts and work of the recipe in force, for one run of which `length_ft` whole feet are bought.

        Tasks, charges and quotes by the foot count the `laid_ft` of its route, since ends and waste are bought and not
        laid; left out, they are as long.

        Attributes that a kind asks for and the recipe leaves open follow the circuit's size. Equal questions get the very
        same bundle, but of a machine that is told otherwise than in the shop. Raises KeyError when there is no recipe.
        """
        asked = length_ft, laid_ft, size, trade_size
        owner = machine.name if machine is not None and name in machine.recipes else ""
        if owner and machine is not self.machines.get(owner):
            return expand(self, self.recipe(name, machine), *asked)
        key = owner, name, *asked
        found = self._expanded.get(key)
        if found is None:
            found = self._expanded[key] = expand(self, self.recipe(name, machine), *asked)
        return found

    @cached_property
    def charges(self) -> Mapping[str, JobCharge]:
        """Charges by id."""
        return {charge.id: charge for charge in self.catalog.charges}

    def conductors(self, spec: Spec, pieces: int, length_ft: int) -> Need:
        """A need for wire, cable or cord, in unbroken pieces or by the foot as the kind is sold."""
        if spec.kind in self.kinds and self.kinds[spec.kind].sold == "length":
            return Need(spec, pieces * length_ft)
        return Need(spec, pieces, length_ft)
