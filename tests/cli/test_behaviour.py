"""Exit statuses, messages, and what the command line must never do."""

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest
from command import BARGAIN, COMMANDS, ROOT, TINY, costplan

from costplan.cli.main import Example
from costplan.reports.parts import Part, part_words

OK, USER_MISTAKE, NO_PLAN = 0, 2, 3


@pytest.fixture
def broken_shop(tmp_path: Path) -> str:
    path = tmp_path / "broken.yaml"
    path.write_text("shop: Broken\nyeers: 3\nmachines: 12\n", encoding="utf-8")
    return str(path)


@pytest.mark.parametrize(
    ("arguments", "status", "words"),
    [
        (("compare", "no-such-shop.yaml"), USER_MISTAKE, "no-such-shop.yaml"),
        (("compare", "examples/tiny"), USER_MISTAKE, "folder"),
        (("compare", TINY, "--catalog", "no-such-catalog"), USER_MISTAKE, "no-such-catalog"),
        (("compare", TINY, "--outlay-cap", "10"), NO_PLAN, "700.00"),
        (("compare", TINY, "--outlay-cap", "10"), NO_PLAN, "--yearly-budget 10.00"),
        (("compare", TINY, "--outlay-cap", "lots"), USER_MISTAKE, "lots"),
        (("compare", TINY, "--outlay-cap", "790", "--turning"), USER_MISTAKE, "leave out the cap"),
        (("compare", TINY, "--outlay-cap=-5"), USER_MISTAKE, "is below nothing"),
        (("compare", TINY, "--hold", "saw=conduit drop"), NO_PLAN, "saw"),
        (("compare", TINY, "--hold", "saw"), USER_MISTAKE, "MACHINE=WORDS"),
        (("compare", TINY, "--hold", "saw=cord", "--hold", "saw=wall drop"), USER_MISTAKE, "twice"),
        (("compare", TINY, "--plan", "40"), USER_MISTAKE, "4 plans"),
        (("compare", TINY, "--format", "xml"), USER_MISTAKE, "xml"),
        (("compare", TINY, "--show", "bill"), USER_MISTAKE, "buy"),
        (("compare", TINY, "--show", "buy,"), USER_MISTAKE, "there is no such part"),
        (("compare", TINY, "--show", "buy", "--format", "csv"), USER_MISTAKE, "csv holds everything"),
        (("size", TINY, "lathe"), USER_MISTAKE, "lathe"),
        (("check", "no-such-shop.yaml"), USER_MISTAKE, "no-such-shop.yaml"),
        (("schema", "parts"), USER_MISTAKE, "parts"),
        (("shopping", TINY, "--format", "xlsx"), USER_MISTAKE, "--output"),
        (("shopping", TINY, "--output", TINY), USER_MISTAKE, "is there already"),
        (("scope", TINY, "--output", "no-such-folder/scope.html"), USER_MISTAKE, "no-such-folder"),
        (("shopping", TINY, "--output", "no-such.xlsx"), USER_MISTAKE, "add --format xlsx"),
        (("scope", TINY, "--output", "no-such.xlsx"), USER_MISTAKE, "table, csv, html"),
        (("scope", TINY, "--plan", "40"), USER_MISTAKE, "4 plans"),
        (("bids", TINY, "--bids", "no-such-bids.yaml"), USER_MISTAKE, "no-such-bids.yaml"),
        (("catalog", "odd", "no-such-catalog"), USER_MISTAKE, "no-such-catalog"),
        (("catalog", "history", "examples/tiny/catalog", "receptacle-5-21"), USER_MISTAKE, "receptacle-5-20"),
        (("jobs", "no-such-shop.yaml"), USER_MISTAKE, "no-such-shop.yaml"),
        (("fly",), USER_MISTAKE, "fly"),
    ],
)
def test_mistakes_are_named_with_their_status_and_never_a_traceback(
    arguments: tuple[str, ...], status: int, words: str
) -> None:
    done = costplan(*arguments)
    said = done.stdout + done.stderr
    assert done.returncode == status, said
    assert words in said
    assert "Traceback" not in said
    if arguments[0] != "check":
        assert done.stdout == ""


@pytest.mark.parametrize("command", ["compare", "size", "check"])
def test_a_broken_shop_is_explained_line_by_line(command: str, broken_shop: str) -> None:
    done = costplan(command, broken_shop)
    said = done.stdout + done.stderr
    assert done.returncode == USER_MISTAKE
    assert f"{broken_shop}:2:1" in said
    assert 'Did you mean "years"?' in said
    assert "Traceback" not in said


def test_check_gives_problems_as_json(broken_shop: str) -> None:
    problems = json.loads(costplan("check", broken_shop, "--format", "json").stdout)
    assert {"code", "severity", "path", "line", "column", "header", "field", "message", "mend"} == set(
        problems[0]
    )
    assert any(problem["field"] == "yeers" and problem["line"] == 2 for problem in problems)


def test_check_finds_no_error_in_the_tiny_example() -> None:
    done = costplan("check", TINY, "--format", "json")
    assert done.returncode == OK
    assert [problem for problem in json.loads(done.stdout) if problem["severity"] == "error"] == []


