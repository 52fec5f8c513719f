"""A guided start: a dozen questions, each an option too, and a commented shop file at the end."""

import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from costplan.cli.endings import fail

if TYPE_CHECKING:
    from costplan.model.answers import Answers, MachineAnswer, Question
    from costplan.model.catalog import Part
    from costplan.model.loading import LoadedCatalog


def register(app: typer.Typer) -> None:
    """Add the command `start`."""
    app.command(
        epilog="Example: costplan start myshop.yaml --machine 'wood lathe; bay; 120; 1 hp; 1; 55 ft; 12'"
    )(start)


def start(
    file: Annotated[
        Path, typer.Argument(help="The shop file to write; it must not exist yet.", metavar="FILE")
    ],
    shop_name: Annotated[str | None, typer.Option(help="What the shop is called.")] = None,
    years: Annotated[str | None, typer.Option(help="Years to plan for, 1 to 60.")] = None,
    panel_system: Annotated[
        str | None,
        typer.Option(
            help="'120/240 single-phase', '120/208 three-phase', '240 three-phase' or '277/480 three-phase'."
        ),
    ] = None,
    spaces_free: Annotated[
        str | None, typer.Option(help="Free spaces in the panel, counted in poles.")
    ] = None,
    breakers: Annotated[
        str | None, typer.Option(help="Breaker family on the panel's label, as parts.yaml calls it.")
    ] = None,
    rate: Annotated[str | None, typer.Option(help="What one electrician charges an hour.")] = None,
    occupancy: Annotated[
        str | None, typer.Option(help="'dwelling garage', commercial, school or industrial.")
    ] = None,
    edition: Annotated[
        str | None, typer.Option(help="NEC edition in force, for example 2020, or unknown.")
    ] = None,
    electricity: Annotated[
        str | None, typer.Option(help="Price of a kilowatt-hour, for example 0.16.")
    ] = None,
    ceiling: Annotated[str | None, typer.Option(help="Height of the ceiling, for example 10 ft.")] = None,
    machine: Annotated[
        list[str] | None,
        typer.Option(
            help="'name; place; volts; hp or amps; phases; distance; how many', the last optional; once for each "
            "machine, or for so many alike."
        ),
    ] = None,
    machines: Annotated[
        Path | None,
        typer.Option(
            help="A text file of such lines, one a machine; blank lines and lines that begin with # are skipped.",
            metavar="NOTES",
        ),
    ] = None,
    moves_per_year: Annotated[
        str | None, typer.Option(help="Machine moves a year, all machines together, 0 to 100.")
    ] = None,
    catalog: Annotated[
        Path | None, typer.Option(help="Catalog folder the file will name; left out, the shipped demo.")
    ] = None,
    today: Annotated[
        str | None, typer.Option(help="Day of the plan, year-month-day; left out, the day it is.")
    ] = None,
) -> None:
    """Ask a dozen questions and write a first shop file; answers given as options are not asked."""
    given = {
        "shop-name": shop_name,
        "years": years,
        "panel-system": panel_system,
        "spaces-free": spaces_free,
        "breakers": breakers,
        "rate": rate,
        "occupancy": occupancy,
        "edition": edition,
        "electricity": electricity,
        "ceiling": ceiling,
        "moves-per-year": moves_per_year,
    }
    _must_be_free(file)
    options = {name: text for name, text in given.items() if text is not None}
    interview = _Interview(file, _catalog(catalog), catalog, options)
    interview.read_options(today, machines, machine or [])
    if interview.missing and not sys.stdin.isatty():
        names = ", ".join(f"--{name}" for name in interview.missing)
        interview.wrong.append(f"without a terminal every answer is needed as an option; missing: {names}")
    if interview.wrong:
        fail("\n".join(interview.wrong))
    try:
        answers = interview.ask_the_rest()
    except (EOFError, KeyboardInterrupt):
        fail("\nstopped before the last answer; nothing was written")
    _write(file, interview.text_of(answers), interview.loaded, interview.counted())


