"""Rules over the catalog: names that must be known, attributes, units of prices, stale and missing prices."""

import re
from collections.abc import Iterator
from decimal import Decimal
from functools import cache

from costplan.files.problems import Problem, allowed_words, nearest
from costplan.files.yaml_reader import Trail
from costplan.model import converters
from costplan.model.amending import misfits
from costplan.model.base import LARGEST_COUNT
from costplan.model.catalog import (
    BESIDE_BY_CABLE,
    BESIDE_IN_CONDUIT,
    FLUSH_PANEL,
    GEAR_RECIPE_NAMES,
    HARD_WIRED_LEAD,
    HEATER_LEAD,
    INTO_MACHINE,
    MACHINE_LEAD,
    MACHINE_SWITCH,
    MOVED_DROP_RECIPES,
    PIGTAILS,
    RATED_WALL,
    RECIPE_NAMES,
    RENEW,
    SURPLUS,
    Condition,
    Kind,
    Part,
)
from costplan.model.labor import Role
from costplan.model.nameplate import Enclosure, known_enclosure
from costplan.model.pair import Pair, Rule, plain, unknown
from costplan.model.quoted import quotes_only
from costplan.model.ratings import ASKED_OF, HORSEPOWER_MARKS, INCHES, MAY_STATE, WHY_ASKED
from costplan.model.shop import MOST_SPACES
from costplan.standards import conductors, overcurrent, receptacles, tables
from costplan.standards.conductors import is_awg
from costplan.standards.cords import cord_sizes

_CONFIGURATION = re.compile(r"NEMA (?:L|TT-?)?[0-9]+-[0-9]+|IEC 60309 .+")
_NUMBERS = frozenset(
    {
        "rating_a",
        "second_rating_a",
        "poles",
        "conductors",
        "volts",
        "hp",
        "largest_motor_hp",
        "output_a",
        "input_a",
        "idle_w",
        "efficiency",
        "phases",
        "spaces",
        "tandems",
        "rpm",
        "shaft_in",
        "kva",
        "winding_v",
        "boost_v",
    }
)
_MAY_STATE = {**MAY_STATE, converters.KIND: converters.MAY_STATE}
LARGEST_JACKET_IN = 4
"""No flexible cord is thicker, so that a figure in millimeters is found out; common practice, no source."""
_MOST = {"spaces": MOST_SPACES, "poles": 4, "phases": 3, "conductors": 100, "volts": 1000}
"""The most that a part can have of something; volts are low voltage."""
_YES_NO = frozenset({"ground_fault", "tamper_resistant", "weather_resistant", "weatherproof"})
_WIRE_SIZES = frozenset({"awg", "ground_awg"})
_LISTS = (
    ("parts.yaml", "parts", "id", "part"),
    ("kinds.yaml", "kinds", "kind", "kind"),
    ("suppliers.yaml", "suppliers", "id", "supplier"),
    ("labor.yaml", "tasks", "id", "task"),
    ("labor.yaml", "charges", "id", "charge"),
    ("labor.yaml", "crews", "name", "crew"),
)


def configuration_problem(text: str) -> tuple[str, str] | None:
    """Message and mend when `text` is no receptacle configuration as the tables name them, else None."""
    if receptacles.known(text) is not None:
        return None
    if _CONFIGURATION.fullmatch(text):
        source = f"{tables.cite(receptacles.NEMA)}; {tables.cite(receptacles.IEC)}"
        return f'is "{text}", which the tables do not have ({source})', allowed_words(text, _kin(text))
    likely = re.sub(r"\s+", " ", text.strip().upper().replace("_", "-").replace("NEMA-", "NEMA "))
    likely = re.sub(r"(?<=[0-9])[RPC]$", "", likely)
    likely = likely if likely.startswith(("NEMA", "IEC")) else f"NEMA {likely}"
    hint = f'. Did you mean "{likely}"?' if receptacles.known(likely) is not None else ""
    return (
        f'is "{text}", not a receptacle configuration',
        f"write it like NEMA L6-30 or {receptacles.iec_code(30, '250', 3, 9)}{hint}",
    )


def _kin(configuration: str) -> list[str]:
    """Known configurations that begin alike, else all."""
    codes = [device.code for device in receptacles.configurations()]
    start = configuration.rpartition("-")[0] + "-"
    return [code for code in codes if code.startswith(start)] or codes