def test_a_held_machine_keeps_its_way_in_every_plan() -> None:
    plans = json.loads(costplan("compare", TINY, "--hold", "saw=wall drop", "--format", "json").stdout)[
        "plans"
    ]
    assert [plan["machines"]["saw"]["method"] for plan in plans] == ["wall drop", "wall drop"]


def test_a_cap_on_todays_outlay_is_kept() -> None:
    done = costplan("compare", TINY, "--outlay-cap", "$710.00", "--format", "json")
    plans = json.loads(done.stdout)["plans"]
    assert [plan["outlay"] for plan in plans] == [710.00]
    assert plans[0]["present_value"] == 1170.00


def test_as_many_plans_as_asked_and_another_plans_bill() -> None:
    done = costplan("compare", TINY, "--plans", "2", "--plan", "2", "--show", "plans,buy")
    assert "Plan 2: what to buy today" in done.stdout
    assert "\n3 " not in done.stdout


def test_the_help_of_show_names_every_part() -> None:
    told = " ".join(costplan("compare", "--help").stdout.split())
    said = told.split("--show PART[,PART...]")[1].split(" --")[0]
    assert all(re.search(rf"\b{word}\b", said) for word in part_words(Part))


def test_parts_are_as_wide_as_the_terminal_says_it_is() -> None:
    wide, narrow = (costplan("compare", TINY, "--show", "buy,work", columns=n).stdout for n in (140, 50))
    assert max(map(len, wide.splitlines())) > 100
    assert max(map(len, narrow.splitlines())) <= 50
    assert "Plan 1: how each machine is powered" not in wide


def test_example_copies_a_shop_that_compares_and_never_writes_over_it(tmp_path: Path) -> None:
    folder = tmp_path / "shed"
    assert costplan("example", "tiny", str(folder)).returncode == OK
    shop = folder / "shop.yaml"
    first = costplan("compare", str(shop))
    assert first.stdout == costplan("compare", TINY).stdout
    shop.write_text("mine", encoding="utf-8")
    again = costplan("example", "demo", str(folder))
    assert again.returncode == USER_MISTAKE
    assert "is there already" in again.stderr
    assert shop.read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize("name", [example.value for example in Example])
def test_every_shipped_example_is_offered_and_its_copy_has_no_mistake(name: str, tmp_path: Path) -> None:
    folder = tmp_path / name
    assert costplan("example", name, str(folder)).returncode == OK
    assert costplan("check", str(folder / "shop.yaml")).returncode == OK


def test_every_shipped_example_can_be_copied() -> None:
    shipped = {path.parent.name for path in (ROOT / "examples").glob("*/shop.yaml")}
    assert shipped == {example.value for example in Example}
    assert all(f"`{name}`" in (ROOT / "README.md").read_text(encoding="utf-8") for name in shipped)


@pytest.mark.parametrize("what", ["shop", "catalog"])
def test_schema_is_json_schema(what: str) -> None:
    schema = json.loads(costplan("schema", what).stdout)
    assert schema["$schema"].startswith("https://json-schema.org/")
    assert schema["$defs"]


@pytest.mark.parametrize(
    "arguments", [("compare", TINY), ("compare", TINY, "--show", "all"), ("size", TINY), ("--help",)]
)
def test_piped_output_has_no_terminal_codes_or_trailing_noise(arguments: tuple[str, ...]) -> None:
    done = costplan(*arguments)
    assert done.stdout.endswith("\n")
    assert not {"\x1b", "\r", "\x08"} & set(done.stdout + done.stderr)
    assert "comparing [" not in done.stderr


def test_the_sizing_caution_is_shown_wherever_sizes_are() -> None:
    for arguments in (
        ("compare", TINY),
        ("size", TINY),
        ("scope", TINY),
        ("next", BARGAIN, "big planer"),
        ("cautions",),
        ("compare", TINY, "--format", "json"),
    ):
        assert "a licensed electrician decide" in " ".join(costplan(*arguments).stdout.split()), arguments


def test_help_loads_none_of_the_heavy_packages() -> None:
    program = (
        "import sys, costplan.cli.main as main\n"
        "try:\n    main.app(['--help'])\nexcept SystemExit as end:\n    assert not end.code\n"
        "print(sorted({'pandas', 'numpy', 'ortools', 'tabulate', 'pydantic', 'yaml', 'xlsxwriter', 'jinja2'}"
        " & set(sys.modules)))"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, timeout=60, check=True
    )
    assert done.stdout.splitlines()[-1] == "[]"


def test_what_loads_late() -> None:
    """`import costplan` loads none of its rooms; numpy comes with the solver, and pandas, which takes as long to load as all
    else of the tiny example, with neither that (its own layer in Python would bring it) nor a comparison in words or as data.
    """
    program = (
        "import sys, costplan\n"
        "print([name for name in sys.modules if name.startswith('costplan.')])\n"
        "import costplan.program.solver, costplan.reports.first_screen as screen, costplan.reports.terminal as terminal\n"
        "import costplan.reports.data as data\n"
        "print('numpy' in sys.modules)\n"
        f"found = costplan.compare(costplan.load({TINY!r}), draws=100).comparison\n"
        "print(bool(screen.first_screen(found)), bool(terminal.comparison_text(found)), bool(data.lines_csv(found)))\n"
        "print(bool(data.comparison_data(found)), 'pandas' in sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, timeout=60, check=True, cwd=ROOT
    )
    assert done.stdout.splitlines() == ["[]", "False", "True True True", "True False"]


