"""Seeded mistakes: a text damaged as editors and file systems damage it, a read file with values nobody means."""

import random
from collections.abc import Callable, Sequence
from decimal import Decimal
from typing import Any

from costplan.model.base import Entry
from costplan.model.mistakes import _model_at

Trail = tuple[str | int, ...]

ODD_SIGNS = (
    *("\x00", "\x1b[2J", "\x07", "\x85", "\u2028", "\u202e", "\u200b", "\ufeff", "\xa0", "\t", "\r", "\r\n"),
    *(
        "\x7f",
        "\ufffe",
        "\U0001f600",
        "½",
        "″",
        "′",
        "–",
        "'",
        '"',
        '"""',
        "#",
        ": ",
        " #",
        "- ",
        "&a ",
        "*a",
        "!t ",
    ),
    *("|", ">", "%", "@", "`", "{", "}", "[", "]", ",", ";", "?", "<<: ", "---\n", "...\n", "=", "+", "\\"),
)
PIECES = (
    *(
        "0",
        "-1",
        "-100",
        "1e15",
        "1e-15",
        "1e400",
        "9" * 40,
        "NaN",
        "inf",
        "0x10",
        "010",
        "1_000",
        "1,5",
        "1.234,56",
    ),
    *(
        "0001-01-01",
        "9999-12-31",
        "2025-02-30",
        "2025-13-01",
        "0000-00-00",
        "12:30",
        "no",
        "on",
        "yes",
        "null",
        "~",
    ),
    *(
        "a" * 300,
        "a" * 3000,
        "12'6\"",
        "25-30",
        "1½",
        "about 25",
        "6-20",
        "20-Jun",
        "300 %",
        "-4 %",
        "120/240",
        "1/0",
    ),
    *(
        "{a: 1}",
        "[1, 2]",
        "[]",
        "{}",
        "''",
        '""',
        "true",
        "=1+1",
        "@x",
        "<b>",
        "%s",
        "{0}",
        "../..",
        "/dev/zero",
        "CON",
    ),
)
VALUES: tuple[Any, ...] = (
    *(
        None,
        True,
        False,
        0,
        1,
        -1,
        -100,
        2,
        7,
        3000,
        10**17,
        Decimal("0.001"),
        Decimal("1E-15"),
        Decimal("-0.5"),
    ),
    *(
        "",
        " ",
        "NaN",
        "inf",
        "1e400",
        "½",
        "1½",
        "12'6\"",
        "25-30",
        "about 25",
        "0001-01-01",
        "9999-12-31",
        "2025-02-30",
    ),
    *(
        "300 %",
        "-4 %",
        "4 %",
        "25 ft",
        "0 ft",
        "-3 ft",
        "1e-15 ft",
        "999999 ft",
        "1/0",
        "120/240",
        "208-230/460",
        "6-20",
    ),
    *(
        "NEMA 6-50",
        "NEMA 14-50",
        "NEMA 99-99",
        "240 three-phase",
        "480 three-phase",
        "electrician",
        "owner",
        "=1+1",
    ),
    *(
        "2 hp",
        "0.001 hp",
        "500 hp",
        "20 A",
        "9999 A",
        "0.01 A",
        "4 %",
        "1 h",
        "9999 h",
        "0 h",
        "12",
        "10",
        "500 kcmil",
    ),
    *(
        "a" * 300,
        "<b>&amp;",
        "a,b;c",
        "Ünïcode",
        "true",
        "no",
        "{x}",
        "%d",
        [],
        {},
        [None],
        [[]],
        {"": None},
        [{}],
        "new",
        "used",
    ),
)


def damaged(text: str, rng: random.Random, times: int = 1) -> str | bytes:
    """The text with so many pieces of damage; bytes where it is no longer UTF-8."""
    for _ in range(times):
        text = rng.choice(_DAMAGES)(text, rng)
    if rng.random() < 0.02:
        return rng.choice(_ENCODINGS)(text)
    return text


def _lines(text: str) -> list[str]:
    return text.splitlines(keepends=True) or [""]


def _without_a_line(text: str, rng: random.Random) -> str:
    lines = _lines(text)
    del lines[rng.randrange(len(lines))]
    return "".join(lines)


def _line_twice(text: str, rng: random.Random) -> str:
    lines = _lines(text)
    lines.insert(rng.randrange(len(lines)), rng.choice(lines))
    return "".join(lines)


def _lines_swapped(text: str, rng: random.Random) -> str:
    lines = _lines(text)
    a, b = rng.randrange(len(lines)), rng.randrange(len(lines))
    lines[a], lines[b] = lines[b], lines[a]
    return "".join(lines)


