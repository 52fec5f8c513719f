"""What the documents say is what the program does; COSTPLAN_REWRITE=1 renews the excerpts."""

import json
import os
import re
import shlex
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import command
import pytest
from command import costplan

from costplan.cli.choices import Exit
from costplan.interview.machine_line import MACHINE_FORM
from costplan.interview.page import WORDS
from costplan.interview.told_facts import FACTS
from costplan.model.bids import load_bids
from costplan.model.gear import GearKind
from costplan.model.loading import load_shop
from costplan.model.money import format_cents
from costplan.reports.rounded import about

ROOT = Path(__file__).parents[1]
README = ROOT / "README.md"
PAGES = sorted((ROOT / "costplan" / "guide").glob("*.md"))
MANUAL = [README, *PAGES]
"""What is written for those who use the program."""
DOCUMENTS = [*MANUAL, ROOT / "DEVELOPERS.md", ROOT / "CHANGELOG.md"]
TINY = "examples/tiny/shop.yaml"
BARGAIN = "examples/bargain/shop.yaml"
LAYOUTS = "tests/shops/layouts.yaml"
LAYOUTS_BLOCK = "layouts of a shed; a test reads them"
EXCERPT = re.compile(
    r"(<!-- excerpt of costplan ([^\n]+?): ([^\n]+?) \.\.\. ([^\n]+?) -->\n```text\n)(.*?)(```)", re.DOTALL
)
JOBS_READ = "jobs, with that jobs.yaml"
QUOTES_READ = "compare, with that shop of quotes"


def run(*arguments: str) -> str:
    done = costplan(*arguments, columns=80)
    assert done.returncode == 0, done.stderr
    return done.stdout


def run_check(shop: Path) -> str:
    """What `costplan check` finds, errors or not."""
    return command.run("check", str(shop), "--format", "json").stdout


def manual() -> str:
    """The README and all pages of the guide."""
    return "\n".join(path.read_text(encoding="utf-8") for path in MANUAL)


def rewritten(change: Callable[[str], str]) -> bool:
    """Whether each page is what the change makes of it; COSTPLAN_REWRITE=1 writes that first."""
    same = True
    for path in MANUAL:
        text = path.read_text(encoding="utf-8")
        renewed = change(text)
        if os.environ.get("COSTPLAN_REWRITE"):
            path.write_text(renewed, encoding="utf-8", newline="\n")
        else:
            same &= text == renewed
    return same


def commands_in(text: str) -> Iterator[list[str]]:
    """Words after `costplan` in fenced shell blocks and in code spans."""
    blocks = re.findall(r"```sh\n(.*?)```", text, re.DOTALL)
    spans = re.findall(r"`(costplan [^`\n]+)`", text)
    for line in [*"\n".join(blocks).splitlines(), *spans]:
        for part in line.split("&&"):
            words = shlex.split(part)
            if words and Path(words[0]).name == "costplan":
                yield words[1:]


def command_of(words: list[str]) -> list[str]:
    """The command alone; those of the catalog have two words."""
    return words[: 2 if words[0] == "catalog" else 1]


def test_the_guide_names_every_command() -> None:
    overview = run("--help")
    names = re.findall(r"^  ([a-z]+)  ", overview[overview.index("Commands:") :], re.MULTILINE)
    assert len(names) >= 6
    for name in names:
        assert f"`costplan {name}" in manual(), name
    upkeep = run("catalog", "--help")
    for name in re.findall(r"^  ([a-z]+)  ", upkeep[upkeep.index("Commands:") :], re.MULTILINE):
        assert f"`{name}`" in manual() or f"costplan catalog {name}" in manual(), name


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda path: path.name)
def test_every_command_in_a_document_exists_with_its_options(document: Path) -> None:
    for words in commands_in(document.read_text(encoding="utf-8")):
        offered = run(*command_of(words), "--help")
        for option in words:
            if option.startswith("--"):
                assert f"{option} " in offered, (words, option)


def test_the_guide_shows_every_option_of_compare() -> None:
    for option in re.findall(r"^  (--[a-z-]+)", run("compare", "--help"), re.MULTILINE):
        assert f"`{option}" in manual() or f" {option}" in manual(), option


