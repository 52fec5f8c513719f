"""A dialogue at a terminal: one question a line; every answer is kept at once, so that nothing is lost by stopping."""

import sys
from collections.abc import Callable, Generator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from costplan.cli.endings import fail
from costplan.cli.screen import say
from costplan.model.asking import Asked, Known, Section, walk

WIDTH = 79
_MARK = "# Answers to costplan start; it goes on from here. Every line is a question's word and what was answered."


class StoppedError(Exception):
    """The person stopped before the last answer, by the word for it (`meant`) or by ending input; all answers are kept."""

    def __init__(self, *, meant: bool) -> None:
        self.meant = meant


@dataclass(frozen=True, slots=True)
class Answer:
    """An answer by the key of its question; `opens` where it begins a group."""

    key: str
    text: str
    opens: bool = False


class Kept:
    """The file of answers beside the shop file, written after every answer."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def read(self) -> list[tuple[int, Answer]]:
        """Answers of an earlier time with the numbers of their lines. Ends the command when the file is another one."""
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
                found.append((number, Answer(key.strip(), text.strip())))
        return found

    def write(self, answers: Sequence[Answer]) -> None:
        """Put down all answers, whole or not at all. Ends the command when that fails."""
        text = "\n".join([_MARK, *(f"{answer.key}: {answer.text}".rstrip() for answer in answers)]) + "\n"
        unfinished = self.path.with_name(f".{self.path.name}.unfinished")
        try:
            unfinished.write_text(text, encoding="utf-8")
            unfinished.replace(self.path)
        except OSError as error:
            fail(f"{self.path}: cannot be written: {error.strerror}; choose another folder for the shop file")


class Interview:
    """Asks question after question. `fits` says of what is known after a group why it does not go with the rest."""

    def __init__(self, sections: Sequence[Section], kept: Kept, fits: Callable[[Known, str], str]) -> None:
        self.sections = sections
        self.kept = kept
        self.fits = fits
        self.answers: list[Answer] = []
        self.suggested: dict[int, Answer] = {}
        self.alike: dict[str, str] = {}
        self.known: Known | None = None
        self.walking: Generator[Asked, str, Known]
        self.asked: Asked | None = None

    def run(self) -> Known:
        """All that was answered. Raises StoppedError."""
        earlier = self.kept.read()
        self._begin()
        for number, answer in earlier:
            self._take_again(number, answer)
        self._greet(bool(earlier))
        try:
            while self.asked is not None:
                self._one(self.asked)
        except KeyboardInterrupt:
            raise StoppedError(meant=False) from None
        assert self.known is not None
        return self.known

    def _greet(self, earlier: bool) -> None:
        if earlier:
            _say(f"{len(self.answers)} answers were in {self.kept.path.name}; it goes on from there.")
        _say("Enter alone takes the answer in [brackets]. Besides an answer you may type")
        _say("  ?      to be told where to look it up")
        _say("  back   for the question before, once more")
        _say("  again  for one more machine like the last, again 3 for three alike")
        _say("  stop   to go on another time")
        _say(f"Each answer is kept at once, in {self.kept.path.name}.")
        _say("")

    def _begin(self) -> None:
        """Begin the walk anew and go through all answers again."""
        self.walking = walk(self.sections)
        self.known = None
        self.asked = next(self.walking, None)
        for answer in self.answers:
            self._send(answer.text)

    def _send(self, text: str) -> None:
        try:
            self.asked = self.walking.send(text)
        except StopIteration as ended:
            self.asked, self.known = None, ended.value

    def _take_again(self, number: int, answer: Answer) -> None:
        """Take an answer of an earlier time, if it is one to what is asked now. Ends the command when it is not."""
        asked = self.asked
        mend = "mend the line, or delete it and all after it: they are then asked again"
        where = f"{self.kept.path}:{number}: {answer.key}"
        if asked is None:
            fail(f"{where}: nothing more is asked after the lines before; {mend}")
        if answer.key != asked.question.key:
            fail(f'{where}: what is asked here is "{asked.question.key}" ({asked.asks}); {mend}')
        try:
            text = asked.read(answer.text)
        except ValueError as error:
            fail(f"{where} {error}; {mend}")
        self.answers.append(Answer(answer.key, text, asked.opens))
        self._send(text)

    def _one(self, asked: Asked) -> None:
        """Ask one question and take what is typed: an answer, or a word for the dialogue itself."""
        if asked.question.key in self.alike and not asked.opens and self._copied(asked):
            return
        default = self._default(asked)
        typed = self._typed(asked, default)
        word, _, rest = typed.lower().partition(" ")
        command = _COMMANDS.get(word)
        if command is not None and (not rest or word == "again"):
            command(self, asked, rest)
            return
        try:
            text = asked.read(typed or default)
        except ValueError as error:
            _say_wrapped(f"That {error}.".replace("?.", "?"))
            return
        if typed and typed.lower() not in text.lower():
            _say(f"  taken as: {text or 'no more'}")
        self._take(asked, text)

    def _copied(self, asked: Asked) -> bool:
        """Take what the last one had, where that may be asked for without being typed."""
        if asked.question.of_each and asked.question.key not in ("how many",):
            return False
        try:
            text = asked.read(self.alike[asked.question.key])
        except ValueError:
            return False
        self._take(asked, text)
        return True

    def _default(self, asked: Asked) -> str:
        """What Enter alone means: what was answered here before, what the last one had, else what is known."""
        before = self.suggested.get(len(self.answers))
        if before is not None and before.key == asked.question.key:
            return before.text
        return self.alike.get(asked.question.key, "") or asked.default

    def _typed(self, asked: Asked, default: str) -> str:
        choices = asked.choices
        numbered = ", ".join(f"{number} {choice}" for number, choice in enumerate(choices, 1))
        example = "" if choices or asked.may_end else f"  (for example {asked.question.example})"
        end = f" [{default}] > " if default else " > "
        if numbered or len(asked.asks + example + end) > WIDTH:
            _say(asked.asks)
            _say_wrapped(numbered or example.strip())
            _say(end.lstrip() if default else "> ", end="")
        else:
            _say(asked.asks + example + end, end="")
        line = sys.stdin.readline()
        if not line:
            raise StoppedError(meant=False)
        return " ".join(line.split())

    def _take(self, asked: Asked, text: str) -> None:
        if asked.opens:
            self.alike = self.alike if text and self.alike.get("") == asked.section else {}
        self.answers.append(Answer(asked.question.key, text, asked.opens))
        self.suggested.pop(len(self.answers) - 1, None)
        self.kept.write(self.answers)
        self._send(text)
        closed = self._closed()
        if closed:
            self.alike = {}
            self._must_fit(closed)

    def _closed(self) -> str:
        """The section whose group is finished just now; empty for none."""
        if self.asked is not None:
            return self.asked.closed
        return ""

    def _must_fit(self, section: str) -> None:
        """Ask for the last group again where it does not go with the rest."""
        assert self.asked is not None
        why = self.fits(self.asked.known, section)
        if not why:
            return
        _say_wrapped(f"{why}.".replace("?.", "?"))
        _say("  Its questions once more; Enter takes what you answered.")
        start = max(index for index, answer in enumerate(self.answers) if answer.opens)
        self.suggested = dict(enumerate(self.answers[start:], start))
        self.answers = self.answers[:start]
        self.kept.write(self.answers)
        self._begin()

    # words for the dialogue itself ------------------------------------------------------------------

    def look(self, asked: Asked, _: str) -> None:
        """Say where an answer is to be found."""
        _say_wrapped(asked.question.look)
        _say(f"  For example: {asked.question.example}")

    def back(self, asked: Asked, _: str) -> None:
        """Ask the question before once more."""
        if not self.answers:
            _say("  This is the first question.")
            return
        last = self.answers.pop()
        self.alike = {}
        self.suggested[len(self.answers)] = last
        self.kept.write(self.answers)
        self._begin()

    def again(self, asked: Asked, rest: str) -> None:
        """One more of what was told last, or so many alike: only what differs is asked."""
        groups = asked.known.of(asked.section)
        if not asked.opens or not groups:
            _say("  again is said where a machine's name is asked, once there is one.")
            return
        count = rest.strip() or "1"
        if not count.isdecimal() or not 1 <= int(count[:5]) <= 1000:
            _say(
                f'  again is followed by how many alike, or by nothing: again 3; "{rest}" is no such number.'
            )
            return
        last = groups[-1]
        first = last[asked.question.key]
        name = next(
            name
            for number in range(2, len(groups) + 3)
            if (name := f"{first} {number}").lower()
            not in {group[asked.question.key].lower() for group in groups}
        )
        self.alike = {**last, "": asked.section, asked.question.key: name, "how many": count}
        self.suggested[len(self.answers)] = Answer(asked.question.key, name)

    def stop(self, asked: Asked, _: str) -> None:
        """Stop for now."""
        raise StoppedError(meant=True)


_COMMANDS: Mapping[str, Callable[[Interview, Asked, str], None]] = {
    "?": Interview.look,
    "back": Interview.back,
    "again": Interview.again,
    "stop": Interview.stop,
}
"""Words that are no answer."""


def _say_wrapped(text: str) -> None:
    from textwrap import wrap

    for line in wrap(text, WIDTH - 2):
        _say(f"  {line}")


def _say(text: str, end: str = "\n") -> None:
    say(text, error=True, end=end)
