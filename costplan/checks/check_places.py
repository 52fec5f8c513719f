"""Rules over what places are to the code: what is said must count, and what decides money is asked."""

from collections.abc import Iterator
from decimal import Decimal

from costplan.checks.check_effects import worked_at
from costplan.files.problems import Problem
from costplan.files.yaml_reader import Trail
from costplan.model.catalog import FLUSH_PANEL, INTO_MACHINE, RATED_WALL
from costplan.model.choices import Method
from costplan.model.conditions import SpaceWords
from costplan.model.pair import NO_EFFECT, Pair, Rule
from costplan.model.quoted import quotes_only
from costplan.model.ratings import CLAMPING, CORD_GRIP, FILLER_PLATE, GRIP_FROM_IN, GRIP_TO_IN, JACKET_IN
from costplan.model.spaces import Space, spaces
from costplan.model.spaces import told as spaces_told

CABLE = "building cable"
"""The kind of part that is laid in walls."""
_WORDS = tuple(SpaceWords.model_fields)


def places_are_where_outlets_are(pair: Pair) -> Iterator[Problem]:
    """Questions about what the code calls a place where no outlet can be."""
    there = worked_at(pair)
    for index, spot in enumerate(pair.shop.places):
        for word in _WORDS:
            if getattr(spot, word) is not None and spot.name not in there:
                message = f'is said of "{spot.name}", where no machine stands or comes to and no panel hangs'
                where: Trail = ("places", index, word)
                yield pair.in_shop("place-fact-unused", where, message, NO_EFFECT, question=True, key=True)


def listed_places_are_no_dwellings(pair: Pair) -> Iterator[Problem]:
    """Questions about places of NEC 210.8(B), which is not about dwellings."""
    for where, space in _said(pair, "ground_fault_place"):
        if all(each.occupancy.dwelling for each in space):
            message = f"is said of a {space[0].occupancy}, which 210.8(A) rules and not 210.8(B)"
            yield pair.in_shop("ground-fault-dwelling", where, message, NO_EFFECT, question=True)


def small_children_count(pair: Pair) -> Iterator[Problem]:
    """Questions about small children where they decide nothing: dwellings have tamper-resistant receptacles anyway."""
    code = pair.shop.code
    if code.small_children is not None and all(
        each.occupancy.dwelling for each in spaces(pair.shop).values()
    ):
        message = f"is said of a {code.occupancy}, where receptacles are tamper-resistant anyway (NEC 406.12)"
        where: Trail = ("code", "small_children")
        yield pair.in_shop("children-dwelling", where, message, NO_EFFECT, question=True)


def types_of_construction_count(pair: Pair) -> Iterator[Problem]:
    """Questions about types and finishes that decide nothing: in dwellings, and finishes where the type decides."""
    for word in ("construction", "finished_walls"):
        for where, space in _said(pair, word):
            if all(each.occupancy.dwelling for each in space):
                if word == "finished_walls":
                    continue  # whoever bids reads it
                message = f"is said of a {space[0].occupancy}, where nonmetallic cable goes into any type (NEC 334.10(1))"
                yield pair.in_shop("construction-dwelling", where, message, NO_EFFECT, question=True)
            elif word == "finished_walls" and all(
                each.construction is not None and not each.construction.takes_cable for each in space
            ):
                message = "is said of a building of type I or II, where nonmetallic cable is not laid anyway"
                yield pair.in_shop("finish-no-cable", where, message, NO_EFFECT, question=True)


def _said(pair: Pair, word: str) -> Iterator[tuple[Trail, list[Space]]]:
    """Where a word is said, with the spaces that it holds for; for the shop those of places that have no word of their own."""
    shop = pair.shop
    known = spaces(shop)
    holder, whole = ("code", shop.code) if word == "ground_fault_place" else ("building", shop.building)
    if getattr(whole, word) is not None:
        mine = [known[spot.name] for spot in shop.places if getattr(spot, word) is None]
        yield (holder, word), [known[""], *mine]
    for index, spot in enumerate(shop.places):
        if getattr(spot, word) is not None:
            yield ("places", index, word), [known[spot.name]]
    for trail, event in pair.events():
        if event.building is not None and getattr(event.building, word) is not None:
            yield (*trail, "building", word), [spaces_told(known[""], event.building)]


def cable_is_known(pair: Pair) -> Iterator[Problem]:
    """Questions about what decides whether cable may be in the walls outside dwellings."""
    shop = pair.shop
    kinds = [kind for kind in pair.catalog.kinds if kind.kind == CABLE]
    if not kinds or quotes_only(shop) or Method.WALL in shop.building.forbid:
        return
    said = "occupancy" in shop.code.model_fields_set
    outside = [space for space in spaces(shop).values() if not space.occupancy.dwelling]
    told = (said and not shop.code.occupancy.dwelling) or any(
        spot.occupancy is not None and not spot.occupancy.dwelling for spot in shop.places
    )
    if kinds[0].nonmetallic is None:
        if told:
            message = "does not say whether its sheath is nonmetallic, as of most cable that is laid in walls"
            mend = "write nonmetallic: true, or false; until then it is priced in any wall"
            where: Trail = ("kinds", pair.catalog.kinds.index(kinds[0]))
            yield pair.in_file("kinds.yaml", "cable-nonmetallic", where, message, mend, question=True)
    elif kinds[0].nonmetallic and outside and all(space.construction is None for space in outside):
        message = "says no type of construction, which decides whether nonmetallic cable may be in the walls"
        mend = (
            "ask the landlord or the permit office, then write construction: type V, or whichever it is; until then no "
            "such cable is ranked outside dwellings (NEC 334.10)"
        )
        yield pair.in_shop("construction-unknown", ("building",), message, mend, question=True)


