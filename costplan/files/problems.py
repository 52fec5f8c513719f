"""What is wrong in a user's files, where, and how to mend it; one renderer for people, one for machines."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from typing import Literal

Severity = Literal["error", "question"]

_WIDEST_EXCERPT = 100


@dataclass(frozen=True, slots=True, order=True)
class At:
    """A place in a file: line and column count from 1, 0 means the whole file or line.

    `header` is the name of the column when the file is a table; the column is then shown as its letter.
    """

    path: str
    line: int = 0
    column: int = 0
    header: str = ""

    def __str__(self) -> str:
        if self.header:
            return f"{self.path}:{self.line}, column {column_letter(self.column)} ({self.header})"
        return ":".join(str(part) for part in (self.path, self.line, self.column) if part)


@dataclass(frozen=True, slots=True)
class Problem:
    """One complaint: a stable code, its place, the breadcrumb of the field, a sentence, and how to mend it.

    An error stops everything; a question is answered for the user in the way the mend says, and shown.
    The first line of a mend is a sentence, those after it are lines to paste.
    `excerpt` is the file's own line, `width` how many of its characters the carets mark; `trail` is the way to the field
    from the top of a YAML file, in the file's words.
    """

    code: str
    at: At
    field_path: str
    message: str
    mend: str
    excerpt: str = ""
    width: int = 1
    severity: Severity = "error"
    trail: tuple[str | int, ...] = ()


class UserMistakeError(Exception):
    """What the user wrote cannot be used; `problems` says why, all at once."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__(render_text(self.problems))


