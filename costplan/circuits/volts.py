"""Which of a plate's volts a panel gives, and what other volts than the plate's do to a machine."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from costplan.circuits.size_types import Load
from costplan.model.choices import LoadKind
from costplan.model.other_volts import HOTTER, LEADS_CHANGE, LIKE, at_other_volts, share_of_heat
from costplan.model.plate_figures import PlateRating, rounded_a
from costplan.model.shop import Panel
from costplan.model.system import feeds as system_feeds
from costplan.standards import receptacles


@dataclass(frozen=True, slots=True)
class Fed:
    """A load at a panel: as it draws there, or why it may not be fed there.

    `own` says that the panel's volts are among the plate's, or that the user accepts what they do.
    """

    load: Load | None
    why_not: str = ""
    own: bool = False


def fed_from(panel: Panel, load: Load, volts: int = 0) -> Fed | None:
    """The load as a panel feeds it; None where the panel has neither its volts nor any that are taken for them.

    Of several volts that panel and plate have, `volts` says which; 0 is the highest that its plug, if it has one, is for.
    """
    chosen = [known for known in load.rated if known.volts == volts and _gives(panel, volts, load)]
    if chosen:
        plug = load.plug if _takes(load, volts) else None
        return _with_its_neutral(Fed(replace(_at_its_own(load, chosen[-1]), plug=plug), own=True), panel)
    if not load.rated:
        return Fed(load, own=True) if _gives(panel, load.volts, load) else None
    able = [known for known in load.rated if _gives(panel, known.volts, load) and _takes(load, known.volts)]
    if able:
        return _with_its_neutral(Fed(_at_its_own(load, able[-1]), own=True), panel)
    for known in load.rated:
        like = LIKE.get(known.volts, 0)
        if like and _gives(panel, like, load) and _takes(load, known.volts):
            return _with_its_neutral(_at_other_volts(load, known, like), panel)
    return None


def volts_to_choose(panel: Panel, load: Load) -> list[int]:
    """The volts of a plate that a panel gives, from the lowest, where there are several; empty where there is no choice.

    Amperes of other motors and a breaker that the plate names hold at some volts that nobody said, so they leave none.
    """
    of_one = load.other_a or load.effective_a or load.maker_breaker_a or load.breaker_at_most_a
    if of_one or any(motor.amps_a is not None for motor in load.more):
        return []
    found = sorted({known.volts for known in load.rated if _gives(panel, known.volts, load)})
    return found if len(found) > 1 else []


def best_fed(panels: Iterable[Panel], load: Load) -> list[tuple[Panel, Fed]]:
    """The panels that a load is looked at from: those of its own volts, where there is none those of others."""
    found = [(panel, fed) for panel in panels if (fed := fed_from(panel, load)) is not None]
    own = [entry for entry in found if entry[1].own]
    return own or found


def near(panel: Panel, load: Load) -> tuple[PlateRating, int] | None:
    """What a transformer would have to make of a panel's volts: the plate's rating, and the panel's volts like it."""
    fed = fed_from(panel, load)
    if fed is not None and not (
        fed.own and fed.load is not None and fed.load.volts in {r.volts for r in load.rated}
    ):
        for known in load.rated:
            volts = LIKE.get(known.volts, 0)
            if volts and _gives(panel, volts, load):
                return known, volts
    return None


def _gives(panel: Panel, volts: int, load: Load) -> bool:
    return system_feeds(
        panel.system,
        volts,
        load.phases,
        neutral=load.neutral and volts != 120,
        manufactured=panel.manufactured_leg,
    )


def _takes(load: Load, volts: int) -> bool:
    """Whether the plug it came with, if it has one, is for these volts; the leads inside are then as the plug says."""
    neutral = load.neutral and volts != 120
    return load.plug is None or receptacles.fits(load.plug, volts, load.phases, neutral=neutral)


def _with_its_neutral(fed: Fed, panel: Panel) -> Fed:
    """The load without its plug where that has a neutral and the panel has none to pull to its receptacle."""
    load = fed.load
    if load is None or not receptacles.brings_neutral(load.plug, load.volts):
        return fed
    there = system_feeds(panel.system, load.volts, load.phases, neutral=True)
    return fed if there else replace(fed, load=replace(load, plug=None))


def _at_its_own(load: Load, known: PlateRating) -> Load:
    amps_a, said = known.amps_a, ""
    if load.kind is LoadKind.HEATER and amps_a is not None and known.plate_v in HOTTER:
        amps_a = rounded_a(amps_a * known.volts / known.plate_v)
        share = share_of_heat(known, known.volts)
        said = f"{share * 100:.0f} % of its heat at {known.volts} V, since its plate is for {known.plate_v:f} V: ask its maker"
    if max(each.volts for each in load.rated) > min(each.volts for each in load.rated) * LEADS_CHANGE:
        said = said or f"its plate has several volts: its leads must be set for {known.volts} V"
    neutral = load.neutral and known.volts != 120
    return replace(load, volts=known.volts, amps_a=amps_a, neutral=neutral, rated=(), fed_at=said)


def _at_other_volts(load: Load, known: PlateRating, volts: int) -> Fed:
    there = at_other_volts(load.kind, known, volts, load.least_heat)
    if not there.allowed:
        return Fed(None, there.why)
    fed = replace(load, volts=volts, amps_a=there.amps_a, rated=(), fed_at=there.why, worked_from=known)
    return Fed(fed, own=there.accepted)
