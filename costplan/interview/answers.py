"""The questions of a guided start: what is asked, what is allowed, and what an answer means.

Every answer is kept as the text that goes into the shop file. Every reader raises ValueError with what was
found, a semicolon, and what is allowed.
"""

import re
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from costplan.checks.check_quotes import printed_ways
from costplan.files import quantities
from costplan.files.quantities import MisreadError
from costplan.interview.machine_line import MachineAnswer, PanelAnswer
from costplan.interview.ranges_told import as_range, ends_told, money_or_range
from costplan.interview.room_told import LARGEST_SERVICE_A, NO_ROOM, Room, read_amps
from costplan.interview.spoken import NOT_KNOWN, yes_or_no
from costplan.interview.told_facts import Quote
from costplan.model.base import read_edition
from costplan.model.catalog import Part
from costplan.model.choices import RUNS_OF_DROPS, Method, Occupancy
from costplan.model.labels import LABELS
from costplan.model.quotes import EVERY, FIXED_DROP
from costplan.model.reading import PartsError, allowed, noted, one_of, part, parts_of, plain, read_name, whole
from costplan.model.system import LINE_VOLTS, System, phases, system_in

UNKNOWN = "unknown"
MOST_MOVES_A_YEAR = 100
"""More is likely a slip, and takes long to compare; the file itself may say more."""
PANEL_FORM = "name; system; breakers; free spaces; main; other load"
LEAST_OF_PANEL = 4
"""Parts of a panel's line; how large its main is, and what else hangs on it, may be left out."""
PANEL_EXAMPLE = "main; 120/240 single-phase; type T1; 42; 100 A; 12 A"
FORBID_EXAMPLE = "wall drop; masonry walls"
STRATEGY_EXAMPLE = "all cords; *=cord"
QUOTED = "quoted "
"""Begins the words for a way that the machine's line quotes: quoted fixed drop."""


@dataclass(frozen=True, slots=True)
class LeaseAnswer:
    """When the lease ends, and whether fixed wiring comes out then."""

    ends: str
    take_out: bool | None
    """Whether fixed wiring must come out then; None where nobody said."""
    then: str = ""
    """`renewed`, or `we move`: what comes after it where the plan is longer; empty where nobody said."""


@dataclass(frozen=True, slots=True)
class StrategyAnswer:
    """A strategy by name: by machine, or * for all others, the words for its way."""

    name: str
    ways: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Answers:
    """All answers, as texts for the file."""

    shop_name: str
    years: str
    rate: str
    own_hour: str
    occupancy: str
    edition: str
    electricity: str
    ceiling: str
    vapors: str
    moves_per_year: str
    panels: tuple[PanelAnswer, ...]
    machines: tuple[MachineAnswer, ...]
    lease: LeaseAnswer | None = None
    forbid: tuple[tuple[str, str], ...] = ()
    strategies: tuple[StrategyAnswer, ...] = ()
    room: Room = NO_ROOM


SAMPLE = Answers(
    shop_name="sample",
    years="5",
    rate="95",
    own_hour=UNKNOWN,
    occupancy=Occupancy.COMMERCIAL,
    edition=UNKNOWN,
    electricity="0.16",
    ceiling="10 ft",
    vapors=UNKNOWN,
    moves_per_year="0",
    panels=(),
    machines=(),
)
"""Answers that any panels and machine can be tried with."""


@dataclass(frozen=True, slots=True)
class Single:
    """What is said once: how it is read, and what holds where nobody says it; None must be said."""

    read: Callable[[str], str]
    default: str | None = None


def singles() -> Mapping[str, Single]:
    """By option, everything that is said once and has a word of its own."""
    return {
        "shop-name": Single(read_name, "My shop"),
        "years": Single(_years, "5"),
        "rate": Single(_rate, UNKNOWN),
        "own-hour": Single(_own_hour, UNKNOWN),
        "occupancy": Single(one_of(tuple(map(str, Occupancy)))),
        "edition": Single(_edition, UNKNOWN),
        "electricity": Single(_electricity, UNKNOWN),
        "ceiling": Single(_ceiling, "10 ft"),
        "vapors": Single(_vapors, UNKNOWN),
        "moves-per-year": Single(_moves_a_year, "0"),
    }


