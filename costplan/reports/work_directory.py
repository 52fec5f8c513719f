"""What the directory of a panel must say after today's work."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace

from costplan.ledger.steps import Act
from costplan.model.choices import Method
from costplan.reports.there import Had, Powered
from costplan.reports.work_draft import Draft, Phase
from costplan.reports.work_words import Today


def directory_drafts(today: Today, who: str) -> Iterator[Draft]:
    """A line for every circuit that the directory is wrong about, like ones together."""
    counts = Counter((panel, words) for panel, words in _corrections(today))
    for (panel, words), count in counts.items():
        draft = Draft(Phase.CHECK, 2, panel, who, f"correct the directory: {words}")
        yield replace(draft, count=count)


def _corrections(today: Today) -> Iterator[tuple[str, str]]:
    """What it must say, by panel, of every circuit that serves another than before."""
    for powered in today.there.powered:
        words = _now_serves(today, powered)
        if words:
            yield powered.circuit.panel, words
    for had, act in today.there.left.items():
        at = _circuit_at(today, had.place, had.method, had)
        gone = act is Act.MAKE_SAFE
        yield had.panel, f"{at} is made safe, strike it out" if gone else f"{at} now serves nobody"


def _now_serves(today: Today, powered: Powered) -> str:
    name, had = today.name(powered.machine.name), powered.had
    place, method = powered.circuit.outlet_place, powered.way.method
    if powered.act is Act.SHARE:
        return f"{_circuit_at(today, place, method, None)} serves {name} too, by turns"
    if had is None:
        return f"new {_circuit_at(today, place, method, None)} serves {name}"
    if powered.comes_along:
        return f"{_circuit_at(today, had.place, had.method, had)} now ends at {place}, serves {name}"
    if had.owner and today.name(had.owner) == name:
        return ""
    return f"{_circuit_at(today, had.place, had.method, had)} now serves {name}"


def _circuit_at(today: Today, place: str, method: Method, had: Had | None) -> str:
    """A circuit by its place; beside a panel, where there may be several, also by whom it feeds today."""
    if method is not Method.CORD:
        return f"circuit at {place}"
    if had is None:
        return f"circuit {place}"
    fed = f"feeds the {today.name(had.owner)} today" if had.owner else "idle today"
    return f"circuit {place} ({fed})"
