"""Answers of a guided start as they come in: options first, then a page of notes, then what is asked for."""

import os
import sys
from collections.abc import Callable, Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from costplan.cli.endings import fail
from costplan.cli.screen import say

if TYPE_CHECKING:
    from costplan.model.answers import Answers, Question, StrategyAnswer
    from costplan.model.catalog import Part
    from costplan.model.loading import LoadedCatalog
    from costplan.model.machine_line import MachineAnswer, PanelAnswer

NOT_TAKEN = "Not taken:"
_Read = TypeVar("_Read")


@dataclass(frozen=True, slots=True)
class Source:
    """A text that was given, and how mistakes in it begin; `of_page` where a page of notes says it."""

    where: str
    text: str
    of_page: bool = False


class Interview:
    """All answers: those given, what is missing, what is wrong, and what there is to tell."""

    def __init__(
        self,
        file: Path,
        loaded: "LoadedCatalog",
        folder: Path | None,
        given: Mapping[str, Sequence[str]],
    ) -> None:
        self.file = file
        self.loaded = loaded
        self.folder = folder
        self.sources = {
            option: [Source(f'--{option} "{text}"', text) for text in texts]
            for option, texts in given.items()
        }
        self.answers: dict[str, str] = {}
        self.panels: list[PanelAnswer] = []
        self.machines: list[MachineAnswer] = []
        self.forbid: list[tuple[str, str]] = []
        self.strategies: list[StrategyAnswer] = []
        self.missing: list[str] = []
        self.wrong: list[str] = []
        self.told: list[str] = []
        self.typed_in = False

    def read_all(self, notes: Path | None) -> None:
        """Read what was given as options and on the page; what is wrong or missing is noted, all of it."""
        from costplan.model.answers import moves_question, questions, read_day, read_panel

        if notes is not None:
            self._read_page(notes)
        for question in questions():
            self._single(question.option, question.read, must=True)
        self._single("today", read_day)
        for panel in self._repeated("panel", lambda text: [read_panel(text, self._parts())], _name):
            _noted(self.wrong, "", self._add_panel, panel)
        if not self.sources.get("panel"):
            self.missing.append("panel")
        for source in self.sources.get("machine", []):
            _noted(self.wrong, source.where, self._add_machine, source.text)
        if not self.sources.get("machine") and notes is None:
            self.missing.append("machine or --machines")
        self._read_more()
        moves = moves_question()
        self._single(moves.option, moves.read, must=self._asks_for_moves())
        self._moves_once()

    def _read_page(self, path: Path) -> None:
        from costplan.files.text_reader import read_text
        from costplan.model.machine_line import MACHINE_EXAMPLE, MACHINE_FORM_SAID
        from costplan.model.page import MACHINE, MOST_LINES, notes_of, unknown_word, word_of

        file = read_text(path)
        self.wrong += [
            f"--machines {problem.at}: {problem.message}; {problem.mend}" for problem in file.problems
        ]
        if file.text is None:
            return
        notes = list(notes_of(file.text))
        if len(notes) > MOST_LINES:
            self.wrong.append(
                f"--machines {path}: has {len(notes)} lines; at most {MOST_LINES} are allowed; is it the right file?"
            )
            return
        found: dict[str, list[Source]] = {}
        for note in notes:
            where = f"{path}:{note.number}: "
            unknown = unknown_word(note)
            if unknown:
                self.wrong.append(where + unknown)
            else:
                begin = where[:-2] if note.option == MACHINE else where + word_of(note.option)
                found.setdefault(note.option, []).append(Source(begin, note.text, of_page=True))
        for option, sources in found.items():
            self.sources[option] = [*sources, *self.sources.get(option, [])]
        if not any(note.option == MACHINE for note in notes):
            self.wrong.append(
                f"--machines {path}: names no machine; write one a line: {MACHINE_FORM_SAID}, "
                f"for example: {MACHINE_EXAMPLE}"
            )

    def _single(self, option: str, read: Callable[[str], str], *, must: bool = False) -> None:
        """Read what is said once; an option wins over the page, and what it wins over is told."""
        sources = self.sources.get(option, [])
        page = [source for source in sources if source.of_page]
        self.wrong += [f"{source.where} is said a second time; write it once" for source in page[1:]]
        before: Source | None = None
        for source in sources:
            try:
                answer = read(source.text)
            except ValueError as error:
                self.wrong.append(f"{source.where} {error}")
                continue
            if before is not None and before.of_page and self.answers[option] != answer:
                self.told.append(f"{source.where} stands; {before.where} says {before.text}")
            self.answers[option], before = answer, source
        if must and not sources:
            self.missing.append(option)

    def _repeated(
        self, option: str, read: Callable[[str], Sequence[_Read]], key: Callable[[_Read], Hashable]
    ) -> list[_Read]:
        """Read what may be said several times, each under a name; an option wins over the page."""
        found: dict[Hashable, tuple[_Read, Source]] = {}
        for source in self.sources.get(option, []):
            values: Sequence[_Read] = _noted(self.wrong, source.where, read, source.text) or ()
            for value in values:
                before = found.get(key(value))
                if before is not None and before[1].of_page == source.of_page:
                    self.wrong.append(f"{source.where}: {key(value)} was said before; write it once")
                elif before is not None and before[0] != value:
                    self.told.append(f"{source.where} stands; {before[1].where} says {before[1].text}")
                found[key(value)] = (value, source)
        return [value for value, _ in found.values()]

    def _read_more(self) -> None:
        """What may be left out: the lease, what is not allowed, strategies."""
        from costplan.model.answers import read_forbidden, read_strategy

        self._single("lease", _lease_text)
        self.forbid = self._repeated("forbid", read_forbidden, _method)
        complete = len(self.machines) == len(self.sources.get("machine", [])) > 0

        def strategy(text: str) -> "list[StrategyAnswer]":
            found = read_strategy(text)
            if complete:
                self._must_suit(found)
            return [found]

        self.strategies = self._repeated("strategy", strategy, _name)

    def _must_suit(self, strategy: "StrategyAnswer") -> None:
        """Raises PartsError when a strategy names what is not there, or forgets a machine."""
        from costplan.model.answers import strategy_in_words
        from costplan.model.reading import PartsError

        wrong = strategy_in_words(strategy, self.machines)[1]
        if wrong:
            raise PartsError(wrong)

    def _asks_for_moves(self) -> bool:
        """Whether the lines leave open how often machines move."""
        if len(self.machines) < len(self.sources.get("machine", [])):
            return False
        told = any(machine.told.moves is not None for machine in self.machines)
        stay = bool(self.machines) and all(machine.told.never_moves for machine in self.machines)
        return not told and not stay

    def _moves_once(self) -> None:
        """Moves are told by the lines, or for all machines together."""
        lines = [machine.name for machine in self.machines if machine.told.moves is not None]
        if lines and "moves-per-year" in self.answers:
            self.wrong.append(
                f"{self.sources['moves-per-year'][-1].where}: the line of {lines[0]} says how it moves; "
                "tell all moves there, or none of them"
            )

    def _parts(self) -> "list[Part]":
        return self.loaded.catalog.parts if self.loaded.catalog is not None else []

    def _add_panel(self, panel: "PanelAnswer") -> None:
        if any(known.name.lower() == panel.name.lower() for known in self.panels):
            raise ValueError(
                f'name is "{panel.name}", which an earlier panel has; give each a name of its own'
            )
        self.panels.append(panel)

    def _add_machine(self, text: str) -> None:
        from costplan.model.machine_line import read_machine

        self._take(read_machine(text, self.panels))

    def _take(self, machine: "MachineAnswer") -> None:
        self._must_fit(machine)
        self.machines.append(machine)

    def _must_fit(self, machine: "MachineAnswer") -> None:
        """Raises ValueError when a machine goes with the others or the panels in no way."""
        from costplan.model.machine_line import machine_misfits
        from costplan.standards.motors import full_load_current_a

        for misfit in machine_misfits(machine, self.machines, self.panels):
            raise ValueError(misfit)
        if machine.hp is not None:
            try:
                full_load_current_a(machine.hp, machine.phases, machine.volts)
            except LookupError:
                raise ValueError(
                    f"hp is {machine.load_text}, for which the code's table of motors has no current at these "
                    "volts and phases; write the amperes of the nameplate"
                ) from None
        if self.panels:
            self._must_be_fed(machine)

    def _must_be_fed(self, machine: "MachineAnswer") -> None:
        """Raises ValueError when the checks find a mistake in a file with this machine alone."""
        from dataclasses import replace

        from costplan.model.answers import SAMPLE
        from costplan.model.starting import mistakes_of

        alone = replace(SAMPLE, panels=tuple(self.panels), machines=(machine,))
        for mistake in mistakes_of(self.text_of(alone), self.file, self.loaded)[:1]:
            raise ValueError(f"{mistake.field_path.rpartition(' ')[2]} {mistake.message}; {mistake.mend}")

    def text_of(self, answers: "Answers") -> str:
        """The shop file that the answers make."""
        from datetime import date

        from costplan.model.starting import shop_text

        crews = self.loaded.catalog.crews if self.loaded.catalog is not None else []
        name = None
        if self.folder is not None:
            name = Path(os.path.relpath(self.folder, self.file.parent)).as_posix()
        today = self.answers.get("today")
        return shop_text(answers, crews, date.fromisoformat(today) if today else date.today(), name)

    def ask_the_rest(self) -> "Answers":
        """Ask for every answer that was not given. Raises EOFError when the answers end early."""
        from costplan.model.answers import moves_question, questions

        if self.missing:
            _say("Enter alone takes the answer in [brackets]. Nothing is written before the last answer.")
        for question in questions():
            if question.option not in self.answers:
                self.answers[question.option] = _ask(question)
            if question.option == "years" and not self.panels:
                self._ask_panels()
        if not self.machines:
            self._ask_machines()
        moves = moves_question()
        if moves.option not in self.answers and self._asks_for_moves():
            self.answers[moves.option] = _ask(moves, self._take_late_machine)
        self._moves_once()
        if self.typed_in:
            for strategy in self.strategies:
                _noted(self.wrong, f'strategy "{strategy.name}"', self._must_suit, strategy)
            self._ask_more()
        if self.wrong:
            fail("\n".join(self.wrong))
        return self._all()

    def _all(self) -> "Answers":
        from costplan.model.answers import Answers, read_lease

        words = {name.replace("-", "_"): text for name, text in self.answers.items()}
        words.pop("today", None)
        lease = words.pop("lease", None)
        words.setdefault("moves_per_year", "0")
        return Answers(
            **words,
            panels=tuple(self.panels),
            machines=tuple(self.machines),
            lease=read_lease(lease) if lease is not None else None,
            forbid=tuple(self.forbid),
            strategies=tuple(self.strategies),
        )

    def _ask_panels(self) -> None:
        from costplan.model.answers import PANEL_EXAMPLE, PANEL_FORM, families_for, read_panel
        from costplan.model.system import System

        _say(f"Panels, one a line: {PANEL_FORM}, counted in poles; for example: {PANEL_EXAMPLE}")
        _say(f"  systems: {_numbered(tuple(map(str, System)))}")
        _say(f"  breakers, the family on the label: {_numbered(families_for(self._parts(), None))}")
        for text in _lines("Panel", "Another panel", lambda: bool(self.panels)):
            _told(text, lambda said: self._add_panel(read_panel(said, self._parts())), NOT_TAKEN)
        machines, self.machines = self.machines, []
        for machine in machines:
            _noted(self.wrong, machine.name, self._take, machine)
        if self.wrong:
            fail("\n".join(self.wrong))

    def _ask_machines(self) -> None:
        from costplan.model.machine_line import MACHINE_EXAMPLE, MACHINE_FORM_SAID
        from costplan.model.page import is_comment

        self.typed_in = True
        _say(f"Machines, one a line: {MACHINE_FORM_SAID}")
        _say(f"  for example: {MACHINE_EXAMPLE}")
        _say("  Several lines may be pasted at once; a file of them is named by --machines.")
        for text in _lines("Machine", "Machine", lambda: bool(self.machines)):
            if not is_comment(text):
                _told(text, self._add_machine, NOT_TAKEN)
        _say(f"Taken: {self.counted()}.")

    def _ask_more(self) -> None:
        """The short questions whose answer is mostly nothing."""
        from costplan.model.answers import (
            FORBID_EXAMPLE,
            STRATEGY_EXAMPLE,
            Question,
            read_forbidden,
            read_strategy,
        )

        def take_strategy(text: str) -> None:
            strategy = read_strategy(text)
            self._must_suit(strategy)
            self.strategies.append(strategy)

        if "lease" not in self.answers:
            asks = "When does the lease end, and must fixed wiring come out? For example: ends 8, take out"
            self.answers["lease"] = _ask(Question("lease", asks, _lease_text, "none"))
        if not self.forbid:
            _say(f"Is anything not allowed in the building? For example: {FORBID_EXAMPLE}")
            for text in _lines("Not allowed", "Not allowed", lambda: True):
                _told(text, lambda said: self.forbid.extend(read_forbidden(said)), NOT_TAKEN)
        if not self.strategies:
            _say(f"Which strategies shall be compared by name? For example: {STRATEGY_EXAMPLE}")
            for text in _lines("Strategy", "Strategy", lambda: True):
                _told(text, take_strategy, NOT_TAKEN)

    def _take_late_machine(self, text: str) -> bool:
        """Whether a line is notes: a blank line among pasted ones ends the list too early."""
        from costplan.model.page import is_comment

        if is_comment(text):
            return True
        if ";" not in text:
            return False
        _told(text, self._add_machine, NOT_TAKEN)
        _say(f"Taken: {self.counted()}.")
        return True

    def counted(self) -> str:
        """How many machines there are, and on how many lines."""
        machines = sum(machine.count for machine in self.machines)
        lines = len(self.machines)
        return f"{machines} machine{'s' * (machines > 1)} on {lines} line{'s' * (lines > 1)}"