def _moves_a_year(text: str) -> str:
    cleaned = re.sub(r"\s*(?:times\s*)?(?:(?:an?|per)\s+|/\s*)?(?:times\s+)?(?:year|yr)?$", "", plain(text))
    cleaned = re.sub(r"\bonce\b", "1", re.sub(r"\btwice\b", "2", cleaned))
    if cleaned.lower() in ("never", "none"):
        return "0"

    def often(said: str) -> Decimal:
        number = quantities.parse_number(said)
        if not 0 <= number <= MOST_MOVES_A_YEAR:
            raise ValueError(
                f"is {cleaned}; allowed: 0 to {MOST_MOVES_A_YEAR} a year, all machines together, 0.5 is every second year"
            )
        return number

    found = as_range(cleaned, often, lambda number: f"{number.normalize():f}")
    if found is None:
        cleaned = ends_told(cleaned)[0]
        often(cleaned)
    return found or cleaned


def read_day(text: str) -> str:
    """A day. Raises ValueError."""
    try:
        return date.fromisoformat(text.strip()).isoformat()
    except ValueError:
        raise ValueError("is no day; write it as year-month-day: 2026-06-20") from None


Families = Callable[[str | None], Sequence[str]]
"""The breaker families of a catalog for a panel's system."""


def read_panel(text: str, families: Families | None) -> PanelAnswer:
    """A panel written as PANEL_FORM. Raises PartsError with all that is wrong.

    `families` are the breaker families that a catalog has; None where the catalog is yet to be written, so that the
    label's own word is taken.
    """
    parts = parts_of(text)
    if not LEAST_OF_PANEL <= len(parts) <= LEAST_OF_PANEL + 2:
        counted = f"has {len(parts)} part{'s' * (len(parts) > 1)} between semicolons, not 4 to 6"
        raise PartsError(
            [f"{counted}; write {PANEL_FORM} (the last two are optional), for example: {PANEL_EXAMPLE}"]
        )
    name, system, breakers, spaces, *rest = parts
    main, other = (*rest, "", "")[:2]
    mistakes: list[str] = []
    name = noted(mistakes, lambda: part("name", read_name, name), "")
    system = noted(mistakes, lambda: part("system", read_system, system), "")
    known = None if families is None else families(system or None)
    breakers = noted(mistakes, lambda: part("breakers", family_reader(known, name), breakers), "")
    spaces = noted(mistakes, lambda: part("free spaces", read_spaces, spaces), "")
    rating = noted(mistakes, lambda: part("main", read_main, main or UNKNOWN), UNKNOWN)
    load = noted(mistakes, lambda: part("other load", read_other_load, other or UNKNOWN), UNKNOWN)
    if mistakes:
        raise PartsError(mistakes)
    return PanelAnswer(
        name, system, breakers, spaces, *("" if said == UNKNOWN else said for said in (rating, load))
    )


def read_main(text: str) -> str:
    """What a panel's main breaker or its lugs carry: `100 A main`, or unknown. Raises ValueError."""
    said = re.sub(
        r"\s*(?:main\s*(?:breaker|lugs?)?|breaker|lugs?(?:\s+only)?)$", "", text.strip(), flags=re.IGNORECASE
    )
    said = re.sub(r"^(?:main\s*(?:breaker|lugs?)?)\s+", "", said, flags=re.IGNORECASE)
    return (
        UNKNOWN
        if said.lower() == UNKNOWN
        else read_amps(said, "as on its main breaker's handle or its label")
    )


