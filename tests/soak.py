"""How much is drawn: a little, or with the hypothesis profile `fresh` ten times as much, other shops each time."""

from hypothesis import settings

USUAL, MANY = 20, 200
"""Examples of the two profiles."""


def fresh() -> bool:
    """Whether this run draws fresh shops; known once the profile is loaded."""
    return settings().max_examples >= MANY


def examples(few: int) -> int:
    """So many, or ten times as many."""
    return few * MANY // USUAL if fresh() else few
