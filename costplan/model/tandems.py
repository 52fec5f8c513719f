"""Tandem breakers: which one-pole circuits of a panel may share one, and how many of each pair of ratings."""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations_with_replacement

from costplan.model.gear import Gear, GearKind
from costplan.model.installed import protected_to_a
from costplan.model.shop import OnePoleCircuits, Panel, Shop

KIND = "tandem breaker"
"""The kind of part that holds two one-pole breakers in one space."""
SMALLER, LARGER = "rating_a", "second_rating_a"
"""Attributes of a tandem breaker: the amperes of its halves, the smaller first."""
_READ_OFF = {
    "breaker": "the amperes on its handle",
    "awg": "the wire size on the cable's jacket (an electrician reads it)",
    "test_button": "whether the breaker has a test button",
    "shared_neutral": "whether a red-and-black cable shares its neutral",
    "tied": "whether its handle is tied to another",
}
"""What to look at, by the word of the shop file that is missing."""


class TandemPair(Gear):
    """Tandem breakers for two circuits of known ratings, one of the choices that an entry of `gear:` stands for."""

    of: str
    """The name that is written in the shop file."""
    halves_a: tuple[int, int]
    """Amperes of the two halves, the smaller first."""

    @property
    def entry(self) -> str:
        """The name that is written in the shop file."""
        return self.of


@dataclass(frozen=True, slots=True)
class PairLimit:
    """At most so many of what pairs of circuits take: `takes` is how much one of each piece of gear takes."""

    what: str
    most: int
    takes: Mapping[str, int]


# circuits ---------------------------------------------------------------------------------------------


def stays_because(circuits: OnePoleCircuits) -> str:
    """Why circuits are never put on a tandem breaker; empty when nothing known forbids it.

    Both halves sit on one leg, so a shared neutral would carry the sum of both; no tandem breaker is a ground-fault
    or arc-fault one. Source: NFPA 70 210.4(B), 110.3(B).
    """
    if circuits.test_button:
        return "its breaker is a ground-fault or arc-fault one"
    if circuits.shared_neutral:
        return "it shares its neutral"
    return "its handle is tied to another" if circuits.tied else ""


def unknown_words(circuits: OnePoleCircuits) -> tuple[str, ...]:
    """Words of the shop file that must be known before the circuits may move; none for circuits that stay anyway."""
    if stays_because(circuits):
        return ()
    said = {"breaker": circuits.breaker_a, "awg": circuits.awg, "test_button": circuits.test_button}
    said |= {"shared_neutral": circuits.shared_neutral, "tied": circuits.tied}
    return tuple(word for word, value in said.items() if value is None)


def to_read_off(words: tuple[str, ...]) -> str:
    """What to look at for the missing words, in words."""
    return ", ".join(_READ_OFF[word] for word in words)


def protected(circuits: OnePoleCircuits) -> bool:
    """Whether the wire is known to be protected by the breaker that is there. Source: `installed.protected_to_a`."""
    if circuits.breaker_a is None or circuits.awg is None:
        return False
    try:
        return circuits.breaker_a <= protected_to_a(circuits.awg)
    except (LookupError, ValueError):
        return False


def may_move(circuits: OnePoleCircuits) -> bool:
    """Whether all is known of the circuits and nothing keeps them off a tandem breaker."""
    known = not stays_because(circuits) and not unknown_words(circuits)
    return known and protected(circuits)


def movable(panel: Panel) -> Counter[int]:
    """How many circuits of a panel may move, by the amperes of their breakers."""
    found: Counter[int] = Counter()
    for circuits in panel.one_pole_circuits:
        if may_move(circuits):
            found[int(circuits.breaker_a or 0)] += circuits.count
    return found


