"""What `--seed`, `--draws`, `--between` and `--map` take."""

import pytest
import typer

from costplan.cli.comparing import settings_said, turning_asked
from costplan.studies.sureness import DEFAULT, Settings
from costplan.studies.turned import Ask


def test_whole_numbers_are_taken() -> None:
    assert settings_said(None, None) == DEFAULT
    assert settings_said("7", "100,000") == Settings(7, 100_000)


@pytest.mark.parametrize(
    ("seed", "draws", "said"),
    [
        ("seven", None, '--seed "seven" is no whole number; write one from 0 to 4,294,967,295'),
        ("1.5", None, '--seed "1.5" is no whole number'),
        ("-1", None, '--seed "-1" is no whole number'),
        ("9" * 30, None, "is out of range"),
        (None, "99", "--draws 99 is out of range; write one from 100 to 1,000,000"),
        (None, "2000000", "is out of range"),
        (None, "many", '--draws "many" is no whole number'),
    ],
)
def test_all_else_ends_with_the_mend(
    seed: str | None, draws: str | None, said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(typer.Exit) as ended:
        settings_said(seed, draws)
    assert ended.value.exit_code == 2
    assert said in capsys.readouterr().err


def test_what_is_solved_anew_is_asked_by_two_names() -> None:
    assert turning_asked(turning=False, between=None, grid=None) is None
    assert turning_asked(turning=True, between=None, grid=None) == Ask()
    assert turning_asked(turning=False, between="cords, ours", grid=None) == Ask(("cords", "ours"))
    assert turning_asked(turning=False, between=None, grid="a,b") == Ask(grid=("a", "b"))


@pytest.mark.parametrize("said", ["cords", "cords,cords", "a,b,c", ",cords"])
def test_one_name_or_three_end_with_the_mend(said: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(typer.Exit) as ended:
        turning_asked(turning=False, between=said, grid=None)
    assert ended.value.exit_code == 2
    assert f'--between "{said}": give two different names' in capsys.readouterr().err