def repeated_ids(pair: Pair) -> Iterator[Problem]:
    """Ids and names stand for one thing each."""
    for file, name, word, what in _LISTS:
        first: dict[str, int] = {}
        for index, entry in enumerate(getattr(pair.catalog, name)):
            said = getattr(entry, word)
            if said in first:
                _, place = pair.files[file].nearest((name, first[said]))
                line = place.line if place else 0
                message = f'is "{said}", which is taken by the {what} in line {line}'
                yield pair.in_file(
                    file, f"{what}-repeated", (name, index, word), message, "give it another name"
                )
            first.setdefault(said, index)


def parts_fit_their_kinds(pair: Pair) -> Iterator[Problem]:
    """Every part is of a known kind and has the kind's attributes, no fewer and no others."""
    kinds = pair.kinds()
    for index, part in enumerate(pair.catalog.parts):
        trail: Trail = ("parts", index)
        kind = kinds.get(part.kind)
        if kind is None:
            message, mend = unknown("kind", part.kind, kinds)
            yield pair.in_file("parts.yaml", "part-kind", (*trail, "kind"), message, mend)
            continue
        for name in kind.attributes:
            if name not in part.attributes:
                message = f'lacks the attribute "{name}", which every {part.kind} must state'
                mend = f"add {name} under attributes"
                yield pair.in_file(
                    "parts.yaml", "part-attribute-missing", (*trail, "attributes"), message, mend
                )
        yield from _attributes(pair, part, kind, trail)


def kinds_state_what_is_asked(pair: Pair) -> Iterator[Problem]:
    """Kinds list the attribute that every circuit asks of their parts; what may be stated besides is known."""
    for index, kind in enumerate(pair.catalog.kinds):
        asked = ASKED_OF.get(kind.kind)
        if asked is not None and asked not in kind.attributes:
            message = f'lacks "{asked}" among the attributes of the kind {kind.kind}: {WHY_ASKED[asked]}'
            listed = ", ".join((*kind.attributes, asked))
            mend = f"write attributes: [{listed}], and {asked} for each {kind.kind} in parts.yaml"
            yield pair.in_file("kinds.yaml", "kind-attribute-missing", ("kinds", index), message, mend)
        marks = _MAY_STATE.get(kind.kind, ())
        for place, name in enumerate(kind.may_state):
            if name not in marks:
                message = f'is "{name}", which nothing asks of a part that states it'
                mend = allowed_words(name, marks, at_most=len(marks))
                where = ("kinds", index, "may_state", place)
                yield pair.in_file("kinds.yaml", "kind-may-state", where, message, mend)


def _attributes(pair: Pair, part: Part, kind: Kind, trail: Trail) -> Iterator[Problem]:
    for name, value in part.attributes.items():
        where = (*trail, "attributes", name)
        if name not in (*kind.attributes, *kind.may_state):
            message = f"is not an attribute of the kind {part.kind}"
            mend = (
                allowed_words(name, [*kind.attributes, *kind.may_state])
                + " (or add it to the kind in kinds.yaml)"
            )
            yield pair.in_file("parts.yaml", "part-attribute-unknown", where, message, mend)
            continue
        found = attribute_problem(name, value)
        if found is not None:
            yield pair.in_file("parts.yaml", "part-attribute", where, *found)


def attribute_problem(name: str, value: str | Decimal | bool) -> tuple[str, str] | None:
    """Message and mend when an attribute that is compared by size, or looked up, is not written so."""
    shown = str(value).lower() if isinstance(value, bool) else f'"{value}"'
    if name in INCHES:
        number = isinstance(value, Decimal) and not isinstance(value, bool)
        if not number or not 0 < Decimal(value) <= LARGEST_JACKET_IN:
            return (
                f"is {shown}, not a diameter in inches",
                f"write a bare number up to {LARGEST_JACKET_IN}, as 0.60",
            )
    if name in _NUMBERS | HORSEPOWER_MARKS | frozenset(converters.MAY_STATE) and (
        isinstance(value, bool) or not isinstance(value, Decimal)
    ):
        return f"is {shown}, not a number", "write the bare number, without a unit"
    least, most = (1, _MOST[name]) if name in _MOST else (0, LARGEST_COUNT)
    if isinstance(value, Decimal) and not least <= value <= most:
        return f"is {shown}, which no part has", f"write a number from {least} to {most:,}"
    if name in _YES_NO and not isinstance(value, bool):
        return f"is {shown}", "allowed: true, false"
    if name in _WIRE_SIZES and not is_awg(str(value)):
        return f"is {shown}, not a wire size", "write it like 12 or 2/0"
    if name in _WIRE_SIZES and str(value) not in _wire_sizes():
        return f"is {shown}, a size that no wire has", f"sizes are {', '.join(_wire_sizes())}"
    if name == "enclosure" and known_enclosure(str(value)) is None:
        return f"is {shown}", f"allowed: {', '.join(Enclosure)}"
    if name == "configuration":
        return configuration_problem(str(value))
    return None


