"""What a guided start does: reads what was given, asks for the rest, writes the shop file and a catalog, and compares."""

import os
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import islice
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING

import typer

from costplan.cli.choices import Exit
from costplan.cli.endings import fail
from costplan.cli.given import FieldError, Given
from costplan.cli.screen import say

if TYPE_CHECKING:
    from costplan.cli.own_catalog import OwnCatalog
    from costplan.files.problems import Problem
    from costplan.interview.answers import Families
    from costplan.interview.asking import Known, Section
    from costplan.interview.dialogue import Misfit
    from costplan.interview.starting import Priced
    from costplan.model.labor import Role
    from costplan.model.loading import LoadedCatalog
    from costplan.model.pair import Pair

Compare = Callable[[Path, float], object]
"""Compares a shop file within so many seconds, prints the answer, and returns the comparison."""
SECONDS = 45.0
"""How long a first comparison looks; who wants more says so."""
_OF_SECTION = {"room": ("tandems", "subpanel", "another-panel"), "sharing": ("turns",)}
"""Options that answer a whole section."""


def begin(
    file: Path,
    notes: Path | None,
    options: Mapping[str, list[str]],
    catalog: Path | None,
    compare: Compare | None,
    *,
    typed: bool,
) -> None:
    """Read what was given, ask for the rest where somebody is there to answer (`typed`), write, compare."""
    _must_be_free(file, own=catalog is None)
    loaded, families = _tried_with(catalog)
    given = Given(file, loaded, families, options)
    given.read_all(notes)
    if typed and not given.wrong and given.missing:
        talks = notes is None and not options.get("machine")
        said = frozenset(options) if talks else _all_but(given.missing)
        asked = _asked(given, said, partial(_whole, given, options, catalog, set()) if talks else None)
        given = Given(file, loaded, families, {**asked, **options})
        given.read_all(notes)
    if given.missing:
        names = ", ".join(f"--{name}" for name in given.missing)
        given.wrong.append(
            f"without a terminal what has no default is needed as an option or in the notes; missing: {names}"
        )
    if given.wrong:
        fail("\n".join([*given.wrong, *_facts_listed(given.wrong)]))
    for words in given.told:
        say(words, error=True)
    _finish(given, catalog, compare)


def _facts_listed(wrong: Collection[str]) -> Iterator[str]:
    """All facts that are read, once, where some were not."""
    from costplan.interview.told_facts import COUNT_SAID, FACTS, FACTS_BELOW

    if any(FACTS_BELOW in words for words in wrong):
        yield f"Facts that may follow in a line: {'; '.join((*FACTS, COUNT_SAID))}"


def _must_be_free(file: Path, *, own: bool) -> None:
    if file.exists() or file.is_symlink():
        fail(f"{file} is there already; name another file, nothing is ever written over")
    if not file.parent.is_dir():
        fail(f"{file}: there is no folder {file.parent}; make it first")
    folder = _own_folder(file)
    if own and (folder.exists() or folder.is_symlink()):
        fail(
            f"{folder} is there already, where the catalog of {file} would be; name another file, or that folder by "
            f"--catalog {folder}"
        )


def _own_folder(file: Path) -> Path:
    """Where the catalog of a shop file is written."""
    return file.with_name(f"{file.stem}-catalog")


def _tried_with(folder: Path | None) -> "tuple[LoadedCatalog, Families | None]":
    """The catalog that machines are tried with, and its breaker families; None where a label may say what it likes."""
    from costplan.files.problems import errors_of, render_text
    from costplan.interview.answers import families_for
    from costplan.model.demo_shelf import demo_folder
    from costplan.model.loading import load_catalog_with_places

    path = demo_folder() if folder is None or _is_demo(folder) else folder
    loaded = load_catalog_with_places(path)
    if loaded.catalog is None:
        fail(render_text(errors_of(loaded.problems)))
    families = partial(families_for, loaded.catalog.parts)
    if not families(None):
        fail(f"{path}: parts.yaml has no breaker with a family, so no panel can be named; add the breakers")
    return loaded, None if folder is None else families


def _is_demo(folder: Path) -> bool:
    from costplan.model.demo_shelf import DEMO

    return str(folder) == DEMO and not folder.exists()


# asking -----------------------------------------------------------------------------------------------


