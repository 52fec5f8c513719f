"""A shop as the commands read it: what is wrong is told and ends them, what is asked about its files is told beside."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from costplan.cli.endings import fail
from costplan.cli.screen import say

if TYPE_CHECKING:
    from costplan.circuits.facts import Facts
    from costplan.files.problems import Problem
    from costplan.studies.case import Case


def opened(
    shop: Path | None,
    catalog: Path | None,
    *,
    layout: str | None = None,
    bids: Path | None = None,
    beside: bool = False,
    counted: bool = True,
    with_bids: bool = True,
) -> "Case":
    """`costplan.load`, with questions about the files on standard error, of bids where the command is `with_bids`.

    Figures hardly meant are told whole there, unless they stand `beside` what they touch; the other questions are `counted`,
    unless the output itself counts them.
    """
    from costplan.studies.case import load

    case = load(shop, catalog, layout=layout, bids=bids)
    _tell(case.questions, beside=beside, counted=counted)
    tell_asked_of_bids(case.asked_of_bids if with_bids else ())
    return case


def read_facts(shop: Path | None, catalog: Path | None) -> "Facts":
    """Shop and catalog for commands that need no bids; what is wrong in any file ends them."""
    from costplan.files.problems import errors_of, render_text
    from costplan.studies.case import read_case

    facts, problems = read_case(shop, catalog)
    if facts is None or errors_of(problems):
        fail(render_text(problems))
    _tell(problems)
    return facts


def _tell(problems: "Sequence[Problem]", *, beside: bool = False, counted: bool = True) -> None:
    from costplan.checks.checks import FAR_FIGURES
    from costplan.files.problems import render_text

    own = own_questions(problems)
    far = [problem for problem in own if problem.code in FAR_FIGURES and not beside]
    if far:
        say(render_text(far), error=True)
    left = len(own) - len(far)
    if left and counted:
        many = f"{left} {'more ' * bool(far)}question{'s' * (left > 1)} about the files"
        say(f"{many}, none of them an error; costplan check lists them", error=True)


def tell_asked_of_bids(problems: "Sequence[Problem]") -> None:
    """The questions about a file of bids, whole."""
    from costplan.files.problems import render_text

    if problems:
        count = f"{len(problems)} question{'' if len(problems) == 1 else 's'}"
        about = f"{count} about {problems[0].at.path}, none of them an error"
        say(f"{about}:\n{render_text(problems)}", error=True)


def own_questions(problems: "Sequence[Problem]") -> "list[Problem]":
    """All problems but questions about the catalogs that are shipped, whose prices are nobody's; hardly meant figures first."""
    from costplan.checks.checks import FAR_FIGURES

    own = [problem for problem in problems if _own(problem)]
    return sorted(own, key=lambda problem: problem.code not in FAR_FIGURES)


def _own(problem: "Problem") -> bool:
    from costplan.files.shipped import shipped

    folder = shipped("catalogs").resolve()
    return problem.severity == "error" or not Path(problem.at.path).resolve().is_relative_to(folder)


def found_text(problems: "Sequence[Problem]", shop: Path | None, *, every: bool) -> str:
    """The problems in words, the shop file's own first; unless `every`, questions about a shipped catalog only counted."""
    from costplan.files.problems import render_text

    shown = [problem for problem in problems if every or _own(problem)]
    blocks = [render_text(shown, first=str(shop))] if shown else []
    hidden = len(problems) - len(shown)
    if hidden:
        counted = f"{hidden} more question{'s' * (hidden > 1)} about the shipped catalog, which is invented"
        named = f" {shop}" if shop is not None else ""
        blocks.append(f"{counted}; costplan check{named} --all shows {'them' if hidden > 1 else 'it'}")
    return "\n".join(blocks) or "No problems found."
