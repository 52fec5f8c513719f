"""A retooling as people say it: `retooled to 240 V, 6.5 A in year 2`, and the nameplate that follows from it."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from costplan.interview.told_moves import MOST_ALIKE
from costplan.interview.told_plates import of_heat, plate_of, read_loads
from costplan.model.choices import LoadKind
from costplan.model.plate_figures import nominal_volts, parse_volts
from costplan.model.reading import plain, whole

MOST_YEARS = 60
EXAMPLE = "retooled to 240 V, 6.5 A in year 2"
EXAMPLES = (EXAMPLE, "retooled to 240 V 3 hp three-phase in 3 years")


@dataclass(frozen=True, slots=True)
class Retooling:
    """What is said of a plate to come, at the end of which year, and of how many of a group; None is what nobody said.

    `loads` are its horsepower and amperes by word, empty where neither is said.
    """

    year: int
    volts: str | None = None
    loads: tuple[tuple[str, str], ...] = ()
    phases: int | None = None
    how_many: int | None = None

    @property
    def words(self) -> str:
        """The same as it may be written again."""
        who = "" if self.how_many is None else f"{self.how_many} of them "
        phases = {None: (), 1: ("single-phase",), 3: ("three-phase",)}[self.phases]
        volts = () if self.volts is None else (f"{self.volts} V",)
        return (
            f"{who}retooled to {', '.join((*volts, *dict(self.loads).values(), *phases))} in year {self.year}"
        )


@dataclass(frozen=True, slots=True)
class Plate:
    """What a nameplate says, as texts for the file: volts, phases, and hp and amps by word."""

    volts: str
    phases: int
    loads: tuple[tuple[str, str], ...]

    @property
    def said(self) -> dict[str, object]:
        """The same by the words of the shop file."""
        return {"volts": self.volts, "phases": self.phases, **dict(self.loads)}

    @property
    def words(self) -> str:
        """The same in words: `240 V, 3 hp, three-phase`."""
        phases = "three-phase" if self.phases == 3 else "single-phase"
        volts = re.sub(r"\s*v(?:olts?)?$", "", self.volts.strip(), flags=re.IGNORECASE)
        return ", ".join((f"{volts} V", *dict(self.loads).values(), phases))


@dataclass(frozen=True, slots=True)
class Retooled:
    """The plate that a machine, or the first so many of a group, has from the end of a year on; None means all of it."""

    year: int
    how_many: int | None
    plate: Plate


_SAYS = re.compile(
    r"(?:(?P<who>\S+)\s+(?:of\s+(?:them|the\s+\S+|[0-9]+)\s+)?)??(?:(?:is|are|gets?|will\s+be)\s+)?"
    r"(?:retool|rewir|refit|convert|reconnect)\w*\s*(?:(?:to|for|as|with)\s+)?(?P<what>.*)",
    re.IGNORECASE,
)
_IN_YEARS = (
    r"(?P<next>next\s+year)|(?:(?:in|after|at\s+the\s+end\s+of)\s+)?year\s+(?P<year>\S+)|"
    r"(?:in|after|within)\s+(?P<in>\S+)\s+years?"
)
_WHEN = re.compile(rf"[\s,;:]*\b(?:{_IN_YEARS})(?:\s+time)?[\s,;:.]*", re.IGNORECASE)
_MONTHS = re.compile(r"\b(?:in|after)\s+\S+\s+(?:months?|weeks?)\b", re.IGNORECASE)
_VOLTS = re.compile(r"(?<![\w.])([0-9]{3}(?:\s*[-/]\s*[0-9]{3})*)\s*v(?:olts?)?\b", re.IGNORECASE)
_PHASES = re.compile(r"\b(single|one|1|three|3)[\s-]*(?:phases?|ph)\b", re.IGNORECASE)
_BARE_VOLTS = re.compile(r"(?:110|115|120|200|208|220|230|240|277|440|460|480)")
_COUNTED = {"single": 1, "one": 1, "1": 1, "three": 3, "3": 3}
_ALL = ("", "all", "it", "they", "this", "each", "machine")


def read_retooling(text: str) -> Retooling:
    """What a machine, or so many of a group, is retooled to, and when. Raises ValueError with what lacks."""
    said = plain(text)
    when = _WHEN.search(said)
    if when is None and (months := _MONTHS.search(said)):
        raise ValueError(
            f'"{said}" says {months[0]}, and the plan counts whole years: write in 1 year, at whose end it is then done, or '
            "write its plate as it will be"
        )
    if when is None and (calendar := re.search(r"\b20[0-9]{2}\b", said)):
        raise ValueError(f'"{said}" says {calendar[0]}; write in how many years: {EXAMPLE}')
    if when is None:
        raise ValueError(f'"{said}" does not say when; write for example: {EXAMPLE}')
    found = _SAYS.fullmatch(f"{said[: when.start()]} {said[when.end() :]}".strip())
    if found is None:
        raise ValueError(f'"{said}" is no retooling that is read here; write for example: {EXAMPLE}')
    what = found["what"]
    volts, phases = _VOLTS.search(what), _PHASES.search(what)
    rest = " ".join(_PHASES.sub(" ", _VOLTS.sub(" ", what, count=1), count=1).split()).strip(" ,;")
    bare = volts is None and _BARE_VOLTS.fullmatch(rest) is not None
    told_volts = rest if bare else None if volts is None else re.sub(r"\s", "", volts[1])
    loads = () if bare or not rest else read_loads(re.sub(r"^(?:and|,|at)\s+|\s+(?:and|at|,)$", "", rest))
    if told_volts is None and not loads and phases is None:
        raise ValueError(f'"{said}" does not say to what; write for example: {EXAMPLE}')
    if told_volts is not None:
        parse_volts(told_volts)
    return Retooling(
        _year(when),
        told_volts,
        loads,
        None if phases is None else _COUNTED[phases[1].lower()],
        _who(found["who"]),
    )


def _year(when: "re.Match[str]") -> int:
    text = "1" if when["next"] else when["year"] or when["in"]
    text = "1" if text.lower() in ("a", "one") else text.rstrip(",;:.")
    try:
        return int(whole(1, MOST_YEARS)(text))
    except ValueError as error:
        raise ValueError(f"retooled in year {error}; write for example: {EXAMPLE}") from None


def _who(said: str | None) -> int | None:
    who = (said or "").lower()
    if who in _ALL:
        return None
    try:
        return int(whole(1, MOST_ALIKE)(who))
    except ValueError as error:
        raise ValueError(f"how many are retooled {error}; write for example: 3 of them {EXAMPLE}") from None


def odd_retoolings(retoolings: Sequence[Retooling], found: Mapping[str, object]) -> list[str]:
    """Why retoolings of a line do not go with each other, or with what else it says."""
    wrong: list[str] = []
    count, arrives, leaves = int(str(found.get("count", 1))), found.get("arrives"), found.get("leaves")
    before = count
    for index, each in enumerate(retoolings):
        some = count if each.how_many is None else each.how_many
        if some > count:
            wrong.append(f"{some} are retooled, but there are {count}; write how many there are, or fewer")
        elif index and each.year == retoolings[index - 1].year:
            wrong.append(f"it is retooled twice in year {each.year}; write the plate it has then, once")
        elif some > before:
            wrong.append(
                f"{some} are retooled in year {each.year}, of which {before} were before, so that they are not alike; write "
                "a line for each kind, or the events in the file"
            )
        if arrives is not None and each.year <= int(str(arrives)):
            wrong.append(
                f"it is retooled in year {each.year}, but arrives in year {arrives} only; write a later year, or the plate it "
                "comes with"
            )
        if leaves is not None and each.year >= int(str(leaves)):
            wrong.append(
                f"it is retooled in year {each.year}, but has left in year {leaves}; write an earlier year, or leave one out"
            )
        before = min(before, some)
    return wrong


def plate_after(plate: Plate, retooling: Retooling, load: LoadKind) -> Plate:
    """The plate once it is retooled: what was not said stays. Raises ValueError where what stays cannot be known.

    Amperes hold at their own volts and phases alone, so that others need theirs; horsepower is the motor's.
    """
    volts, phases = retooling.volts or plate.volts, retooling.phases or plate.phases
    said, had = dict(retooling.loads), dict(plate.loads)
    now, then = _nominal(plate.volts), _nominal(volts)
    named = retooling.volts is not None and set(then) <= set(now) and phases == plate.phases
    if named and not said:
        raise ValueError(
            f"it is retooled to {volts} V, which its plate names already ({plate.volts}); leave that out, or write "
            "the volts it is set to today alone"
        )
    begin = f"it is retooled to {volts} V{' three-phase' if phases == 3 else ''}"
    if load is LoadKind.HEATER and "hp" in said:
        said = dict(of_heat(said["hp"], plate_of({"volts": volts, "phases": phases, "amps": 1}))[0])
    if load is not LoadKind.MOTOR and "hp" in said:
        raise ValueError(f"{begin}, and is not a motor, but {said['hp']} is a motor's; write the amperes")
    same_motor = then == now and phases == plate.phases
    if "hp" in had and "hp" not in said:
        if said and same_motor:
            raise ValueError(
                f"{begin}, {said['amps']}, so its motor is another; write its horsepower too: retooled to {volts} V, 3 hp, "
                f"{said['amps']} in year {retooling.year}"
            )
        said = {"hp": had["hp"], **said}
    if not said:
        raise ValueError(
            f"{begin}, but its plate gives amperes alone, {had['amps']}, and those at the new plate are others; write them: "
            f"{_again(retooling, volts)}"
        )
    after = Plate(volts, phases, tuple((word, said[word]) for word in ("hp", "amps") if word in said))
    if _figures(after) == _figures(plate):
        raise ValueError(f"{begin}, {', '.join(said.values())}, which is what it is already; leave it out")
    return after


def retooled(plate: Plate, retoolings: Sequence[Retooling], load: LoadKind) -> tuple[Retooled, ...]:
    """The plates to come, one after the other. Raises ValueError where what stays cannot be known."""
    found: list[Retooled] = []
    for each in retoolings:
        plate = plate_after(plate, each, load)
        plate_of(plate.said)
        found.append(Retooled(each.year, each.how_many, plate))
    return tuple(found)


def stays_in_words(retooling: Retooling, plate: Plate) -> str:
    """How a retooling was taken, where some of its plate was not said and stays; empty where all was."""
    word_of_load = {word for word, _ in retooling.loads}
    said = retooling.volts is not None and word_of_load >= set(dict(plate.loads))
    if said and (retooling.phases is not None or plate.phases == 1):
        return ""
    at_table = "hp" in dict(plate.loads) and "amps" not in dict(plate.loads)
    more = "; its amperes are then the code's table's, unless you write them" if at_table else ""
    return f"{retooling.words} is taken as {plate.words}: what was not said stays{more}"


def _again(retooling: Retooling, volts: str) -> str:
    phases = " three-phase" if retooling.phases == 3 else " single-phase" if retooling.phases == 1 else ""
    return f"retooled to {volts} V, ... A{phases} in year {retooling.year}"


def _nominal(volts: str) -> tuple[int, ...]:
    return tuple(sorted({nominal_volts(each) for group in parse_volts(volts) for each in group}))


def _figures(plate: Plate) -> tuple[object, ...]:
    read = plate_of(plate.said)
    return read.nominal, read.phases, read.hp, read.plate_amps