def marked(words: str, language: str = "yaml") -> str:
    """The block of the guide that a comment with these words introduces."""
    return manual().split(f"<!-- {words} -->\n```{language}\n")[1].split("```")[0]


def jobs_of_the_guide(folder: Path) -> str:
    """What `costplan jobs` prints for the tiny shop with the jobs.yaml of the guide."""
    example = folder / "tiny"
    run("example", "tiny", str(example))
    text = marked("a jobs.yaml of the tiny catalog; a test reads it")
    (example / "catalog" / "jobs.yaml").write_text(text, encoding="utf-8")
    return run("jobs", str(example / "shop.yaml"))


def quotes_of_the_guide(folder: Path) -> str:
    """What `costplan compare` prints for the shop of the guide that has nothing but quotes."""
    path = folder / "quotes.yaml"
    path.write_text(marked(QUOTES_BLOCK), encoding="utf-8")
    return run("compare", str(path), "--show", "totals")


def test_excerpts_in_the_guide_are_what_the_program_prints(tmp_path: Path) -> None:
    made = {JOBS_READ: jobs_of_the_guide, QUOTES_READ: quotes_of_the_guide}

    def printed(match: "re.Match[str]") -> str:
        head, words, first, last, _, tail = match.groups()
        report = made[words](tmp_path) if words in made else run(*shlex.split(words))
        start = report.index(first)
        return f"{head}{report[start : report.index(last, start)].rstrip()}\n{tail}"

    text = manual()
    assert len(EXCERPT.findall(text)) == text.count("<!-- excerpt of") >= 7
    assert rewritten(lambda page: EXCERPT.sub(printed, page))


def test_the_small_example_by_hand_is_what_the_program_finds() -> None:
    data = json.loads(run("compare", TINY, "--format", "json"))
    matrix = data["matrix"]
    for row, total in {"best mix": "805.00", "cords": "860.00", "fixed drops": "1,170.00"}.items():
        assert f"**{total}**" in manual()
        assert matrix[row]["new"] == float(total.replace(",", ""))
    machines = {"saw": 460, "drill": 345}
    for machine, worth in machines.items():
        lines = [line for line in data["plans"][0]["lines"] if line["machine"] in (machine, "")]
        labor = sum(
            line["present_value"] for line in lines if line["machine"] == machine and line["kind"] == "labor"
        )
        assert labor == 300
        assert f"**{worth}**" in manual()
    assert sum(machines.values()) == data["plans"][0]["present_value"]


CHANGES_TITLE = "<!-- changes of the demo; a test makes each and writes what follows from it -->\n\n"


def changes_of_the_demo() -> list[str]:
    """The changes in the section "Try it", as they are written there."""
    table = manual().split(CHANGES_TITLE)[1].split("\n\n")[0]
    return [line.split("|")[1].strip() for line in table.splitlines()[2:]]


def demo_changed(change: str, folder: Path) -> dict[str, Any]:
    """What `compare` finds for a copy of the demo with a change made: each `NEW` (was `OLD`) in the file named first."""
    run("example", "demo", str(folder))
    made = re.findall(r"`([^`]+)` \(was `([^`]+)`\)", change)
    assert bool(made) is (change != "none")
    for new, old in made:
        path = folder / change.split(",")[0]
        text = path.read_text(encoding="utf-8")
        found = re.findall(rf"\b{re.escape(old)}(?![\d.])", text)
        assert len(found) == 1, (old, found)
        path.write_text(re.sub(rf"\b{re.escape(old)}(?![\d.])", new, text), encoding="utf-8")
    data: dict[str, Any] = json.loads(
        run("compare", str(folder / "shop.yaml"), "--plans", "1", "--format", "json")
    )
    return data


def pure_words(data: dict[str, Any]) -> str:
    """Which of the pure ways wins, as the verdict says it."""
    gap, spread = (round(100 * data["pure_difference"][key]) for key in ("fixed_less_cords", "uncertain_by"))
    lower = "cords" if gap > 0 else "fixed drops"
    said = about(abs(gap), spread)
    return f"too close to call, {lower} {said} lower" if abs(gap) < spread else f"{lower} win by {said}"


