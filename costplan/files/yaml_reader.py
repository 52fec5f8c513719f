"""YAML with the line and column of every value, and none of YAML's surprises.

Only plain decimal numbers, true, false and null are more than text: `no`, `on`, `6_20`, `010`, `12:30` and
dates stay as typed. Anchors, aliases, merges and tags are refused, since a reader cannot see what they do.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple

import yaml

from costplan.files.problems import At, Problem, Severity
from costplan.files.text_reader import read_text
from costplan.files.visible import LONGEST_TEXT, beginning, first_invisible, visible

Trail = tuple[str | int, ...]
"""The way from the top of a file to a value: ("machines", 0, "volts")."""

LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
"""The loader in C where libyaml is there: several times as fast."""
_DEEPEST = 30
_LARGEST_BYTES = 1024 * 1024
_MOST_VALUES = 100_000
"""A catalog of a thousand parts has a tenth of that; reading these takes seconds."""
_INTEGER = re.compile(r"-?(?:0|[1-9][0-9]{0,17})")
_DECIMAL = re.compile(r"-?(?:0|[1-9][0-9]{0,17})\.[0-9]{1,18}")
_WORDS = {"true": True, "True": True, "false": False, "False": False, "null": None, "~": None, "": None}
_LINE_BREAK = re.compile("\r\n|[\n\r\x85\u2028\u2029]")

_UNREADABLE = frozenset(
    {"yaml-alias", "yaml-merge", "yaml-two-documents", "yaml-odd-word", "file-odd-character"}
)
"""After these, what is missing is no mistake of its own."""


class Place(NamedTuple):
    """Where a value is written, its raw text, and where its key is; lines and columns count from 1."""

    line: int
    column: int
    text: str
    key_line: int
    key_column: int
    key_text: str


@dataclass(frozen=True, slots=True)
class Places:
    """Where everything in one file is written."""

    path: str
    by_trail: Mapping[Trail, Place] = field(default_factory=dict)
    lines: tuple[str, ...] = ()
    data: object = None

    def nearest(self, trail: Trail) -> tuple[Trail, Place | None]:
        """The place of `trail`, else of the nearest thing around it that is in the file."""
        for end in range(len(trail), -1, -1):
            if trail[:end] in self.by_trail:
                return trail[:end], self.by_trail[trail[:end]]
        return (), None

    def problem(
        self,
        code: str,
        trail: Trail,
        message: str,
        mend: str,
        *,
        key: bool = False,
        question: bool = False,
    ) -> Problem:
        """A problem at `trail`, or at its key, with the line it is in."""
        found, place = self.nearest(trail)
        severity: Severity = "question" if question else "error"
        crumbs = breadcrumb(self.data, trail)
        if place is None:
            return Problem(code, At(self.path), crumbs, message, mend, severity=severity, trail=trail)
        key = key and found == trail
        line, column, text = (
            (place.key_line, place.key_column, place.key_text)
            if key
            else (place.line, place.column, place.text)
        )
        excerpt = self.lines[line - 1] if 0 < line <= len(self.lines) else ""
        at, width = At(self.path, line, column), max(1, len(text))
        return Problem(code, at, crumbs, message, mend, excerpt, width, severity, trail)


@dataclass(frozen=True, slots=True)
class YamlFile:
    """A YAML file, read: `data` is None when it cannot be used at all."""

    data: dict[str, object] | None
    places: Places
    problems: tuple[Problem, ...]


def read_yaml(path: Path) -> YamlFile:
    """Read a YAML file whose top is a mapping; everything wrong with it comes back as problems."""
    file = read_text(path, _LARGEST_BYTES)
    if file.text is None:
        return YamlFile(None, Places(file.path), file.problems)
    if path.suffix.lower() == ".csv":
        mend = "name a file of words and values, as myshop/shop.yaml; a catalog is named by its folder"
        problem = Problem("file-is-table", At(file.path), "", "is a table by its name (.csv)", mend)
        return YamlFile(None, Places(file.path), (problem,))
    return parse_yaml(file.text, file.path)


def parse_yaml(text: str, path: str) -> YamlFile:
    """Read YAML text as `read_yaml` does; `path` is what messages call it."""
    lines = tuple(_LINE_BREAK.split(text))
    places = Places(path, {}, lines)
    if not text.strip():
        return YamlFile(None, places, (Problem("file-empty", At(path), "", "is empty", _start_with(path)),))
    odd = first_invisible(text)
    if odd:
        at, excerpt = _at_index(path, text, odd.start())
        problem = Problem("file-odd-character", at, "", _holds(odd[0]), _DELETE_IT, excerpt)
        return YamlFile(None, places, (problem,))
    for number, written in enumerate(lines, start=1):
        if written and (blank := _OTHER_INDENT.match(written)):
            at = At(path, number, blank.end())
            message = "is indented with a blank that YAML does not know, as pages and word processors have it"
            mend = "type the indentation anew, with the space bar; look at its neighbours, which look alike"
            return YamlFile(None, places, (Problem("yaml-blank", at, "", message, mend, written),))
    builder = _Builder(path, lines, text)
    try:
        data = builder.document(yaml.parse(text, Loader=LOADER))
    except yaml.MarkedYAMLError as error:
        return YamlFile(None, places, (*builder.problems, _syntax_problem(error, path, lines)))
    except yaml.YAMLError as error:
        message = f"is not YAML: {str(error).splitlines()[0]}"
        return YamlFile(
            None,
            places,
            (
                *builder.problems,
                Problem("yaml-syntax", At(path), "", message, 'write lines of "word: value"'),
            ),
        )
    except _TooMuchError:
        return YamlFile(None, places, tuple(builder.problems))
    places = Places(path, builder.by_trail, lines, data)
    if not isinstance(data, dict):
        shape = "a list" if isinstance(data, list) else "plain text"
        found = "is empty but for comments" if data is None else f'is {shape}, not lines of "word: value"'
        problem = Problem(
            "file-not-a-mapping", At(path, 0 if data is None else 1), "", found, _start_with(path)
        )
        return YamlFile(None, places, (*builder.problems, problem))
    unreadable = any(problem.code in _UNREADABLE for problem in builder.problems)
    return YamlFile(None if unreadable else data, places, tuple(builder.problems))


def place_of(places: Places, trail: Trail) -> str:
    """Where `trail` is written, as reports show it: `garage.yaml:45`; the file's name alone when unknown."""
    _, place = places.nearest(trail)
    name = Path(places.path).name
    if place is None:
        return name
    return f"{name}:{place.key_line}"


