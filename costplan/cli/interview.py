"""A dialogue at a terminal: one question a line; every answer is kept at once, so that nothing is lost by stopping."""

import sys
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from costplan.cli.endings import fail
from costplan.cli.screen import say
from costplan.interview.asking import Asked, Known, Section
from costplan.interview.dialogue import END, Check, Dialogue
from costplan.interview.ranges_told import better_known
from costplan.interview.spoken import NOT_KNOWN, YES
from costplan.model.reading import guess_in

WIDTH = 79
_MARK = "# Answers to costplan start; it goes on from here. Every line is a question's word and what was answered."


class StoppedError(Exception):
    """The person stopped before the last answer, by the word for it (`meant`) or by ending input; all answers are kept."""

    def __init__(self, *, meant: bool) -> None:
        self.meant = meant


class Kept:
    """The file of answers beside the shop file, written after every answer."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def read(self) -> list[tuple[int, str, str]]:
        """Answers of an earlier time: number of the line, key, text. Ends the command when the file is another one."""
        if not self.path.exists() and not self.path.is_symlink():
            return []
        try:
            lines = self.path.read_text(encoding="utf-8").splitlines()
        except (OSError, UnicodeError) as error:
            fail(f"{self.path}: cannot be read: {error}; move it away, or name another shop file")
        if not lines or lines[0] != _MARK:
            fail(
                f"{self.path} is there already and holds no answers of start; move it away, or name another shop file"
            )
        found = []
        for number, line in enumerate(lines, 1):
            key, colon, text = line.partition(":")
            if line.strip() and not line.startswith("#"):
                if not colon:
                    fail(
                        f'{self.path}:{number}: "{line}" has no colon; write a word of a question, a colon, its answer'
                    )
                found.append((number, key.strip(), text.strip()))
        return found

    def write(self, answers: Sequence[tuple[str, str]]) -> None:
        """Put down all answers, whole or not at all. Ends the command when that fails."""
        text = "\n".join([_MARK, *(f"{key}: {text}".rstrip() for key, text in answers)]) + "\n"
        unfinished = self.path.with_name(f".{self.path.name}.unfinished")
        try:
            unfinished.write_text(text, encoding="utf-8")
            unfinished.replace(self.path)
        except OSError as error:
            fail(f"{self.path}: cannot be written: {error.strerror}; choose another folder for the shop file")


class Interview:
    """Asks question after question. `check` says of what is known after a group why it does not go with the rest."""

    def __init__(self, sections: Sequence[Section], kept: Kept, check: Check) -> None:
        self.kept = kept
        self.check = check
        self.dialogue = Dialogue(sections)
        self.guess = ""
        self.told: set[str] = set()
        self.listed: list[tuple[str, list[str]]] = []

    @property
    def count(self) -> int:
        """How many answers there are."""
        return len(self.dialogue.kept())

    def run(self) -> Known:
        """All that was answered. Raises StoppedError."""
        earlier = self.kept.read()
        for number, key, text in earlier:
            self._take_again(number, key, text)
        self._greet(bool(earlier))
        try:
            while True:
                if self._misfit():
                    continue
                if self.dialogue.asked is None:
                    return self.dialogue.known
                self._one(self.dialogue.asked)
        except KeyboardInterrupt:
            raise StoppedError(meant=False) from None

    def _greet(self, earlier: bool) -> None:
        if earlier:
            _say(f"{self.count} answers were in {self.kept.path.name}; it goes on from there.")
        _say("Enter alone takes the answer in [brackets]. Besides an answer you may type")
        for word, words in _HELP:
            _say(f"  {word:<{max(len(each) for each, _ in _HELP)}}  {words}")
        _say(f"Each answer is kept at once, in {self.kept.path.name}.")
        _say("")

    def _take_again(self, number: int, key: str, answer: str) -> None:
        """Take an answer of an earlier time, if it is one to what is asked now. Ends the command when it is not."""
        asked = self.dialogue.asked
        mend = "mend the line, or delete it and all after it: they are then asked again"
        where = f"{self.kept.path}:{number}: {key}"
        if asked is None:
            fail(f"{where}: nothing more is asked after the lines before; {mend}")
        if key != asked.question.key:
            fail(f'{where}: what is asked here is "{asked.question.key}" ({asked.asks}); {mend}')
        try:
            text = asked.read(answer)
        except ValueError as error:
            fail(f"{where} {error}; {mend}")
        self.dialogue.take(text)

    def _misfit(self) -> bool:
        """Say why a group does not go with the rest; what that is about is asked again."""
        found = self.dialogue.misfit(self.check)
        if found is None:
            return False
        _say_wrapped(f"{found.why}.".replace("?.", "?"))
        _say("  What that is about is asked once more; Enter takes what you answered.")
        return True

    def _one(self, asked: Asked) -> None:
        """Ask one question and take what is typed: an answer, or a word for the dialogue itself."""
        default = self.dialogue.default(asked)
        typed = self._typed(asked, default)
        if self.guess and typed.lower() in YES:
            typed = self.guess
        self.guess = ""
        word, _, rest = typed.partition(" ")
        command = _COMMANDS.get(word.lower())
        if command is not None and (not rest or word.lower() in _FOLLOWED):
            command(self, asked, rest.strip())
        else:
            self._answer(asked, typed or default)

    def _answer(self, asked: Asked, answer: str) -> None:
        try:
            text = asked.read(answer)
        except ValueError as error:
            if answer.strip().lower() in NOT_KNOWN and asked.default:
                _say_wrapped(f"{asked.question.look} Enter alone takes {asked.default}.")
                return
            self.guess = guess_in(str(error), answer)
            _say_wrapped(f"That {error}.".replace("?.", "?"))
            return
        more = better_known(text) if "[" not in answer else ""
        _say(f"  = {asked.question.shown(text) or asked.enough}{more}")
        self.dialogue.take(text)
        self.kept.write(self.dialogue.kept())

    def _typed(self, asked: Asked, default: str) -> str:
        if asked.section == END and self.listed != list(self.dialogue.named_groups()):
            self.list(asked, "")
        if asked.question.told and asked.question.key not in self.told:
            self.told.add(asked.question.key)
            _say_wrapped(asked.question.told)
        choices = asked.choices
        between = "\n" if any("," in choice for choice in choices) else ", "
        numbered = between.join(f"{number} {choice}" for number, choice in enumerate(choices, 1))
        plain = choices or asked.may_end or asked.example == default
        example = "" if plain else f"  (for example {asked.example})"
        asks = asked.asks + (
            f", or {'done' if default else 'Enter'} for {asked.enough}" if asked.may_end else ""
        )
        end = f" [{default}] > " if default else " > "
        if numbered or len(asks + example + end) > WIDTH:
            _say(asks)
            for line in (numbered or example.strip()).split("\n"):
                _say_wrapped(line)
            _say(end.lstrip() if default else "> ", end="")
        else:
            _say(asks + example + end, end="")
        line = sys.stdin.readline()
        if not line:
            raise StoppedError(meant=False)
        return " ".join(line.split())

    # words for the dialogue itself ------------------------------------------------------------------

    def look(self, asked: Asked, _: str) -> None:
        """Say where an answer is to be found."""
        _say_wrapped(asked.question.look)
        _say(f"  For example: {asked.example}")

    def back(self, asked: Asked, _: str) -> None:
        """Ask the question before once more."""
        if not self.dialogue.back():
            _say("  This is the first question.")

    def again(self, asked: Asked, count: str) -> None:
        """One more of what was told last, or so many alike: only what differs is asked."""
        if count and not (count.isdecimal() and 1 <= int(count[:5]) <= 1000):
            _say(
                f'  again is followed by how many alike, or by nothing: again 3; "{count}" is no such number.'
            )
        elif not self.dialogue.again(count or "1"):
            _say("  again is said where a machine's name is asked, once there is one.")

    def change(self, asked: Asked, words: str) -> None:
        """Answer an earlier question anew; whatever does not depend on it stays."""
        try:
            value = self.dialogue.change(words)
        except ValueError as error:
            _say_wrapped(f"{error}.".replace("?.", "?"))
            return
        if value and self.dialogue.asked is not None:
            self._answer(self.dialogue.asked, value)

    def remove(self, asked: Asked, words: str) -> None:
        """Take away a machine or a panel."""
        try:
            _say(f"  {self.dialogue.remove(words)} is taken away.")
        except ValueError as error:
            _say_wrapped(f"{error}.".replace("?.", "?"))
            return
        self.kept.write(self.dialogue.kept())

    def add(self, asked: Asked, word: str) -> None:
        """One more machine, or panel, after its list was ended."""
        try:
            self.dialogue.add(word or "machine")
        except ValueError as error:
            _say_wrapped(f"{error}.".replace("?.", "?"))

    def list(self, asked: Asked, _: str) -> None:
        """What was understood of each panel and machine."""
        self.listed = list(self.dialogue.named_groups())
        for name, facts in self.dialogue.groups():
            _say_wrapped(f"{name}: {', '.join(facts)}")

    def stop(self, asked: Asked, _: str) -> None:
        """Stop for now."""
        raise StoppedError(meant=True)


_COMMANDS: Mapping[str, Callable[[Interview, Asked, str], None]] = {
    "?": Interview.look,
    "back": Interview.back,
    "again": Interview.again,
    "change": Interview.change,
    "remove": Interview.remove,
    "add": Interview.add,
    "list": Interview.list,
    "stop": Interview.stop,
}
"""Words that are no answer."""
_FOLLOWED = ("again", "change", "remove", "add")
"""Those that more words may follow."""
_HELP = (
    ("?", "to be told where to look it up"),
    ("back", "for the question before, once more"),
    ("again", "for one more machine like the last, again 3 for three alike"),
    ("change", "to answer an earlier question anew: change jointer amperes, change years"),
    ("remove", "to take a machine away: remove jointer; add for one more"),
    ("list", "to see what was understood so far"),
    ("stop", "to go on another time"),
)


def _say_wrapped(text: str) -> None:
    from textwrap import wrap

    for line in wrap(text, WIDTH - 2):
        _say(f"  {line}")


def _say(text: str, end: str = "\n") -> None:
    say(text, error=True, end=end)
