"""How single answers of a guided start are read, each as it is kept; every reader raises ValueError with the reason."""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal

from costplan.interview.answers import UNKNOWN, read_lease, singles
from costplan.interview.asking import Known, Said
from costplan.interview.spoken import YES, without_around, years_from, yes_or_no
from costplan.interview.told_facts import FACTS, configuration_of, facts_in, read_facts, told_by
from costplan.interview.told_lines import facts_told, panels_told
from costplan.interview.told_moves import MOST_ALIKE, read_moves, two_meanings
from costplan.interview.told_plates import heat_a, plate_of, read_loads
from costplan.model.choices import RUNS, LoadKind
from costplan.model.labels import LABELS
from costplan.model.other_volts import LIKE
from costplan.model.reading import PartsError, allowed, one_of, plain, read_name, whole
from costplan.model.system import System, feeds
from costplan.standards import conductors, receptacles
from costplan.standards.motors import full_load_current_a

_NOT_THERE, _NONE, _NOTHING, _STAYS, _NEVER = (
    "not on the plate",
    "none",
    "nothing",
    "not planned",
    "never",
)
_LINE_VOLTS = (
    "110",
    "115",
    "120",
    "208",
    "220",
    "230",
    "240",
    "277",
    "380",
    "400",
    "440",
    "460",
    "480",
    "600",
)
"""What plates have as volts, and hardly ever as amperes. Common practice, no source."""
_NEGATIVE = ("no", "none", "nothing", "-")
_BOLTED = (
    "never",
    "bolted",
    "bolted down",
    "fixed",
    "it is bolted down",
    "it stays",
    "stays",
    "it does not",
    "does not move",
)


def single(option: str) -> Callable[[str, Known], str]:
    """As the option of that name is read."""
    return lambda text, _: singles()[option].read(text)


def counted_from(today: date, read: Callable[[str, Known], str]) -> Callable[[str, Known], str]:
    """The same reader, to which a calendar year says how many years from today."""
    return lambda text, known: read(years_from(today, text), known)


def optional(read: Callable[[str], str]) -> Callable[[str, Known], str]:
    """A reader that looks at nothing else."""
    return lambda text, _: read(text)


def chosen(words: Sequence[str], also: Mapping[str, str] | None = None) -> Callable[[str, Known], str]:
    """One of these words, by its number, its beginning or other words for it too."""
    return lambda text, _: one_of(words, also)(text)


def as_written(read: Callable[[str], object], *left_out: str) -> Callable[[str, Known], str]:
    """The text as it is written, once it can be read; of words for nothing the first."""

    def as_it_is(text: str, _: Known) -> str:
        said = " ".join(text.split())
        if left_out and said.lower() in (*left_out, *_NEGATIVE):
            return left_out[0]
        read(said)
        return said

    return as_it_is


_COUNTED = re.compile(
    r"[0-9]{1,2}\s+(?!(?:in|inch|inches|ft|foot|mm|cm|hp|kw|ton|gallon|phase|volts?|amps?|jaw)\b)([a-z ]+s)",
    re.I,
)
"""A count before a name in the plural; `14 in bandsaws` has none."""


_FIGURE = re.compile(
    r"[$0-9][0-9.,$]*(?:\s*(?:-|–|to|or)\s*[$0-9][0-9.,$]*)?\s*"
    r"(?:a|amps?|v|volts?|hp|kw|ft|feet|m|%|cents?|years?|free|spaces?|(?:an|per) hour|a year)",
    re.IGNORECASE,
)
"""A figure with its unit, which names nothing: 25-30 A, 95 to 125 an hour."""


