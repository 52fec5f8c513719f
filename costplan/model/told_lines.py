"""What was answered to single questions, as lines of a page of notes: what the two say is read in one way only."""

from collections.abc import Iterator, Mapping, Sequence

from costplan.model.asking import Known, Said
from costplan.model.machine_line import PanelAnswer, read_machine
from costplan.model.starting_room import shortages

_LEFT_OUT = ("", "unknown", "none", "no", "nothing", "not on the plate", "not planned")
_SINGLES = {
    "shop": "shop-name",
    "years": "years",
    "occupancy": "occupancy",
    "rate": "rate",
    "electricity": "electricity",
    "edition": "edition",
    "ceiling": "ceiling",
    "lease": "lease",
    "service": "service",
    "peak": "measured-peak",
}
"""Options by the key of their question."""


def option_of(key: str) -> str:
    """The option that says the same as a question; empty where none does."""
    return _SINGLES.get(key, "")


def every_option() -> tuple[str, ...]:
    """All options that a question or a section of them answers."""
    return (*_SINGLES.values(), "panel", "machine", "quoted machine", "prices", "forbid", "room")


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
            *(machine_line(group) for group in known.of("machine")),
            *(quoted_line(group) for group in known.of("quoted machine")),
        ],
        "forbid": [group["not allowed"] for group in known.of("forbid")],
        "tandems": [line for group in known.of("room") if (line := _tandems(group))],
        "subpanel": [group["at"] for group in known.of("room") if "subpanel" in group["room"]],
        "turns": [group["turns"] for group in known.of("room") if group.get("turns")],
    }
    return told | {option: lines for option, lines in more.items() if lines}


def panels_told(known: Known) -> Sequence[Said]:
    """The panels answered so far."""
    return known.of("panel")


def panel_line(group: Said) -> str:
    """A panel's line."""
    return f"{group['panel']}; {group['system']}; {group['breakers']}; {group['free']}"


def machine_line(group: Said) -> str:
    """A machine's line, of a group whose last question was answered."""
    loads = ", ".join(group[key] for key in ("hp", "amperes") if group.get(key, "") not in _LEFT_OUT)
    distance = f"{group['distance']} / {group['cord']}"
    parts = [
        group["machine"],
        "",
        group["volts"],
        loads,
        group.get("phases", "1"),
        distance,
        group["how many"],
    ]
    return "; ".join([*parts, *_facts(group)])


def _facts(group: Said) -> Iterator[str]:
    load = group["load"]
    if load not in ("motor", "other"):
        yield load
    elif load == "other":
        yield "not a motor"
    if group.get("duty cycle", "") not in _LEFT_OUT:
        yield f"duty cycle {group['duty cycle']}"
    if group["plug"] not in _LEFT_OUT:
        yield f"plug {group['plug']}"
    if "from" in group:
        yield f"from {group['from']}"
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