def place_by_names(places: Places, *names: str) -> str:
    """As `place_of`, by words and the names of list entries; the file's name alone where there is no such thing."""
    trail, data = list[str | int](), places.data
    for name in names:
        step: str | int | None = name
        if isinstance(data, list):
            step = next((index for index, entry in enumerate(data) if _label(entry) == name), None)
            data = None if step is None else data[step]
        else:
            data = data.get(name) if isinstance(data, dict) else None
        if step is None or data is None:
            return Path(places.path).name
        trail.append(step)
    return place_of(places, tuple(trail))


def breadcrumb(data: object, trail: Trail) -> str:
    """`machines › table saw › volts`: list entries are called by their name, else by their number."""
    words = []
    for step in trail:
        if isinstance(step, int):
            data = data[step] if isinstance(data, list) and step < len(data) else None
            words.append(_label(data) or f"#{step + 1}")
        else:
            data = data.get(step) if isinstance(data, dict) else None
            words.append(beginning(step))
    return " › ".join(words)


def _label(entry: object) -> str:
    if not isinstance(entry, dict):
        return ""
    words = {word: str(said) for word, said in entry.items() if isinstance(said, str | int | Decimal)}
    name = next((words[word] for word in ("id", "name", "bidder", "kind", "task") if word in words), "")
    if not name and "year" in words:
        name = f"year {words['year']}" + (f", {words['machine']}" if "machine" in words else "")
    if not name and "from" in words and "to" in words:
        name = f"{words['from']} to {words['to']}"
    return name if len(name) <= 60 else ""