def _reindented(text: str, rng: random.Random) -> str:
    lines = _lines(text)
    at = rng.randrange(len(lines))
    lines[at] = (
        rng.choice(["  ", "    ", "\t", " "]) + lines[at] if rng.random() < 0.6 else lines[at].lstrip(" ")
    )
    return "".join(lines)


def _odd_sign(text: str, rng: random.Random) -> str:
    at = rng.randrange(len(text) + 1)
    return text[:at] + rng.choice(ODD_SIGNS) + text[at:]


def _cut(text: str, rng: random.Random) -> str:
    return text[: rng.randrange(len(text) + 1)]


def _span_gone(text: str, rng: random.Random) -> str:
    at = rng.randrange(len(text) + 1)
    return text[:at] + text[at + rng.randint(1, 20) :]


def _words(text: str) -> list[tuple[int, int]]:
    """Where words and figures begin and end."""
    spans, start = [], None
    for at, sign in enumerate(text + " "):
        inside = sign.isalnum() or sign in "._'/%$"
        if inside and start is None:
            start = at
        elif not inside and start is not None:
            spans.append((start, at))
            start = None
    return spans


def _word_replaced(text: str, rng: random.Random) -> str:
    spans = _words(text)
    if not spans:
        return text
    start, end = rng.choice(spans)
    return text[:start] + rng.choice(PIECES) + text[end:]


def _figure_replaced(text: str, rng: random.Random) -> str:
    spans = [(start, end) for start, end in _words(text) if text[start].isdigit()]
    if not spans:
        return text
    start, end = rng.choice(spans)
    figure = text[start:end]
    other = rng.choice(
        ["-" + figure, figure + "0" * rng.randint(1, 12), "0", "." + figure, figure[::-1], rng.choice(PIECES)]
    )
    return text[:start] + other + text[end:]


def _words_swapped(text: str, rng: random.Random) -> str:
    spans = _words(text)
    if len(spans) < 2:
        return text
    (a, b), (c, d) = sorted(rng.sample(spans, 2))
    return text[:a] + text[c:d] + text[b:c] + text[a:b] + text[d:]


def _misspelled(text: str, rng: random.Random) -> str:
    spans = _words(text)
    if not spans:
        return text
    start, end = rng.choice(spans)
    at = rng.randrange(start, end)
    return text[:at] + rng.choice(["", text[at] * 2, text[at].swapcase(), "x"]) + text[at + 1 :]


def _deep(text: str, rng: random.Random) -> str:
    spans = _words(text)
    if not spans:
        return text
    start, end = rng.choice(spans)
    depth = rng.choice([2, 10, 40, 2000])
    return text[:start] + "[" * depth + text[start:end] + "]" * rng.choice([depth, depth - 1]) + text[end:]


def _line_ends(text: str, rng: random.Random) -> str:
    return text.replace("\n", rng.choice(["\r\n", "\r", "\n\n"]))


_DAMAGES: tuple[Callable[[str, random.Random], str], ...] = (
    *(
        _without_a_line,
        _line_twice,
        _lines_swapped,
        _reindented,
        _odd_sign,
        _odd_sign,
        _cut,
        _span_gone,
        _deep,
    ),
    *(_word_replaced, _word_replaced, _word_replaced, _figure_replaced, _figure_replaced, _words_swapped),
    *(_words_swapped, _misspelled, _misspelled, _line_ends),
)
_ENCODINGS: tuple[Callable[[str], bytes], ...] = (
    lambda text: b"\xef\xbb\xbf" + text.encode("utf-8", "replace"),
    lambda text: text.encode("utf-16"),
    lambda text: text.encode("cp1252", "replace"),
    lambda text: text.encode("utf-8", "replace")[:-1] + b"\xff",
    lambda text: text.encode("utf-8", "replace").replace(b"a", b"\xe9", 3),
)


# values -----------------------------------------------------------------------------------------------


def trails_of(data: Any, trail: Trail = ()) -> list[Trail]:
    """Every place in a read file, from the top down."""
    found = [trail]
    if isinstance(data, dict):
        for word, value in data.items():
            found += trails_of(value, (*trail, word))
    elif isinstance(data, list):
        for index, value in enumerate(data):
            found += trails_of(value, (*trail, index))
    return found


def value_at(data: Any, trail: Sequence[str | int]) -> Any:
    """What stands at a place."""
    for step in trail:
        data = data[step]
    return data


def copied(data: Any) -> Any:
    """The data anew, quicker than deepcopy since it is a tree of plain values."""
    if isinstance(data, dict):
        return {word: copied(value) for word, value in data.items()}
    return [copied(value) for value in data] if isinstance(data, list) else data