def read_other_load(text: str) -> str:
    """What else hangs on a panel: `12 A`, none, or unknown. Raises ValueError."""
    said = plain(text)
    if said.lower() in (UNKNOWN, "none", "nothing"):
        return UNKNOWN if said.lower() == UNKNOWN else "0 A"
    amps = quantities.parse_quantity(said, quantities.CURRENT_UNITS)
    if not 0 <= amps <= LARGEST_SERVICE_A:
        raise ValueError(f"is {said}; allowed: 0 A to {LARGEST_SERVICE_A} A")
    return f"{amps.normalize():f} A"


def family_reader(families: Sequence[str] | None, panel: str) -> Callable[[str], str]:
    """How the breaker family of a panel is read: as its label says, or one of a catalog's; not read is as on the label."""

    def read(text: str) -> str:
        said = text.strip()
        if families is not None:
            return families[0] if families and said.lower() in NOT_READ else one_of(families)(said)
        if said.isdigit():
            raise ValueError(
                f'is "{said}", a number; write the letters on its label, or Enter where nobody has read it'
            )
        return as_on_the_label(panel) if said.lower() in NOT_READ else read_name(said)

    return read


def as_on_the_label(panel: str) -> str:
    """What the breakers of a panel are called whose label nobody has read."""
    return f"as on the label of {panel}"


NOT_READ = ("", *NOT_KNOWN, "as on the label")


def read_spaces(text: str) -> str:
    """Free spaces in poles: `6`, `6 free`, `6 of 42`, `none`. Raises ValueError."""
    said = re.sub(r"\s*(?:spaces?)?\s*(?:(?:are\s+)?free|left)?$", "", text.strip())
    of_all = re.fullmatch(r"([0-9]+)\s+(?:out\s+)?of\s+(?:the\s+)?([0-9]+)", said)
    if of_all and int(of_all[1]) <= int(of_all[2]):
        said = of_all[1]
    return whole(0, 200)("0" if said.lower() in ("none", "no") else said)


def read_lease(text: str) -> LeaseAnswer | None:
    """`ends 8, take out`, `ends 8`, or none. Raises ValueError."""
    cleaned = plain(text)
    if cleaned.lower() == "none":
        return None
    found = re.fullmatch(
        r"(?:(?:it\s+)?ends?\s+)?(?:(?:in|after)\s+)?(?:year\s+)?(\d{1,3})(?:\s+years?)?"
        r"(?:\s*[,;]?\s*(?:and\s+)?(take out|leave in))?(?:\s*[,;]?\s*(?:then\s+)?(renewed|we move))?(?:\s+out)?",
        cleaned,
        re.IGNORECASE,
    )
    if found is None:
        raise ValueError(
            f'is "{cleaned}"; write the year it ends, and whether fixed wiring must come out: '
            "ends 8, take out, or ends 8; or none"
        )
    out = {"take out": True, "leave in": False}.get((found[2] or "").lower())
    return LeaseAnswer(whole(1, 60)(found[1]), out, (found[3] or "").lower())


def lease_of(answer: str) -> LeaseAnswer | None:
    """The lease of an answer that was read; None where there is none, or nobody was asked."""
    return read_lease(answer) if answer else None


def read_forbidden(text: str) -> tuple[tuple[str, str], ...]:
    """What is not allowed in the building, with the reason; fixed drops are every kind of drop. Raises ValueError."""
    first, reason = _named(text, FORBID_EXAMPLE, "a reason")
    words = _singular(first)
    known: dict[str, tuple[Method, ...]]
    known = {words: (method,) for method in Method for words in (str(method), LABELS.methods[method])}
    known[FIXED_DROP] = RUNS_OF_DROPS
    if words not in known:
        raise ValueError(f'"{first}" is no way; {allowed(first, known)}')
    return tuple((str(method), reason) for method in known[words])


