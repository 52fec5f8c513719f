"""How a command ends that cannot do what it was asked."""

from typing import TYPE_CHECKING, NoReturn

import typer

from costplan.cli.choices import Exit

if TYPE_CHECKING:
    from costplan.plans.ranking import NoPlanError


def fail(message: str) -> NoReturn:
    """Say what is wrong and end with the status of a user's mistake."""
    typer.echo(message, err=True)
    raise typer.Exit(Exit.USER_MISTAKE)


def no_plan(error: "NoPlanError") -> NoReturn:
    """Say why no plan is possible, reason by reason, and end with the status for it."""
    for reason in error.reasons:
        typer.echo(f"no plan is possible: {reason}", err=True)
    raise typer.Exit(Exit.NO_PLAN) from None
