"""Which of the surveyed ways and gear can be had: what nobody sells at a price must be there already."""

from collections.abc import Iterable, Mapping
from dataclasses import replace

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Bundle, Item, Return, StockNeed
from costplan.circuits.outlets import same_run
from costplan.circuits.present import idle_outlets
from costplan.circuits.shared_gear import Candidate
from costplan.circuits.shelf import shelf
from costplan.ledger.options import Option, Survey
from costplan.ledger.serving import comes_out
from costplan.sourcing.market import Market
from costplan.years.calendar import scenarios_of
from costplan.years.stream import Use


def priced(whole: Survey, market: Market) -> Survey:
    """The survey with the options and the gear marked for which the market has no offer."""
    ready, out = gear_to_be_had(market, whole.gear, whole.gear_out)
    there = _things_there(market.facts, whole)
    options = {
        machine: tuple(_priced(market, option, out, there) for option in found)
        for machine, found in whole.options.items()
    }
    return replace(whole, options=options, gear=tuple(ready), gear_out=out)


def priced_anew(known: Survey, whole: Survey, market: Market) -> Survey:
    """A `priced` survey in a market with more offers: what lacks nothing still lacks nothing. whole: before any was marked."""
    ready, out = gear_to_be_had(market, whole.gear, whole.gear_out)
    lacking = any(option.lacking for found in known.options.values() for option in found)
    there = _things_there(market.facts, known) if lacking else frozenset()
    options = {
        machine: tuple(_priced(market, option, out, there) if option.lacking else option for option in found)
        for machine, found in known.options.items()
    }
    return replace(known, options=options, gear=tuple(ready), gear_out=out)


def gear_to_be_had(
    market: Market, gear: Iterable[Candidate], gear_out: Mapping[str, str]
) -> tuple[list[Candidate], dict[str, str]]:
    """Gear for which the market has offers, and why all other is out: what lacks a part, and what hangs on that."""
    out, ready = dict(gear_out), []
    for entry in gear:
        lacking = gear_lacks(market, entry)
        if lacking:
            out[entry.name] = lacking
        else:
            ready.append(entry)
    while any(entry.above in out for entry in ready):
        for entry in [entry for entry in ready if entry.above in out]:
            out[entry.name] = f"{entry.above}, which feeds it, is out: {out[entry.above or '']}"
            ready.remove(entry)
    return ready, out


def open_by_purchase(market: Market, option: Option, gear_out: Mapping[str, str]) -> bool:
    """Whether a way takes part even where nothing that is there stands in for what nobody sells."""
    return _priced(market, option, gear_out, ()).open


def lost_panels(option: Option, gear_out: Mapping[str, str]) -> list[str]:
    """Panels of gear that is out, on which the way stands at some time."""
    panels = [entry.panel for entries in option.stream.standings.values() for entry in entries]
    return [panel for panel in panels if panel in gear_out]


def _priced(market: Market, option: Option, gear_out: Mapping[str, str], there: Iterable[Item]) -> Option:
    """The option with what it lacks; what may be found among the things that are there is no longer bought."""
    stream = option.as_sold or option.stream
    option = replace(option, stream=stream, missing=None, only_of_there=None, as_sold=None)
    lacking = _lacks_anyway(market, option, gear_out)
    uses = {
        use: _thing_lacks(market, use.thing, use.since[0]) for use in option.stream.uses if not use.present
    }
    short = next((words for words in uses.values() if words), None)
    if lacking or short is None:
        return replace(option, missing=lacking)
    found = {use: _found(market, there, use.thing, use.since[0]) for use, words in uses.items() if words}
    if None in found.values():
        return replace(option, missing=short)
    changed = tuple(
        replace(use, thing=thing) if (thing := found.get(use)) is not None else use
        for use in option.stream.uses
    )
    return replace(option, stream=replace(stream, uses=changed), only_of_there=short, as_sold=stream)