def name_in(key: str) -> Callable[[str, Known], str]:
    """A name that no earlier one has; a machine's without how many there are, since that is asked next."""

    def read(text: str, known: Known) -> str:
        name = read_name(text)
        if name.lower() in YES or name.isdecimal() or _FIGURE.fullmatch(name):
            raise ValueError(f'is "{name}"; write what it is called')
        if ";" in name:
            raise ValueError(f'is "{name}"; a name has no semicolon, write it without')
        counted = _COUNTED.fullmatch(name) if key == "machine" else None
        if counted:
            raise ValueError(
                f'is "{name}"; how many there are is asked next, so write the name alone. Did you mean "{counted[1]}"?'
            )
        taken = [group[key] for groups in known.groups.values() for group in groups if key in group]
        if name.lower() in map(str.lower, taken):
            raise ValueError(f'is "{name}", which an earlier one has; give each a name of its own')
        return name

    return read


def names_in(words: Sequence[str]) -> Callable[[str], str]:
    """Some of these words, by number or beginning, with commas between."""

    def read(text: str) -> str:
        return ", ".join(
            dict.fromkeys(one_of(words)(said) for said in re.split(r",|\band\b|&|\+", text) if said.strip())
        )

    return read


def plain_count(text: str, _: Known) -> str:
    """How many there are."""
    return whole(1, MOST_ALIKE)(re.sub(r"\s*(?:of them|alike|pieces)$", "", text))


def amps(text: str, _: Known) -> str:
    """Amperes of a plate, one for each of its volts; or that it names none."""
    if text.lower() in (_NOT_THERE, UNKNOWN, *_NEGATIVE):
        return _NOT_THERE
    if text.strip() in _LINE_VOLTS:
        raise ValueError(
            f'is "{text.strip()}", which looks like its volts; write its amperes, or {text.strip()} A if it is so'
        )
    if receptacles.known(configuration_of(text)) is not None:
        raise ValueError(
            f'is "{text.strip()}", which looks like a plug, asked later; write amperes, or {text.strip()} A'
        )
    if re.fullmatch(r"[0-9.,]+\s*kw", text.strip(), re.IGNORECASE):
        at = " or ".join(f"{heat_a(text, Decimal(volt), 1):f} A at {volt} V" for volt in (240, 208, 120))
        raise ValueError(
            f'is "{text.strip()}"; a heater of one phase draws {at}: write its amperes; of a motor kW are asked later'
        )
    said = text if re.search(r"[a-z]$", text.strip(), re.IGNORECASE) else f"{text.strip()} A"
    if not re.match(r"[0-9.]", said) or [word for word, _ in read_loads(said)] != ["amps"]:
        raise ValueError(f'is "{text}"; write the amperes alone, for example 12.8; horsepower is asked later')
    first = re.split(r"[-/]", re.sub(r"[^0-9./-]", "", said))[0]
    if not first or Decimal(first) <= 0:
        raise ValueError(f'is "{text}"; write amperes above 0, for example 12.8')
    return said


def volts(text: str, known: Known) -> str:
    """Volts of a plate that some panel has."""
    said = re.sub(r"\s*v(?:olts?)?(?:\s*ac)?$", "", plain(text), flags=re.IGNORECASE)
    amperes = known.get("amperes")
    try:
        plate = plate_of({"volts": said, **({"hp": 1} if amperes == _NOT_THERE else {"amps": amperes})})
    except PartsError as error:
        if error.of[0] != "amps":
            raise ValueError(error.mistakes[0].removeprefix("volts ")) from None
        raise ValueError(
            f'is "{said}", and the amperes were "{amperes}": as many figures go beside the volts, 9.4-8.6/4.3 beside '
            "208-230/460; write only the volts that it will be connected at, or go back and write the amperes of each"
        ) from None
    systems = [panel["system"] for panel in panels_told(known)]
    if systems and not any(fed_volts(plate.nominal, systems)):
        listed = ", ".join(dict.fromkeys(systems))
        raise ValueError(
            f"is {said}, which no panel has (there is {listed}); read the plate again, or go back to the panels"
        )
    return said


