"""Rules over tandem breakers: where the label allows them, for circuits of which all is known; the rest is asked."""

from collections.abc import Iterator
from decimal import Decimal

from costplan.files.problems import Problem
from costplan.files.yaml_reader import Trail
from costplan.model.brought import panels_of
from costplan.model.catalog import Part
from costplan.model.gear import Gear, GearKind
from costplan.model.installed import protected_to_a
from costplan.model.pair import Pair, Rule, plain
from costplan.model.shop import OnePoleCircuits, Panel
from costplan.model.tandems import (
    KIND,
    LARGER,
    SMALLER,
    movable,
    pairs_in,
    protected,
    stays_because,
    to_read_off,
    unknown_words,
)
from costplan.standards import conductors, overcurrent, tables

_HOW_TO_DESCRIBE = (
    "photograph the label and the wiring diagram inside the door, and write one_pole_circuits: for the panel, "
    "of each its breaker:, awg: off the cable's jacket, test_button:, shared_neutral: (a red-and-black cable) and tied:"
)


def tandems_are_allowed(pair: Pair) -> Iterator[Problem]:
    """Tandem breakers go only where the panel's label allows them, and for circuits that are described."""
    panels = panels_of(pair.shop, pair.catalog.parts)
    seen: set[str] = set()
    for index, gear in enumerate(pair.shop.gear):
        panel = panels.get(gear.panel or "")
        if gear.kind is not GearKind.TANDEM or panel is None:
            continue
        where: Trail = ("gear", index, "panel")
        if panel.name in seen:
            message = f'is "{panel.name}", for which other gear offers tandem breakers already'
            yield pair.in_shop("tandem-twice", where, message, "write one, with at_most:")
        seen.add(panel.name)
        if panel.tandems == 0:
            message = f'is "{panel.name}", whose label allows no tandem breakers (tandems: 0)'
            mend = "read the label inside the door; if it allows some, write tandems: for the panel, else delete this gear"
            yield pair.in_shop("tandem-not-allowed", where, message, mend)
        elif not gear.installed:
            yield from _circuits_to_pair(pair, where, panel)
            yield from _parts_to_buy(pair, where, gear, panel)


def _circuits_to_pair(pair: Pair, where: Trail, panel: Panel) -> Iterator[Problem]:
    if not panel.one_pole_circuits:
        message = (
            f'is "{panel.name}", whose one-pole circuits are not described, '
            "so none goes on a tandem breaker and no space is gained"
        )
        yield pair.in_shop("tandem-circuits-unknown", where, message, _HOW_TO_DESCRIBE, question=True)
    elif movable(panel).total() < 2 and not any(map(unknown_words, panel.one_pole_circuits)):
        message = f'is "{panel.name}", where no two one-pole circuits may go on a tandem breaker'
        mend = "describe more of its circuits under one_pole_circuits:, or delete this gear"
        yield pair.in_shop("tandem-no-circuits", where, message, mend, question=True)


def _parts_to_buy(pair: Pair, where: Trail, gear: Gear, panel: Panel) -> Iterator[Problem]:
    """Questions about pairs of ratings for which no tandem breaker is listed at a price."""
    if gear.quote_cents is not None:
        return
    sold = {offer.part for offer in pair.catalog.offers}
    parts = [part for part in pair.catalog.parts if part.kind == KIND and part.id in sold]
    of_family = [part.attributes for part in parts if part.attributes.get("family") == panel.breakers]
    listed = {(attributes.get(SMALLER), attributes.get(LARGER)) for attributes in of_family}
    missing = [
        f"{low}/{high}" for low, high in pairs_in(panel) if (Decimal(low), Decimal(high)) not in listed
    ]
    if missing:
        message = (
            f'is "{panel.name}", but nobody sells a tandem breaker {", ".join(missing)} of {panel.breakers}'
        )
        mend = "add the part and its price; if none is made, other pairs are taken"
        yield pair.in_shop("tandem-not-sold", where, message, mend, question=True)


def circuits_are_described(pair: Pair) -> Iterator[Problem]:
    """One-pole circuits have breakers and wires of a size; what keeps them off a tandem breaker unknown is asked."""
    thought_of = {gear.panel for gear in pair.shop.gear if gear.kind is GearKind.TANDEM}
    for index, panel in enumerate(pair.shop.panels):
        for position, circuits in enumerate(panel.one_pole_circuits):
            where: Trail = ("panels", index, "one_pole_circuits", position)
            yield from _sizes(pair, where, circuits)
            missing = unknown_words(circuits) if panel.name in thought_of else ()
            if missing:
                message = f"does not say {', '.join(missing)}, so it stays where it is and no space is gained"
                mend = f"look, and write {to_read_off(missing)}"
                yield pair.in_shop("tandem-circuit-unknown", where, message, mend, question=True)