def read_strategy(text: str) -> StrategyAnswer:
    """A name, and what each machine has: `all cords; *=cord`. Raises ValueError."""
    name, rest = _named(text, STRATEGY_EXAMPLE, "ways")
    ways: dict[str, str] = {}
    for said in rest.split(";" if ";" in rest else ","):
        machine, equals, words = (piece.strip() for piece in said.partition("="))
        if not equals or not machine or not words:
            raise ValueError(
                f'"{said.strip()}" gives no machine a way; write for example: *=cord, or saw=wall drop'
            )
        if machine in ways:
            raise ValueError(f'"{machine}" is named twice; write one way for it')
        ways[machine] = words
    return StrategyAnswer(read_name(name), tuple(ways.items()))


def strategy_in_words(
    strategy: StrategyAnswer, machines: Sequence[MachineAnswer]
) -> tuple[StrategyAnswer, list[str]]:
    """The strategy with machines and ways in the words of the file, and why it does not fit them."""
    by_name = {machine.name.lower(): machine for machine in machines}
    ways, wrong = {}, []
    for said, words in strategy.ways:
        machine = by_name.get(said.lower())
        if machine is None and said != EVERY:
            wrong.append(f'"{said}" is no machine; {allowed(said, [*(m.name for m in machines), EVERY])}')
            continue
        try:
            ways[machine.name if machine else EVERY] = _way_words(words, machine)
        except ValueError as error:
            wrong.append(str(error))
    left = [machine.name for machine in machines if machine.name not in ways]
    if not wrong and left and EVERY not in ways:
        wrong.append(f"says nothing about {', '.join(left[:5])}; name them, or add *=cord for all the rest")
    return StrategyAnswer(strategy.name, tuple(ways.items())), wrong


def _way_words(words: str, machine: MachineAnswer | None) -> str:
    """Words for a way as the file has them: a quoted way's name, a way as it is printed, from a panel or not."""
    run, from_, panel = words.partition(" from ")
    quotes = machine.told.quotes if machine is not None else ()
    quoted = {f"{QUOTED}{quote.method}": quote for quote in quotes}
    known = {word.lower(): word for word in (*printed_ways(), FIXED_DROP)}
    if words.lower().startswith("from "):
        return words
    if machine is not None and run.lower() in quoted:
        return name_of_quote(machine, quoted[run.lower()])
    if _singular(run) not in known:
        raise ValueError(f'"{run}" is no way; {allowed(run, [*Method, *quoted])}')
    return known[_singular(run)] + from_ + panel


def name_of_quote(machine: MachineAnswer, quote: Quote) -> str:
    """What a way that a machine's line quotes is called in the file."""
    return f"{quote.method} quoted for {machine.name}"


def families_for(parts: Iterable[Part], system: str | None) -> tuple[str, ...]:
    """The breaker families of a catalog; for a three-phase panel those with 3-pole breakers, if there are any."""
    poles: dict[str, set[str]] = {}
    for entry in parts:
        if entry.kind == "breaker" and "family" in entry.attributes:
            family = poles.setdefault(str(entry.attributes["family"]), set())
            family.add(str(entry.attributes.get("poles", "")))
    if system is not None and phases(System(system)) == 3:
        three = tuple(sorted(family for family, counts in poles.items() if "3" in counts))
        if three:
            return three
    return tuple(sorted(poles))


def family_for(parts: Iterable[Part], system: str) -> str:
    """The breaker family of a catalog that suits a panel of that system: of as few volts, by name. Raises LookupError."""
    line_v, lines = LINE_VOLTS[System(system)], phases(System(system))
    suiting = [
        (Decimal(str(part.attributes.get("volts", 0))), str(part.attributes["family"]))
        for part in parts
        if part.kind == "breaker"
        and "family" in part.attributes
        and Decimal(str(part.attributes.get("volts", 0))) >= line_v
        and part.attributes.get("poles") == max(lines, 2)
    ]
    if not suiting:
        raise LookupError(f"no breaker suits {system}")
    return min(suiting)[1]


def family_in(parts: Collection[Part], panel: PanelAnswer) -> str:
    """The breaker family that a catalog has for a panel's label: the one of that name, else one that suits the panel."""
    known = panel.breakers in families_for(parts, panel.system)
    return panel.breakers if known else family_for(parts, panel.system)