def _name(answer: "PanelAnswer | StrategyAnswer") -> str:
    return answer.name.lower()


def _lease_text(text: str) -> str:
    """The lease as it is written, once it can be read."""
    from costplan.model.answers import read_lease

    read_lease(text)
    return text


def _method(forbidden: tuple[str, str]) -> str:
    return forbidden[0]


def _noted(
    wrong: list[str], where: str, read: "Callable[[_Given], _Read]", given: "_Given"
) -> "_Read | None":
    """What was read; None after noting each mistake in it after the place where it is written."""
    from costplan.model.reading import PartsError

    begin = f"{where}: " if where else ""
    try:
        return read(given)
    except PartsError as error:
        wrong += [begin + mistake for mistake in error.mistakes]
    except ValueError as error:
        wrong.append(begin + str(error))
    return None


_Given = TypeVar("_Given")


def _lines(first: str, again: str, enough: Callable[[], bool]) -> Iterator[str]:
    """Lines typed one after the other until one is empty, once there are enough."""
    number = 1
    while True:
        asked = again if enough() else first
        _say(f"{asked} line {number}, or Enter when there are no more: ", end="")
        text = _line()
        if not text and enough():
            return
        yield text
        number += 1


def _numbered(words: Sequence[str]) -> str:
    return ", ".join(f"{number} {word}" for number, word in enumerate(words, start=1))


def _ask(question: "Question", beside: Callable[[str], bool] = lambda _: False) -> str:
    """The answer to a question, asked again until it is one; lines that `beside` takes are none."""
    while True:
        _say(question.asks)
        for number, choice in enumerate(question.choices, start=1):
            _say(f"  {number}  {choice}")
        _say(f"[{question.default}] " if question.default is not None else "", end="> ")
        text = _line() or question.default or ""
        if beside(text):
            continue
        answer = _told(text, question.read, "That")
        if answer is not None:
            return str(answer)


def _told(text: str, read: Callable[[str], object], begin: str) -> object:
    """What was read; None after telling why it could not be, beginning with these words."""
    try:
        return read(text)
    except ValueError as error:
        _say(f"  {begin} {error}.".replace("?.", "?"))
        return None


def _line() -> str:
    line = sys.stdin.readline()
    if not line:
        raise EOFError
    return line.strip()


def _say(text: str, end: str = "\n") -> None:
    say(text, error=True, end=end)
