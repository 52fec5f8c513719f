"""Questions about the files beside the figures of a comparison that they touch, in short; `check` and JSON have them whole."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from costplan.circuits.facts import Facts
from costplan.files.problems import Problem, as_dicts, said_once
from costplan.files.visible import beginning
from costplan.model.loading import CATALOG_FILES, OFFERS_FILE, place_in_file
from costplan.program.ranked import Ranked
from costplan.reports.tables import WIDEST, hung

MOST = 3
"""How many stand in one place; the others are counted."""
_OF_MACHINES = ("machines", "next_machines")
_PRICES_ALL = ("labor.yaml", "suppliers.yaml", "recipes.yaml", "kinds.yaml")
"""Files of the catalog whose figures are in every total, or may be."""


@dataclass(frozen=True, slots=True)
class Asked:
    """The questions by where they belong: under the machines' rows, the lines of parts, the totals, or beside nothing."""

    machines: tuple[Problem, ...] = ()
    parts: tuple[Problem, ...] = ()
    totals: tuple[Problem, ...] = ()
    others: tuple[Problem, ...] = ()


def asked_beside(facts: Facts, questions: Iterable[Problem], ranked: Ranked) -> Asked:
    """The questions that touch a plan: of its machines, of the offers that it buys, of all that it adds up; then the others."""
    left_out = {
        ("gear", index)
        for index, gear in enumerate(facts.written.gear)
        if not gear.installed and gear.entry not in ranked.plan.gear_names
    }
    bought = {piece.offer_row for piece in ranked.plan.bought}
    machines: list[Problem] = []
    parts: list[Problem] = []
    totals: list[Problem] = []
    others: list[Problem] = []
    for question in questions:
        file = Path(question.at.path).name
        if question.trail[:1] and question.trail[0] in _OF_MACHINES:
            machines.append(question)
        elif question.trail[:2] in left_out:
            others.append(question)
        elif file == OFFERS_FILE:
            (parts if question.at.line in bought else others).append(question)
        elif file not in CATALOG_FILES or file in _PRICES_ALL:
            totals.append(question)
        else:
            others.append(question)
    return Asked(tuple(machines), tuple(parts), tuple(totals), tuple(others))


def asked_data(asked: Asked) -> list[dict[str, Any]]:
    """The same whole, each with the list of its plan that it stands beside; `totals` are all of the plan's sums."""
    lists = (("machines", asked.machines), ("bill_of_materials", asked.parts), ("totals", asked.totals))
    return [{"beside": beside, **told} for beside, questions in lists for told in as_dicts(questions)]


def in_short(questions: Sequence[Problem], width: int = WIDEST) -> str:
    """The first of them, a line each with all whom it asks, and how many more there are."""
    questions = said_once(questions)
    lines = [_line(question, width) for question in questions[:MOST]]
    more = len(questions) - MOST
    if more > 0:
        lines.append(f"  ? and {more} more; costplan check lists {'them' if more > 1 else 'it'}")
    return "\n".join(lines)


def question_words(question: Problem) -> str:
    """A question with the field that it is about, of a machine without saying that it is one."""
    about = (
        question.field_path.partition(" › ")[2]
        if question.trail[:1] == ("machines",)
        else question.field_path
    )
    return f"{about} {question.message}".strip()


def question_place(question: Problem) -> str:
    """The file and line of a question, without the folder."""
    return place_in_file(Path(question.at.path).name, question.at.line)


def _line(question: Problem, width: int) -> str:
    place, said = question_place(question), question_words(question)
    return hung(f"? {beginning(said, WIDEST - len(place) - 10)} ({place})", width, "    ", first="  ")
