"""`--layout` on the command line: the whole command is about that layout, and unknown names are refused."""

import pytest
from command import TINY, costplan

from costplan.cli.choices import Exit

SHED = "tests/shops/layouts.yaml"


@pytest.mark.parametrize(
    "command",
    [("compare", "--plans", "1"), ("shopping",), ("scope",), ("size",), ("bids",)],
    ids=lambda c: c[0],
)
def test_a_command_is_about_the_layout(command: tuple[str, ...]) -> None:
    name, *more = command
    done = costplan(name, SHED, *more, "--layout", "drill sold")
    assert done.returncode == 0, done.stderr
    assert done.stdout != costplan(name, SHED, *more).stdout
    assert "Layouts" not in done.stdout


@pytest.mark.parametrize(
    ("shop", "name", "said"),
    [
        (SHED, "drill sol", 'Did you mean "drill sold"?'),
        (TINY, "drill sold", "add some under layouts:"),
    ],
)
def test_an_unknown_layout_is_refused(shop: str, name: str, said: str) -> None:
    done = costplan("compare", shop, "--layout", name)
    assert done.returncode == Exit.USER_MISTAKE
    assert done.stdout == ""
    assert f'--layout "{name}": there is no such layout' in done.stderr
    assert said in done.stderr
    assert "Traceback" not in done.stderr
