"""What was answered to the questions of a guided start, where, and what of it is asked again.

The state is all answers by their place, and the places that are open; everything else follows from the walk. So going
back, changing one answer of an earlier machine, one more like the last and a complaint are each a few places opened.
"""

from collections.abc import Callable, Generator, Iterator, Sequence
from dataclasses import dataclass

from costplan.interview.asking import Asked, Known, Question, Said, Section, walk
from costplan.model.reading import allowed, one_of

Place = tuple[str, int, str]
"""The section, the number of the group in it from 1, and the key of the question."""
Check = Callable[[Known, str, int], "Misfit | None"]
"""Says of a finished group why it does not go with the rest; of the section `END` why all does not."""
END = "end"
ALL_ELSE = "all else"
NOT_THERE = ("no", "none", "nothing", "unknown", "not planned", "not on the plate")
"""Answers that are left out where all is listed."""


@dataclass(frozen=True, slots=True)
class Misfit:
    """Why answers do not go together, and the places that are asked again; none: all of the group.

    `proposed` is what Enter means at the first of them, where what was answered there is refused by itself.
    """

    why: str
    places: Sequence[Place] = ()
    proposed: str = ""


class Dialogue:
    """Everything that was answered, and what is asked next (`asked`; None after the last, when `known` is all)."""

    def __init__(self, sections: Sequence[Section]) -> None:
        self.sections = sections
        self.said: dict[Place, str] = {}
        self.open: set[Place] = set()
        self.walked: list[Place] = []
        self.asked: Asked | None = None
        self.known = Known()
        self._by_default: set[Place] = set()
        self._proposed: dict[Place, str] = {}
        self._checked: dict[tuple[str, int], tuple[Said, tuple[Said, ...]]] = {}
        self._walking: Generator[Asked, str, Known]
        self._begin()

    def _begin(self) -> None:
        """Walk anew, and take all answers again but the open ones, and what depends on them."""
        self.walked = []
        self._walking = walk(self.sections)
        self._step(lambda: next(self._walking))

    def _step(self, on: Callable[[], Asked]) -> None:
        """Go on to the first question that has no answer yet."""
        try:
            self.asked = on()
            while self._settled(self.asked):
                text = self.said[self.asked.place]
                self.walked.append(self.asked.place)
                self.asked = self._walking.send(text)
            self.known = self.asked.known
        except StopIteration as ended:
            self.asked, self.known = None, ended.value

    def _settled(self, asked: Asked) -> bool:
        """Whether it was answered, still reads, and no default that was taken has become another one."""
        place = asked.place
        if place not in self.said or place in self.open:
            return False
        text = self.said[place]
        stale = place in self._by_default and asked.default and _read(asked, asked.default) != text
        return not stale and _read(asked, text) == text

    def default(self, asked: Asked) -> str:
        """What Enter alone means: what was answered here before, where it still can be, else what is known."""
        if asked.place in self._proposed:
            return self._proposed[asked.place]
        text = self.said.get(asked.place, "")
        return text if text and asked.place not in self._by_default and _read(asked, text) else asked.default

    def take(self, text: str) -> None:
        """Take an answer, as read, to what is asked."""
        asked = self.asked
        assert asked is not None
        place = asked.place
        before = self.said.get(place, "")
        self.said[place] = text
        self.open.discard(place)
        self._proposed.pop(place, None)
        by_default = bool(asked.default) and _read(asked, asked.default) == text
        (self._by_default.add if by_default else self._by_default.discard)(place)
        if asked.opens and before and text and before != text:
            self._rename(before, text)
        if asked.may_end and not text:
            self._forget(lambda other: other[0] == place[0] and other[1] >= place[1] and other != place)
        self.walked.append(place)
        self._step(lambda: self._walking.send(text))

    def _forget(self, which: Callable[[Place], bool]) -> None:
        for place in [*self.said, *self.open]:
            if which(place):
                self.said.pop(place, None)
                self.open.discard(place)
                self._by_default.discard(place)

    def _rename(self, before: str, after: str) -> None:
        """Answers that name a panel or a machine follow its name."""
        naming = {each.key for section in self.sections for each in section.questions if each.names}
        for place, text in self.said.items():
            if place[2] in naming:
                names = [after if name.strip() == before else name.strip() for name in text.split(",")]
                self.said[place] = ", ".join(names)

    def kept(self) -> list[tuple[str, str]]:
        """All answers by the keys of their questions in the order they are asked, open ones as they were."""
        if not self.open:
            return [(place[2], self.said[place]) for place in self.walked]
        found: list[tuple[str, str]] = []
        walking = walk(self.sections)
        try:
            asked = next(walking)
            while asked.place in self.said and _read(asked, self.said[asked.place]) is not None:
                text = self.said[asked.place]
                found.append((asked.question.key, text))
                asked = walking.send(text)
        except StopIteration:
            pass
        return found

    # what opens places ------------------------------------------------------------------------------

    def misfit(self, check: Check) -> Misfit | None:
        """The first finished group that does not go with the rest, whose places are opened; None where all does."""
        for section, groups in self.known.groups.items():
            for number, group in enumerate(groups, 1):
                state = (group, self.known.of("panel"))
                if self._checked.get((section, number)) == state:
                    continue
                found = check(self.known, section, number)
                if found is not None:
                    return self._reopen(found, section, number)
                self._checked[section, number] = state
        if self.asked is None:
            found = check(self.known, END, 1)
            return found and self._reopen(found, END, 1)
        return None

    def _reopen(self, found: Misfit, section: str, number: int) -> Misfit:
        places = [place for place in found.places if place in self.said]
        if places and found.proposed:
            self._proposed[places[0]] = found.proposed
        last = [place for place in self.walked if place[0] == END]
        self.open |= set(places or [p for p in self.walked if p[:2] == (section, number)]) | set(last)
        self._begin()
        return found

    def back(self) -> bool:
        """Ask the question before once more; False where there is none."""
        if not self.walked:
            return False
        self.open.add(self.walked[-1])
        self._begin()
        return True

    def again(self, count: str) -> bool:
        """One more of what was told last, `count` alike: only what differs is asked. False where nothing was told."""
        asked = self.asked
        groups = asked.known.of(asked.section) if asked is not None else ()
        if asked is None or not asked.opens or not groups:
            return False
        section, number, first = asked.place
        names = {group[first].lower() for group in groups}
        name = next(
            name
            for another in range(2, len(groups) + 3)
            if (name := f"{groups[-1][first]} {another}").lower() not in names
        )
        alike = {**groups[-1], first: name, "how many": count}
        for question in self._section(section).questions:
            place = (section, number, question.key)
            if question.key in alike:
                self.said[place] = alike[question.key]
                self._by_default.discard(place)
                if question.of_each or question.key == first:
                    self.open.add(place)
        return True

    def change(self, words: str) -> str:
        """Open what is named, `jointer amps` or `years`, and give what follows it, a new answer or nothing.

        Raises ValueError where nothing is named so.
        """
        group, rest = self._group_named(words)
        if group is None:
            here = self._word_of_asked(rest)
            if here is not None:
                return here
            places = [p for p in self.walked if not self._section(p[0]).repeats and p[0] != END]
            place, value = self._word(rest, places, words)
        else:
            places = [p for p in self.walked if p[:2] == group]
            name = self.said[places[0]]
            if not rest:
                listed = ", ".join(
                    f"{place[2]} {self._question(place).shown(self.said[place])}" for place in places[1:]
                )
                raise ValueError(
                    f"{name} has {listed}; write which one: change {name} {places[min(2, len(places) - 1)][2]}"
                )
            place, value = self._word(rest, places, words)
        doubtful = {(*place[:2], key) for key in self._question(place).again}
        self.open |= {place} | (doubtful & self.said.keys())
        self._begin()
        return value

    def _word_of_asked(self, words: str) -> str | None:
        """What follows the word of the question that is asked now, which stays the one to answer; None for other words."""
        question = self.asked.question if self.asked is not None else None
        for word in () if question is None else (question.key, *question.also):
            if words.lower() == word or words.lower().startswith(f"{word} "):
                return words[len(word) :].strip().removeprefix("to ").removeprefix("= ").strip()
        return None

    def _word(self, rest: str, places: Sequence[Place], words: str) -> tuple[Place, str]:
        """The place that the first words of a text name, and what follows."""
        known: dict[str, Place] = {}
        for place in places:
            question = self._question(place)
            for word in (question.key, *question.also):
                known.setdefault(word, place)
        for word in sorted(known, key=len, reverse=True):
            if rest.lower() == word or rest.lower().startswith(f"{word} "):
                value = rest[len(word) :].strip()
                return known[word], value.removeprefix("to ").removeprefix("= ").strip()
        try:
            return known[one_of(tuple(known))(rest)], ""
        except ValueError:
            names = [*dict.fromkeys(place[2] for place in places), *self._names()]
            raise ValueError(f'"{words}" is nothing that was answered; {allowed(rest, names)}') from None

    def remove(self, words: str) -> str:
        """Take away a machine or a panel by its name, which is given as it was written. Raises ValueError."""
        group, rest = self._group_named(words)
        if group is None or rest:
            raise ValueError(f'"{words}" is no machine and no panel; {allowed(words, self._names())}')
        section, number = group
        name = self.said[next(place for place in self.walked if place[:2] == group)]
        said, opened, by_default = dict(self.said), set(self.open), set(self._by_default)
        self._forget(lambda place: place[0] == section and place[1] >= number)
        for place, text in said.items():
            if place[0] == section and place[1] > number:
                moved = (section, place[1] - 1, place[2])
                self.said[moved] = text
                self.open |= {moved} if place in opened else set()
                self._by_default |= {moved} if place in by_default else set()
        self._begin()
        return name

    def add(self, word: str) -> None:
        """Ask for one more machine, or panel, where no more was said before. Raises ValueError."""
        ended = [place for place in self.walked if self.said[place] == "" and word in place[0]]
        if not ended:
            listed = ", ".join(section.name for section in self.sections if section.repeats and section.least)
            raise ValueError(f'"{word}" is no list that has ended; write one of: {listed}')
        self.open.add(ended[0])
        self._begin()

    def groups(self) -> Iterator[tuple[str, list[str]]]:
        """Each panel and machine by name with what was understood, by the words that `change` knows; then all else."""
        yield from self.named_groups()
        told = [(self._question(place), self.said[place]) for place in self.walked if self._once(place)]
        facts = [each.in_list(text) for each, text in told if text not in NOT_THERE]
        if facts:
            yield ALL_ELSE, facts

    def _once(self, place: Place) -> bool:
        return place[0] != END and not self._section(place[0]).repeats

    def named_groups(self) -> Iterator[tuple[str, list[str]]]:
        """Each panel and machine alone."""
        for group in dict.fromkeys(place[:2] for place in self.walked):
            if self._section(group[0]).repeats:
                first, *others = [place for place in self.walked if place[:2] == group]
                if others:
                    told = [(self._question(place), self.said[place]) for place in others]
                    facts = [each.in_list(text) for each, text in told if text not in NOT_THERE]
                    yield self.said[first], list(filter(None, facts))

    def _group_named(self, words: str) -> tuple[tuple[str, int] | None, str]:
        """The group whose name begins a text, the longest such, and what follows it."""
        named = {
            self.said[place].lower(): place[:2]
            for place in self.walked
            if self._section(place[0]).repeats and place[2] == self._section(place[0]).questions[0].key
        }
        for name in sorted(filter(None, named), key=len, reverse=True):
            if words.lower() == name or words.lower().startswith(f"{name} "):
                return named[name], words[len(name) :].strip()
        return None, words

    def _names(self) -> list[str]:
        return [name for name, _ in self.named_groups()]

    def _section(self, name: str) -> Section:
        return next(section for section in self.sections if section.name == name)

    def _question(self, place: Place) -> Question:
        return next(each for each in self._section(place[0]).questions if each.key == place[2])


def _read(asked: Asked, text: str) -> str | None:
    """The answer as it is kept; None where it cannot be one."""
    try:
        return asked.read(text)
    except ValueError:
        return None
