"""What a scope sheet asks of ground-fault protection: once a place, and once for each breaker that would give it."""

from collections import Counter
from collections.abc import Iterable, Sequence

from costplan.circuits.facts import Facts
from costplan.ledger.steps import Act
from costplan.reports.scope_later import LaterRow
from costplan.reports.scope_work import Receptacle, protected
from costplan.reports.tables import BLANK
from costplan.reports.there import Had, Powered, There

Protectable = tuple[Receptacle, ...]
"""Receptacles on one breaker, which would protect them all."""


def protection_questions(facts: Facts, there: There, base: There | None = None) -> tuple[str, ...]:
    """For every place with receptacles set or changed today, whether they are to be protected; beside a base, for those that
    it sets otherwise."""
    known = set(_set_today(facts, base)) if base is not None else set()
    return _asked(found for found, had in _set_today(facts, there) if (found, had) not in known)


def later_protection(rows: Sequence[LaterRow]) -> tuple[str, ...]:
    """The same of each year of later work."""
    years: dict[str, list[Protectable]] = {}
    for row in rows:
        if row.protection is not None:
            years.setdefault(row.when, []).append((row.protection,))
    return tuple(
        f"Year {when}: {words}" for when, found in years.items() for words in _asked(dict.fromkeys(found))
    )


def _set_today(facts: Facts, there: There) -> list[tuple[Protectable, tuple[Had | None, ...]]]:
    """Receptacles set or changed today, those on one breaker together, with the outlets that they are put into; None for new
    ones. Where the protection of all of them is decided there are none."""
    found = []
    for together in there.on_one_breaker():
        put_in = [
            powered
            for powered in together
            if powered.act is not Act.SHARE and (powered.had is None or powered.receptacle is not None)
        ]
        told = [(_receptacle(facts, powered, together), powered.had) for powered in put_in]
        open_ones = [(each, had) for each, had in told if each is not None]
        found.append((tuple(each for each, _ in open_ones), tuple(had for _, had in open_ones)))
    return found


def _receptacle(facts: Facts, powered: Powered, together: Iterable[Powered]) -> Receptacle | None:
    """The receptacle of a machine, with all of those on its breaker that it serves; None where its protection is decided."""
    served = [each for each in together if each.circuit.outlet.item == powered.circuit.outlet.item]
    names = dict.fromkeys(each.machine.name for each in (powered, *served))
    return protected(facts, sorted(names), powered.way, powered.circuit)


def _asked(found: Iterable[Protectable]) -> tuple[str, ...]:
    """One question a place, with two blanks for each breaker there."""
    places: dict[str, Counter[Protectable]] = {}
    for together in found:
        if together:
            where = " and ".join(dict.fromkeys(each.where for each in together))
            places.setdefault(where, Counter())[together] += 1
    return tuple(_question(where, counts) for where, counts in sorted(places.items()))


def _question(where: str, counts: Counter[Protectable]) -> str:
    """The question of a place; of one receptacle, or of so many alike, it is said with the place."""
    if len(counts) == 1:
        ((together, count),) = counts.items()
        which = f"each of {count} receptacles" if count > 1 else "the receptacle"
        which = which if len(together) == 1 else "the receptacles"
        named = f"{which} {where} ({_told(together)})"
        return (
            f"Ground-fault protection of {named}: is it required here? Price with: {BLANK} without: {BLANK}"
        )
    each = "; ".join(
        f"{f'{count} x ' if count > 1 else ''}{_told(together)} {BLANK} / {BLANK}"
        for together, count in sorted(counts.items())
    )
    return f"Ground-fault protection of the receptacles {where}: is it required here? Price of each, with / without: {each}"


def _told(together: Protectable) -> str:
    words = " and ".join(f"{', '.join(each.names)}, {each.configuration}" for each in together)
    return words if len(together) == 1 else f"{words}, on one breaker"