class _Interview:
    """Answers as they come in: first those given as options, then those asked for."""

    def __init__(
        self,
        file: Path,
        loaded: "LoadedCatalog",
        folder: Path | None,
        given: dict[str, str],
    ) -> None:
        self.file = file
        self.loaded = loaded
        self.folder = folder
        self.given = given
        self.answers: dict[str, str] = {}
        self.machines: list[MachineAnswer] = []
        self.missing: list[str] = []
        self.wrong: list[str] = []
        self.day = ""

    def read_options(self, today: str | None, notes: Path | None, machine_texts: list[str]) -> None:
        """Read what was given as options; what is wrong or missing is noted, all of it."""
        from costplan.model.answers import moves_question

        for name in self._names():
            self._read_option(self._question(name))
        self.day = self._day(today)
        if notes is not None:
            self._read_notes(notes)
        for text in machine_texts:
            self._note_machine(f'--machine "{text}"', text)
        if notes is None and not machine_texts:
            self.missing.append("machine or --machines")
        self._read_option(moves_question())

    def _read_notes(self, path: Path) -> None:
        from costplan.files.text_reader import read_text
        from costplan.model.answers import MACHINE_EXAMPLE, MACHINE_FORM_SAID, MOST_LINES, lines_of_notes

        file = read_text(path)
        self.wrong += [
            f"--machines {problem.at}: {problem.message}; {problem.mend}" for problem in file.problems
        ]
        if file.text is None:
            return
        lines = list(lines_of_notes(file.text))
        if len(lines) > MOST_LINES:
            self.wrong.append(
                f"--machines {path}: has {len(lines)} lines; at most {MOST_LINES} are allowed; is it the right file?"
            )
            return
        for number, text in lines:
            self._note_machine(f"{path}:{number}", text)
        if not lines:
            self.wrong.append(
                f"--machines {path}: names no machine; write one a line: {MACHINE_FORM_SAID}, "
                f"for example: {MACHINE_EXAMPLE}"
            )

    def _note_machine(self, where: str, text: str) -> None:
        """Add a machine, or note each mistake in it after the place where it is written."""
        from costplan.model.answers import PartsError

        try:
            self._add_machine(text)
        except PartsError as error:
            self.wrong += [f"{where}: {mistake}" for mistake in error.mistakes]
        except ValueError as error:
            self.wrong.append(f"{where}: {error}")

    def _names(self) -> list[str]:
        from costplan.model.answers import questions

        return [question.option for question in questions(())]

    def _question(self, name: str) -> "Question":
        """The question, its choices narrowed by the answers before it."""
        from costplan.model.answers import families_for, questions

        families = families_for(self._parts(), self.answers.get("panel-system"))
        return next(question for question in questions(families) if question.option == name)

    def _parts(self) -> "list[Part]":
        return self.loaded.catalog.parts if self.loaded.catalog is not None else []

    def _read_option(self, question: "Question") -> None:
        name = question.option
        if name not in self.given:
            self.missing.append(name)
            return
        try:
            self.answers[name] = question.read(self.given[name])
        except ValueError as error:
            self.wrong.append(f'--{name} "{self.given[name]}" {error}')

    def _day(self, today: str | None) -> str:
        from datetime import date

        if today is None:
            return date.today().isoformat()
        try:
            return date.fromisoformat(today.strip()).isoformat()
        except ValueError:
            self.wrong.append(f'--today "{today}" is no day; write it as year-month-day: 2026-06-20')
            return ""

    def _add_machine(self, text: str) -> None:
        from costplan.model.answers import machine_misfit, read_machine
        from costplan.standards.motors import full_load_current_a

        machine = read_machine(text)
        misfit = machine_misfit(machine, self.machines)
        if misfit:
            raise ValueError(misfit)
        if machine.hp is not None:
            try:
                full_load_current_a(machine.hp, machine.phases, machine.volts)
            except LookupError:
                raise ValueError(
                    f"hp is {machine.load_text}, for which the code's table of motors has no current at these "
                    "volts and phases; write the amperes of the nameplate"
                ) from None
        self._must_be_fed(machine)
        self.machines.append(machine)

    def _must_be_fed(self, machine: "MachineAnswer") -> None:
        """Raises ValueError when the checks find a mistake in a file with this machine alone."""
        from dataclasses import replace

        from costplan.model.answers import SAMPLE
        from costplan.model.starting import mistakes_of

        system = self.answers.get("panel-system")
        if system is None:
            return
        family = self._question("breakers").choices[0]
        alone = replace(SAMPLE, panel_system=system, breakers=family, machines=(machine,))
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
        return shop_text(answers, crews, date.fromisoformat(self.day or "2000-01-01"), name)

    def ask_the_rest(self) -> "Answers":
        """Ask for every answer that was not an option. Raises EOFError when the answers end early."""
        from costplan.model.answers import Answers, moves_question

        if self.missing:
            _say("Enter alone takes the answer in [brackets]. Nothing is written before the last answer.")
        for name in self._names():
            if name not in self.answers:
                self.answers[name] = _ask(self._question(name))
        if not self.machines:
            self._ask_machines()
        moves = moves_question()
        if moves.option not in self.answers:
            self.answers[moves.option] = _ask(moves, self._take_late_machine)
        words = {name.replace("-", "_"): text for name, text in self.answers.items()}
        return Answers(**words, machines=tuple(self.machines))

    def _ask_machines(self) -> None:
        from costplan.model.answers import MACHINE_EXAMPLE, MACHINE_FORM_SAID, is_comment

        _say(f"Machines, one a line: {MACHINE_FORM_SAID}")
        _say(f"  for example: {MACHINE_EXAMPLE}")
        _say("  Several lines may be pasted at once; a file of them is named by --machines.")
        while True:
            _say(f"Machine line {len(self.machines) + 1}, or Enter when there are no more: ", end="")
            text = _line()
            if not text and self.machines:
                break
            if not is_comment(text):
                _told(text, self._add_machine, "Not taken:")
        _say(f"Taken: {self.counted()}.")

    def _take_late_machine(self, text: str) -> bool:
        """Whether a line is notes: a blank line among pasted ones ends the list too early."""
        from costplan.model.answers import is_comment

        if is_comment(text):
            return True
        if ";" not in text:
            return False
        _told(text, self._add_machine, "Not taken:")
        _say(f"Taken: {self.counted()}.")
        return True

    def counted(self) -> str:
        """How many machines there are, and on how many lines."""
        machines = sum(machine.count for machine in self.machines)
        lines = len(self.machines)
        return f"{machines} machine{'s' * (machines > 1)} on {lines} line{'s' * (lines > 1)}"


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
    typer.echo(text + end, err=True, nl=False)


