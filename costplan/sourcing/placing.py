"""Which part of the catalog a supplier's row means: by our id, by the supplier's own number, or by its standard name.

Nothing is guessed: what fits no part, or more than one, is left for a person, with the nearest ones named.
"""

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cached_property

from costplan.model.catalog import Offer, Part
from costplan.sourcing.designation import described, designation

MOST_NAMED = 3
NONE_NEAR = "none is near"
_WORD = re.compile(r"[a-z0-9][a-z0-9/.-]*[a-z0-9]|[a-z0-9]")


@dataclass(frozen=True)
class Placing:
    """The parts of a catalog as one supplier may call them.

    parts: by id. numbers: that supplier's own numbers in offers.csv, each with the part it stands for.
    """

    parts: Mapping[str, Part]
    numbers: Mapping[str, str]

    def part(self, said: str, number: str) -> str:
        """The id of the part meant by a row's part and number, as written; what was written where it is not certain."""
        if said in self.parts:
            return said
        if number and number in self.numbers:
            return self.numbers[number]
        if said in self.numbers:
            return self.numbers[said]
        fit = self._by_name.get(plain(said), frozenset())
        return next(iter(fit)) if len(fit) == 1 else said or number

    def nearest(self, said: str) -> str:
        """Parts that may have been meant, in words: those it names alike, else those with the nearest names."""
        fit = sorted(self._by_name.get(plain(said), ()))
        if len(fit) > 1:
            return f"it fits {_together(self._named(part) for part in fit)}"
        parts = self._with_its_words(said)
        if not parts:
            near = get_close_matches(plain(said), self._by_name, n=MOST_NAMED, cutoff=0.6)
            parts = list(dict.fromkeys(part for name in near for part in sorted(self._by_name[name])))
        return f"the nearest: {_together(self._named(part) for part in parts)}" if parts else NONE_NEAR

    def _with_its_words(self, said: str) -> list[str]:
        """Parts whose names have all sizes that are said, in whatever order, and most of its words: `12/3 MC cable`."""
        words = _WORD.findall(said.casefold())
        sizes = [word for word in words if any(sign.isdigit() for sign in word)]
        found: dict[int, list[str]] = defaultdict(list)
        for part in self.parts.values():
            has = frozenset(_WORD.findall(f"{part.name} {described(part)}".casefold()))
            has |= {word[:-1] for word in has if word[-1] in "pr" and word[0].isdigit()}  # NEMA 6-20P
            count = sum(word in has for word in words)
            if count and all(word in has for word in sizes) and (sizes or count == len(words)):
                found[count].append(part.id)
        return found[max(found)] if found else []

    @cached_property
    def _by_name(self) -> dict[str, frozenset[str]]:
        found: dict[str, set[str]] = defaultdict(set)
        for part in self.parts.values():
            for name in _names(part):
                found[plain(name)].add(part.id)
        return {name: frozenset(ids) for name, ids in found.items() if name}

    def _named(self, part: str) -> str:
        return f'"{part}" ({described(self.parts[part])})'


def placing(parts: Mapping[str, Part], offers: Iterable[Offer], supplier: str) -> Placing:
    """What a supplier calls the parts, by the numbers that its offers have; a number of two parts is of none."""
    of: dict[str, set[str]] = defaultdict(set)
    for offer in offers:
        if offer.supplier == supplier and offer.their_number:
            of[offer.their_number].add(offer.part)
    return Placing(parts, {number: next(iter(ids)) for number, ids in of.items() if len(ids) == 1})


def plain(name: str) -> str:
    """A name without its signs, capitals and the word NEMA: `NEMA L6-20R` and `l6 20 r` are one."""
    return "".join(sign for sign in name.casefold().replace("nema", "") if sign.isalnum() or sign == "/")


def _names(part: Part) -> Iterator[str]:
    """All that a list may rightly call it, whole."""
    standard = designation(part)
    yield from (part.id, part.name, described(part))
    if standard:
        yield from (standard, f"{part.kind} {standard}", f"{standard} {part.kind}", f"{part.name} {standard}")


def _together(names: Iterable[str]) -> str:
    every = list(names)
    shown = "; ".join(every[:MOST_NAMED])
    return f"{shown}; and {len(every) - MOST_NAMED} more" if len(every) > MOST_NAMED else shown