class _TooMuchError(Exception):
    """Nested deeper, or more, than anybody means."""


class _Builder:
    """Turns YAML events into data, noting places and problems on the way."""

    def __init__(self, path: str, lines: tuple[str, ...], text: str) -> None:
        self.path = path
        self.lines = lines
        self.text = text
        self.by_trail: dict[Trail, Place] = {}
        self.problems: list[Problem] = []
        self.repeated: dict[int, Trail] = {}

    def document(self, events: Iterator[yaml.Event]) -> object:
        data: object = None
        documents = 0
        for event in events:
            if isinstance(event, yaml.DocumentStartEvent):
                documents += 1
                if documents > 1:
                    self._complain(
                        event,
                        "yaml-two-documents",
                        "a second document starts here",
                        "one file is one shop, or one part of a catalog: put what follows the --- into a file of its own; "
                        "delete the --- alone where nothing or more of the same follows",
                    )
                    return data
            elif isinstance(event, yaml.NodeEvent):
                data = self._value(event, events, (), None)
        # Entries are called by their names, which may come after the repeated word.
        for index, trail in self.repeated.items():
            self.problems[index] = replace(self.problems[index], field_path=breadcrumb(data, trail))
        return data

    def _value(
        self, event: yaml.Event, events: Iterator[yaml.Event], trail: Trail, key: yaml.Event | None
    ) -> object:
        if len(trail) > _DEEPEST:
            self._complain(
                event, "yaml-too-deep", f"is nested more than {_DEEPEST} deep", "check brackets and dashes"
            )
            raise _TooMuchError
        if len(self.by_trail) >= _MOST_VALUES:
            message = f"is one of more than {_MOST_VALUES:,} values"
            self._complain(event, "yaml-too-much", message, "is it the right file?")
            raise _TooMuchError
        self._note_place(event, trail, key)
        self._refuse_marks(event)
        if isinstance(event, yaml.ScalarEvent):
            self._refuse_odd_text(event)
            return _resolved(event)
        if isinstance(event, yaml.SequenceStartEvent):
            return self._sequence(events, trail)
        if isinstance(event, yaml.MappingStartEvent):
            return self._mapping(events, trail)
        return None

    def _sequence(self, events: Iterator[yaml.Event], trail: Trail) -> list[object]:
        entries: list[object] = []
        for event in events:
            if isinstance(event, yaml.SequenceEndEvent):
                break
            entries.append(self._value(event, events, (*trail, len(entries)), None))
        return entries

    def _mapping(self, events: Iterator[yaml.Event], trail: Trail) -> dict[str, object]:
        entries: dict[str, object] = {}
        for key in events:
            if isinstance(key, yaml.MappingEndEvent):
                break
            word = self._key(key, events, trail, len(entries))
            value = next(events)
            if word in entries:
                first = self.by_trail[(*trail, word)].key_line
                message = f"is written twice, in line {first} and here"
                self._complain(key, "yaml-repeated-word", message, "keep one of them")
                self.repeated[len(self.problems) - 1] = (*trail, word)
                self._skip(value, events, (*trail, word))
                continue
            entries[word] = self._value(value, events, (*trail, word), key)
        return entries

    def _key(self, key: yaml.Event, events: Iterator[yaml.Event], trail: Trail, count: int) -> str:
        if isinstance(key, yaml.ScalarEvent):
            self._refuse_marks(key)
            self._refuse_odd_text(key)
            if key.value == "<<" and not key.style:
                mend = "write the words out in each place"
                self._complain(key, "yaml-merge", 'is a merge ("<<"), which is not read', mend)
            return _one_line(str(key.value))
        self._complain(
            key, "yaml-odd-word", "a list or mapping stands where a word with a colon should be", _QUOTE_IT
        )
        self._skip(key, events, (*trail, f"?{count}"))
        return f"?{count}"

    def _skip(self, event: yaml.Event, events: Iterator[yaml.Event], trail: Trail) -> None:
        kept = dict(self.by_trail)
        self._value(event, events, trail, None)
        self.by_trail = kept

    def _refuse_marks(self, event: yaml.Event) -> None:
        if isinstance(event, yaml.AliasEvent):
            message = f"is an alias (*{event.anchor}), which is not read"
            self._complain(event, "yaml-alias", message, "write it out; a value with a star needs quotes")
            return
        tag = getattr(event, "tag", None)
        if tag and tag != "!":
            shown = str(tag).replace("tag:yaml.org,2002:", "!!")
            message = f"has a tag ({shown}), which is not read"
            self._complain(
                event, "yaml-tag", message, "delete it, or put quotes around a text that begins with !"
            )

    def _refuse_odd_text(self, event: yaml.ScalarEvent) -> None:
        text = str(event.value)
        odd = first_invisible(text)
        if odd:
            self._complain(event, "file-odd-character", _holds(odd[0]), _DELETE_IT)
        if len(text) > LONGEST_TEXT:
            message = f"is a text of {len(text)} characters; at most {LONGEST_TEXT} are read"
            self._complain(event, "text-too-long", message, "shorten it; is a quote not closed?")

    def _note_place(self, event: yaml.Event, trail: Trail, key: yaml.Event | None) -> None:
        line, column, index = _mark(event.start_mark)
        text = ""
        if isinstance(event, yaml.ScalarEvent):
            last_line, _, end = _mark(event.end_mark)
            whole = last_line == line
            text = self.text[index:end].rstrip() if whole else self.lines[line - 1][column - 1 :]
        key_line, key_column, _ = _mark(key.start_mark) if key else (line, column, index)
        key_text = str(key.value) if isinstance(key, yaml.ScalarEvent) else text
        self.by_trail[trail] = Place(line, column, text, key_line, key_column, key_text)

    def _complain(self, event: yaml.Event, code: str, message: str, mend: str) -> None:
        line, column, _ = _mark(event.start_mark)
        excerpt = self.lines[line - 1] if line <= len(self.lines) else ""
        width = len(str(event.value)) if isinstance(event, yaml.ScalarEvent) else 1
        self.problems.append(
            Problem(code, At(self.path, line, column), "", message, mend, excerpt, max(1, width))
        )


