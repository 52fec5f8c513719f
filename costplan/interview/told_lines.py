"""What was answered to single questions, as lines of a page of notes: what the two say is read in one way only."""

from collections.abc import Iterator, Mapping, Sequence

from costplan.interview.asking import Known, Said
from costplan.interview.machine_line import PanelAnswer, read_machine
from costplan.interview.starting_room import shortages

_LEFT_OUT = ("", "unknown", "none", "no", "nothing", "not on the plate", "not planned")
_SINGLES = {
    "shop": "shop-name",
    "years": "years",
    "occupancy": "occupancy",
    "rate": "rate",
    "own hour": "own-hour",
    "electricity": "electricity",
    "edition": "edition",
    "ceiling": "ceiling",
    "vapors": "vapors",
    "lease": "lease",
    "service": "service",
    "at once": "at-once",
    "peak": "measured-peak",
}
"""Options by the key of their question."""


def option_of(key: str) -> str:
    """The option that says the same as a question; empty where none does."""
    return _SINGLES.get(key, "")


def every_option() -> tuple[str, ...]:
    """All options that a question or a section of them answers."""
    sections = ("panel", "machine", "quoted machine", "prices", "forbid", "room", "sharing", "end")
    return (*_SINGLES.values(), *sections)


def lines_told(known: Known) -> dict[str, list[str]]:
    """Everything that was answered, by the option that says the same."""
    told: dict[str, list[str]] = {
        option: [known.said[key]]
        for key, option in _SINGLES.items()
        if known.said.get(key, "") not in _LEFT_OUT
    }
    more = {
        "panel": [panel_line(group) for group in known.of("panel")],
        "machine": [
            *(machine_line(group) + _start(group, known) for group in known.of("machine")),
            *(quoted_line(group) for group in known.of("quoted machine")),
        ],
        "forbid": [group["not allowed"] for group in known.of("forbid")],
        "tandems": [line for group in known.of("room") if (line := _tandems(group))],
        "subpanel": [group["at"] for group in known.of("room") if "subpanel" in group["room"]],
        "another-panel": [_panel_at_service(g) for g in known.of("room") if "another panel" in g["room"]],
        "turns": [said for said in [known.said.get("turns", "")] if said not in _LEFT_OUT],
    }
    if "service" in told and "at once" not in known.said and "start alone" in known.said:
        told["at-once"] = ["all"]
    if "lease" in told:
        told["lease"] = [_lease(known.said)]
    return told | {option: lines for option, lines in more.items() if lines}


def _lease(said: Said) -> str:
    out = {"yes": ", take out", "no": ", leave in"}.get(said.get("take out", ""), "")
    then = said.get("after the lease", "")
    return said["lease"] + out + (f", {then}" if then else "")


def _start(group: Said, known: Known) -> str:
    """Whether a machine starts by itself, a heater runs with nobody there; of the first where none does, that it does not."""
    said = known.said.get("start alone", "unknown")
    named = group["machine"] in said.split(", ")
    if group["load"] == "heater":
        unsaid = said != "unknown" and "unattended" not in group["more"]
        return ("; runs unattended" if named else "; never unattended") if unsaid else ""
    if "by itself" in group["more"]:
        return ""
    if named:
        return "; starts by itself"
    others = [each for each in known.of("machine") if each["load"] != "heater"]
    return "; does not start by itself" if said == "none" and group is others[0] else ""


def _panel_at_service(group: Said) -> str:
    quote = group.get("panel quote", "unknown")
    return group["at"] + ("" if quote == "unknown" else f"; {quote}")


def panels_told(known: Known) -> Sequence[Said]:
    """The panels answered so far."""
    return known.of("panel")


def panel_line(group: Said) -> str:
    """A panel's line."""
    main = group.get("main", "unknown")
    line = f"{group['panel']}; {group['system']}; {group['breakers']}; {group['free']}"
    other = group.get("other load", "unknown")
    return line + ("" if main in _LEFT_OUT else f"; {main}" + ("" if other in _LEFT_OUT else f"; {other}"))


def machine_line(group: Said) -> str:
    """A machine's line, of a group whose last question was answered."""
    loads = ", ".join(group[key] for key in ("hp", "amperes") if group.get(key, "") not in _LEFT_OUT)
    distance = " / ".join(lengths_told(group))
    if group.get("also from", "unknown") not in _LEFT_OUT:
        distance += f" from {group['from']}, {group['also from']}"
    parts = [
        group["machine"],
        "",
        group["volts"],
        loads,
        group.get("phases", "1"),
        distance,
        group["how many"],
    ]
    return "; ".join([*parts, *facts_told(group)])


SPREAD, TOGETHER = "spread out: ", "all of them "
"""Begin the answers to where the machines of a group stand of which a range was said."""


def lengths_told(group: Said) -> tuple[str, str]:
    """The wiring's length and the cord's, or those of each machine of a group; the wiring's twice before that is asked."""
    spread = group.get("spread", "").removeprefix(SPREAD).removeprefix(TOGETHER)
    wall, _, cord = (spread or group.get("distance", "")).partition(" / ")
    return wall, cord or group.get("cord", wall)


def facts_told(group: Said) -> Iterator[str]:
    """What was answered of a machine beside its plate and its place, as facts of a line."""
    load = group["load"]
    if load != "motor":
        yield "not a motor" if load == "other" else load
    if "three hours" in group:
        yield "continuous" if group["three hours"] == "yes" else "not continuous"
    if group.get("enough heat", "") not in _LEFT_OUT:
        yield f"{group['enough heat']} heat is enough"
    for key, before in (("duty cycle", "duty cycle"), ("plug", "plug"), ("from", "from")):
        if group.get(key, "") not in _LEFT_OUT:
            yield f"{before} {group[key]}"
    yield from _moves(group)
    if group["today"] not in _LEFT_OUT:
        yield _now(group)
    if group["more"] not in _LEFT_OUT:
        yield group["more"]