def panels_stand_in_a_space(pair: Pair) -> Iterator[Problem]:
    """Questions about panels without a place where places differ to the code: outlets beside them go by it."""
    if len(set(spaces(pair.shop).values())) < 2:
        return
    for index, panel in enumerate(pair.shop.panels):
        if panel.place is None:
            message = f'says no place for "{panel.name}", though places differ to the code'
            mend = "write place:; until then an outlet beside it goes by what code: and building: say"
            yield pair.in_shop("panel-place-unknown", ("panels", index), message, mend, question=True)


def walls_that_are_worked_in_have_recipes(pair: Pair) -> Iterator[Problem]:
    """Questions about flush panels and fire-rated walls whose work no recipe has, so that it counts for nothing."""
    shop = pair.shop
    named: list[tuple[str, Trail]] = [
        (FLUSH_PANEL, ("panels", index, "flush")) for index, panel in enumerate(shop.panels) if panel.flush
    ]
    named += [(RATED_WALL, ("building", "rated_walls"))] if shop.building.rated_walls else []
    named += [
        (RATED_WALL, ("routes", index, "rated_walls"))
        for index, route in enumerate(shop.routes)
        if route.rated_walls
    ]
    named += [
        (RATED_WALL, (*trail, "route", "rated_walls"))
        for trail, machine in pair.machines()
        if machine.route is not None and machine.route.rated_walls
    ]
    said = set()
    for recipe, trail in named:
        own = any(recipe in machine.recipes for _, machine in pair.machines())
        if recipe in said or own or recipe in shop.recipes or recipe in pair.catalog.recipes:
            continue
        said.add(recipe)
        message = f'is said, and no recipe "{recipe}" says what that takes'
        mend = f'{NO_EFFECT}, or add the recipe "{recipe}" with its tasks to recipes.yaml or to recipes: here'
        yield pair.in_shop("wall-no-recipe", trail, message, mend, question=True)


def grips_and_jackets_are_known(pair: Pair) -> Iterator[Problem]:
    """Grips hold from a smaller jacket to a larger one; questions about those, and cords, of which nothing is said."""
    asked = INTO_MACHINE in pair.catalog.recipes or INTO_MACHINE in pair.shop.recipes
    for index, part in enumerate(pair.catalog.parts):
        have = part.attributes
        where: Trail = ("parts", index)
        low, high = have.get(GRIP_FROM_IN), have.get(GRIP_TO_IN)
        if low is not None and high is not None:
            if isinstance(low, Decimal) and isinstance(high, Decimal) and low > high:
                message = f"is {low:f}, above {GRIP_TO_IN}, {high:f}"
                at = (*where, "attributes", GRIP_FROM_IN)
                yield pair.in_file("parts.yaml", "grip-range", at, message, "swap them")
        elif part.kind == CORD_GRIP and asked:
            message = "does not say which jackets it holds, so it is bought for no cord that is wired into a machine"
            mend = f"write {GRIP_FROM_IN} and {GRIP_TO_IN}, in inches, as they stand on it"
            yield pair.in_file("parts.yaml", "grip-unknown", where, message, mend, question=True)
        elif part.kind in CLAMPING and low is not None:
            message = f"says {GRIP_FROM_IN} and not {GRIP_TO_IN}, so its clamp counts as unknown"
            mend = f"write {GRIP_TO_IN} too, in inches"
            yield pair.in_file("parts.yaml", "clamp-unknown", where, message, mend, question=True)
        if part.kind == "cord" and asked and JACKET_IN not in have:
            message = "does not say how thick its jacket is, so it is not wired into a machine"
            mend = f"measure it and write {JACKET_IN}, in inches"
            yield pair.in_file("parts.yaml", "jacket-unknown", where, message, mend, question=True)


def plates_go_by_the_panel(pair: Pair) -> Iterator[Problem]:
    """Questions about recipes that have filler plates: they are bought with none."""
    for complain, trail, _, recipe in pair.recipes():
        if any(part.kind == FILLER_PLATE for part in recipe.parts):
            message = (
                "has filler plates, which no recipe buys: the openings that stay depend on the whole panel"
            )
            mend = "leave them out; the scope sheet counts them, and whoever closes the panel brings them"
            yield complain("plates-by-recipe", trail, message, mend, question=True)


RULES: tuple[Rule, ...] = (
    places_are_where_outlets_are,
    listed_places_are_no_dwellings,
    small_children_count,
    types_of_construction_count,
    cable_is_known,
    panels_stand_in_a_space,
    grips_and_jackets_are_known,
    walls_that_are_worked_in_have_recipes,
    plates_go_by_the_panel,
)
"""What must hold of places, and of what goes by them."""
