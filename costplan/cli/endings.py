"""How a command ends that cannot do what it was asked."""

from typing import TYPE_CHECKING, NoReturn

import typer

from costplan.cli.choices import Exit
from costplan.cli.screen import say

if TYPE_CHECKING:
    from costplan.plans.ranking import NoPlanError


def fail(message: str) -> NoReturn:
    """Say what is wrong and end with the status of a user's mistake."""
    say(message, error=True)
    raise typer.Exit(Exit.USER_MISTAKE)


def no_plan(error: "NoPlanError") -> NoReturn:
    """Say why no plan is possible, reason by reason, and end with the status for it."""
    for reason in error.reasons:
        say(f"no plan is possible: {reason}", error=True)
    raise typer.Exit(Exit.NO_PLAN) from None