def _mark(mark: "yaml.error.Mark | yaml._yaml.Mark | None") -> tuple[int, int, int]:
    """Line and column from 1, and the index in the text."""
    return (mark.line + 1, mark.column + 1, mark.index) if mark is not None else (1, 1, 0)


def _resolved(event: yaml.ScalarEvent) -> object:
    text = str(event.value)
    if event.style:
        return _one_line(text)
    if text in _WORDS:
        return _WORDS[text]
    if _INTEGER.fullmatch(text):
        return int(text)
    if _DECIMAL.fullmatch(text):
        return Decimal(text)
    return text


_QUOTE_IT = 'write "word: value"; put quotes around a text that begins with [ or {'
_DELETE_IT = "delete it, or save the file again as text"


def _holds(sign: str) -> str:
    return f"holds a sign that nobody sees ({visible(sign)})"


def _one_line(text: str) -> str:
    """A text over several lines as one, as every report shows it."""
    return " ".join(text.split()) if any(sign in text for sign in "\t\n\r\x85\u2028\u2029") else text


def _start_with(path: str) -> str:
    first_words = {
        "parts.yaml": "parts:",
        "kinds.yaml": "kinds:",
        "suppliers.yaml": "suppliers:",
        "labor.yaml": "tasks: and crews:",
        "recipes.yaml": "recipes:",
        "jobs.yaml": "jobs:",
    }
    return f"begin with {first_words.get(Path(path).name, 'shop: and the name of the shop')}"


