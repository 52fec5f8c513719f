"""What a part is in the words a counter person reads: its standard designation and its attributes."""

from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal

from costplan.circuits.needs import Attribute, word
from costplan.model.catalog import Part
from costplan.model.ratings import FOR_DAMP, HORSEPOWER_MARKS, TAMPER_RESISTANT, mark_words

SUFFIX: Mapping[str, str] = {"receptacle": "R", "plug": "P", "connector": "R", "inlet": "P"}
"""The letter after a NEMA configuration: R has the slots, P the blades. Source: ANSI/NEMA WD 6, from memory."""
GROUND_APART = ("building cable", "armored cable")
"""Kinds whose number of conductors leaves the ground out; a cord's counts it. Common practice, no source."""


def designation(part: Part) -> str:
    """The standard name: `NEMA 6-20R`, `SOOW 12/3`, `12/2 with ground`, `2-pole 20 A`; empty where there is none."""
    have = {name: word(value) for name, value in part.attributes.items()}
    if "configuration" in have:
        return _configuration(part.kind, have["configuration"])
    if "awg" in have and "conductors" in have:
        size = f"{have['awg']}/{have['conductors']}"
        kind = f"{have['type']} " if "type" in have else ""
        return f"{kind}{size}{' with ground' if part.kind in GROUND_APART else ''}"
    if "awg" in have:
        return f"{have['awg']} AWG"
    if "rating_a" in have and "second_rating_a" in have:
        return f"1-pole {have['rating_a']} A and 1-pole {have['second_rating_a']} A"
    if "rating_a" in have and "poles" in have:
        return f"{have['poles']}-pole {have['rating_a']} A"
    if "trade_size" in have:
        return f"trade size {have['trade_size']}"
    return ""


def attributes(part: Part) -> tuple[str, ...]:
    """Every attribute in words, in the order the catalog gives them."""
    return tuple(_in_words(part, name, value) for name, value in part.attributes.items())


def described(part: Part) -> str:
    """Name, designation and attributes in one phrase, nothing said twice."""
    return joined(part.name, designation(part), beyond_designation(part))


def beyond_designation(part: Part) -> tuple[str, ...]:
    """The attributes in words that the designation does not say already."""
    said = ("configuration", "awg", "type") if "conductors" in part.attributes else ("configuration",)
    return tuple(
        _in_words(part, name, value)
        for name, value in part.attributes.items()
        if name not in said and not _named(part, name, value)
    )


def _named(part: Part, attribute: str, value: Attribute) -> bool:
    """Whether the part's own name says the attribute already, in words of its own."""
    if attribute == "conductors":
        return f"{part.attributes.get('awg')}/{word(value)}" in part.name
    if attribute == "ground_awg":
        return word(value) == word(part.attributes.get("awg", ""))
    return attribute == "family" and word(value) in part.name


def joined(name: str, standard: str, words: Iterable[str]) -> str:
    """A name with its designation and attributes, those left out that the name says already."""
    said = [name]
    for entry in (standard, *words):
        if entry and entry not in ", ".join(said):
            said.append(entry)
    return ", ".join(said)


def _configuration(kind: str, configuration: str) -> str:
    suffix = SUFFIX.get(kind, "")
    if not configuration.startswith("NEMA") or configuration.endswith(("R", "P")):
        return configuration
    return configuration + suffix


_WORDS: Mapping[str, Callable[[str], str]] = {
    "awg": lambda value: f"{value} AWG",
    "ground_awg": lambda value: f"{value} AWG ground",
    "volts": lambda value: f"{value} V",
    "rating_a": lambda value: f"{value} A",
    "second_rating_a": lambda value: f"{value} A",
    "poles": lambda value: f"{value}-pole",
    "family": lambda value: f'for panels labeled "{value}"',
    "service": lambda value: f"{value} service",
    "type": lambda value: f"jacket {value}",
    "trade_size": lambda value: f"trade size {value}",
    "jacket_in": lambda value: f"{value} in across",
    "jacket_from_in": lambda value: f"for jackets from {value} in",
    "jacket_to_in": lambda value: f"to {value} in",
}


def _in_words(part: Part, name: str, value: Attribute) -> str:
    text = word(value)
    if name == "configuration":
        return _configuration(part.kind, text)
    if name == "conductors":
        apart = part.kind in GROUND_APART
        return f"{text} conductors and ground" if apart else f"{text} conductors, the ground among them"
    if name in HORSEPOWER_MARKS:
        return f"marked {mark_words(name, Decimal(text))}"
    if name == "ground_fault":
        return "with ground-fault protection" if value is True else "without ground-fault protection"
    if name == TAMPER_RESISTANT:
        return "tamper-resistant" if value is True else "not tamper-resistant"
    if name in FOR_DAMP.values():
        plain = name.replace("_", "-")
        return plain if value is True else f"not {plain}"
    if name in _WORDS:
        return _WORDS[name](text)
    plain = name.replace("_", " ")
    if isinstance(value, bool):
        return plain if value else f"no {plain}"
    return f"{plain} {text}"
