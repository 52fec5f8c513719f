"""What to look at and test before paying for a surplus part, and when to walk away."""

from dataclasses import dataclass
from functools import cache
from importlib import resources

import yaml

from costplan.files.yaml_reader import LOADER


@dataclass(frozen=True, slots=True)
class Checks:
    """The checks for some kinds of part. Source: common practice, no source."""

    kinds: tuple[str, ...]
    look: tuple[str, ...]
    test: tuple[str, ...]
    walk_away: tuple[str, ...]


@cache
def all_checks() -> tuple[Checks, ...]:
    """Every list of checks; the last one, without kinds, is for all other kinds."""
    path = resources.files(__package__) / "inspection.yaml"
    rows = yaml.load(path.read_text(encoding="utf-8"), LOADER)
    return tuple(Checks(**{name: tuple(words) for name, words in row.items()}) for row in rows)


def checks_for(kind: str) -> Checks:
    """The checks for a kind of part, those for anything where none names it."""
    return next(checks for checks in all_checks() if kind in checks.kinds or not checks.kinds)