def _asked(
    given: Given, said: Collection[str], whole: "Callable[[Known], Misfit | None] | None"
) -> dict[str, list[str]]:
    """What is typed to all questions but those that options or notes have answered, by option. Ends the command on stop.

    `whole` says why all the answers do not go together.
    """
    from costplan.cli.interview import Interview, Kept, StoppedError
    from costplan.interview.dialogue import END
    from costplan.interview.questions import sections
    from costplan.interview.told_lines import lines_told

    file = given.file
    kept = Kept(file.with_name(f"{file.stem}-answers.txt"))
    years = given.answers.get("years", "") if "years" in said else ""
    questions = list(_left(sections(shop_called(file), given.families, given.aids, given.day(), years), said))

    def check(known: "Known", section: str, number: int) -> "Misfit | None":
        if section == END:
            return whole(known) if whole is not None else None
        return _misfit(given, known, section, number)

    interview = Interview(questions, kept, check)
    try:
        return lines_told(interview.run())
    except StoppedError as stopped:
        count = interview.count
        say(f"\nStopped. {count} answers are kept in {kept.path}; no shop file was written yet.", error=True)
        say(f"Go on with: costplan start {file}", error=True)
        raise typer.Exit(Exit.OK if stopped.meant else Exit.USER_MISTAKE) from None


def shop_called(file: Path) -> str:
    """What a shop is called whose name nobody said."""
    words = file.stem.replace("_", " ").replace("-", " ").strip()
    return words[:1].upper() + words[1:60] if words.isprintable() and words else "My shop"


def _left(all_of: "Sequence[Section]", said: Collection[str]) -> "Iterator[Section]":
    """The sections without what was said."""
    from costplan.interview.told_lines import option_of

    for section in all_of:
        if section.name in said or any(option in said for option in _OF_SECTION.get(section.name, ())):
            continue
        questions = tuple(each for each in section.questions if option_of(each.key) not in said)
        if questions:
            yield replace(section, questions=questions)


def _all_but(missing: Collection[str]) -> Collection[str]:
    """Every option but these, as if all others had been said."""
    from costplan.interview.told_lines import every_option

    return [option for option in every_option() if option not in missing]


def _misfit(given: Given, known: "Known", section: str, number: int) -> "Misfit | None":
    """Why a group does not go with what else is known, and which answers that is about."""
    from costplan.interview.dialogue import Misfit
    from costplan.interview.questions import PANEL
    from costplan.interview.told_lines import keys_of, room_misfit

    if section == "room":
        why = room_misfit(known.of(section)[number - 1])
        return Misfit(why, [(section, number, "room")], PANEL) if why else None
    if section not in ("machine", "quoted machine"):
        return None
    try:
        given.tried(known, section, number)
    except FieldError as error:
        return Misfit(str(error), [(section, number, key) for key in keys_of(error.word)])
    except ValueError as error:
        return Misfit(str(error))
    return None


def _whole(
    given: Given,
    options: Mapping[str, list[str]],
    catalog: Path | None,
    told: set[str],
    known: "Known",
) -> "Misfit | None":
    """Why all answers together are no shop file, and which answers that is about; `told` is what was said once before."""
    from costplan.interview.dialogue import Misfit
    from costplan.interview.questions import ALL
    from costplan.interview.told_lines import lines_told, places_of

    trial = Given(given.file, given.loaded, given.families, {**lines_told(known), **options})
    trial.read_all(None)
    if trial.wrong:
        return Misfit("; and ".join(trial.wrong))
    draft = _draft(trial, catalog)
    for mistake in draft.mistakes[:1]:
        return Misfit(
            f"{mistake.field_path} {mistake.message}; {mistake.mend}", places_of(known, mistake.field_path)
        )
    running = known.said.get("at once", ALL)
    if running != ALL and running not in told:
        told.add(running)
        for words in _too_much(trial, draft):
            why = (
                f"{words[:1].upper()}{words[1:]}. Say how many really run together; Enter twice leaves it so"
            )
            return Misfit(why, [("sharing", 1, "at once")])
    return None


def _too_much(given: Given, draft: "_Draft") -> Iterator[str]:
    """What runs at once, by the answers, and passes what its panel or the service carries: no plan is possible then."""
    from costplan.circuits.facts import Facts
    from costplan.circuits.runs_at_once import most_at_once, passed_at_once

    pair = _pair(given, draft)
    if pair is None:
        return
    facts = Facts(pair.shop, pair.catalog)
    for passed in passed_at_once(pair, facts):
        most = most_at_once(pair, facts)
        fit = "" if most is None else f"; of those that may wait {most or 'not even one'} at once would fit"
        yield f"{passed.words}{fit}"


def _no_room(given: Given, draft: "_Draft") -> Iterator[str]:
    """Panels in which the circuits of all machines find no room: no plan is possible then."""
    from costplan.circuits.facts import Facts
    from costplan.circuits.spaces_needed import spaces_lacking

    pair = _pair(given, draft)
    if pair is not None:
        for short in spaces_lacking(pair, Facts(pair.shop, pair.catalog)):
            yield f"{short.panel} {short.words}"


def _pair(given: Given, draft: "_Draft") -> "Pair | None":
    """The shop that was written with its catalog; None where it has none."""
    from costplan.checks.checks import pair_of
    from costplan.files.yaml_reader import parse_yaml
    from costplan.model.loading import LoadedShop, entry_of
    from costplan.model.shop import Shop

    if draft.priced.catalog is None:
        return None
    shop, places, _ = entry_of(parse_yaml(draft.text, str(given.file)), Shop)
    return pair_of(LoadedShop(shop, places, given.file, ()), draft.loaded)