@pytest.mark.parametrize("change", changes_of_the_demo())
def test_what_follows_from_a_change_in_the_guide_is_what_the_program_finds(
    change: str, tmp_path: Path
) -> None:
    data = demo_changed(change, tmp_path / "demo")
    best = data["plans"][0]
    cords = ", ".join(name for name, way in sorted(best["machines"].items()) if way["method"] == "cord")
    total = format_cents(round(100 * best["present_value"]))
    row = f"| {change} | {total} | {cords} | {pure_words(data)} |"
    assert rewritten(lambda page: re.sub(rf"(?m)^\| {re.escape(change)} \|.*$", lambda _: row, page))
    assert row in manual().splitlines()


MOVES_ONCE = "    events:\n      - {year: 2, machine: saw, move: bench C}\n"


@pytest.mark.parametrize(
    ("old", "new", "said", "title", "total", "named"),
    [
        (MOVES_ONCE, "    events: []\n", "`events: []`", "wall drop: drill, saw", "710.00", True),
        (
            "bench B, fixed: 15 ft",
            "bench B, fixed: 90 ft",
            "`fixed: 90 ft`",
            "cord: drill, saw",
            "860.00",
            True,
        ),
    ],
    ids=["no event", "a long route"],
)
def test_what_the_guide_changes_in_the_tiny_example_comes_out_as_it_says(
    old: str, new: str, said: str, title: str, total: str, named: bool, tmp_path: Path
) -> None:
    told = manual().split("The tiny example answers at once")[1].split("\n\n")[0]
    assert said in told
    assert total in told
    run("example", "tiny", str(tmp_path / "shed"))
    path = tmp_path / "shed" / "shop.yaml"
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), encoding="utf-8")
    data = json.loads(run("compare", str(path), "--format", "json"))
    best = data["plans"][0]
    assert (best["title"], best["present_value"]) == (title, float(total))
    assert data["winner_named"] is named


def data_page() -> str:
    """The page of the guide about JSON and CSV."""
    return (ROOT / "costplan" / "guide" / "json-and-csv.md").read_text(encoding="utf-8")


def first_column(title: str) -> set[str]:
    """The words in code spans in the first column of the table that follows a sentence of that page."""
    table = data_page().split(title, 1)[1].split("\n\n", 2)[1]
    cells = [line.split("|")[1] for line in table.splitlines()[2:]]
    return {word for cell in cells for word in re.findall(r"`(\w+)`", cell)}


def keys_said(begin: str) -> set[str]:
    """The words in code spans in the sentence of that page after this beginning."""
    sentence = data_page().split(begin, 1)[1].split(". ", 1)[0]
    return set(re.findall(r"`(\w+)`", sentence))


def keys_told(name: str) -> set[str]:
    """The keys that it lists for the entries of a list of a plan."""
    row = next(line for line in data_page().splitlines() if line.startswith(f"| `{name}` |"))
    return set(re.findall(r"`(\w+)`", row.split("|")[2]))


def test_the_json_has_exactly_the_keys_that_the_guide_documents() -> None:
    data = json.loads(run("compare", TINY, "--format", "json"))
    assert set(data) == first_column("writes one object with these keys")
    plan = data["plans"][0]
    assert set(plan) == first_column("Each of `plans`:")
    for name in ("bill_of_materials", "labor", "lines", "by_year"):
        assert set(plan[name][0]) == keys_told(name), name
    saw = plan["machines"]["saw"]
    assert set(saw) == keys_told("machines")
    assert set(saw["ways"][0]) == keys_told("machines") - {"ways"}
    assert set(plan["by_year"][0]) == keys_told("by_year")
    assert set(data["pure_difference"]) == keys_told("pure_difference")
    assert set(data["turning_points"][0]) == first_column("Each of `turning_points`:")
    assert set(data["not_beaten"][0]) <= keys_told("not_beaten")
    assert set(data["not_ranked"][0]) == keys_told("not_ranked")


