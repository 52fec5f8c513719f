"""How far a machine stands from each of several panels: `55 / 42 ft from main, 20 ft from sub`."""

import re
from collections.abc import Iterator, Sequence

from costplan.model.reading import allowed

EXAMPLE = "55 / 42 ft from main, 20 ft from sub"
_ANY = r"[^\s0-9,;][^,;]*?"


def by_panel(text: str, names: Sequence[str]) -> list[tuple[str, str]]:
    """Each panel named in a distance and the lengths from it, in order; one pair without a name where none is named.

    `names` are the panels there are; where none is known, whatever follows `from` and is no figure. Raises ValueError.
    """
    known = "|".join(re.escape(name) for name in sorted(names, key=len, reverse=True)) or _ANY
    named = re.compile(
        rf"\s*\bfrom\s+(?:the\s+)?({known})(?:\s+panel)?\s*(?:[,;]\s*(?:and\s+)?|\band\b\s*|$)", re.IGNORECASE
    )
    found: list[tuple[str, str]] = []
    start = 0
    for each in named.finditer(text):
        found.append((each[1], text[start : each.start()].strip()))
        start = each.end()
    rest = text[start:].strip()
    unknown = re.search(rf"\bfrom\s+(?:the\s+)?({_ANY})\s*(?:[,;]|$)", rest, re.IGNORECASE)
    if unknown:
        raise ValueError(
            f'distance is "{text}", and "{unknown[1]}" is no panel; {allowed(unknown[1], names)}'
        )
    if not found:
        return [("", text)]
    if rest or not all(lengths for _, lengths in found):
        raise ValueError(
            f'distance is "{text}", lengths of which not each says from which panel; write for example: {EXAMPLE}'
        )
    twice = [name for index, (name, _) in enumerate(found) if name.lower() in _folded(found[:index])]
    if twice:
        raise ValueError(
            f'distance is "{text}", which names {twice[0]} twice; write one distance from each panel'
        )
    return found


def _folded(found: Sequence[tuple[str, str]]) -> Iterator[str]:
    return (name.lower() for name, _ in found)


def first_from(found: Sequence[tuple[str, str]], panel: str) -> list[tuple[str, str]]:
    """The same, that of the panel it is said to be from before the others. Raises ValueError where that is not among them."""
    if not panel:
        return list(found)
    first = [pair for pair in found if pair[0].lower() in ("", panel.lower())]
    if not first:
        raise ValueError(
            f"distance names {', '.join(name for name, _ in found)}, but it is from {panel}; write its distance too"
        )
    return [*first, *(pair for pair in found if pair not in first)]