# writing ----------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Draft:
    """A shop file that is not written yet: its text, where its prices are from, and what is wrong with it."""

    text: str
    priced: "Priced"
    own: "OwnCatalog | None"
    mistakes: "Sequence[Problem]"
    known: "frozenset[Role]"
    """Whose rates were told."""
    loaded: "LoadedCatalog"


def _draft(given: Given, catalog: Path | None) -> _Draft:
    from costplan.cli.own_catalog import own_catalog
    from costplan.interview.answers import UNKNOWN
    from costplan.interview.starting import Priced, mistakes_of, quotes_alone, shop_text
    from costplan.model.demo_shelf import DEMO
    from costplan.model.labor import Role

    answers = given.answered(shop_called(given.file))
    own: OwnCatalog | None = None
    loaded = given.loaded
    if quotes_alone(answers):
        priced = Priced(None, "", invented=False)
    elif catalog is None:
        assert loaded.catalog is not None
        own = own_catalog(answers.panels, loaded.catalog.parts)
        loaded = own.loaded
        priced = Priced(loaded.catalog, _own_folder(given.file).name, invented=True)
    elif _is_demo(catalog):
        priced = Priced(loaded.catalog, DEMO, invented=True)
    else:
        named = Path(os.path.relpath(catalog, given.file.parent)).as_posix()
        priced = Priced(loaded.catalog, named, invented=False)
    text = shop_text(answers, given.day(), priced)
    told = {Role.ELECTRICIAN: answers.rate, Role.OWNER: answers.own_hour}
    known = frozenset(role for role, rate in told.items() if rate != UNKNOWN)
    return _Draft(text, priced, own, mistakes_of(text, given.file, loaded), known, loaded)


def _finish(given: Given, catalog: Path | None, compare: Compare | None) -> None:
    from costplan.cli.own_catalog import write_own_catalog
    from costplan.files.problems import UserMistakeError, render_text
    from costplan.files.writing import write_text

    draft = _draft(given, catalog)
    own, folder = draft.own, _own_folder(given.file)
    if draft.mistakes:
        fail(f"these answers do not go together; nothing was written\n{render_text(draft.mistakes)}")
    try:
        if own is not None:
            write_own_catalog(folder, own, draft.text)
        write_text(given.file, draft.text)
    except UserMistakeError as error:
        fail(render_text(error.problems))
    beside = f" and its catalog {folder}" if own is not None else ""
    say(f"Wrote {given.file}{beside}, {given.counted()}.")
    too_much = "; and ".join([*_no_room(given, draft), *islice(_too_much(given, draft), 1)])
    if too_much:
        begin = "No plan is possible yet" if compare is None else "Not compared, since no plan is possible"
        say(f"{begin}: {too_much}.\n{_HELPS.format(file=given.file)}")
        if compare is None:
            return
        raise typer.Exit(Exit.NO_PLAN)
    if compare is None:
        say(f"Next: costplan check {given.file}, then costplan compare {given.file}")
        return
    machines = sum(machine.count for machine in given.machines)
    say(
        f"Comparing it now, which takes {how_long(machines)};\nthe file is written, so stopping loses nothing.\n"
    )
    _compared(given, compare, known=draft.known, invented=draft.priced.invented)


_HELPS = """\
What may help, each a line in {file}:
  who never runs together: takes_turns: WORD at those machines
  room in a full panel: gear: kind: subpanel, kind: tandem breaker; in notes
    subpanel: PANEL, tandems:, another panel: PANEL
  how few run at once: service: at_most: [{{count: 3, of: [...]}}]
  a larger service, for what an electrician asks: gear: kind: service upgrade
Then: costplan check {file}"""
QUICK = 12
"""Machines of which a comparison mostly ends within SECONDS; measured, tests/benchmarks/README.md."""


def how_long(machines: int) -> str:
    """How long the comparison of so many machines takes."""
    if machines <= QUICK:
        return "half a minute, on a busy computer longer"
    return "about a minute, and then shows the best found by then"


def _compared(given: Given, compare: Compare, *, known: "frozenset[Role]", invented: bool) -> None:
    """Compare what was written, then say which figures matter most."""
    from costplan.reports.figures_text import figures_text
    from costplan.studies.comparison import Comparison

    began = monotonic()
    comparison = compare(given.file, SECONDS)
    if isinstance(comparison, Comparison) and comparison.plans and invented:
        words = figures_text(comparison.facts, comparison.plans[0], known)
        say(f"\n{words}" if words else "", end="")
    if monotonic() - began >= SECONDS:
        say(
            f"\nIt looked for {SECONDS:.0f} seconds only. To look longer, ten minutes at most:\n"
            f"  costplan compare {given.file} --time-limit 600",
        )
    say(f"\nWhat is asked about the file: costplan check {given.file}", error=False)