def fed_volts(nominal: Sequence[int], systems: Iterable[str]) -> Iterator[int]:
    """The volts at which panels of these systems may feed a plate: its own, and those that are taken for them."""
    for system in systems:
        for volt in nominal:
            for at in (volt, LIKE.get(volt, 0)):
                if any(feeds(System(system), at, count, neutral=False) for count in (1, 3)):
                    yield at


def heat_left(known: Known) -> int | None:
    """Per cent of its heat that a heater gives where every panel has lower volts than its plate; None where one has them.

    Heat falls with the square of the volts (Ohm's law).
    """
    plate = plate_of({"volts": known.get("volts"), "hp": 1})
    fed = tuple(fed_volts(plate.nominal, (panel["system"] for panel in panels_told(known))))
    if not fed or set(fed) & set(plate.nominal):
        return None
    highest = max(rating.plate_v for rating in plate.rated(heater=True))
    return int((Decimal(max(fed)) / highest) ** 2 * 100) if max(fed) < highest else None


def enough_heat(text: str, known: Known) -> str:
    """How much of its heat will do, where that which it would give does; else no, or unknown."""
    said = text.strip().lower()
    if said == UNKNOWN:
        return UNKNOWN
    left = f"{heat_left(known)} %"
    return left if said == left or yes_or_no(text) == "yes" else "no"


def phases(text: str, _: Known) -> str:
    """1 or 3."""
    said = re.sub(r"[ -]?(?:phases?|ph)$", "", text.strip().lower())
    return (
        one_of(("1", "3"))({"single": "1", "one": "1", "three": "3"}.get(said, said))
        if said != "2"
        else _two_phases()
    )


def _two_phases() -> str:
    raise ValueError("is 2; two hot wires of 240 V are one phase: write 1; allowed: 1, 3")


def load_kind(text: str, known: Known) -> str:
    """What a machine is to its circuit; only a motor may be known by its horsepower alone."""
    kind = one_of(tuple(map(str, LoadKind)))(text)
    if kind != LoadKind.MOTOR and known.get("amperes") == _NOT_THERE:
        raise ValueError(
            f"is {kind}, of which the amperes are needed; go back and write them (watts over volts)"
        )
    return kind


def hp(text: str, known: Known) -> str:
    """Horsepower of a plate for which the code has a current where amperes are not known; or that it names none."""
    if text.lower() in (_NOT_THERE, UNKNOWN, *_NEGATIVE):
        if known.get("amperes") == _NOT_THERE:
            raise ValueError(
                "is not known, nor are its amperes; one of the two is needed: look at the plate, or go back"
            )
        return _NOT_THERE
    said = (
        text
        if re.search(r"(?:hp|horse|horsepower|kw)$", text.strip(), re.IGNORECASE)
        else f"{text.strip()} hp"
    )
    if [word for word, _ in read_loads(said)] != ["hp"]:
        raise ValueError(f'is "{text}"; write horsepower or kilowatts: 3 hp, half hp, 2.2 kW')
    plate = plate_of({"volts": known.get("volts"), "phases": int(known.get("phases") or 1), "hp": said})
    if known.get("amperes") != _NOT_THERE:
        return said
    assert plate.hp is not None
    try:
        full_load_current_a(plate.hp, plate.phases, int(plate.volts))
    except LookupError:
        raise ValueError(
            f"is {said}, for which the code's table of motors has no current at these volts and phases; go back and write "
            "the amperes of the nameplate"
        ) from None
    return said


def duty_cycle(text: str, _: Known) -> str:
    """A welder's duty cycle, or that it is unknown."""
    if text.lower() in (UNKNOWN, *_NEGATIVE):
        return UNKNOWN
    told = read_facts(["welder", f"duty cycle {text}"]).duty_cycle
    assert told is not None
    return told


_SPOKEN = dict.fromkeys(("household", "ordinary", "normal", "regular", "standard"), "5-15")


