"""The questions of a guided start in the order they are asked: what, for example, by default, and where to look."""

from collections.abc import Callable, Sequence

from costplan.model.answer_readers import all_of, as_written, chosen, name_in, names_in, optional, single
from costplan.model.answers import (
    UNKNOWN,
    Families,
    as_on_the_label,
    family_reader,
    read_forbidden,
    read_lease,
    read_spaces,
    read_system,
)
from costplan.model.asking import Known, Question, Section
from costplan.model.choices import Occupancy
from costplan.model.machine_questions import MACHINE, QUOTED
from costplan.model.reading import read_name
from costplan.model.room_told import read_amps, read_peak
from costplan.model.system import System
from costplan.model.told_lines import shortages_told

PLATES, QUOTES = "nameplates and distances", "quotes for every machine"
NONE = "none"
TANDEMS, SUBPANEL, TURNS, NOTHING = "tandem breakers", "a subpanel", "taking turns", "nothing"


def plates(known: Known) -> bool:
    """Whether the shop is priced from nameplates and distances."""
    return (known.get("prices") or PLATES) == PLATES


def quotes(known: Known) -> bool:
    """Whether it has nothing but quotes."""
    return not plates(known)


def sections(
    shop_name: str, families: Families | None, aids: Callable[[Known], Sequence[str]]
) -> Sequence[Section]:
    """All questions. `families` are those of a catalog that is there, `aids` what may help a panel that is short of spaces."""
    return (
        Section("shop", _shop(shop_name)),
        Section("panel", _panel(families), repeats=True, least=1, when=plates),
        Section("machine", MACHINE, repeats=True, least=1, when=plates),
        Section("quoted machine", QUOTED, repeats=True, least=1, when=quotes),
        Section("room", _room(aids), over=shortages_told, when=plates),
        Section("rest", _REST),
        Section("forbid", _FORBID, repeats=True, when=plates),
    )


def _shop(shop_name: str) -> Sequence[Question]:
    return (
        Question(
            "shop",
            "What is the shop called?",
            "Evening workshop",
            "Any name; it stands on every page.",
            lambda text, _: read_name(text),
            shop_name,
        ),
        Question(
            "prices",
            "What do you have of the machines?",
            "1",
            "With nameplates, costplan works out circuits and prices them with invented prices that you replace. With a "
            "quote for each way of each machine it needs neither.",
            chosen((PLATES, QUOTES)),
            PLATES,
            (PLATES, QUOTES),
        ),
        Question(
            "years",
            "How many years do you plan to stay?",
            "5",
            "The lease says when it ends; else as long as you see yourself in this shop.",
            single("years"),
            "5",
        ),
        Question(
            "occupancy",
            "What is the building?",
            "1",
            "It decides which rules hold for outlets and cable. A garage or shed that goes with a house is a dwelling garage; "
            "rented shop space is commercial.",
            chosen(tuple(map(str, Occupancy))),
            "",
            tuple(map(str, Occupancy)),
            plates,
        ),
    )


def _panel(families: Families | None) -> Sequence[Question]:
    def first(known: Known) -> str:
        more = bool(known.of("panel"))
        return (
            "Another panel? Its name, or Enter for none"
            if more
            else "What do you call the panel that feeds the shop?"
        )

    def suiting(known: Known) -> Sequence[str] | None:
        return None if families is None else families(known.get("system"))

    return (
        Question(
            "panel",
            first,
            "main panel",
            "Only a name, to tell it from other panels.",
            name_in("panel"),
            "main panel",
            of_each=True,
        ),
        Question(
            "system",
            "Which volts has it?",
            "1",
            "On the label inside the door. A house has 120/240 single-phase. With three hot wires, look for 208Y/120, 240 or "
            "480Y/277; an electrician measures it.",
            lambda text, _: read_system(text),
            str(System.SINGLE_120_240),
            tuple(map(str, System)),
        ),
        Question(
            "breakers",
            "Which breakers does its label name?",
            "the type letters on the label",
            "The label inside the door says which types of breakers may go in. No other fits safely, whatever its shape.",
            lambda text, known: family_reader(suiting(known), known.get("panel"))(text),
            lambda known: next(iter(suiting(known) or ()), as_on_the_label(known.get("panel"))),
            lambda known: suiting(known) or (),
        ),
        Question(
            "free",
            "How many spaces are free, in poles?",
            "6",
            "Count rows without a breaker or with a blank plate that can be broken out. A 240 V circuit takes two, a "
            "three-phase one three. Do not count places where the bus bar has no finger for one.",
            lambda text, _: read_spaces(text),
            of_each=True,
        ),
    )


_FEEDER_POLES = 2


def _no_feeder(known: Known) -> bool:
    """Whether a subpanel's own breaker finds no space."""
    return int(known.here["left"]) < _FEEDER_POLES


