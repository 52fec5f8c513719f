"""What is missing or asked, the most important first, each with the figure that it touches."""

from collections.abc import Iterable, Iterator, Sequence

from costplan.checks.checks import FAR_FIGURES
from costplan.circuits.facts import Facts
from costplan.files.problems import Problem, said_once
from costplan.model.money import format_cents
from costplan.program.ranked import Ranked
from costplan.reports.asked import asked_beside, question_place, question_words
from costplan.reports.budget import points
from costplan.reports.strategies_text import heading
from costplan.reports.verdict_words import closed_lines
from costplan.studies.comparison import COLUMNS, Comparison, sells_used
from costplan.studies.rows import NO_SURPLUS

ALL_OF_IT = 10**12
"""Cents that a question weighs which may touch all that a plan costs."""
FROM_CHECK = ": costplan check SHOP"


def asked_rows(
    comparison: Comparison, ranked: Ranked, questions: Sequence[Problem], rows: int, width: int
) -> list[str]:
    """What lacks a price or an answer of the solver, and what the files leave open, in at most so many rows."""
    return points(
        [*_missing(comparison), *_asked(comparison.facts, questions, ranked)], rows, width, FROM_CHECK
    )


def _missing(comparison: Comparison) -> Iterator[str]:
    yield from (f"! {words}" for words in closed_lines(comparison))
    why: dict[str, list[str]] = {}
    used = sells_used(comparison.facts)
    for row in comparison.rows:
        # Where nothing used is for sale one column stands for both.
        for column in COLUMNS if used else [comparison.column]:
            cell = comparison.matrix[row, column]
            if cell.why_not and cell is not NO_SURPLUS and not cell.incomplete:
                why.setdefault(cell.why_not, []).append(f"{row}, {heading(column, used=used)}")
    yield from (f"! {'; '.join(cells)}: {reason}" for reason, cells in why.items())


def _asked(facts: Facts, questions: Iterable[Problem], ranked: Ranked) -> Iterator[str]:
    """The questions, what is hardly meant first, then what touches most; what touches nothing of the plan last."""
    found = asked_beside(facts, questions, ranked)
    weighed = [
        *((question, "touches every total: ", ALL_OF_IT) for question in said_once(found.totals)),
        *((question, "", ALL_OF_IT) for question in said_once(found.machines)),
        *((question, *_of_a_part(question, ranked)) for question in found.parts),
        *((question, "touches nothing bought in this plan: ", 0) for question in said_once(found.others)),
    ]
    order = sorted(weighed, key=lambda entry: (entry[0].code not in FAR_FIGURES or not entry[2], -entry[2]))
    for question, touched, _ in order:
        yield f"? {touched}{question_words(question)} ({question_place(question)})"


def _of_a_part(question: Problem, ranked: Ranked) -> tuple[str, int]:
    """What the plan pays today by the offer in question, in words and in cents."""
    cents = sum(
        line.amount_cents for line in ranked.lines if line.year == 0 and line.offer_row == question.at.line
    )
    return f"{format_cents(cents)} of today's cash: ", max(cents, 1)