def plug(text: str, _: Known) -> str:
    """A plug or receptacle by its configuration, or none."""
    said = re.sub(r"\s+plugs?$", "", text.strip().lower())
    if said in ("hard-wired", "hard wired", "hardwired", "bare", "bare ends", *_NEGATIVE):
        return _NONE
    code = configuration_of(_SPOKEN.get(said, text))
    if receptacles.known(code) is None:
        known = [device.code for device in receptacles.configurations()]
        raise ValueError(f'is "{text}", not a plug or receptacle that the tables know{_near(code, known)}')
    return code


def _near(code: str, known: Sequence[str]) -> str:
    hint = allowed(code, known).partition(". ")[2]
    return (
        f". {hint} Else write none, or as on its face: 6-20"
        if hint
        else "; write it as on its face: 6-20, L6-30; or none"
    )


def panel_called(text: str, known: Known) -> str:
    """One of the panels by name."""
    return one_of([panel["panel"] for panel in panels_told(known)])(text)


def moves(text: str, known: Known) -> str:
    """How often it moves, `never` for one that is bolted down, or that nothing is planned."""
    said = text.strip().lower()
    if said in _BOLTED:
        return _NEVER
    if said in (_STAYS, UNKNOWN, "0", *_NEGATIVE):
        return _STAYS
    told = read_moves(text)
    count = int(known.get("how many") or 1)
    if both := two_meanings(text, count):
        raise ValueError(both)
    if told.how_many is not None and told.how_many > count:
        raise ValueError(
            f"says that {told.how_many} move, but there are {count}; write fewer, or go back to how many"
        )
    return told.words


TODAY = ("no", *(LABELS.methods[run] for run in RUNS))
"""How a machine may be wired today."""


def wired_today(text: str, _: Known) -> str:
    """One of them; nothing, or not yet, is no."""
    if text.strip().lower() in (*_NEGATIVE, "not yet", "not at all", "not wired", "it is not"):
        return "no"
    return one_of(TODAY, {str(run): LABELS.methods[run] for run in RUNS})(text)


def gauge(text: str, _: Known) -> str:
    """A wire size of circuits, or that it is unknown."""
    if text.lower() in (UNKNOWN, *_NEGATIVE):
        return UNKNOWN
    return one_of(conductors.building_wire_sizes())(
        re.sub(r"^#\s*|\s*(?:gauge|awg|ga)$", "", plain(text), flags=re.IGNORECASE)
    )


def facts(text: str, known: Known) -> str:
    """Further facts with commas between."""
    if text.lower() in (_NOTHING, *_NEGATIVE):
        return _NOTHING
    said = list(facts_in(text))
    unread = [f'"{fact}"' for fact in said if not told_by(fact)]
    if unread:
        hint = allowed(unread[0].strip('"'), FACTS).partition(". ")[2]
        are = "are no facts that are" if len(unread) > 1 else "is no fact that is"
        rest = f". {hint}" if hint else ""
        raise ValueError(
            f"{' and '.join(unread)} {are} read here; type ? for all there are, Enter for nothing{rest}"
        )
    read_facts([known.get("how many"), *facts_told({**known.here, "more": _NOTHING}), *said])
    return "; ".join(said)


def says_hours(more: str) -> bool:
    """Whether further facts say hours a year."""
    return more != _NOTHING and any(told_by(fact) == "full_load_hours" for fact in more.split("; "))


def yes_or_unknown(text: str) -> str:
    """Yes, or unknown: no is as good as unknown here."""
    return UNKNOWN if text.strip().lower() in (UNKNOWN, *_NEGATIVE) or yes_or_no(text) == "no" else "yes"


def go_on(text: str) -> str:
    """Yes. Raises ValueError for anything else, with what may be done instead."""
    if text.strip().lower() not in YES:
        raise ValueError(
            f'is "{text.strip()}"; Enter writes the file, change or remove mends an answer, stop is another time'
        )
    return "yes"