def test_the_json_of_strategies_has_exactly_the_keys_that_the_guide_documents(tmp_path: Path) -> None:
    path = tmp_path / "quotes.yaml"
    path.write_text(marked(QUOTES_BLOCK), encoding="utf-8")
    data = json.loads(run("compare", str(path), "--format", "json"))
    assert set(data["strategies"][0]) == first_column("Each of `strategies`:")
    assert set(data["strategies"][0]["at_least"]) == {"new", "surplus"}
    assert data["plans"][0]["machines"]["lathes"]["count"] == 7
    assert [way["count"] for way in data["plans"][0]["machines"]["lathes"]["ways"]] == [7, 5]


def test_the_layouts_of_the_guide_are_those_of_the_shed() -> None:
    assert marked(LAYOUTS_BLOCK) in (ROOT / LAYOUTS).read_text(encoding="utf-8")


def test_the_json_of_layouts_has_exactly_the_keys_that_the_guide_documents() -> None:
    data = json.loads(run("compare", LAYOUTS, "--plans", "1", "--format", "json"))
    assert data["layouts"][0]["name"] == "as it is"
    assert set(data["layouts"][0]) == first_column("Each of `layouts`, money null where there is no plan:")
    assert set(data["layouts"][0]["done_today"]) == keys_told("done_today")


def test_the_json_of_an_incomplete_matrix_has_exactly_the_keys_that_the_guide_documents(
    tmp_path: Path,
) -> None:
    example = tmp_path / "tiny"
    run("example", "tiny", str(example))
    offers = example / "catalog" / "offers.csv"
    rows = offers.read_text(encoding="utf-8").splitlines(keepends=True)
    kept = [row for row in rows if not row.startswith("cord-")]
    assert len(kept) < len(rows)
    offers.write_text("".join(kept), encoding="utf-8")
    data = json.loads(run("compare", str(example / "shop.yaml"), "--format", "json"))
    assert data["matrix"]["cords"]["new"] is None
    entry = data["matrix_incomplete"][0]
    assert set(entry) | {"machine", "reason"} == keys_told("matrix_incomplete")
    assert set(entry["missing"][0]) == {"machine", "reason"}


def test_the_json_of_gear_has_exactly_the_keys_that_the_guide_documents() -> None:
    held = ("--hold", "band saw=from far subpanel", "--plans", "1", "--format", "json")
    plan = json.loads(run("compare", BARGAIN, *held))["plans"][0]
    for name in ("gear", "panels", "loads"):
        assert set(plan[name][0]) == keys_told(name), name


def test_the_json_of_a_next_machine_has_exactly_the_keys_that_the_guide_documents() -> None:
    data = json.loads(run("next", BARGAIN, "panel planer", "--format", "json"))
    assert set(data) == keys_said("`costplan next --format json` writes")
    machine = data["machines"][0]
    assert set(machine) == first_column("Each of the next machines:") | {"machine", "power"}
    assert set(machine["variants"][0]) == keys_told("variants")
    assert set(machine["work"][0]) == {"crew", "people", "what", "hours", "amount"}
    assert set(machine["parts"][0]) == keys_told("parts")


def test_the_json_of_cautions_has_exactly_the_keys_that_the_guide_documents() -> None:
    told = first_column(
        "`costplan cautions --format json` writes a list, of a shop what its best plan calls for:"
    )
    every = json.loads(run("cautions", "--format", "json"))
    mine = json.loads(run("cautions", TINY, "--format", "json"))
    assert {frozenset(entry) for entry in (*every, *mine)} == {frozenset(told)}
    assert {frozenset(ask) for entry in every for ask in entry["asks"]} == {frozenset({"of", "text"})}
    assert [entry for entry in every if entry["about"]] == []
    assert 0 < len(mine) < len(every)
    plan = json.loads(run("compare", TINY, "--format", "json"))
    assert plan["plans"][0]["remarks"] == mine
    assert plan["cautions"] == [entry["full"] for entry in mine]


def test_the_exit_statuses_are_those_documented() -> None:
    told = {int(status) for status in re.findall(r"^\| (\d) \|", manual(), re.MULTILINE)}
    assert told == set(Exit)


SHOP_BLOCK = "a whole shop file; a test reads it"
QUOTES_BLOCK = "a shop of nothing but quotes; a test reads it"
PLACES_BLOCK = "a shop of two places; a test reads it"
GROUPS_BLOCK = "a shop file with groups; a test reads it"
KINDS_BLOCK = "entries of kinds.yaml; a test reads them"
GEAR_BLOCK = "more of the shop file above; a test reads both"


