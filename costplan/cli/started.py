"""What a guided start does: reads what was given, asks for the rest, writes the shop file and a catalog, and compares."""

import os
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from costplan.cli.choices import Exit
from costplan.cli.endings import fail
from costplan.cli.given import Given
from costplan.cli.screen import say

if TYPE_CHECKING:
    from costplan.cli.own_catalog import OwnCatalog
    from costplan.model.answers import Families
    from costplan.model.asking import Known, Section
    from costplan.model.loading import LoadedCatalog

Compare = Callable[[Path], object]
"""Compares a shop file, prints the answer, and returns the comparison."""
_OF_ROOM = ("tandems", "subpanel", "turns")


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
        asked = _asked(given, frozenset(options) if talks else _all_but(given.missing))
        given = Given(file, loaded, families, {**asked, **options})
        given.read_all(notes)
    if given.missing:
        names = ", ".join(f"--{name}" for name in given.missing)
        given.wrong.append(
            f"without a terminal what has no default is needed as an option or in the notes; missing: {names}"
        )
    if given.wrong:
        fail("\n".join(given.wrong))
    for words in given.told:
        say(words, error=True)
    _finish(given, catalog, compare)


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
    from costplan.model.answers import families_for
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


def _asked(given: Given, said: Collection[str]) -> dict[str, list[str]]:
    """What is typed to all questions but those that options or notes have answered, by option. Ends the command on stop."""
    from costplan.cli.interview import Interview, Kept, StoppedError
    from costplan.model.questions import sections
    from costplan.model.told_lines import lines_told

    file = given.file
    kept = Kept(file.with_name(f"{file.stem}-answers.txt"))
    questions = list(_left(sections(shop_called(file), given.families, given.aids), said))
    interview = Interview(questions, kept, lambda known, section: _misfit(given, known, section))
    try:
        return lines_told(interview.run())
    except StoppedError as stopped:
        count = len(interview.answers)
        say(f"\nStopped. {count} answers are kept in {kept.path}; no shop file was written yet.", error=True)
        say(f"Go on with: costplan start {file}", error=True)
        raise typer.Exit(Exit.OK if stopped.meant else Exit.USER_MISTAKE) from None


def shop_called(file: Path) -> str:
    """What a shop is called whose name nobody said."""
    words = file.stem.replace("_", " ").replace("-", " ").strip()
    return words[:1].upper() + words[1:60] if words.isprintable() and words else "My shop"


def _left(all_of: "Sequence[Section]", said: Collection[str]) -> "Iterator[Section]":
    """The sections without what was said."""
    from costplan.model.told_lines import option_of

    for section in all_of:
        if section.name in said or (section.name == "room" and any(option in said for option in _OF_ROOM)):
            continue
        questions = tuple(each for each in section.questions if option_of(each.key) not in said)
        if questions:
            yield replace(section, questions=questions)


def _all_but(missing: Collection[str]) -> Collection[str]:
    """Every option but these, as if all others had been said."""
    from costplan.model.told_lines import every_option

    return [option for option in every_option() if option not in missing]


def _misfit(given: Given, known: "Known", section: str) -> str:
    """Why the last group of a section does not go with what is known; empty where it does."""
    from costplan.model.reading import PartsError

    if section not in ("machine", "quoted machine"):
        return ""
    try:
        given.tried(known)
    except PartsError as error:
        return "; ".join(error.mistakes)
    except ValueError as error:
        return str(error)
    return ""


# writing ----------------------------------------------------------------------------------------------


def _finish(given: Given, catalog: Path | None, compare: Compare | None) -> None:
    from costplan.cli.own_catalog import own_catalog, write_own_catalog
    from costplan.files.problems import UserMistakeError, render_text
    from costplan.files.writing import write_text
    from costplan.model.answers import UNKNOWN
    from costplan.model.demo_shelf import DEMO
    from costplan.model.starting import Priced, mistakes_of, quotes_alone, shop_text

    answers = given.answered(shop_called(given.file))
    own: OwnCatalog | None = None
    loaded = given.loaded
    folder = _own_folder(given.file)
    if quotes_alone(answers):
        priced = Priced(None, "", invented=False)
    elif catalog is None:
        assert loaded.catalog is not None
        own = own_catalog(answers.panels, loaded.catalog.parts)
        loaded = own.loaded
        priced = Priced(loaded.catalog, folder.name, invented=True)
    elif _is_demo(catalog):
        priced = Priced(loaded.catalog, DEMO, invented=True)
    else:
        named = Path(os.path.relpath(catalog, given.file.parent)).as_posix()
        priced = Priced(loaded.catalog, named, invented=False)
    text = shop_text(answers, given.day(), priced)
    mistakes = mistakes_of(text, given.file, loaded)
    if mistakes:
        fail(f"these answers do not go together; nothing was written\n{render_text(mistakes)}")
    try:
        if own is not None:
            write_own_catalog(folder, own, text)
        write_text(given.file, text)
    except UserMistakeError as error:
        fail(render_text(error.problems))
    beside = f" and its catalog {folder}" if own is not None else ""
    say(f"Wrote {given.file}{beside}, {given.counted()}.")
    if compare is None:
        say(f"Next: costplan check {given.file}, then costplan compare {given.file}")
        return
    say("")
    _compared(given, compare, rate_known=answers.rate != UNKNOWN, invented=priced.invented)


def _compared(given: Given, compare: Compare, *, rate_known: bool, invented: bool) -> None:
    """Compare what was written, then say which figures matter most."""
    from costplan.plans.comparison import Comparison
    from costplan.reports.figures_text import figures_text

    comparison = compare(given.file)
    if isinstance(comparison, Comparison) and comparison.plans and invented:
        words = figures_text(comparison.facts, comparison.plans[0], rate_known=rate_known)
        say(f"\n{words}" if words else "", end="")
    say(f"\nWhat is asked about the file: costplan check {given.file}", error=False)
