"""Whole numbers that are asked for by option or from Python."""

import pytest

from costplan.files.asked import WrongUseError, whole_number


@pytest.mark.parametrize(
    ("said", "number"), [(None, 5), (7, 7), ("7", 7), (" 100,000 ", 100_000), ("1_000", 1000)]
)
def test_whole_numbers_are_taken(said: int | str | None, number: int) -> None:
    assert whole_number("--draws", said, 5, 1, 100_000) == number


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ("seven", '--seed "seven" is no whole number; write one from 0 to 4,294,967,295, like --seed 1'),
        ("1.5", '--seed "1.5" is no whole number'),
        (1.5, '--seed "1.5" is no whole number'),
        (True, '--seed "True" is no whole number'),
        (-1, '--seed "-1" is no whole number'),
        ("9" * 30, "is out of range; write one from 0 to"),
        (2**32, "--seed 4294967296 is out of range"),
    ],
)
def test_all_else_is_refused_in_the_words_of_the_command(said: object, words: str) -> None:
    """From Python the same words without the dashes of an option."""
    with pytest.raises(WrongUseError) as refused:
        whole_number("--seed", said, 1, 0, 2**32 - 1)  # type: ignore[arg-type]
    assert words in refused.value.said
    assert words.replace("--", "") in str(refused.value)
    assert "--" not in str(refused.value)