def _named(text: str, example: str, lacks: str) -> tuple[str, str]:
    """What stands before the first colon or semicolon, and after it. Raises ValueError."""
    first, _, rest = plain(text).replace(":", ";", 1 if ":" in text.split(";")[0] else 0).partition(";")
    if not first.strip() or not rest.strip():
        raise ValueError(f'"{text.strip()}" does not say {lacks}; write for example: {example}')
    return first.strip(), rest.strip()


def _singular(words: str) -> str:
    folded = " ".join(words.lower().split())
    return folded.removesuffix("s") if folded.endswith(("drops", "cords", "outlets")) else folded


def read_system(text: str) -> str:
    """Volts and phases of a panel, by its number or its beginning too. Raises ValueError."""
    known = system_in(text)
    if known is not None:
        return str(known)
    words = re.sub(r"\b(?:one|1)[ -]phase", "single-phase", text, flags=re.IGNORECASE)
    words = re.sub(r"\b(?:three|3)[ -]phase", "three-phase", words, flags=re.IGNORECASE)
    words = re.sub(r"\b(?:220|230)\b", "240", re.sub(r"\b(?:110|115)\b", "120", words))
    words = re.sub(r"\b(120|208|240|277|480)\s*v(?:olts?)?\b", r"\1", words, flags=re.IGNORECASE)
    return one_of(tuple(map(str, System)))(words)


def _years(text: str) -> str:
    said = re.sub(r"\s*years?$", "", text)
    two = ends_told(said)
    if len(two) > 1:
        raise ValueError(
            f"is {text.strip()}; the plan counts one whole number of years: write {two[0]} or {two[-1]}, and compare again "
            "with the other under years: in the file"
        )
    return whole(1, 60)(said)


def _ceiling(text: str) -> str:
    cleaned = plain(text)
    if not 6 <= quantities.parse_length_ft(cleaned) <= 60:
        raise ValueError(f"is {cleaned}; allowed: 6 ft to 60 ft; 3 m is read too")
    return cleaned


def _vapors(text: str) -> str:
    """Whether flammable vapors are given off, as the file has it."""
    return UNKNOWN if plain(text).lower() == UNKNOWN else yes_or_no(text)


def _rate(text: str) -> str:
    cleaned = _of_an_hour(text)
    if cleaned == UNKNOWN:
        return UNKNOWN
    return money_or_range(cleaned, 1, None, "write what one hour costs, for example 95.00")


def _own_hour(text: str) -> str:
    cleaned = _of_an_hour(text)
    if cleaned == UNKNOWN:
        return UNKNOWN
    return money_or_range(cleaned, 0, None, "write what one hour of yours is worth, for example 25.00, or 0")


def _of_an_hour(text: str) -> str:
    """Money without the words that say that it is for an hour; UNKNOWN where nobody knows."""
    cleaned = re.sub(r"\s*(?:\b(?:an?|per)\s+|/\s*)(?:hour|hr|h)$", "", plain(text))
    return UNKNOWN if cleaned.lower() == UNKNOWN else cleaned


def _electricity(text: str) -> str:
    cleaned = re.sub(r"\s*(?:\b(?:an?|per)\s+|/\s*)kwh$", "", plain(text), flags=re.IGNORECASE)
    if cleaned.lower() == UNKNOWN:
        return UNKNOWN
    return money_or_range(cleaned, 0, 500, "allowed: 0 to 5, in whole money, so write 0.16 or 16 cents")


def _edition(text: str) -> str:
    cleaned = plain(text)
    if cleaned.lower() == UNKNOWN:
        return UNKNOWN
    try:
        return str(read_edition(int(whole(1990, 2050)(cleaned))))
    except MisreadError as error:
        raise ValueError(f"{error}, or {UNKNOWN}") from None
    except ValueError:
        raise ValueError(
            f"is {cleaned}; allowed: a year such as 2014, 2017, 2020 or 2023, or {UNKNOWN}"
        ) from None
