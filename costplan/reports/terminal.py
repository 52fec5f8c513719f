"""The parts of a comparison that are asked for as text, with exact figures, and the answer last."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from costplan.files.problems import Problem
from costplan.model.labels import SHARED
from costplan.program.ranked import Ranked
from costplan.reports.asked import Asked, asked_beside, in_short
from costplan.reports.budget_text import budget_text
from costplan.reports.comparison_tables import apart_text, matrix_text, out_text, ranking_text
from costplan.reports.invented import in_brackets
from costplan.reports.kept import kept_text
from costplan.reports.layouts_text import layouts_text
from costplan.reports.noted import Noted, noted
from costplan.reports.noted_shop import notes_of
from costplan.reports.outlays_text import outlays_text
from costplan.reports.over_time import paid_text, so_far_text, waiting_text
from costplan.reports.parts import EVERY_PART, Part
from costplan.reports.plan_tables import bill_text, labor_text, lines_text, shared_text, ways_text, years_text
from costplan.reports.remarks import At, Topic
from costplan.reports.remarks_text import at_the_end, beside
from costplan.reports.room import gear_text, room_text
from costplan.reports.strategies_text import strategies_text
from costplan.reports.sure import sureness_text
from costplan.reports.tables import WIDEST, filled, hung
from costplan.reports.there import There
from costplan.reports.turning_text import finding_text, turning_text
from costplan.reports.verdict_words import missing, tie, verdict
from costplan.reports.words import assumptions, hour_factor_lines, left_out_lines
from costplan.studies.budgeted import Budgeted
from costplan.studies.comparison import Comparison
from costplan.studies.outlays import Frontier

NOTED_WITH_FIGURES = (Topic.VOLTAGE_DROP, Topic.EDITION_UNKNOWN, Topic.PLACE_UNKNOWN, Topic.CORD_TO_LISTED)
"""Topics of the best plan that `Comparison.warnings` tells with volts and money."""


@dataclass(frozen=True, slots=True)
class _Shown:
    """What is printed of: the comparison, one of its plans, what is said and asked of it, how wide."""

    comparison: Comparison
    rank: int
    found: tuple[Noted, ...]
    asked: Asked
    width: int
    outlays: Frontier | None = None
    budget: Budgeted | None = None

    @property
    def plan(self) -> Ranked:
        """The plan whose bill and work are shown."""
        return self.comparison.plans[self.rank - 1]

    def headed(self, title: str, *under: str) -> str:
        """A part of the plan: its title and all under it that is not empty."""
        return _stacked(f"Plan {self.rank}: {title}", *under)

    def beside(self, *places: At, brief: bool = False) -> str:
        """The cautions that belong under lines of these places; in brief without those that the notes have with figures."""
        found = [
            entry
            for entry in self.found
            if not brief or self.rank > 1 or entry.topic not in NOTED_WITH_FIGURES
        ]
        return beside(found, *places, width=self.width)


def comparison_text(
    comparison: Comparison,
    *,
    rank: int = 1,
    parts: Iterable[Part] = EVERY_PART,
    questions: Iterable[Problem] = (),
    width: int = WIDEST,
    outlays: Frontier | None = None,
    budget: Budgeted | None = None,
) -> str:
    """The parts that are asked for, of the plan of that rank, no line wider than `width`; what they come to is last.

    questions: those about the files; the ones that touch a figure stand in short beside it; outlays: plans with less cash
    today, where they were searched for; budget: the years of its circuits, where a budget was given.
    """
    width = min(width, WIDEST)
    plan = comparison.plans[rank - 1]
    found, questions = noted(comparison.facts, plan), tuple(questions)
    shown = _Shown(
        comparison, rank, found, asked_beside(comparison.facts, questions, plan), width, outlays, budget
    )
    asked = set(parts)
    said = [text for part in Part if part in asked for text in _TEXTS[part](shown)]
    blocks = [
        _head(comparison, width),
        *said,
        at_the_end(found, width),
        _answer(comparison, len(questions), width),
    ]
    return "\n\n".join(block for block in blocks if block) + "\n"


def _head(comparison: Comparison, width: int) -> str:
    """The shop, and the rules by which all figures count."""
    facts = comparison.facts
    lines = [f"{facts.shop.name}{in_brackets(facts)}", *assumptions(facts).split("\n")]
    return "\n".join(hung(line, width, "  ") for line in [*lines, *hour_factor_lines(facts)])


def _answer(comparison: Comparison, questions: int, width: int) -> str:
    """What no figure contains, what is not known or asked, the verdict, and what to decide on among equals."""
    asked = f"{questions} question{'s' * (questions > 1)} about the files; costplan check SHOP lists "
    said = [
        f"{asked}{'them' if questions > 1 else 'it'}." if questions else "",
        *left_out_lines(comparison.facts.left_out),
        *missing(comparison),
        verdict(comparison),
        *(f"Until it is answered: {words}." for words in comparison.hinges),
        tie(comparison),
    ]
    return "\n".join(filled(line, width) for line in said if line)


def _totals(shown: _Shown) -> Iterable[str]:
    comparison, width = shown.comparison, shown.width
    yield turning_text(comparison, width)
    yield finding_text(comparison, width)
    yield matrix_text(comparison, width)
    yield strategies_text(comparison, width)
    yield layouts_text(comparison, width)


def _plans(shown: _Shown) -> Iterable[str]:
    yield _stacked(ranking_text(shown.comparison, shown.width), in_short(shown.asked.totals, shown.width))
    yield apart_text(shown.comparison, shown.width)
    yield sureness_text(shown.comparison, shown.width)


def _machines(shown: _Shown) -> Iterable[str]:
    yield shown.headed(
        "how each machine is powered",
        ways_text(shown.comparison.facts, shown.plan, shown.width),
        shared_text(shown.comparison.facts, shown.plan, shown.width),
        in_short(shown.asked.machines, shown.width),
        shown.beside(At.MACHINE, At.BUILDING, brief=True),
    )


def _gear(shown: _Shown) -> Iterable[str]:
    """Shared gear and the room it leaves; only its cautions for a shop file that says nothing about either."""
    facts, cautions = shown.comparison.facts, shown.beside(At.GEAR, At.SERVICE)
    if not facts.shop.gear and facts.shop.service is None:
        yield shown.headed("service and panels", cautions) if cautions else ""
        return
    gear = gear_text(facts, shown.plan, shown.width) or "none is put in"
    turns = shown.comparison.on_spaces if shown.plan is shown.comparison.best else ""
    yield shown.headed(SHARED, gear, filled(f"Of plan 1: {turns}.", shown.width) if turns else "")
    yield _stacked(room_text(facts, shown.plan, width=shown.width), cautions)


def _buy(shown: _Shown) -> Iterable[str]:
    yield shown.headed(
        "what to buy today",
        bill_text(shown.comparison.facts, shown.plan, shown.width),
        in_short(shown.asked.parts, shown.width),
        shown.beside(At.PART),
    )


def _work(shown: _Shown) -> Iterable[str]:
    kept = kept_text(shown.comparison.facts, shown.plan, shown.width)
    yield shown.headed("today's work on what is there", kept) if kept else ""
    yield shown.headed(
        "today's work", labor_text(shown.comparison.facts, shown.plan, shown.width), shown.beside(At.PANEL)
    )


def _years(shown: _Shown) -> Iterable[str]:
    yield shown.headed("money by year", years_text(shown.comparison.facts, shown.plan, shown.width))
    waiting = waiting_text(shown.comparison, shown.plan, shown.width)
    yield shown.headed("cash now and later, and what for", waiting) if waiting else ""
    yield so_far_text(shown.comparison, shown.width)
    yield paid_text(shown.comparison, shown.width)


def _outlays(shown: _Shown) -> Iterable[str]:
    yield outlays_text(shown.comparison, shown.outlays, shown.width)


def _budget(shown: _Shown) -> Iterable[str]:
    yield budget_text(shown.budget, shown.width)


def _unranked(shown: _Shown) -> Iterable[str]:
    yield out_text(shown.comparison, shown.width)


def _lines(shown: _Shown) -> Iterable[str]:
    yield _stacked("Lines", lines_text(shown.comparison.facts, shown.plan, shown.width))


def _notes(shown: _Shown) -> Iterable[str]:
    unseen = notes_of(There(shown.comparison.facts, shown.plan))
    notes = [
        *(f"{words}: ask the electrician before you decide" for words in unseen),
        *shown.comparison.warnings,
    ]
    words = [hung(f"- {word}", shown.width, "    ", first="  ") for word in notes]
    yield _stacked("Please note", *words) if words else ""


_TEXTS: Mapping[Part, Callable[[_Shown], Iterable[str]]] = {
    Part.TOTALS: _totals,
    Part.PLANS: _plans,
    Part.MACHINES: _machines,
    Part.GEAR: _gear,
    Part.BUY: _buy,
    Part.WORK: _work,
    Part.YEARS: _years,
    Part.OUTLAYS: _outlays,
    Part.BUDGET: _budget,
    Part.UNRANKED: _unranked,
    Part.LINES: _lines,
    Part.NOTES: _notes,
}
"""How each part is written; what is empty is left out."""


def _stacked(*texts: str) -> str:
    return "\n".join(text for text in texts if text)