def test_help_names_every_command_with_an_example() -> None:
    for command in COMMANDS:
        *above, name = command.split()
        assert f"\n  {name} " in costplan(*above, "--help").stdout
        shown = costplan(*above, name, "--help").stdout
        assert f"Example: costplan {command}" in shown or "Commands:" in shown, command


def test_check_shows_the_shops_own_questions_and_counts_those_of_a_shipped_catalog(tmp_path: Path) -> None:
    shop = tmp_path / "shop.yaml"
    machine = "{name: saw, volts: 240, hp: 3, route: {fixed: 20}}"
    panel = "{name: panel, system: 120/240 single-phase, breakers: family A, spaces_free: 9}"
    shop.write_text(
        f"shop: Shed\ncatalog: demo\ntoday: 2026-11-02\nyears: 5\nmoney: {{electricity_per_kwh: 0.16}}\n"
        f"panels: [{panel}]\nmachines: [{machine}]\n",
        encoding="utf-8",
    )
    short, full = costplan("check", str(shop)), costplan("check", str(shop), "--all")
    found = json.loads(costplan("check", str(shop), "--format", "json").stdout)
    own = [problem for problem in found if problem["path"] == str(shop)]
    assert 0 < len(own) < len(found)
    asked_of_people = [problem for problem in found if problem["code"].startswith("ask-")]
    hidden = len(found) - len(own) - len(asked_of_people)
    assert f"\n{hidden} more questions about the shipped catalog" in short.stdout
    assert f"costplan check {shop} --all shows them" in short.stdout
    assert "catalogs" not in short.stdout
    assert full.stdout.startswith(f"{shop}:")
    assert f"{len(found) - len(asked_of_people)} questions in " in full.stdout
    assert costplan("check", str(shop), "--catalog", "catalogs/demo").stdout == full.stdout


@pytest.mark.parametrize("name", ["demo", "tiny", "bargain", "school"])
def test_no_recipe_that_is_shipped_says_what_is_not_taken(name: str) -> None:
    """What a recipe takes by the foot is asked about where it has no feet: a cord's hooks have those of the cord."""
    checked = costplan("check", f"examples/{name}/shop.yaml")
    assert checked.returncode == OK
    assert "has no length" not in checked.stdout + checked.stderr


def test_outlays_are_searched_where_asked_and_refused_for_csv() -> None:
    data = json.loads(costplan("compare", TINY, "--outlays", "--format", "json").stdout)
    assert [entry["outlay"] for entry in data["outlays"]["plans"]] == [710, 785, 795, 870]
    refused = costplan("compare", TINY, "--outlays", "--format", "csv")
    assert (refused.returncode, refused.stdout) == (2, "")
    assert "--outlays is for tables and JSON" in refused.stderr


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (["--by", "drill=3"], "--by needs the budget of a year"),
        (["--show", "budget"], "--show budget needs the budget of a year"),
        (["--yearly-budget", "much"], '--yearly-budget "much"'),
        (["--yearly-budget", "0"], "is nothing"),
        (["--yearly-budget", "500; -1"], '--yearly-budget "-1" is below nothing'),
        (["--yearly-budget", "500;"], '--yearly-budget ""'),
        (["--yearly-budget", "500", "--by", "drill"], "is no MACHINE=YEAR"),
        (["--yearly-budget", "500", "--by", "drill=soon"], "is no MACHINE=YEAR"),
        (["--yearly-budget", "500", "--by", "drill=1", "--by", "drill=2"], "names drill twice"),
        (["--yearly-budget", "500", "--format", "csv"], "--yearly-budget is for tables and JSON"),
    ],
)
def test_a_budget_that_cannot_be_meant_is_refused(options: list[str], words: str) -> None:
    done = costplan("compare", TINY, *options)
    assert (done.returncode, done.stdout) == (2, "")
    assert words in done.stderr


def test_a_yearly_budget_says_what_to_do_when() -> None:
    done = costplan("compare", TINY, "--yearly-budget", "500", "--by", "drill=3")
    assert ["3", "drill", "345.00", "155.00"] in [line.split() for line in done.stdout.splitlines()]
    assert "today 450.00, year 2 80.00, year 3 345.00" in " ".join(done.stdout.split())


def test_turning_points_that_are_asked_for_are_printed_at_once() -> None:
    """Whoever waited for them does not have to ask for the totals too; by hand in the shop file: cords win at any price."""
    said = costplan("compare", TINY, "--turning")
    assert said.returncode == 0
    assert "What turns the answer, one figure at a time (solved anew)" in said.stdout
    assert "pure ways: none: cords win from 0 to 300 % of now" in said.stdout
