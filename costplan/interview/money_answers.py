"""How answers in money are read, each as it is kept; every reader raises ValueError with the reason."""

import re
from collections.abc import Callable

from costplan.files import quantities
from costplan.interview.asking import Known

_NONE = "none"
_NOTHING = ("no", _NONE, "nothing", "-", "no quote", "not quoted")
_AFTER_MONEY = re.compile(r"\s*(?:dollars?|bucks|usd|each|apiece|all in|(?:a|per) move)$", re.IGNORECASE)


def money_or(*words: str) -> Callable[[str, Known], str]:
    """Money, or one of these words; no is the first of them."""

    def read(text: str, _: Known) -> str:
        said = _AFTER_MONEY.sub("", text.strip())
        if words and said.lower() in (*words, *_NOTHING):
            return words[0]
        if quantities.parse_money_cents(said) < 0:
            raise ValueError(f"is {said}; write what one costs, for example 420")
        return said.replace(",", "")  # a comma parts facts in a line

    return read


def cord_quote(text: str, known: Known) -> str:
    """What was quoted for a cord, or none where there is a quote for a fixed drop."""
    said = money_or(_NONE)(text, known)
    if said == _NONE and known.get("fixed drop") == _NONE:
        raise ValueError(
            "is none, and there is none for a fixed drop either; write one of the two quotes, or go back and leave this "
            "machine out"
        )
    return said