def why_no_more(panel: Panel) -> tuple[str, ...]:
    """Why no more circuits of a panel are put on tandem breakers than those that may move, in words."""
    if not panel.one_pole_circuits:
        return ("its one-pole circuits are not described",)
    found = []
    for circuits in panel.one_pole_circuits:
        missing = unknown_words(circuits)
        if missing:
            found.append(f"{_described(circuits)}: not known: {to_read_off(missing)}")
        elif stays_because(circuits):
            found.append(f"{_described(circuits)}: {stays_because(circuits)}")
        elif not protected(circuits):
            found.append(f"{_described(circuits)}: the wire is too thin for the breaker")
    return tuple(found)


def _described(circuits: OnePoleCircuits) -> str:
    count = f"{circuits.count} x " if circuits.count > 1 else ""
    amps = f"{circuits.breaker_a:f} A" if circuits.breaker_a is not None else "a circuit"
    return f"{count}{amps}" + (f" on {circuits.awg} AWG" if circuits.awg is not None else "")


# gear -------------------------------------------------------------------------------------------------


def with_pairs(shop: Shop) -> Shop:
    """The shop with a piece of gear for each pair of ratings that a tandem breaker may hold.

    An entry that no two circuits can use stays as it is written.
    """
    panels = {panel.name: panel for panel in shop.panels}
    gear = [piece for entry in shop.gear for piece in _pieces(entry, panels)]
    return shop if gear == shop.gear else shop.model_copy(update={"gear": gear})


def _pieces(entry: Gear, panels: Mapping[str, Panel]) -> list[Gear]:
    """A piece of gear for each pair of ratings; the entry itself when it is no tandem breaker to be bought."""
    panel = panels.get(entry.panel or "")
    if entry.kind is not GearKind.TANDEM or entry.installed or isinstance(entry, TandemPair) or panel is None:
        return [entry]
    return [_pair(entry, halves) for halves in pairs_in(panel)] or [entry]


def pairs_in(panel: Panel) -> list[tuple[int, int]]:
    """The pairs of ratings that a panel's circuits can make, amperes, the smaller first."""
    circuits = movable(panel) if panel.tandems else Counter[int]()
    pairs = combinations_with_replacement(sorted(circuits), 2)
    return [(low, high) for low, high in pairs if low != high or circuits[low] > 1]


def _pair(entry: Gear, halves_a: tuple[int, int]) -> TandemPair:
    said = {name: getattr(entry, name) for name in Gear.model_fields}
    name = f"{entry.name} {halves_a[0]}/{halves_a[1]}"
    return TandemPair.model_construct(**said | {"name": name, "of": entry.name, "halves_a": halves_a})


def pair_limits(shop: Shop) -> Iterator[PairLimit]:
    """What tandem breakers of all ratings have in common: the label's number, and each circuit moves once."""
    panels = {panel.name: panel for panel in shop.panels}
    by_entry: dict[str, list[TandemPair]] = {}
    for gear in shop.gear:
        if isinstance(gear, TandemPair):
            by_entry.setdefault(gear.of, []).append(gear)
    for of, pairs in by_entry.items():
        panel = panels[pairs[0].panel or ""]
        most = min(pairs[0].at_most, panel.tandems)
        yield PairLimit(f"{of} in {panel.name}", most, {pair.name: 1 for pair in pairs})
        for rating_a, there in movable(panel).items():
            takes = {pair.name: pair.halves_a.count(rating_a) for pair in pairs}
            what = f"{rating_a} A circuits of {panel.name} on {of}"
            yield PairLimit(what, there, {name: count for name, count in takes.items() if count})


def not_offered(shop: Shop) -> dict[str, tuple[str, ...]]:
    """Why panels for which tandem breakers are thought of are not offered as many as might be put in, by panel."""
    panels = {panel.name: panel for panel in shop.panels}
    found = {}
    for gear in shop.gear:
        panel = panels.get(gear.panel or "")
        if gear.kind is not GearKind.TANDEM or gear.installed or panel is None:
            continue
        wanted, reasons = min(gear.at_most, panel.tandems), why_no_more(panel)
        if reasons and movable(panel).total() // 2 < wanted:
            found[panel.name] = reasons
    return found
