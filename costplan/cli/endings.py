"""How a command ends that cannot do what it was asked."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, NoReturn

import typer

from costplan.cli.choices import Exit
from costplan.cli.screen import say

if TYPE_CHECKING:
    from costplan.model.left_out import Without
    from costplan.program.ranked import NoPlanError
    from costplan.studies.comparison import Comparison


def fail(message: str) -> NoReturn:
    """Say what is wrong and end with the status of a user's mistake."""
    say(message, error=True)
    raise typer.Exit(Exit.USER_MISTAKE)


def told_of(left_out: "Sequence[Without]") -> None:
    """Once the answer is printed: end with the status of no plan where machines are in no figure of it."""
    if not left_out:
        return
    names = ", ".join(entry.machine for entry in left_out)
    say(f"no plan is possible for: {names}; what is printed is for the others, and says why", error=True)
    raise typer.Exit(Exit.NO_PLAN)


def told_unproven(comparison: "Comparison", plan: int) -> None:
    """Say beside a paper that the search for its plan was not ended, whatever the paper's format."""
    from costplan.reports.proof import NOT_PROVEN, unproven

    if unproven(comparison.plans, plan):
        say(NOT_PROVEN, error=True)


def refused(error: Exception) -> None:
    """End the command with the words of an error that the public functions raise for users; nothing for any other."""
    from costplan.files.asked import WrongUseError
    from costplan.files.problems import UserMistakeError
    from costplan.ledger.holding import UnknownWordsError
    from costplan.program.ranked import NoPlanError

    if isinstance(error, UserMistakeError):
        fail(str(error))
    if isinstance(error, WrongUseError):
        fail(error.said)
    if isinstance(error, UnknownWordsError):
        fail("\n".join(error.reasons))
    if isinstance(error, NoPlanError):
        no_plan(error)


def no_plan(error: "NoPlanError") -> NoReturn:
    """Say why no plan is possible, reason by reason, and end with the status for it."""
    for reason in error.reasons:
        say(f"no plan is possible: {reason}", error=True)
    raise typer.Exit(Exit.NO_PLAN) from None