@pytest.mark.parametrize("blocks", [(SHOP_BLOCK,), (SHOP_BLOCK, GEAR_BLOCK)], ids=["alone", "with gear"])
def test_the_shop_file_in_the_guide_is_read_without_a_complaint(
    blocks: tuple[str, ...], tmp_path: Path
) -> None:
    path = tmp_path / "shop.yaml"
    path.write_text("\n".join(marked(block) for block in blocks), encoding="utf-8")
    shop, problems = load_shop(path)
    assert problems == []
    assert shop is not None
    assert [machine.name for machine in shop.machines] == ["table saw", "dust collector", "kiln"]
    assert {gear.kind for gear in shop.gear} == (set(GearKind) if GEAR_BLOCK in blocks else set())
    found = json.loads(run("check", str(path), "--catalog", "catalogs/demo", "--format", "json"))
    # Without the gear block there is nothing yet for the tandem spaces and the measured peak to count for.
    asked = set() if GEAR_BLOCK in blocks else {"tandems-alone", "measured-peak-missing"}
    assert {problem["code"] for problem in found if problem["path"] == str(path)} == asked
    assert sum(scenario.weight for scenario in shop.scenarios) == 1


def test_the_shop_of_two_places_in_the_guide_asks_nothing(tmp_path: Path) -> None:
    path = tmp_path / "shop.yaml"
    path.write_text(marked(PLACES_BLOCK), encoding="utf-8")
    found = json.loads(run("check", str(path), "--catalog", "catalogs/demo", "--format", "json"))
    assert not [problem for problem in found if problem["path"] == str(path)]


def test_the_shop_file_with_groups_in_the_guide_is_read_without_a_complaint(tmp_path: Path) -> None:
    path = tmp_path / "shop.yaml"
    path.write_text(marked(GROUPS_BLOCK), encoding="utf-8")
    shop, problems = load_shop(path)
    assert problems == []
    assert shop is not None
    assert {machine.name: machine.count for machine in shop.machines} == {"lathes": 12, "grinder": 1}
    found = json.loads(run("check", str(path), "--catalog", "catalogs/demo", "--format", "json"))
    # Its pair's rate is reckoned from its electrician's, which is asked about.
    assert [problem["code"] for problem in found if problem["path"] == str(path)] == ["rate-reckoned"]


def test_the_page_in_the_guide_makes_a_shop_file_and_asks_nothing(tmp_path: Path) -> None:
    notes, path = tmp_path / "notes.txt", tmp_path / "my.yaml"
    notes.write_text(marked("notes.txt, a page for start; a test reads it", "text"), encoding="utf-8")
    assert f"# {MACHINE_FORM}; " in notes.read_text(encoding="utf-8")
    run("start", str(path), "--machines", str(notes))
    shop, problems = load_shop(path)
    assert problems == []
    assert shop is not None
    counts = {machine.name: machine.count for machine in shop.machines}
    assert counts == {"wood lathe": 12, "table saw": 1, "kiln": 2, "planer": 1}
    assert [panel.name for panel in shop.panels] == ["main", "far panel"]
    assert [str(way.method) for way in shop.quoted_ways] == ["fixed drop", "cord"]
    assert [strategy.name for strategy in shop.strategies] == ["all cords", "lathes first"]
    assert [event.how_many for event in shop.scenarios[0].events] == [7, None]
    found = json.loads(run("check", str(path), "--format", "json"))
    assert [problem for problem in found if problem["severity"] == "error"] == []


def test_every_fact_that_start_reads_is_in_the_manual() -> None:
    section = manual().split("## A first shop file")[1].split("\n## ")[0]
    for fact in FACTS:
        assert fact in section or fact in ("from PANEL", "plug 6-20"), fact
    for word in WORDS:
        assert word in section or word == "today", word


