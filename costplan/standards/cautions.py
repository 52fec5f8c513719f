"""Cautions that are always shown: short for a terminal, full for a report."""

from dataclasses import dataclass
from functools import cache
from importlib import resources

import yaml


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution. `section` is where the code or a law says it, blank where it is common practice."""

    topic: str
    section: str
    short: str
    full: str
    confirmation: str


@cache
def cautions() -> tuple[Caution, ...]:
    """All cautions, in the order they are shown."""
    path = resources.files(__package__) / "data" / "cautions.yaml"
    return tuple(Caution(**entry) for entry in yaml.safe_load(path.read_text(encoding="utf-8")))


def topics() -> tuple[str, ...]:
    """Every topic, in the order shown."""
    return tuple(caution.topic for caution in cautions())


def find_caution(topic: str) -> Caution:
    """The caution on a topic. Raises LookupError listing the topics."""
    found = next((caution for caution in cautions() if caution.topic == topic), None)
    if found is None:
        raise LookupError(f'no caution on "{topic}"; topics are {", ".join(topics())}')
    return found