def _must_be_free(file: Path) -> None:
    if file.exists() or file.is_symlink():
        fail(f"{file} is there already; name another file, nothing is ever written over")
    if not file.parent.is_dir():
        fail(f"{file}: there is no folder {file.parent}; make it first")


def _catalog(folder: Path | None) -> "LoadedCatalog":
    from costplan.files.problems import errors_of, render_text
    from costplan.files.shipped import shipped
    from costplan.model.answers import families_for
    from costplan.model.loading import load_catalog_with_places

    path = folder or shipped("catalogs") / "demo"
    loaded = load_catalog_with_places(path)
    if loaded.catalog is None:
        fail(render_text(errors_of(loaded.problems)))
    if not families_for(loaded.catalog.parts, None):
        fail(f"{path}: parts.yaml has no breaker with a family, so no panel can be named; add the breakers")
    return loaded


def _write(file: Path, text: str, loaded: "LoadedCatalog", counted: str) -> None:
    from costplan.files.problems import UserMistakeError, render_text
    from costplan.files.writing import write_text
    from costplan.model.starting import mistakes_of

    mistakes = mistakes_of(text, file, loaded)
    if mistakes:
        fail(f"these answers do not go together; nothing was written\n{render_text(mistakes)}")
    try:
        write_text(file, text)
    except UserMistakeError as error:
        fail(render_text(error.problems))
    typer.echo(f"Wrote {file}, {counted}. Next: costplan check {file}, then costplan compare {file}")
