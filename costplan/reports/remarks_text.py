"""Remarks as text and data: short beside the lines of a report, in full for who asks, questions by whom to ask."""

import re
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from costplan.files.problems import At, Problem
from costplan.reports.noted import Noted
from costplan.reports.remarks import At as Beside
from costplan.reports.remarks import Remark, Whom, all_remarks
from costplan.reports.tables import BLANK, WIDEST, hung, wrapped

WIDE = 118
PLACES = {
    Beside.MACHINE: "At a machine",
    Beside.GEAR: "At shared equipment",
    Beside.PANEL: "At a panel",
    Beside.BUILDING: "At the building",
    Beside.SERVICE: "At the service",
    Beside.PART: "At a part that is bought",
    Beside.END: "Of every plan",
}
"""The headings of the whole list."""
WHERE_ALL_IS = "costplan cautions SHOP prints all that applies in full, with what to ask of whom"


def beside(found: Iterable[Noted], *places: Beside, width: int = WIDEST) -> str:
    """The short cautions that belong under lines of these places, each with what it is about; empty where there are none."""
    return "\n".join(
        _bullet(_said(entry, entry.remark.short), width=width)
        for entry in found
        if entry.remark.at in places and entry.remark.short
    )


def at_the_end(found: Iterable[Noted], width: int = WIDEST) -> str:
    """The few cautions that hold for all of a plan, and where the rest is."""
    where = hung(f"({WHERE_ALL_IS})", width, "  ", first="  ")
    return f"Cautions\n{beside(found, Beside.END, width=width)}\n{where}"


def questions_of(found: Iterable[Noted], *whom: Whom) -> Iterator[tuple[Whom, str, str]]:
    """What to ask of these persons: who, the question, and what it is about, empty where that is all of the plan."""
    for entry in found:
        for ask in entry.remark.asks:
            if ask.of in whom:
                yield ask.of, ask.text, entry.whose


def asked_words(found: Iterable[Noted], *whom: Whom) -> tuple[str, ...]:
    """The same as sentences, questions with room for the answer."""
    return tuple(
        f"{about}: {_with_blank(text)}" if about else _with_blank(text)
        for _, text, about in questions_of(found, *whom)
    )


def _with_blank(text: str) -> str:
    """A question with room for its answer; a demand needs none."""
    return f"{text} {BLANK}" if "?" in text else text


def work_words(found: Iterable[Noted]) -> tuple[str, ...]:
    """What whoever does the work is told, each with what it is about."""
    return tuple(_said(entry, entry.remark.work) for entry in found if entry.remark.work)


def before_text(found: Iterable[Noted]) -> str:
    """What can be asked before there is a plan, by whom to ask; empty where that is nothing."""
    asked = list(questions_of(found, *Whom))
    lines = [
        _bullet(f"{whom}{f', about {about}' if about else ''}: {text}")
        for whom in Whom
        for of, text, about in asked
        if of is whom
    ]
    return "\n".join(["To ask before there is a plan", *lines, ""]) if lines else ""


def before_problems(found: Iterable[Noted]) -> list[Problem]:
    """The same as questions beside those about the files: of no place in them, since nothing there is wrong."""
    return [
        Problem(
            f"ask-{str(entry.topic).replace(' ', '-')}",
            At(""),
            "",
            f"{entry.whose}: {ask.text}" if entry.about else ask.text,
            f"ask the {ask.of}",
            severity="question",
        )
        for entry in found
        for ask in entry.remark.asks
    ]


def all_text() -> str:
    """Every caution and question there is, with when each is said."""
    parts = []
    for place, heading in PLACES.items():
        entries = [
            _in_full(entry, f"Said when {entry.when}.") for entry in all_remarks() if entry.at is place
        ]
        parts.append("\n\n".join([heading, *entries]))
    return "\n\n".join(parts) + "\n"


def noted_text(found: Sequence[Noted]) -> str:
    """The cautions and questions that apply, in full."""
    return "\n\n".join(_in_full(entry.remark, entry.whose) for entry in found) + "\n"


def _in_full(entry: Remark, below: str) -> str:
    section = f" [{_section(entry)}]" if entry.section else ""
    lines = [f"{entry.topic}{section}"]
    lines += [_bullet(below, "  ")] if below else []
    lines.append(_bullet(entry.full, "  "))
    lines += [_bullet(f"for the work: {entry.work}")] if entry.work else []
    lines += [_bullet(f"ask the {ask.of}: {ask.text}") for ask in entry.asks]
    return "\n".join(lines)


def _section(entry: Remark) -> str:
    of_the_code = "NEC " if re.match(r"\d+\.\d", entry.section) else ""
    return f"{of_the_code}{entry.section}{', from memory' if entry.confirmation == 'from memory' else ''}"


def _said(entry: Noted, words: str) -> str:
    return f"{entry.whose}: {words}" if entry.about else words


def _bullet(words: str, mark: str = "  - ", width: int = WIDEST) -> str:
    """A point of a list, at most `width` characters wide."""
    return mark + wrapped(words, min(WIDE, width - len(mark))).replace("\n", "\n" + " " * len(mark))


def remarks_data(found: Iterable[Noted]) -> list[dict[str, Any]]:
    """The remarks that apply as plain data."""
    return [_data(entry.remark) | {"about": list(entry.about)} for entry in found]


def all_data() -> list[dict[str, Any]]:
    """Every remark there is as plain data; of none is said what it is about."""
    return [_data(entry) | {"about": []} for entry in all_remarks()]


def _data(entry: Remark) -> dict[str, Any]:
    return {
        "topic": str(entry.topic),
        "at": str(entry.at),
        "when": entry.when,
        "section": entry.section or None,
        "short": entry.short,
        "full": entry.full,
        "work": entry.work or None,
        "asks": [{"of": str(ask.of), "text": ask.text} for ask in entry.asks],
    }
