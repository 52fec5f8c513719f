"""costplan: what powering each machine of a small shop costs over the years.

For those who calculate on: `case = costplan.load("shop.yaml")`, `result = costplan.compare(case)` and
`costplan.next_machines(case)`, whose tables are pandas frames; see the page json-and-csv of the guide. Importing costplan
loads nothing else; the first use of a name does.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from costplan.files.asked import WrongUseError
    from costplan.files.problems import Problem, UserMistakeError
    from costplan.ledger.holding import UnknownWordsError
    from costplan.program.ranked import NoPlanError
    from costplan.reports.frames import Result, compare
    from costplan.reports.next_frames import NextResult, next_machines
    from costplan.studies.case import Case, load

__all__ = [
    "Case",
    "NextResult",
    "NoPlanError",
    "Problem",
    "Result",
    "UnknownWordsError",
    "UserMistakeError",
    "WrongUseError",
    "compare",
    "load",
    "next_machines",
]

_HOMES = {
    "Case": "costplan.studies.case",
    "load": "costplan.studies.case",
    "Result": "costplan.reports.frames",
    "compare": "costplan.reports.frames",
    "NextResult": "costplan.reports.next_frames",
    "next_machines": "costplan.reports.next_frames",
    "WrongUseError": "costplan.files.asked",
    "Problem": "costplan.files.problems",
    "UserMistakeError": "costplan.files.problems",
    "NoPlanError": "costplan.program.ranked",
    "UnknownWordsError": "costplan.ledger.holding",
}


def __getattr__(name: str) -> Any:
    """One of the names above, loaded when it is asked for."""
    if name not in _HOMES:
        raise AttributeError(f"module 'costplan' has no attribute {name!r}")
    return getattr(import_module(_HOMES[name]), name)