def _room(aids: Callable[[Known], Sequence[str]]) -> Sequence[Question]:
    def usual(known: Known) -> str:
        there, short = aids(known), _no_feeder(known)
        wanted = [TANDEMS, SUBPANEL] if short else [SUBPANEL]
        return ", ".join(wanted) if set(wanted) <= set(there) else TURNS if short else NOTHING

    def chosen_aids(text: str, known: Known) -> str:
        found = names_in(aids(known))(text)
        if NOTHING in found and found != NOTHING:
            raise ValueError(f"is {found}; write nothing alone, or what may make room")
        if found == SUBPANEL and _no_feeder(known):
            raise ValueError(
                f"is {SUBPANEL} alone, whose own breaker takes {_FEEDER_POLES} spaces or more, and {known.here['left']} "
                f"are free; add {TANDEMS} or {TURNS}, which free some"
            )
        return found

    def asks(known: Known) -> str:
        here = known.here
        return f"{here['at']}: {here['needed']} spaces may be needed, {here['left']} are free. What may make room?"

    return (
        Question(
            "room",
            asks,
            "2, 3",
            "Tandem breakers put two 120 V circuits into one space, where the label allows them. A subpanel brings more "
            "spaces, but takes two itself. Machines that take turns can share an outlet. Several with commas; only what "
            "pays is bought.",
            chosen_aids,
            usual,
            aids,
        ),
        Question(
            "tandems",
            "How many more tandem breakers does the label allow?",
            "4",
            "On the label inside the door, as CTL, tandem or twin positions; 0 where it names none.",
            optional(read_spaces),
            "0",
            when=lambda known: TANDEMS in known.get("room"),
        ),
        Question(
            "20 A circuits",
            "How many plain one-pole 20 A circuits on 12 gauge are in it?",
            "6",
            "Plain: no test button, no red-and-black cable that shares its neutral, handle not tied to another.",
            optional(read_spaces),
            "0",
            when=lambda known: known.get("tandems") not in ("", "0"),
        ),
        Question(
            "15 A circuits",
            "And plain one-pole 15 A circuits on 14 gauge?",
            "4",
            "As before.",
            optional(read_spaces),
            "0",
            when=lambda known: known.get("tandems") not in ("", "0"),
        ),
        Question(
            "turns",
            "Which machines never run at the same time?",
            "table saw, planer",
            "Names with commas between; all is every machine. Only what nobody ever runs together, by himself.",
            all_of,
            when=lambda known: TURNS in known.get("room"),
        ),
    )


_REST: Sequence[Question] = (
    Question(
        "rate",
        "What does an electrician charge an hour?",
        "$90 to $130 an hour",
        "Ask one; of two figures the higher is taken. Unknown: an invented rate, which the end tells you how much matters.",
        single("rate"),
        UNKNOWN,
        when=plates,
    ),
    Question(
        "service",
        "How large is the service, in amperes?",
        "100",
        "On the handle of the main breaker. Unknown: whether it is enough is not looked at.",
        optional(lambda text: UNKNOWN if text == UNKNOWN else read_amps(text)),
        UNKNOWN,
        when=plates,
    ),
    Question(
        "peak",
        "Highest draw that was measured?",
        "38 A; 2026-09-30; 30 days",
        "Amperes on the fuller line, from a recording meter, or kW with the power factor, from the bill; then the day it "
        "ended and how many days it took. Machines that ran then say so under anything else: in the measured peak.",
        as_written(read_peak, UNKNOWN),
        UNKNOWN,
        when=lambda known: plates(known) and known.get("service") not in ("", UNKNOWN),
    ),
    Question(
        "electricity",
        "What does a kilowatt-hour cost?",
        "16 cents",
        "On the utility's bill. Unknown: left out.",
        single("electricity"),
        UNKNOWN,
        when=plates,
    ),
    Question(
        "edition",
        "Which edition of the electrical code is in force?",
        "2020",
        "The building department says. Unknown: the dearer reading is priced.",
        single("edition"),
        UNKNOWN,
        when=plates,
    ),
    Question(
        "ceiling",
        "How high is the ceiling?",
        "10 ft",
        "To the beams that a cord would hang from.",
        single("ceiling"),
        "10 ft",
        when=plates,
    ),
    Question(
        "lease",
        "When does the lease end, and must fixed wiring come out?",
        "ends 8, take out",
        "In the lease, under improvements or surrender.",
        lambda text, _: (read_lease(text) and text) or NONE,
        NONE,
    ),
)
_FORBID: Sequence[Question] = (
    Question(
        "not allowed",
        lambda known: (
            "Anything else?" if known.of("forbid") else "Is any way not allowed, and why? Enter for none"
        ),
        "wall drop; masonry walls",
        "Ask the landlord and the inspector. Ways: wall drop, conduit drop, armored drop, cord, "
        "ceiling outlet, or fixed drop for all drops.",
        as_written(read_forbidden),
    ),
)