def column_letter(column: int) -> str:
    """The spreadsheet's letter of a column counted from 1: 1 is A, 27 is AA."""
    letters = ""
    while column > 0:
        column, rest = divmod(column - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def nearest(word: str, words: Iterable[str]) -> str | None:
    """The one of `words` that `word` was probably meant to be, None when none is near."""
    choices = {choice.lower(): choice for choice in words}
    found = get_close_matches(word.lower(), choices, n=1, cutoff=0.6)
    return choices[found[0]] if found else None


def allowed_words(word: str, words: Iterable[str], at_most: int = 12) -> str:
    """A mend that lists the allowed words and the nearest right one: `allowed: a, b. Did you mean b?`."""
    choices = list(words)
    guess = nearest(word, choices)
    shown = ", ".join(choices[:at_most]) + (
        f" and {len(choices) - at_most} more" if len(choices) > at_most else ""
    )
    listed = f"allowed: {shown}" if choices else "there are none"
    return f'{listed}. Did you mean "{guess}"?' if guess else listed


def errors_of(problems: Iterable[Problem]) -> list[Problem]:
    """The problems that stop the computation."""
    return [problem for problem in problems if problem.severity == "error"]


def in_order(problems: Iterable[Problem], first: str = "") -> list[Problem]:
    """Problems without repeats, by file, line and column; those of the file `first` before all others."""
    return sorted(
        dict.fromkeys(problems),
        key=lambda problem: (
            problem.at.path != first,
            problem.at,
            problem.severity,
            problem.code,
            problem.field_path,
        ),
    )


def render_text(problems: Iterable[Problem], at_most_alike: int = 10, first: str = "") -> str:
    """All problems as text for a terminal, those of the file `first` first, closing with a count.

    What one mend asks of the same field of several entries is one block that names them all. More than `at_most_alike`
    blocks of one code in one file are counted instead of shown.
    """
    listed = in_order(problems, first)
    entries = _together(listed)
    alike = Counter((entry[0].code, entry[0].at.path) for entry in entries)
    shown: Counter[tuple[str, str]] = Counter()
    blocks = []
    for entry in entries:
        problem = entry[0]
        sort = (problem.code, problem.at.path)
        shown[sort] += 1
        if shown[sort] <= at_most_alike:
            blocks.append("\n".join([_block(problem), *_of_others(entry)]))
        elif shown[sort] == alike[sort]:
            blocks.append(
                f"{problem.at.path}: {problem.code}: and {alike[sort] - at_most_alike} more like this"
            )
    return "\n".join([*blocks, _count(listed)])


def said_once(problems: Iterable[Problem]) -> list[Problem]:
    """Questions that say the same of several entries of a list as one, with all of these named in its field, at the first's
    place; the rest as they are."""
    found: dict[object, list[Problem]] = {}
    for number, entry in enumerate(_together(problems)):
        for problem in entry:
            found.setdefault((number, problem.message), []).append(problem)
    return [_naming_all(alike) for alike in found.values()]


def _naming_all(alike: Sequence[Problem]) -> Problem:
    if len(alike) == 1:
        return alike[0]
    top, _, *rest = alike[0].field_path.split(" › ")
    names = ", ".join(dict.fromkeys(_entry_name(problem) for problem in alike))
    return replace(alike[0], field_path=" › ".join([top, names, *rest]))


def _together(listed: Iterable[Problem]) -> list[list[Problem]]:
    """Problems in order, questions that ask the same of the same field of several entries of a list together."""
    found: dict[object, list[Problem]] = {}
    for problem in listed:
        of_entry = problem.severity == "question" and len(problem.trail) > 1
        if of_entry and isinstance(problem.trail[1], int):
            field = (problem.trail[0], *problem.trail[2:])
            key: object = (problem.code, problem.at.path, problem.mend, field)
        else:
            key = problem
        found.setdefault(key, []).append(problem)
    return list(found.values())


def _of_others(entry: Sequence[Problem]) -> list[str]:
    """Of whom else a question is asked: those of whom it says the same in one line, of others what it says."""
    first, *others = entry
    same = [
        f"{_entry_name(other)} (line {other.at.line})" for other in others if other.message == first.message
    ]
    told = [f"      the same of {', '.join(same)}"] if same else []
    return told + [
        f"      and of {_entry_name(other)} (line {other.at.line}): it {_printable(other.message)}"
        for other in others
        if other.message != first.message
    ]


def _entry_name(problem: Problem) -> str:
    """The entry of a list that a problem is about, as its breadcrumb has it."""
    parts = problem.field_path.split(" › ")
    return _printable(parts[1] if len(parts) > 1 else problem.field_path)


def as_dicts(problems: Iterable[Problem]) -> list[dict[str, str | int]]:
    """All problems as plain mappings for JSON."""
    return [
        {
            "code": problem.code,
            "severity": problem.severity,
            "path": problem.at.path,
            "line": problem.at.line,
            "column": problem.at.column,
            "header": problem.at.header,
            "field": problem.field_path,
            "message": problem.message,
            "mend": problem.mend,
        }
        for problem in in_order(problems)
    ]


def _block(problem: Problem) -> str:
    sentence = f"{problem.field_path} {problem.message}" if problem.field_path else problem.message
    ask = "question: " if problem.severity == "question" else ""
    mend, *pasted = [_printable(line) for line in problem.mend.split("\n")]
    lines = [f"{problem.at}: {problem.code}: {ask}{_printable(sentence)}"]
    if problem.excerpt and problem.at.line:
        text, column = _window(_printable(problem.excerpt), problem.at.column)
        number = f"{problem.at.line:>5}"
        carets = "^" * max(1, min(problem.width, len(text) - column + 1))
        lines.append(f"{number} | {text}")
        lines.append(f"{' ' * len(number)} | {' ' * (column - 1)}{carets} {mend}".rstrip())
    elif mend:
        lines.append(f"      {mend}")
    return "\n".join([*lines, *(f"      {line}" for line in pasted)])


def _window(text: str, column: int) -> tuple[str, int]:
    column = max(1, column)
    if len(text) <= _WIDEST_EXCERPT:
        return text, column
    start = max(0, min(column - 1 - _WIDEST_EXCERPT // 2, len(text) - _WIDEST_EXCERPT))
    return text[start : start + _WIDEST_EXCERPT], column - start


def _printable(text: str) -> str:
    """The text in one line, each sign of it one place wide, so that the carets stay below it."""
    return "".join(
        sign if sign.isprintable() else (" " if sign.isspace() else "\N{REPLACEMENT CHARACTER}")
        for sign in text
    )


def _counted(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"


def _count(problems: Sequence[Problem]) -> str:
    if not problems:
        return "no problems"
    files = _counted(len({problem.at.path for problem in problems}), "file")
    errors = len(errors_of(problems))
    questions = len(problems) - errors
    if not errors:
        return f"{_counted(questions, 'question')} in {files}"
    asked = f" and {_counted(questions, 'question')}" if questions else ""
    return f"{_counted(errors, 'problem')}{asked} in {files}; nothing was computed"
