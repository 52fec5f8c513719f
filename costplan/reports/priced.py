"""Words with money in them, for papers that show prices and for those that show none."""


class Priced(str):
    """Words that tell money; `plain` are the same without, for the sheet that bidders get."""

    plain: str

    def __new__(cls, words: str, plain: str) -> "Priced":
        """The words with their money, and without."""
        told = super().__new__(cls, words)
        told.plain = plain
        return told


def without_money(words: str) -> str:
    """The words as they stand where no price is shown."""
    return words.plain if isinstance(words, Priced) else words
