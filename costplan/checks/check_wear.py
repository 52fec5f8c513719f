"""Rules over how long things last, what they fetch at the end, and parts that nobody sells."""

from collections.abc import Iterator
from decimal import Decimal

from costplan.circuits.lives import OUTLASTS, life_among
from costplan.files.problems import Problem
from costplan.files.yaml_reader import Trail
from costplan.model.catalog import GEAR_RECIPE_NAMES, RENEW, RENEWED_BY, Kind, Part
from costplan.model.choices import ResaleRule
from costplan.model.pair import Pair, Rule, percent, unknown
from costplan.model.quoted import quotes_only

GEAR_KINDS = frozenset(
    {
        "panel",
        "phase converter",
        "load manager",
        "tandem breaker",
        "service equipment",
        "drive",
        "motor",
    }
)
"""Kinds that are no part of a circuit's run, ends or cord."""
CONDUCTORS = frozenset({"building cable", "armored cable", "building wire", "conduit"})
"""Kinds that sizing names, whatever the recipes say."""
LONGEST_SHARE = Decimal(3)

_CLOSES = {
    "outlet beside panel": "cord",
    "receptacle": "every way with a plug",
    "disconnect": "every hard-wired drop",
    "breaker": "every way",
    "ground-fault breaker": "every way that needs ground-fault protection",
    "machine plug": "every way with a plug",
    "cord set": "cord, ceiling outlet and longer machine cord",
    "cord end": "cord, ceiling outlet and longer machine cord",
    "overhead cord": "cord",
    "pendant": "ceiling outlet",
    "patch": "wall drop, where walls are patched",
}


def _lives(pair: Pair) -> dict[str, bool]:
    """Every kind, and whether anything of it ever wears out."""
    worn = {part.kind for part in pair.catalog.parts if part.life_years is not None}
    return {kind.kind: kind.life_years is not None or kind.kind in worn for kind in pair.catalog.kinds}


def shares_of_life_make_sense(pair: Pair) -> Iterator[Problem]:
    """What lasts longer or less long at a machine is a kind with a life, by a likely share."""
    lives = _lives(pair)
    for trail, machine in pair.machines():
        for kind, share in machine.lasts.items():
            where = (*trail, "lasts", kind)
            if kind not in lives:
                message, mend = unknown("kind", kind, lives)
                yield pair.in_shop("lasts-kind", where, message, mend, key=True)
            elif share == 0:
                message = "is 0, so it would be worn out at once"
                yield pair.in_shop("lasts-nothing", where, message, "write a share above 0 %")
            elif share > LONGEST_SHARE:
                message = f"is {percent(share)} of its life"
                mend = "is it meant? 150 % is half as long again"
                yield pair.in_shop("lasts-high", where, message, mend, question=True)
            if lives.get(kind) is False:
                message = f'is said, but nothing of the kind "{kind}" has a life'
                mend = "it has no effect; write life: in kinds.yaml, or delete it"
                yield pair.in_shop("lasts-no-life", where, message, mend, question=True, key=True)


def worn_parts_can_be_replaced(pair: Pair) -> Iterator[Problem]:
    """A kind that wears out within circuits has a recipe that replaces one of it."""
    if quotes_only(pair.shop):
        return
    lives = _lives(pair)
    recipes = {name for _, _, name, _ in pair.recipes()}
    used = set(CONDUCTORS)
    for _, _, name, recipe in pair.recipes():
        if name not in GEAR_RECIPE_NAMES:
            used |= {part.kind for part in recipe.parts}
    for index, kind in enumerate(pair.catalog.kinds):
        name = kind.kind
        if not lives[name] or name in RENEWED_BY or name in GEAR_KINDS or name not in used:
            continue
        if RENEW + name not in recipes:
            where: Trail = ("kinds", index, "life") if kind.life_years is not None else ("kinds", index)
            message = f'lets "{name}" wear out, but no recipe says what replacing one takes'
            mend = f'add "{RENEW}{name}" to recipes.yaml, or delete the life'
            yield pair.in_file("kinds.yaml", "renew-missing", where, message, mend)