def test_the_shop_of_quotes_by_hand_is_what_the_program_finds(tmp_path: Path) -> None:
    """Worked by hand in the guide, beside the shop."""
    path = tmp_path / "quotes.yaml"
    path.write_text(marked(QUOTES_BLOCK), encoding="utf-8")
    plan = json.loads(run("compare", str(path), "--format", "json"))["plans"][0]
    assert "**2,210.00**" in manual()
    by_year = {entry["year"]: entry["present_value"] for entry in plan["by_year"]}
    assert by_year == {0: 2000, 1: 0, 2: 70, 3: 175, 4: 70, 5: -105}
    assert plan["present_value"] == 2210
    assert plan["title"] == "pendant: 7 of the 12 lathes; floor box: 5 of the 12 lathes"


def test_the_kinds_in_the_guide_are_read_without_a_complaint(tmp_path: Path) -> None:
    example = tmp_path / "tiny"
    run("example", "tiny", str(example))
    kinds, recipes = example / "catalog" / "kinds.yaml", example / "catalog" / "recipes.yaml"
    named = set(re.findall(r"- kind: ([a-z ]+?) *\n", marked(KINDS_BLOCK)))
    head, *entries = re.split(r"(?m)^  - kind: ", kinds.read_text(encoding="utf-8"))
    others = [f"  - kind: {entry}" for entry in entries if entry.split("\n")[0].split(" #")[0] not in named]
    assert len(named) == 4
    assert len(others) == len(entries) - 3
    kinds.write_text(head + "".join(others) + marked(KINDS_BLOCK), encoding="utf-8")
    asked = json.loads(run_check(example / "shop.yaml"))
    assert [problem["code"] for problem in asked if problem["severity"] == "error"] == ["renew-missing"]
    with recipes.open("a", encoding="utf-8") as file:
        file.write("  renew outlet box: {quote: {per_run: 12.00}}\n")
    asked = json.loads(run_check(example / "shop.yaml"))
    assert [problem for problem in asked if problem["severity"] == "error"] == []


def test_the_bids_in_the_guide_are_read_without_a_complaint(tmp_path: Path) -> None:
    path = tmp_path / "bids.yaml"
    path.write_text(marked("a bids.yaml for the tiny shop; a test reads it"), encoding="utf-8")
    found = json.loads(run("bids", TINY, "--bids", str(path), "--format", "json"))
    assert [bid["bidder"] for bid in found["bids"]] == ["Bidder A", "Bidder B"]
    assert load_bids(path).problems == ()


def test_the_developers_page_names_every_room_and_each_room_its_modules() -> None:
    page = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert len(page.encode()) < 9000
    rooms = sorted(path.parent for path in (ROOT / "costplan").glob("*/__init__.py"))
    assert rooms
    for room in rooms:
        assert f"| `{room.name}` |" in page
        if room.name == "standards":
            continue
        told = (room / "__init__.py").read_text(encoding="utf-8")
        for path in room.glob("[a-z]*.py"):
            assert f"`{path.stem}`" in told, f"{room.name}/{path.name}"


def test_links_between_documents_lead_somewhere() -> None:
    for document in DOCUMENTS:
        for target in re.findall(r"\]\(([^)#]+)\)", document.read_text(encoding="utf-8")):
            assert (ROOT / target).exists(), (document.name, target)


def tracked() -> list[Path]:
    """Every file that belongs to the project, without asking the version control."""
    skipped = {".git", ".venv", ".ci", "build", "dist", "__pycache__"}
    folders = [path for path in ROOT.iterdir() if path.is_dir() and path.name not in skipped]
    hidden = {".pytest_cache", ".mypy_cache", ".ruff_cache", ".hypothesis"}
    files = [path for path in ROOT.iterdir() if path.is_file() and path.name not in skipped]
    for folder in folders:
        if folder.name not in hidden and not folder.name.endswith(".egg-info"):
            files += [
                path for path in folder.rglob("*") if path.is_file() and "__pycache__" not in path.parts
            ]
    return files


FORBIDDEN = ("/" + "work/", "/" + "tmp/", "/" + "home/", "shar" + "ed/", "sess" + "ion")


def test_nothing_mentions_a_machine_it_was_made_on() -> None:
    files = tracked()
    assert len(files) > 50
    for path in files:
        text = path.read_text(encoding="utf-8").lower()
        for word in FORBIDDEN:
            assert word not in text, f"{path.relative_to(ROOT)} mentions {word}"
