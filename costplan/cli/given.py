"""What a guided start is given: a page of notes, and options, which win over it."""

from collections.abc import Callable, Collection, Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from datetime import date

    from costplan.interview.answers import Answers, Families, StrategyAnswer
    from costplan.interview.asking import Known
    from costplan.interview.machine_line import MachineAnswer, PanelAnswer
    from costplan.interview.room_told import Room
    from costplan.model.loading import LoadedCatalog

_Read = TypeVar("_Read")


@dataclass(frozen=True, slots=True)
class Source:
    """A text that was given, and how mistakes in it begin; `of_page` where a page of notes says it."""

    where: str
    text: str
    of_page: bool = False


class FieldError(ValueError):
    """What is wrong with a field of a machine's entry, by its word in the shop file."""

    def __init__(self, word: str, why: str) -> None:
        self.word = word
        super().__init__(why)


class Given:
    """All that was given: what it says, what is missing, what is wrong, and what there is to tell.

    `families` are the breaker families that panels may have; None where the catalog is yet to be written, so that a
    label may say what it likes. `loaded` is the catalog that machines are tried with.
    """

    def __init__(
        self,
        file: Path,
        loaded: "LoadedCatalog",
        families: "Families | None",
        given: Mapping[str, Sequence[str]],
    ) -> None:
        self.file = file
        self.loaded = loaded
        self.families = families
        self.sources = {
            option: [Source(f'--{option} "{text}"', text) for text in texts]
            for option, texts in given.items()
        }
        self.answers: dict[str, str] = {}
        self.panels: list[PanelAnswer] = []
        self.machines: list[MachineAnswer] = []
        self.forbid: list[tuple[str, str]] = []
        self.strategies: list[StrategyAnswer] = []
        self.room: Room
        self.missing: list[str] = []
        self.wrong: list[str] = []
        self.told: list[str] = []

    def read_all(self, notes: Path | None) -> None:
        """Read what was given as options and on the page; what is wrong or missing is noted, all of it."""
        from costplan.interview.answers import read_day, read_panel, singles

        if notes is not None:
            self._read_page(notes)
        self._single("today", read_day)
        for option, single in singles().items():
            self._single(option, self._counted(single.read) if option == "years" else single.read)
        for panel in self._repeated("panel", lambda text: [read_panel(text, self.families)], _name):
            _noted(self.wrong, "", self.add_panel, panel)
        for source in self.sources.get("machine", []):
            _noted(self.wrong, source.where, self.add_machine, source.text)
        self._read_more()
        self._read_room()
        self._moves_once()
        self._retooled_in_time()
        self.missing += self._lacking(notes)

    def _lacking(self, notes: Path | None) -> Iterator[str]:
        """Options without a default that nobody gave; quotes alone need neither panel nor code."""
        machines = self.sources.get("machine", [])
        alone = len(self.machines) == len(machines) > 0 and not any(m.plated for m in self.machines)
        if not machines and notes is None:
            yield "machine or --machines"
        for option in ("panel", "occupancy"):
            if not alone and not self.sources.get(option):
                yield option

    def answered(self, shop_name: str) -> "Answers":
        """The answers, with what holds where nobody said it."""
        from costplan.interview.answers import singles
        from costplan.model.choices import Occupancy

        self.answers.setdefault("shop-name", shop_name)
        for option, single in singles().items():
            self.answers.setdefault(option, single.default or Occupancy.COMMERCIAL)
        return self._all()

    def _read_page(self, path: Path) -> None:
        from costplan.files.text_reader import read_text
        from costplan.interview.machine_line import MACHINE_EXAMPLE, MACHINE_FORM_SAID
        from costplan.interview.page import MACHINE, MOST_LINES, notes_of, unknown_word, word_of

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

    def _single(self, option: str, read: Callable[[str], str]) -> None:
        """Read what is said once; an option wins over the page, and what it wins over is told, and how a range is taken."""
        from costplan.interview.ranges_told import better_known, told_back

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
        if before is not None and "[" not in before.text and (words := told_back(self.answers[option])):
            self.told.append(f"{before.where} is taken as {words}{better_known(self.answers[option])}")

    def _counted(self, read: Callable[[str], str]) -> Callable[[str], str]:
        """The same reader, to which a calendar year says how many years from the day of the plan."""
        from costplan.interview.spoken import years_from

        return lambda text: read(years_from(self.day(), text))

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
        from costplan.interview.answers import read_forbidden, read_lease, read_strategy

        self._single("lease", self._counted(partial(_as_written, read_lease)))
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
        from costplan.interview.answers import strategy_in_words
        from costplan.model.reading import PartsError

        wrong = strategy_in_words(strategy, self.machines)[1]
        if wrong:
            raise PartsError(wrong)

    def _read_room(self) -> None:
        """The service, the measured peak, and what makes room: told of panels and machines that there are."""
        from costplan.interview.room_told import (
            Room,
            read_amps,
            read_another_panel,
            read_at_once,
            read_peak,
            read_tandems,
            read_turns,
        )
        from costplan.model.reading import read_name

        self._single("service", read_amps)
        self._single("measured-peak", partial(_as_written, read_peak))
        peak = self.answers.pop("measured-peak", None)
        self._single("at-once", read_at_once)
        at_once, service = self.answers.pop("at-once", None), self.answers.pop("service", None)
        mains = [panel for panel in self.panels if panel.rating]
        if service is None and (peak or at_once) and len(mains) == len(self.panels) == 1:
            service = mains[0].rating
            self.told.append(
                f"service is taken as {service}, the main of {mains[0].name}: no more comes to your machines"
            )
        for option, said in (("measured-peak", peak), ("at-once", at_once)):
            if said is not None and service is None and not self.wrong:
                self.wrong.append(
                    f"{self.sources[option][-1].where} counts on a service; say how large that is, too: service: 100 A"
                )

        def each(
            option: str, read: Callable[[str], _Read], known: Callable[[_Read], Collection[str]]
        ) -> list[_Read]:
            def one(text: str) -> list[_Read]:
                value = read(text)
                self._must_be_known(known(value), panels=option != "turns")
                return [value]

            return self._repeated(option, one, lambda value: tuple(known(value)))

        tandems = each("tandems", read_tandems, lambda told: [told.panel])
        subpanels = each("subpanel", read_name, lambda panel: [panel])
        another = each("another-panel", read_another_panel, lambda told: [told[0]])
        turns = each("turns", read_turns, lambda names: names)
        self.room = Room(
            service,
            read_peak(peak) if peak is not None else None,
            tuple(tandems),
            tuple(subpanels),
            tuple(turns),
            tuple(another),
            at_once,
        )

    def _must_be_known(self, names: Collection[str], *, panels: bool) -> None:
        """Raises ValueError for a name that no panel, or no machine, has."""
        from costplan.model.reading import allowed

        known = [each.name for each in (self.panels if panels else self.machines)]
        for name in names:
            if name not in known:
                raise ValueError(f'"{name}" is no {"panel" if panels else "machine"}; {allowed(name, known)}')
        if not panels and sum(machine.count for machine in self.machines if machine.name in names) < 2:
            raise ValueError(f"{', '.join(names)} alone takes turns with nobody; name two or more machines")

    def _moves_once(self) -> None:
        """Moves told for all machines together are those of machines whose lines tell none of their own."""
        from costplan.files.quantities import parse_number
        from costplan.interview.machine_line import in_turn
        from costplan.interview.ranges_told import three_of
        from costplan.interview.untold_distances import out_of_reach, untold_words

        self.told += untold_words(self.machines, self.panels)
        told = self.answers.get("moves-per-year")
        if told is not None and any(parse_number(each) for each in three_of(told)):
            self.wrong += [f"moves a year: {words}" for words in out_of_reach(self.machines, self.panels)]
        lines = [machine.name for machine in self.machines if machine.told.moves is not None]
        if told is None or not lines or not any(parse_number(each) for each in three_of(told)):
            return
        others = [machine.name for machine in self.machines if in_turn(machine)]
        if others:
            self.told.append(
                f"moves a year: {told}, of {', '.join(others)} together; how {', '.join(lines)} "
                f"{'moves' if len(lines) == 1 else 'move'} their own lines say"
            )
        else:
            self.wrong.append(
                f"{self.sources['moves-per-year'][-1].where}: no machine is left to move, since each has a line that says how "
                "it moves, or that it never does; leave moves a year out"
            )

    def _retooled_in_time(self) -> None:
        """A retooling falls before the end of the plan, when nothing is changed any more."""
        from costplan.interview.answers import singles

        years = self.answers.get("years") or singles()["years"].default
        for machine in self.machines:
            for later in machine.told.retoolings:
                if int(years or 0) <= later.year:
                    self.wrong.append(
                        f"{machine.name}: it is retooled in year {later.year}, but the plan ends with year {years}, when "
                        "nothing is changed any more; write an earlier year, or plan for more years"
                    )

    def add_panel(self, panel: "PanelAnswer") -> None:
        """Take a panel. Raises ValueError when its name is taken."""
        if any(known.name.lower() == panel.name.lower() for known in self.panels):
            raise ValueError(
                f'name is "{panel.name}", which an earlier panel has; give each a name of its own'
            )
        self.panels.append(panel)

    def add_machine(self, text: str) -> None:
        """Take a machine's line. Raises ValueError when it cannot be read, or goes with the others in no way."""
        from costplan.interview.machine_line import read_machine

        machine = read_machine(text, self.panels)
        self._must_fit(machine)
        self.machines.append(machine)
        self.told += [f"{machine.name}: {words}" for words in machine.taken]

    def _must_fit(self, machine: "MachineAnswer") -> None:
        """Raises ValueError when a machine goes with the others or the panels in no way."""
        from costplan.interview.machine_line import machine_misfits
        from costplan.interview.told_plates import plate_of
        from costplan.standards.motors import full_load_current_a

        for misfit in machine_misfits(machine, self.machines, self.panels):
            raise ValueError(misfit)
        plates = [(machine.hp, machine.phases, machine.volts, dict(machine.loads), "")]
        for later in machine.retooled:
            then = plate_of(later.plate.said)
            plates.append(
                (then.hp, then.phases, int(then.volts), dict(later.plate.loads), f" in year {later.year}")
            )
        for hp, phases, volts, loads, when in plates:
            try:
                if hp is not None:
                    full_load_current_a(hp, phases, volts)
            except LookupError:
                raise FieldError(
                    "hp",
                    f"hp is {loads['hp']}{when}, for which the code's table of motors has no current at these "
                    "volts and phases; write the amperes of the nameplate",
                ) from None
        if self.panels and machine.plated:
            self._must_be_fed(machine)

    def _must_be_fed(self, machine: "MachineAnswer") -> None:
        """Raises ValueError when the checks find a mistake in a file with this machine alone."""
        from dataclasses import replace
        from datetime import date

        from costplan.interview.answers import SAMPLE
        from costplan.interview.starting import Priced, mistakes_of, shop_text
        from costplan.model.demo_shelf import DEMO

        panels = tuple(map(self.as_in_catalog, self.panels))
        years = max([int(SAMPLE.years), *(later.year + 1 for later in machine.retooled)])
        alone = replace(SAMPLE, years=str(years), panels=panels, machines=(machine,))
        priced = Priced(self.loaded.catalog, DEMO, invented=True)
        for mistake in mistakes_of(shop_text(alone, date.today(), priced), self.file, self.loaded)[:1]:
            word = mistake.field_path.rpartition(" ")[2]
            raise FieldError(word, f"{word} {mistake.message}; {mistake.mend}")

    def tried(self, known: "Known", section: str, number: int) -> None:
        """Try a machine that was answered beside all others. Raises ValueError when it goes with them in no way."""
        from costplan.interview.answers import read_panel
        from costplan.interview.machine_line import read_machine
        from costplan.interview.told_lines import lines_told

        told = lines_told(known)
        trial = Given(self.file, self.loaded, self.families, {})
        trial.panels = [*self.panels, *(read_panel(line, self.families) for line in told.get("panel", []))]
        lines = list(told["machine"])
        tried = lines.pop(number - 1 + (len(known.of("machine")) if section != "machine" else 0))
        trial.machines = [read_machine(line, trial.panels) for line in lines]
        trial.add_machine(tried)

    def aids(self, known: "Known") -> list[str]:
        """What may make room in the panel at hand: only what the catalog has for it."""
        from costplan.interview.machine_line import PanelAnswer
        from costplan.interview.questions import NOTHING, PANEL, SUBPANEL, TANDEMS
        from costplan.interview.starting_room import has_tandems, subpanel_parts
        from costplan.interview.told_lines import panels_told

        group = next(group for group in panels_told(known) if group["panel"] == known.here["at"])
        told = PanelAnswer(group["panel"], group["system"], group["breakers"], group["free"])
        panel, catalog = self.as_in_catalog(told), self.loaded.catalog
        parts = catalog.parts if catalog is not None else []
        more = bool(subpanel_parts(panel, parts))
        found = [(TANDEMS, has_tandems(panel, parts)), (SUBPANEL, more), (PANEL, more)]
        return [*(aid for aid, there in found if there), NOTHING]

    def as_in_catalog(self, panel: "PanelAnswer") -> "PanelAnswer":
        """The panel with the breaker family that the catalog has for its label."""
        from dataclasses import replace

        from costplan.interview.answers import family_in

        if self.families is not None:
            return panel
        assert self.loaded.catalog is not None
        return replace(panel, breakers=family_in(self.loaded.catalog.parts, panel))

    def day(self) -> "date":
        """The day of the plan."""
        from datetime import date

        said = self.answers.get("today")
        return date.fromisoformat(said) if said else date.today()

    def _all(self) -> "Answers":
        from costplan.interview.answers import Answers, read_lease
        from costplan.interview.standing_apart import each_apart

        words = {name.replace("-", "_"): text for name, text in self.answers.items()}
        words.pop("today", None)
        lease = words.pop("lease", None)
        told = Answers(
            **words,
            panels=tuple(self.panels),
            machines=tuple(self.machines),
            lease=read_lease(lease) if lease is not None else None,
            forbid=tuple(self.forbid),
            strategies=tuple(self.strategies),
            room=self.room,
        )
        return each_apart(told)

    def counted(self) -> str:
        """How many machines there are, and on how many lines."""
        machines = sum(machine.count for machine in self.machines)
        lines = len(self.machines)
        return f"{machines} machine{'s' * (machines > 1)} on {lines} line{'s' * (lines > 1)}"


def _name(answer: "PanelAnswer | StrategyAnswer") -> str:
    return answer.name.lower()


def _as_written(read: Callable[[str], object], text: str) -> str:
    """The text as it is, once it can be read."""
    read(text)
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