def _sizes(pair: Pair, where: Trail, circuits: OnePoleCircuits) -> Iterator[Problem]:
    sizes = overcurrent.standard_sizes_a(pair.shop.code.edition)
    breaker_a, awg = circuits.breaker_a, circuits.awg
    if breaker_a is not None and breaker_a not in sizes:
        message = f"is {plain(breaker_a)} A, no standard size ({tables.cite(overcurrent.STANDARD_SIZES)})"
        mend = "read the handle of the breaker, or leave breaker: out"
        yield pair.in_shop("one-pole-breaker-size", (*where, "breaker"), message, mend)
    if awg is None:
        return
    if not conductors.is_awg(awg):
        mend = "write AWG as it is printed on the jacket: 14, 12, 10, 1 or 1/0 to 4/0; or leave awg: out"
        yield pair.in_shop("one-pole-awg", (*where, "awg"), f'is "{awg}", not a wire size', mend)
    elif breaker_a in sizes and not protected(circuits):
        yield _too_thin(pair, (*where, "awg"), circuits, awg)


def _too_thin(pair: Pair, where: Trail, circuits: OnePoleCircuits, awg: str) -> Problem:
    source = f"NFPA 70 240.4(D), {tables.cite(conductors.BUILDING_WIRE)}"
    try:
        most = f"at most {protected_to_a(awg)} A protect it"
    except LookupError:
        most = "no branch circuit has it"
    message = (
        f"is {awg} AWG behind a breaker of {plain(circuits.breaker_a or Decimal(0))} A, but {most} ({source})"
    )
    if stays_because(circuits):
        mend = "read both again; if it is so, the wire is not protected today: ask an electrician"
    else:
        mend = (
            "read both again; if it is so, the wire is not protected today: ask an electrician. "
            "The circuit stays where it is"
        )
    return pair.in_shop("one-pole-wire-thin", where, message, mend, question=True)


def tandems_are_thought_of(pair: Pair) -> Iterator[Problem]:
    """Questions about what tandem breakers could do in a panel for which none are thought of."""
    thought_of = {gear.panel for gear in pair.shop.gear if gear.kind is GearKind.TANDEM}
    for index, panel in enumerate(pair.shop.panels):
        said = (("tandems", panel.tandems), ("one_pole_circuits", len(panel.one_pole_circuits)))
        for word, count in said:
            if count and panel.name not in thought_of:
                message = "is said, but gear: thinks of no tandem breaker for this panel"
                mend = "it has no effect; add gear of kind: tandem breaker, or delete it"
                where: Trail = ("panels", index, word)
                yield pair.in_shop("tandems-alone", where, message, mend, question=True)


def names_are_left_free(pair: Pair) -> Iterator[Problem]:
    """No other gear or panel has the name that a tandem breaker of two ratings goes by."""
    panels = {panel.name: panel for panel in pair.shop.panels}
    taken = {*panels, *(gear.name for gear in pair.shop.gear)}
    for index, gear in enumerate(pair.shop.gear):
        if gear.kind is GearKind.TANDEM and gear.panel in panels:
            for low, high in pairs_in(panels[gear.panel]):
                if f"{gear.name} {low}/{high}" in taken:
                    message = (
                        f'is "{gear.name}", and other gear or a panel is called "{gear.name} {low}/{high}"'
                    )
                    where: Trail = ("gear", index, "name")
                    yield pair.in_shop("gear-repeated", where, message, "give it another name")


def halves_are_in_order(pair: Pair) -> Iterator[Problem]:
    """A tandem breaker's smaller half is written first, so that each pair is written in one way."""
    for index, part in enumerate(pair.catalog.parts):
        halves = _halves(part)
        if halves is not None and halves[0] > halves[1]:
            where: Trail = ("parts", index, "attributes", LARGER)
            message = f"is {plain(halves[1])}, below {SMALLER}, {plain(halves[0])}"
            yield pair.in_file("parts.yaml", "tandem-halves", where, message, "write the smaller half first")


def _halves(part: Part) -> tuple[Decimal, Decimal] | None:
    low, high = part.attributes.get(SMALLER), part.attributes.get(LARGER)
    if part.kind == KIND and isinstance(low, Decimal) and isinstance(high, Decimal):
        return low, high
    return None


RULES: tuple[Rule, ...] = (
    tandems_are_allowed,
    circuits_are_described,
    tandems_are_thought_of,
    names_are_left_free,
    halves_are_in_order,
)