def _at_index(path: str, text: str, index: int) -> tuple[At, str]:
    before = _LINE_BREAK.split(text[:index])
    line = len(before)
    return At(path, line, len(before[-1]) + 1), _LINE_BREAK.split(text)[line - 1]


_SYNTAX_WORDS = (
    (
        "mapping values are not allowed",
        "has a second colon in one line",
        "put quotes around a text that holds a colon",
    ),
    ("could not find expected ':'", "has a line without a colon", 'write "word: value" in each line'),
    (
        "did not find expected key",
        "has a line that is indented differently from its neighbours",
        "line it up with them",
    ),
    (
        "did not find expected '-'",
        "has a line that is neither a list entry nor part of one",
        "indent it, or begin with -",
    ),
    (
        "did not find expected ',' or",
        "has a bracket that is not closed, or lacks a comma",
        "check brackets and commas",
    ),
    ("unexpected end of stream", "has a quote that is never closed", "close the quote"),
    (
        "cannot start any token",
        "begins a value with a sign that YAML keeps for itself",
        "put quotes around the value",
    ),
    ("undefined alias", "uses an alias (*) for nothing", "put quotes around a value that begins with a star"),
    (
        "block sequence entries are not allowed",
        "has a dash where no list can begin",
        "begin the list in a new line",
    ),
    ("did not find expected node content", "lacks a value where one must be", "write the value"),
)


_OTHER_INDENT = re.compile(r" *[\u00a0\u2007\u202f\u3000]")
_TWO_WORDS = re.compile(r"\s*(?:- )?[A-Za-z_]+: [^\"'{}\[\]:]*,\s*([A-Za-z_]+: [^:]+)")
"""A line with two words and their values, parted by a comma as between braces."""
_STUCK = re.compile(r"\s*(?:- )?([A-Za-z_]+):([\u00a0\u2007\u202f\u3000]*)([^\s:/\\,\]}][^:]*)$")
"""A line whose value is stuck to the colon of its word, or divided from it by a blank that YAML does not know."""


def _syntax_problem(error: yaml.MarkedYAMLError, path: str, lines: tuple[str, ...]) -> Problem:
    in_quotes = "quoted scalar" in str(error.context)
    mark = (error.context_mark if in_quotes else None) or error.problem_mark or error.context_mark
    line = min(mark.line + 1, len(lines)) if mark else 0
    column = mark.column + 1 if mark and mark.line < len(lines) else 1
    for number, written in enumerate(lines[:line], start=1):
        if "\t" in written[: len(written) - len(written.lstrip())]:
            message = "is indented with a tab, which YAML does not allow"
            tab = At(path, number, written.index("\t") + 1)
            return Problem("yaml-tab", tab, "", message, "indent with spaces", written)
    for number in range(max(line - 1, 1), line + 1) if not in_quotes else ():
        if stuck := _STUCK.match(lines[number - 1] if number <= len(lines) else ""):
            at = At(path, number, stuck.start(2) + 1)
            blank = "has another sign than a blank" if stuck[2] else "has no blank"
            mend = f'type a blank after the colon: "{stuck[1]}: {stuck[3]}"'
            return Problem("yaml-syntax", at, "", f"{blank} after the colon", mend, lines[number - 1])
    told = " ".join(part for part in (error.context, error.problem) if part)
    otherwise = (f"is not YAML: {told}", "look at this line and the one above")
    message, mend = next((words for sign, *words in _SYNTAX_WORDS if sign in told), otherwise)
    excerpt = lines[line - 1] if line else ""
    if "mapping values are not allowed" in told and (two := _TWO_WORDS.fullmatch(excerpt)):
        message = "has two words with values in one line"
        mend = f'write each in a line of its own: "{two[1].strip()}" goes into the next one, indented as this one is'
    elif "mapping values are not allowed" in told and ": " not in excerpt[: column - 1]:
        message, mend = (
            "is indented deeper than a line above that has its value already",
            "line it up with its neighbours",
        )
    return Problem("yaml-syntax", At(path, line, column), "", message, mend, excerpt)