def mutated(data: Any, model: type[Entry], rng: random.Random, times: int = 1) -> Any:
    """The data with so many values, words or entries that nobody means."""
    data = copied(data)
    for _ in range(times):
        trails = [trail for trail in trails_of(data) if trail]
        if not trails:
            return data
        _DEEDS[rng.randrange(len(_DEEDS))](data, rng.choice(trails), trails, model, rng)
    return data


def _put(data: Any, trail: Trail, value: Any) -> None:
    value_at(data, trail[:-1])[trail[-1]] = value


def _another_value(
    data: Any, trail: Trail, trails: list[Trail], model: type[Entry], rng: random.Random
) -> None:
    _put(data, trail, copied(rng.choice(VALUES)))


def _scaled(data: Any, trail: Trail, trails: list[Trail], model: type[Entry], rng: random.Random) -> None:
    figures = [at for at in trails if isinstance(value_at(data, at), int | Decimal)]
    if figures:
        at = rng.choice(figures)
        _put(data, at, value_at(data, at) * rng.choice([-1, 0, 2, 10, 100, 10**6, 10**12]))


def _from_elsewhere(
    data: Any, trail: Trail, trails: list[Trail], model: type[Entry], rng: random.Random
) -> None:
    _put(data, trail, copied(value_at(data, rng.choice(trails))))


def _swapped(data: Any, trail: Trail, trails: list[Trail], model: type[Entry], rng: random.Random) -> None:
    kin = [
        at for at in trails if at[-1] == trail[-1] and at != trail[: len(at)] and trail != at[: len(trail)]
    ]
    if kin:
        other = rng.choice(kin)
        one, two = value_at(data, trail), value_at(data, other)
        _put(data, trail, two)
        _put(data, other, one)


def _gone(data: Any, trail: Trail, trails: list[Trail], model: type[Entry], rng: random.Random) -> None:
    del value_at(data, trail[:-1])[trail[-1]]


def _renamed(data: Any, trail: Trail, trails: list[Trail], model: type[Entry], rng: random.Random) -> None:
    holder = value_at(data, trail[:-1])
    if isinstance(holder, dict):
        word = str(trail[-1])
        holder[rng.choice([word + "s", word[:-1], word.upper(), "x", "", "=x", "a" * 300])] = holder.pop(
            trail[-1]
        )


def _twice(data: Any, trail: Trail, trails: list[Trail], model: type[Entry], rng: random.Random) -> None:
    holder = value_at(data, trail[:-1])
    if isinstance(holder, list):
        holder.append(copied(rng.choice(holder)))


def _nested(data: Any, trail: Trail, trails: list[Trail], model: type[Entry], rng: random.Random) -> None:
    value = value_at(data, trail)
    for _ in range(rng.choice([1, 2, 25])):
        value = [value] if rng.random() < 0.5 else {"x": value}
    _put(data, trail, value)


def _known_word(data: Any, trail: Trail, trails: list[Trail], model: type[Entry], rng: random.Random) -> None:
    """A word that is known there, with whatever value: this is how every field of every entry comes to its turn."""
    entries = [at for at in [(), *trails] if isinstance(value_at(data, at), dict)]
    at = rng.choice(entries)
    entry = _model_at(model, at)
    if entry is None:
        return
    name, field = rng.choice(list(entry.model_fields.items()))
    value_at(data, at)[field.alias or name] = _likely(data, trails, str(field.annotation), rng)


def _likely(data: Any, trails: list[Trail], annotation: str, rng: random.Random) -> Any:
    """A value that may belong there: half of the time of the field's own sort."""
    if rng.random() < 0.4:
        return copied(rng.choice(VALUES))
    value: Any
    if "bool" in annotation:
        value = rng.random() < 0.5
    elif rng.random() < 0.5:
        value = rng.choice(
            [0, 1, 2, 3, 10, 40, 120, 240, 480, Decimal("0.5"), "10 %", "2 h", "30 ft", "2026-01-01"]
        )
    else:
        value = copied(value_at(data, rng.choice(trails)))
    if "list[" in annotation and not isinstance(value, list):
        value = [value]
    if "dict[" in annotation and not isinstance(value, dict):
        names = [str(value_at(data, at)) for at in trails if at[-1] in ("name", "id", "kind", "at", "part")]
        value = {rng.choice(names or ["x"]): value}
    return value


_DEEDS: tuple[Callable[[Any, Trail, list[Trail], type[Entry], random.Random], None], ...] = (
    *(_another_value, _another_value, _scaled, _from_elsewhere, _swapped, _gone, _renamed, _twice, _nested),
    *(_known_word, _known_word, _known_word, _known_word),
)
