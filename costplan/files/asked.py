"""What is asked for on a command line or from Python and cannot be given: the same words for both."""

import re


class WrongUseError(ValueError):
    """What is asked for is not there, or out of range.

    `said` is what the commands print; the error's own text has the names of options without their dashes.
    """

    def __init__(self, said: str) -> None:
        super().__init__(re.sub(r"(?<!\S)--(?=[a-z])", "", said))
        self.said = said


def whole_number(option: str, said: int | str | None, default: int, least: int, most: int) -> int:
    """A whole number that is said with an option, or the default. Raises WrongUseError for any other word or size."""
    if said is None:
        return default
    digits = str(said).strip().replace(",", "").replace("_", "")
    if not (digits.isascii() and digits.isdigit()):
        raise WrongUseError(
            f'{option} "{said}" is no whole number; write one from {least:,} to {most:,}, like {option} {default}'
        )
    if not least <= int(digits[:20]) <= most:
        raise WrongUseError(
            f"{option} {said} is out of range; write one from {least:,} to {most:,}, like {option} {default}"
        )
    return int(digits)