def lease_end(text: str, known: Known) -> str:
    """When a lease ends within the plan, as read_lease reads it; or that there is none."""
    said = " ".join(text.lower().split())
    if said in ("never", "no lease", "i own", "i own it", "own", "owned", "we own", "we own it", *_NEGATIVE):
        return _NONE
    lease = read_lease(text)
    if lease is None:
        return _NONE
    years = known.get("years") or lease.ends
    if int(lease.ends) > int(years):
        raise ValueError(
            f"is in {lease.ends} years, and your plan counts {years}: write none, since it does not end within it; or {years} "
            f"if you hand the place back then; or change years {lease.ends}"
        )
    out = re.search("take out|leave in", said)
    return f"ends in {lease.ends} year{'s' * (lease.ends != '1')}" + (f", {out[0]}" if out else "")


def waiting(known: Known) -> Sequence[Said]:
    """The machines that neither take turns nor start by themselves: of these it matters how many run at once."""
    named = {name for key in ("turns", "start alone") for name in known.get(key).split(", ")}
    return [group for group in known.of("machine") if group["machine"] not in named]


def at_most(text: str, known: Known) -> str:
    """How many machines run at once at the most, all, or unknown."""
    count = sum(int(group["how many"]) for group in waiting(known))
    said = text.strip().lower()
    if said in (UNKNOWN, "all", str(count)):
        return UNKNOWN if said == UNKNOWN else "all"
    return whole(1, count)(said)


def some_of(text: str, known: Known) -> str:
    """Machines by name with commas between, none, or unknown."""
    said = text.strip().lower()
    if said in (UNKNOWN, *_NEGATIVE):
        return UNKNOWN if said == UNKNOWN else _NONE
    names = _named_machines(text, known)
    both = [name for name in names.split(", ") if name in known.get("turns").split(", ")]
    if both:
        raise ValueError(
            f'has "{both[0]}", which was said to take turns, but what starts by itself, or with nobody there, '
            "waits for nobody; change one of the two answers"
        )
    return names


def starting_alone(known: Known) -> str:
    """Machines that were said to start by themselves, and heaters that heat for hours; else that it is unknown.

    Where a heater takes turns nothing is proposed: whether it ever runs alone decides whether it may.
    """
    heaters = [group for group in known.of("machine") if group["load"] == LoadKind.HEATER]
    if any(group["machine"] in known.get("turns").split(", ") for group in heaters):
        return UNKNOWN
    names = [
        group["machine"]
        for group in known.of("machine")
        if re.search("starts by itself|runs unattended", group["more"])
        or (group.get("three hours") == "yes" and "unattended" not in group["more"])
    ]
    return ", ".join(names) or UNKNOWN


def _named_machines(text: str, known: Known) -> str:
    names = [group["machine"] for group in known.of("machine")]
    by_name = {name.lower(): name for name in names}
    found = []
    for name in filter(
        None, map(str.strip, re.split(r",|\band\b|&", text) if text.lower() not in by_name else [text])
    ):
        bare = without_around(name).lower()
        plural = bare.removesuffix("s")
        match = next(
            (by_name[word] for word in (name.lower(), bare, plural, f"{bare}s") if word in by_name), None
        )
        found.append(match or _meant(name, names))
    return ", ".join(dict.fromkeys(found))


def _meant(name: str, names: Sequence[str]) -> str:
    """The one machine that some words of its name mean: lathes, where there is a wood lathe and no other."""
    try:
        return one_of(names)(name)
    except ValueError:
        raise ValueError(f'"{name}" is no machine; {allowed(name, names)}') from None


def all_of(text: str, known: Known) -> str:
    """Machines by name with commas between, all of them, or none."""
    if text.strip().lower() in _NEGATIVE:
        return _NONE
    names = [group["machine"] for group in known.of("machine")]
    if text.strip().lower() == "all":
        return ", ".join(names)
    said = _named_machines(text, known).split(", ")
    counts = {group["machine"]: int(group["how many"]) for group in known.of("machine")}
    if sum(counts[name] for name in said) < 2:
        raise ValueError(f'is "{text}"; name two or more machines, or none')
    return ", ".join(said)