@cache
def _wire_sizes() -> tuple[str, ...]:
    """Sizes of wire and cord in the tables, thin to thick."""
    sizes = {*conductors.building_wire_sizes(), *cord_sizes()}
    return tuple(sorted(filter(conductors.is_awg, sizes), key=conductors.awg_rank))


def breakers_have_standard_sizes(pair: Pair) -> Iterator[Problem]:
    """Questions about breakers and fuses of no standard size, which no circuit asks for."""
    breakers = overcurrent.standard_sizes_a(pair.shop.code.edition)
    sizes = {
        "breaker": breakers,
        "tandem breaker": breakers,
        "fuse": (*overcurrent.fuse_sizes_a(), *breakers),
    }
    for index, part in enumerate(pair.catalog.parts):
        for name in ("rating_a", "second_rating_a"):
            rating = part.attributes.get(name)
            if part.kind in sizes and isinstance(rating, Decimal) and rating not in sizes[part.kind]:
                message = (
                    f"is {plain(rating)} A, no standard size ({tables.cite(overcurrent.STANDARD_SIZES)})"
                )
                where: Trail = ("parts", index, "attributes", name)
                mend = "read it again; the next larger size that is sold is bought in its place"
                yield pair.in_file("parts.yaml", "part-rating-odd", where, message, mend, question=True)


def recipes_are_known(pair: Pair) -> Iterator[Problem]:
    """Recipes name known kinds and attributes, and sizes that there are."""
    kinds = pair.kinds()
    for complain, trail, _, recipe in pair.recipes():
        for index, part in enumerate(recipe.parts):
            where = (*trail, "parts", index)
            if part.kind not in kinds:
                yield complain("recipe-kind", (*where, "kind"), *unknown("kind", part.kind, kinds))
                continue
            for word, value in part.attributes.items():
                found = attribute_problem(word, value)
                if word not in kinds[part.kind].attributes:
                    message = f"is not an attribute of the kind {part.kind}"
                    found = message, allowed_words(word, kinds[part.kind].attributes)
                if found is not None:
                    yield complain("recipe-attribute", (*where, "attributes", word), *found)


def work_of_recipes_is_known(pair: Pair) -> Iterator[Problem]:
    """Recipes name known tasks and charges."""
    tasks = {task.id for task in pair.catalog.tasks}
    charges = {charge.id for charge in pair.catalog.charges}
    for complain, trail, _, recipe in pair.recipes():
        for index, task in enumerate(recipe.tasks):
            if task.task not in tasks:
                where = (*trail, "tasks", index, "task")
                yield complain("recipe-task", where, *unknown("task", task.task, tasks))
        for index, charge in enumerate(recipe.charges):
            if charge.charge not in charges:
                where = (*trail, "charges", index, "charge")
                yield complain("recipe-charge", where, *unknown("charge", charge.charge, charges))


def recipes_are_complete(pair: Pair) -> Iterator[Problem]:
    """Recipes have known names, and none is missing."""
    known = (
        *RECIPE_NAMES,
        *GEAR_RECIPE_NAMES,
        *MOVED_DROP_RECIPES,
        INTO_MACHINE,
        HARD_WIRED_LEAD,
        HEATER_LEAD,
        MACHINE_LEAD,
        MACHINE_SWITCH,
        PIGTAILS,
        FLUSH_PANEL,
        RATED_WALL,
        BESIDE_IN_CONDUIT,
        BESIDE_BY_CABLE,
    )
    kinds = pair.kinds()
    for complain, trail, name, _ in pair.recipes():
        if name.startswith(RENEW):
            kind = name.removeprefix(RENEW)
            if kind not in kinds:
                message, mend = unknown("kind", kind, kinds)
                yield complain("recipe-renew-kind", trail, f"renews what {message}", mend)
        elif name not in known:
            guess = nearest(name, known)
            mend = f'did you mean "{guess}"? ' * bool(guess) + f"Allowed: {', '.join(known)}"
            yield complain("recipe-unknown", trail, "is not the name of a piece of work", mend, key=True)
    for name in () if quotes_only(pair.shop) else RECIPE_NAMES:
        if name not in pair.catalog.recipes and name not in pair.shop.recipes:
            message = f'lacks the recipe "{name}"'
            mend = "add it; {} after its name takes nothing and costs nothing"
            yield pair.in_file("recipes.yaml", "recipe-missing", ("recipes",), message, mend)