def _moves(group: Said) -> Iterator[str]:
    if group["moves"] == "never":
        yield "never moves"
    elif group["moves"] not in _LEFT_OUT:
        yield (
            f"moves {group['moves']}"
            if "of them" not in group["moves"]
            else group["moves"].replace("of them", "move")
        )
    if group.get("spot") == "back and forth":
        yield f"back and forth {group['other spot']}, {group['apart']} apart"
    if group.get("long cord") == "yes":
        yield "maker allows a longer cord"


def _now(group: Said) -> str:
    outlet = "" if group["outlet"] in _LEFT_OUT else f" {group['outlet']}"
    wire = "" if group["wire"] in _LEFT_OUT else f" {group['wire']} gauge"
    return f"now {group['today']}{outlet} {group['breaker']}{wire}"


def quoted_line(group: Said) -> str:
    """A line of a machine of which there are quotes only."""
    facts = [*_moves(group)]
    for way, key, moved in (("fixed drop", "fixed drop", "moved drop"), ("cord", "cord quote", "moved cord")):
        price = group.get(key, "none")
        if price not in _LEFT_OUT:
            again = group.get(moved, "as new")
            facts.append(f"quoted {way} {price}" + ("" if again == "as new" else f", {again} a move"))
    return "; ".join([group["machine"], "", "", "", "", "", group["how many"], *facts])


def _tandems(group: Said) -> str:
    """The line of tandem breakers; empty where the label allows none or no circuits were counted."""
    circuits = [
        ("20 A 12 gauge", group.get("20 A circuits", "0")),
        ("15 A 14 gauge", group.get("15 A circuits", "0")),
    ]
    counted = [f"{words} {count}" for words, count in circuits if count != "0"]
    if group.get("tandems", "0") == "0" or not counted:
        return ""
    return "; ".join([group["at"], group["tandems"], *counted])


FEEDER_SPACES = 2
"""What the breaker of a subpanel takes at least."""


def room_misfit(group: Said) -> str:
    """Why what was chosen to make room in a panel makes none; empty where it does."""
    if "another panel" in group["room"] or group["room"] == "nothing":
        return ""
    pairs = sum(int(group.get(key, "0")) // 2 for key in ("20 A circuits", "15 A circuits"))
    freed = min(int(group.get("tandems", "0")), pairs)
    free = int(group["left"]) + freed
    other = "write another panel at the service, or nothing for a circuit for as many as there is room"
    if "subpanel" in group["room"] and free < FEEDER_SPACES:
        return f"a subpanel's own breaker takes {FEEDER_SPACES} spaces in {group['at']}, and {free} would be free; {other}"
    if "subpanel" not in group["room"] and not freed:
        return f"that frees no space in {group['at']}: a tandem breaker takes two plain circuits into one; {other}"
    return ""


def shortages_told(known: Known) -> Sequence[Mapping[str, str]]:
    """Panels whose free spaces may not do, with the poles needed and free."""
    panels = [
        PanelAnswer(group["panel"], group["system"], group["breakers"], group["free"])
        for group in panels_told(known)
    ]
    machines = [read_machine(machine_line(group), panels) for group in known.of("machine")]
    return [
        {"at": short.panel.name, "needed": str(short.needed), "left": short.panel.spaces_free}
        for short in shortages(panels, machines)
    ]


_KEYS: Mapping[str, Sequence[str]] = {
    "count": ("how many",),
    "amps": ("amperes",),
    "plug": ("plug", "volts", "amperes"),
    "distance": ("distance", "spread", "cord", "also from"),
    "route": ("distance", "spread", "cord", "also from"),
    "fixed": ("distance", "spread"),
    "panel": ("from",),
    "now": ("today", "outlet", "breaker", "wire"),
    "method": ("today",),
    "configuration": ("outlet",),
    "awg": ("wire",),
    "duty_cycle": ("duty cycle",),
    "never_moves": ("moves",),
    "continuous": ("three hours",),
    "least_heat": ("enough heat", "more"),
    "unattended": ("more",),
    "own_cord": ("more",),
    "arrives": ("more",),
    "leaves": ("more",),
    "retool": ("more",),
    "effective_amps": ("more",),
    "starts_by_itself": ("more",),
    "in_measured_peak": ("more",),
}
"""Keys of the questions that a field of a machine's entry is answered by, where they are not its word."""


def keys_of(word: str) -> Sequence[str]:
    """The keys of the questions that a field of a machine's entry was answered by."""
    return _KEYS.get(word, (word,))


_PARTS_OF: Mapping[str, str] = {
    "measured_peak": "peak",
    "service": "service",
    "lease": "lease",
    "ceiling_height": "ceiling",
    "flammable_vapors": "vapors",
}


def places_of(known: Known, field_path: str) -> Sequence[tuple[str, int, str]]:
    """Where what a field of the shop file says was answered; none where that is not known."""
    *words, last = [word.strip() for word in field_path.split("›")]
    for number, group in enumerate(known.of("machine"), 1):
        if words[:1] == ["machines"] and group["machine"] in words:
            field = (
                next((word for word in words if word in ("now", "route")), last)
                if last not in _KEYS
                else last
            )
            return [("machine", number, key) for key in keys_of(field)]
    found = [key for word, key in _PARTS_OF.items() if word in (*words, last)]
    return [("rest", 1, key) for key in found[:1]]
