"""Texts as a shop file has them."""

import json
import re

_PLAIN = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9 ()/.%-]*[A-Za-z0-9()%])?")
_WORDS = frozenset({"true", "false", "null"})


def quoted(text: str) -> str:
    """A text as YAML reads it back, without quotes where it needs none, in lists and groups too."""
    if _PLAIN.fullmatch(text) and text.lower() not in _WORDS:
        return text
    return json.dumps(text, ensure_ascii=False)