def _lacks_anyway(market: Market, option: Option, gear_out: Mapping[str, str]) -> str | None:
    """What nobody sells and no thing that is there can stand in for: gear, what is done anyway, what comes later."""
    for panel in lost_panels(option, gear_out):
        return f"{panel}: {gear_out[panel]}"
    for deed in option.stream.deeds:
        lacking = _lacking(market, deed.bundle, deed.date[0])
        if lacking:
            return lacking
    for use in option.stream.uses:
        lacking = _later_lacks(market, use)
        for out in use.taken_out:
            lacking = lacking or _lacking(market, out.bundle, out.year)
        if lacking:
            return lacking
    for given in option.stream.given:
        lacking = _lacking(market, given.left.unused, given.date[0])
        if lacking:
            return lacking
    return None


def _things_there(facts: Facts, whole: Survey) -> frozenset[Item]:
    """Everything that is there and could serve somebody: the shelf, idle outlets, what machines have and may give up."""
    given = list(idle_outlets(facts))
    for option in (option for found in whole.options.values() for option in found):
        given += option.stream.given_today()
        for use in (use for use in option.stream.uses if use.present):
            given += [end.left for _, end in use.ends if end is not None and end.left is not None]
            given += [left for _, _, left in use.parted]
    return frozenset([*shelf(facts), *(item for left in given for item in _comes_of(left))])


def _comes_of(left: Return) -> list[Item]:
    """What is set free, and what that comes apart into."""
    return [left.item, *left.freed, *([left.breaker] if left.breaker is not None else [])]


def _found(market: Market, there: Iterable[Item], thing: StockNeed, year: int) -> StockNeed | None:
    """The thing with what nobody sells of it taken only from what is there; None when nothing there could serve."""
    if not _thing_lacks(market, thing, year):
        return thing
    inner = [_found(market, there, need, year) for need in thing.inner]
    known = tuple(need for need in inner if need is not None)
    ends = tuple(
        replace(end, found_only=True) if _thing_lacks(market, end, year) else end for end in thing.ends
    )
    if not _lacking(market, thing.bought, year) and len(known) == len(inner):
        return replace(thing, inner=known, ends=ends)
    workable = not _lacking(market, thing.reused, year) and _could_serve(there, thing)
    return replace(thing, found_only=True, ends=ends) if workable else None


def _could_serve(there: Iterable[Item], thing: StockNeed) -> bool:
    """Whether one of the things that are there serves as it is, or as a run whose ends are changed."""
    return any(
        item.serves(thing.item) or (bool(thing.ends) and same_run(item.spec, thing.item.spec))
        for item in there
    )


def _thing_lacks(market: Market, thing: StockNeed, year: int) -> str | None:
    return _lacking(market, thing.bought, year) or next(
        (lacking for need in thing.inner if (lacking := _thing_lacks(market, need, year))), None
    )


def _later_lacks(market: Market, use: Use) -> str | None:
    """What nobody sells of what its wear, its making safe, and its take-out may take."""
    for wear in use.thing.wears:
        lacking = None if wear.need is None else _lacking(market, Bundle((wear.need,)) + wear.work, 1)
        if lacking:
            return lacking
    for _, end in use.ends:
        if end is None or end.left is None:
            continue
        lacking = _lacking(market, end.left.unused, end.date[0])
        if not lacking and comes_out(market.facts.shop, end.left):
            lacking = _lacking(market, end.left.taken_out, market.facts.shop.years)
        if lacking:
            return lacking
    return None


def gear_lacks(market: Market, gear: Candidate) -> str | None:
    """The first part that gear takes and nobody sells, now or when it is moved or replaced within the plan."""
    shop = market.facts.shop
    moves = any(scenario.shop_move_years for scenario in scenarios_of(shop))
    renewed = gear.life_years is not None and gear.life_years < shop.years
    return (
        _lacking(market, gear.bundle, 0)
        or (_lacking(market, gear.again, 1) if moves else None)
        or (_lacking(market, gear.renewed, 1) if renewed else None)
    )


def _lacking(market: Market, bundle: Bundle, year: int) -> str | None:
    """The first part of a bundle that nobody sells, in words; remembered with the market."""
    known, key = market.answers(_not_sold), (bundle, year == 0)
    if key not in known:
        known[key] = _not_sold(market, bundle, year)
    return known[key]


def _not_sold(market: Market, bundle: Bundle, year: int) -> str | None:
    for need in bundle.needs:
        if not market.to_be_had(need, year):
            length = f", {need.length_ft} ft in one piece" if need.length_ft else ""
            return f"no priced offer for {need.spec.describe()}{length}"
    return None
