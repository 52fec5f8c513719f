"""Questions as data, and the walk over them: which is asked next follows from the answers so far, and from nothing else."""

import re
from collections.abc import Callable, Generator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from costplan.interview.ranges_told import told_back
from costplan.interview.spoken import DONE, NOT_KNOWN, spoken

Said = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Known:
    """What was answered: by key outside groups, the finished groups by section, and the group at hand."""

    said: Said = field(default_factory=dict)
    groups: Mapping[str, tuple[Said, ...]] = field(default_factory=dict)
    here: Said = field(default_factory=dict)

    def of(self, section: str) -> tuple[Said, ...]:
        """The finished groups of a section."""
        return self.groups.get(section, ())

    def get(self, key: str) -> str:
        """An answer of the group at hand, else one outside groups; empty where it was not asked."""
        return self.here.get(key, self.said.get(key, ""))


_UNSAID = ("unknown", "not on the plate")
"""What Enter means where it says that nobody knows."""
Words = str | Callable[[Known], str]


def always(_: Known) -> bool:
    """Asked whatever was answered."""
    return True


@dataclass(frozen=True, slots=True)
class Question:
    """One question.

    `key` leads its line among the kept answers. `read` gives the answer as it is kept and raises ValueError with the
    reason. `default` is what Enter alone means, empty where nothing can be known; `look` says where to look it up.
    `of_each` marks what one more of the same kind is asked for anew, `names` an answer that names panels or machines.
    `unit` is said with an answer that is a bare number; `also` are other words for its key. `told` explains words of it
    where it is asked first; `again` are keys of its group whose answers a new one makes doubtful. `listed` is how its
    answer, in braces, reads among others, after its key where left out.
    """

    key: str
    asks: Words
    example: Words
    look: str
    read: Callable[[str, Known], str]
    default: Words = ""
    choices: Callable[[Known], Sequence[str]] | Sequence[str] = ()
    when: Callable[[Known], bool] = always
    of_each: bool = False
    names: bool = False
    unit: str = ""
    also: Sequence[str] = ()
    told: str = ""
    again: Sequence[str] = ()
    listed: str | Callable[[str], str] | None = None

    def shown(self, text: str) -> str:
        """An answer as it was understood, with its unit."""
        if words := told_back(text, self.unit):
            return words
        bare = self.unit and re.fullmatch(r"[0-9][0-9.,/ -]*", text)
        return f"{text}{'' if self.unit.startswith('-') else ' '}{self.unit}" if bare else text

    def in_list(self, text: str) -> str:
        """An answer where all that was understood of a machine stands in a row."""
        shown = self.shown(text)
        if self.listed is None or isinstance(self.listed, str):
            return (self.listed or f"{self.key} {{}}").format(shown)
        return self.listed(text)


@dataclass(frozen=True, slots=True)
class Section:
    """Questions that go together; a section that repeats asks its first question until that gets nothing.

    `least` is how many groups there must be, `enough` the words for having told all. `over` gives what each group is
    about where that is known beforehand.
    """

    name: str
    questions: Sequence[Question]
    repeats: bool = False
    least: int = 0
    enough: str = "no more"
    over: Callable[[Known], Sequence[Said]] | None = None
    when: Callable[[Known], bool] = always


@dataclass(frozen=True, slots=True)
class Asked:
    """A question that is to be answered now, as it stands after all answers so far.

    `opens` says that it begins a group, and `may_end` that nothing ends its section, for which `enough` are the words.
    """

    question: Question
    known: Known
    section: str
    opens: bool
    may_end: bool
    enough: str

    @property
    def asks(self) -> str:
        """The question."""
        return _words(self.question.asks, self.known)

    @property
    def example(self) -> str:
        """An answer to it."""
        return _words(self.question.example, self.known)

    @property
    def default(self) -> str:
        """What Enter alone means; empty where something must be written, or where nothing ends the list."""
        return "" if self.may_end else _words(self.question.default, self.known)

    @property
    def choices(self) -> Sequence[str]:
        """What there is to choose among."""
        choices = self.question.choices
        return choices(self.known) if callable(choices) else choices

    @property
    def place(self) -> tuple[str, int, str]:
        """The section, the number of the group in it from 1, and the key."""
        return self.section, len(self.known.of(self.section)) + 1, self.question.key

    def read(self, text: str) -> str:
        """The answer as it is kept, written or as it is spoken. Raises ValueError."""
        if self.may_end and text.lower() in DONE:
            return ""
        if not text and not self.default:
            raise ValueError(f"is empty; write for example: {self.example}")
        unknown = text.strip().lower().replace("\u2019", "'") in NOT_KNOWN and self.default in _UNSAID
        said = self.default if unknown else text or self.default
        try:
            return self.question.read(said, self.known)
        except ValueError:
            for other in (*spoken(said), *([_UNSAID[0]] if said.lower() in NOT_KNOWN else ())):
                try:
                    return self.question.read(other, self.known)
                except ValueError:
                    continue
            raise


def _words(words: Words, known: Known) -> str:
    return words(known) if callable(words) else words


def walk(sections: Sequence[Section]) -> Generator[Asked, str, Known]:
    """Ask everything, one question after the other; each is sent its answer, as read. Returns all that was answered."""
    known = Known()
    for section in sections:
        if not section.when(known):
            continue
        for about in _groups(section, known):
            done = len(known.of(section.name))
            here: Said = dict(about)
            may_end = section.repeats and done >= section.least
            opens = True
            for question in section.questions:
                now = replace(known, here=here)
                if not question.when(now):
                    continue
                asked = Asked(question, now, section.name, opens, may_end and opens, section.enough)
                text = yield asked
                if asked.may_end and not text:
                    here = {}
                    break
                here = {**here, question.key: text}
                opens = False
            if not here:
                break
            known = _finished(known, section, here)
    return known


def _groups(section: Section, known: Known) -> "Generator[Said]":
    if section.over is not None:
        yield from section.over(known)
        return
    yield {}
    while section.repeats:
        yield {}


def _finished(known: Known, section: Section, here: Said) -> Known:
    if not section.repeats and section.over is None:
        return replace(known, said={**known.said, **here}, here={})
    groups = {**known.groups, section.name: (*known.of(section.name), here)}
    return replace(known, groups=groups, here={})