def resale_makes_sense(pair: Pair) -> Iterator[Problem]:
    """Resale is a share of the price of portable things, by a rule that can be reckoned."""
    kinds = pair.kinds()
    for index, kind in enumerate(pair.catalog.kinds):
        mine = [part for part in pair.catalog.parts if part.kind == kind.kind]
        falls = kind.life_years is None and any(
            part.life_years is None and part.resale_rule is None for part in mine
        )
        fetches = bool(kind.resale) or any(part.resale for part in mine)
        for word, code, message, mend, question in _resale(kind, kind, falls=falls, fetches=fetches):
            trail: Trail = ("kinds", index, word)
            yield pair.in_file("kinds.yaml", code, trail, message, mend, question=question)
    for index, part in enumerate(pair.catalog.parts):
        if part.kind not in kinds:
            continue
        kind = kinds[part.kind]
        for condition, share in (part.resale or {}).items():
            if not 0 <= share <= 1:
                trail = ("parts", index, "resale", str(condition))
                message = f"is {percent(share)}, out of range"
                yield pair.in_file("parts.yaml", "part-resale", trail, message, "it must be 0 % to 100 %")
        falls = kind.life_years is None and part.life_years is None
        fetches = bool(kind.resale if part.resale is None else part.resale)
        for word, code, message, mend, question in _resale(part, kind, falls=falls, fetches=fetches):
            yield pair.in_file("parts.yaml", code, ("parts", index, word), message, mend, question=question)


def _resale(
    entry: Part | Kind, kind: Kind, *, falls: bool, fetches: bool
) -> Iterator[tuple[str, str, str, str, bool]]:
    """Word, code, message, mend and whether it is a question; falls: whether something it holds for has no life."""
    said = [
        word for word in ("resale_rule", "resale") if word in entry.model_fields_set and getattr(entry, word)
    ]
    if not said:
        return
    if not kind.portable:
        message = f'is said, but the kind "{kind.kind}" is not portable, so it fetches nothing'
        mend = "it has no effect; write portable: true for the kind, or delete it"
        yield said[0], "resale-not-portable", message, mend, True
    elif said[0] == "resale_rule" and not fetches:
        yield (
            said[0],
            "resale-rule-alone",
            "is said, but no resale",
            "it has no effect; write resale:, or delete it",
            True,
        )
    elif entry.resale_rule is ResaleRule.STRAIGHT_LINE and falls:
        message = "lets the worth fall over the life, but there is no life"
        yield said[0], "resale-no-life", message, "write life:, or resale_rule: share of price", False


def stored_parts_last(pair: Pair) -> Iterator[Problem]:
    """Questions about parts on the shelf that wear out sooner than any of their kind on offer, which is not counted."""
    kinds, offered = pair.kinds(), {offer.part for offer in pair.catalog.offers}
    lives = {part.id: life_among(kinds, part) or OUTLASTS for part in pair.catalog.parts}
    parts = {part.id: part for part in pair.catalog.parts}
    for index, stored in enumerate(pair.shop.shelf):
        mine = parts.get(stored.part)
        if mine is None or mine.id in offered:
            continue
        life = lives[mine.id]
        alike = [lives[part.id] for part in parts.values() if part.kind == mine.kind and part.id in offered]
        if life < pair.shop.years and life < min(alike, default=OUTLASTS):
            message = (
                f'is "{mine.id}", worn out after {life} of the {pair.shop.years} years; nobody offers it and all of its kind '
                "on offer last longer, so what replacing it takes is in no figure"
            )
            mend = (
                "leave it off the shelf, or count its replacing yourself; with an offer of it that is counted"
            )
            yield pair.in_shop(
                "shelf-life-not-counted", ("shelf", index, "part"), message, mend, question=True
            )


def parts_of_recipes_are_sold(pair: Pair) -> Iterator[Problem]:
    """Questions about kinds that recipes ask for and nobody sells at a price."""
    if quotes_only(pair.shop):
        return
    kind_of = {part.id: part.kind for part in pair.catalog.parts}
    sold = {kind_of.get(offer.part) for offer in pair.catalog.offers if offer.price_cents is not None}
    sold |= {kind_of.get(stored.part) for stored in pair.shop.shelf}
    known = pair.kinds()
    for complain, trail, work, recipe in pair.recipes():
        replaced = complain != pair.in_shop and work in pair.shop.recipes
        for index, part in enumerate([] if replaced or recipe.quote is not None else recipe.parts):
            if part.kind in known and part.kind not in sold:
                where = (*trail, "parts", index, "kind")
                yield complain("kind-no-price", where, *_unsold(part.kind, work), question=True)


def _unsold(kind: str, work: str) -> tuple[str, str]:
    closes = _CLOSES.get(work, work)
    message = f'is "{kind}", of which no part has a price in offers.csv, so this closes: {closes}'
    return message, "write a price for one, or take it out of the recipe"


RULES: tuple[Rule, ...] = (
    shares_of_life_make_sense,
    worn_parts_can_be_replaced,
    resale_makes_sense,
    stored_parts_last,
    parts_of_recipes_are_sold,
)