def somebody_works(pair: Pair) -> Iterator[Problem]:
    """There is an owner and an electrician to do the tasks."""
    if quotes_only(pair.shop):
        return
    roles = {crew.role for crew in pair.crews().values()}
    for role in Role:
        if role not in roles:
            message = f"has no crew with the role {role}"
            mend = f"add a crew with role: {role}, here or in the shop file"
            yield pair.in_file("labor.yaml", f"crew-no-{role}", ("crews",), message, mend)


def offers_are_known(pair: Pair) -> Iterator[Problem]:
    """Offers name known parts and suppliers, in a unit that their kind is sold in."""
    kinds = pair.kinds()
    parts = pair.parts()
    counted = {part.id: kinds[part.kind].sold == "each" for part in parts.values() if part.kind in kinds}
    suppliers = {supplier.id: supplier for supplier in pair.catalog.suppliers}
    for offer in pair.catalog.offers:
        fits_kind = counted.get(offer.part) in (None, offer.per.startswith(_COUNTED))
        if offer.part not in parts or offer.supplier not in suppliers or not fits_kind:
            for code, column, message, mend in misfits(offer, parts, kinds, suppliers):
                yield pair.in_offers(code, offer, column, message, mend)


_COUNTED = ("each", "box of", "pack of", "bag of", "lot of")


def offers_can_be_bought(pair: Pair) -> Iterator[Problem]:
    """Questions about offers without a price, sold out, or used where new is a must."""
    must_be_new = _must_be_new(pair)
    for offer in pair.catalog.offers:
        if offer.price_cents is None:
            message = f'"{offer.part}" at "{offer.supplier}" has no price'
            mend = (
                "write a price, or delete the row; until then the part counts as not for sale, never as free"
            )
            yield pair.in_offers("offer-price-missing", offer, "price", message, mend, question=True)
        if offer.available == 0:
            message = f'"{offer.part}" at "{offer.supplier}" has 0 available, so it counts as not for sale'
            mend = "leave it blank if any number can be had"
            yield pair.in_offers("offer-available-none", offer, "available", message, mend, question=True)
        if offer.condition in SURPLUS and offer.part in must_be_new:
            message = (
                f'"{offer.part}" is offered {offer.condition}, but its kind must be new, so it is left out'
            )
            mend = "delete the row, or name the kind under may_be_used in the shop file"
            yield pair.in_offers("offer-must-be-new", offer, "condition", message, mend, question=True)


def _must_be_new(pair: Pair) -> set[str]:
    catalog, shop = pair.catalog, pair.shop
    kinds = {kind.kind for kind in catalog.kinds if kind.must_be_new} - set(shop.may_be_used) | set(
        shop.must_be_new
    )
    return {part.id for part in catalog.parts if part.kind in kinds}


def repeated_offers(pair: Pair) -> Iterator[Problem]:
    """Questions about rows that say the same twice; on-hand rows may be two piles on the shelf."""
    first: dict[tuple[object, ...], int] = {}
    for offer in pair.catalog.offers:
        if (
            offer.available is None
            and offer.price_cents is not None
            and offer.condition is not Condition.ON_HAND
        ):
            continue  # an error of check_prices
        same = (
            offer.part,
            offer.supplier,
            offer.condition,
            offer.price_cents,
            offer.per,
            offer.available,
            offer.seen,
            offer.note,
        )
        row = first.setdefault(same, offer.row)
        if row != offer.row:
            message = f"says the same as row {row}"
            mend = "delete one; as it is, twice as many can be had"
            yield pair.in_offers("offer-repeated", offer, "part", message, mend, question=True)


def kinds_make_sense(pair: Pair) -> Iterator[Problem]:
    """Resale is a share of the price paid, from 0 to 100 %."""
    for index, kind in enumerate(pair.catalog.kinds):
        for condition, share in kind.resale.items():
            if not 0 <= share <= 1:
                message = f"is {share * 100:.0f} %, out of range"
                where = ("kinds", index, "resale", str(condition))
                yield pair.in_file("kinds.yaml", "kind-resale", where, message, "it must be 0 % to 100 %")


RULES: tuple[Rule, ...] = (
    repeated_ids,
    kinds_state_what_is_asked,
    parts_fit_their_kinds,
    kinds_make_sense,
    breakers_have_standard_sizes,
    recipes_are_known,
    work_of_recipes_is_known,
    recipes_are_complete,
    somebody_works,
    offers_are_known,
    offers_can_be_bought,
    repeated_offers,
)
