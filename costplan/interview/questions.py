"""The questions of a guided start in the order they are asked: what, for example, by default, and where to look."""

import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date

from costplan.interview.answer_readers import (
    all_of,
    as_written,
    at_most,
    chosen,
    counted_from,
    go_on,
    lease_end,
    names_in,
    optional,
    says_hours,
    single,
    some_of,
    starting_alone,
    waiting,
)
from costplan.interview.answers import (
    UNKNOWN,
    Families,
    lease_of,
    read_forbidden,
    read_spaces,
)
from costplan.interview.asking import Known, Question, Section
from costplan.interview.dialogue import END
from costplan.interview.machine_questions import MACHINE, QUOTED, WAYS_TOLD
from costplan.interview.money_answers import money_or
from costplan.interview.panel_questions import panel_questions
from costplan.interview.room_told import read_amps, read_peak
from costplan.interview.spoken import yes_or_no
from costplan.interview.told_lines import FEEDER_SPACES, shortages_told
from costplan.model.choices import LoadKind, Occupancy
from costplan.model.reading import read_name

PLATES, QUOTES = "nameplates and distances", "quotes for every machine"
NONE, ALL = "none", "all"
YES, NO = "yes", "no"
RENEWED, WE_MOVE = "renewed", "we move out"
TANDEMS, SUBPANEL, PANEL, NOTHING = (
    "tandem breakers",
    "a subpanel",
    "another panel at the service",
    "nothing",
)
_BUILDINGS = {
    "garage": Occupancy.DWELLING_GARAGE,
    "shed": Occupancy.DWELLING_GARAGE,
    "repair garage": Occupancy.COMMERCIAL,
    "rented": Occupancy.COMMERCIAL,
    "rented shop": Occupancy.COMMERCIAL,
    "shop": Occupancy.COMMERCIAL,
    "workshop": Occupancy.COMMERCIAL,
    "store": Occupancy.COMMERCIAL,
    "business": Occupancy.COMMERCIAL,
    "maker space": Occupancy.COMMERCIAL,
    "factory": Occupancy.INDUSTRIAL,
    "classroom": Occupancy.SCHOOL,
}
"""What people call their building; a text that has two of them is asked again."""


def plates(known: Known) -> bool:
    """Whether the shop is priced from nameplates and distances."""
    return (known.get("prices") or PLATES) == PLATES


def quotes(known: Known) -> bool:
    """Whether it has nothing but quotes."""
    return not plates(known)


def sections(
    shop_name: str,
    families: Families | None,
    aids: Callable[[Known], Sequence[str]],
    today: date,
    years: str = "",
) -> Sequence[Section]:
    """All questions. `families` are those of a catalog that is there, `aids` what may help a panel that is short of spaces.

    Calendar years are counted from `today`; `years` are those of the plan where they are known already.
    """
    return (
        Section("shop", _shop(shop_name, today)),
        Section("panel", panel_questions(families), repeats=True, least=1, enough="none", when=plates),
        Section("machine", MACHINE, repeats=True, least=1, when=plates),
        Section("quoted machine", QUOTED, repeats=True, least=1, when=quotes),
        Section("sharing", _SHARING, when=_several),
        Section("room", _room(aids), over=shortages_told, when=plates),
        Section("rest", _rest(today, years)),
        Section("forbid", _FORBID, repeats=True, enough="none", when=plates),
        Section(END, _END),
    )


def _shop(shop_name: str, today: date) -> Sequence[Question]:
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
            "until 2030",
            "The lease says when it ends; else as long as you see yourself in this shop.",
            counted_from(today, single("years")),
            "5",
            unit="years",
        ),
        Question(
            "occupancy",
            "What is the building?",
            "1",
            "It decides which rules hold for outlets and cable. A garage or shed that goes with a house is a dwelling garage; "
            "rented shop space is commercial.",
            chosen(tuple(map(str, Occupancy)), {words: str(kind) for words, kind in _BUILDINGS.items()}),
            "",
            tuple(map(str, Occupancy)),
            plates,
            also=("building",),
        ),
    )


def _several(known: Known) -> bool:
    """Whether there are machines enough that some may wait for others."""
    return plates(known) and sum(int(group["how many"]) for group in known.of("machine")) > 1


def _counted_on(known: Known) -> bool:
    """Whether loads are added up, so that it matters what runs at once."""
    return known.get("service") not in ("", UNKNOWN)


def _runs_alone_matters(known: Known) -> bool:
    """Whether loads are added up, or a heater was said to wait for others."""
    turns = known.get("turns").split(", ")
    heaters = [group["machine"] for group in known.of("machine") if group["load"] == LoadKind.HEATER]
    return _counted_on(known) or any(name in turns for name in heaters)


def _only_main(known: Known) -> str:
    """The main of the only panel: the service carries no more to these machines; else nobody knows."""
    mains = [panel.get("main", UNKNOWN) for panel in known.of("panel")]
    return mains[0] if len(mains) == 1 else UNKNOWN


_SERVICE = Question(
    "service",
    "How large is the service, in amperes?",
    "100",
    "On the handle of the building's main breaker; where you rent a part, your panel's own main, since no more comes to "
    "your machines. Unknown: whether it is enough is not looked at.",
    optional(lambda text: UNKNOWN if text == UNKNOWN else read_amps(text)),
    _only_main,
)
_SHARING: Sequence[Question] = (
    Question(
        "turns",
        "Which machines never run at the same time, so that they may share an outlet?",
        "table saw, planer",
        "Names with commas between, all, or none. Only what nobody ever runs together, by himself or with somebody.",
        all_of,
        NONE,
        names=True,
    ),
    _SERVICE,
    Question(
        "start alone",
        "Which start by themselves, or run with nobody there?",
        "compressor, kiln",
        "What switches itself on, as a compressor, an automatic dust collector or a pump does, and what runs on alone, as a "
        "kiln overnight. They always count as running, since nobody is there to wait.",
        some_of,
        starting_alone,
        when=_runs_alone_matters,
        names=True,
    ),
    Question(
        "at once",
        "Of all others, how many run at the same time, at most?",
        "3",
        "On the busiest day; the others are those that neither take turns nor start by themselves. All: nobody ever waits. "
        "Unknown counts all, and check asks.",
        at_most,
        UNKNOWN,
        when=lambda known: _counted_on(known) and sum(int(group["how many"]) for group in waiting(known)) > 1,
    ),
)


def _no_feeder(known: Known) -> bool:
    """Whether a subpanel's own breaker finds no space."""
    return int(known.here["left"]) < FEEDER_SPACES


def _room(aids: Callable[[Known], Sequence[str]]) -> Sequence[Question]:
    def usual(known: Known) -> str:
        there = aids(known)
        lasting = [TANDEMS, SUBPANEL] if _no_feeder(known) else [SUBPANEL]
        for wanted in (lasting, [PANEL]):
            if set(wanted) <= set(there):
                return ", ".join(wanted)
        return NOTHING

    def chosen_aids(text: str, known: Known) -> str:
        found = names_in(aids(known))(text)
        if NOTHING in found and found != NOTHING:
            raise ValueError(f"is {found}; write nothing alone, or what may make room")
        if found == SUBPANEL and _no_feeder(known):
            more = [aid for aid in aids(known) if aid in (TANDEMS, PANEL)]
            raise ValueError(
                f"is {SUBPANEL} alone, whose own breaker takes {FEEDER_SPACES} spaces or more, and {known.here['left']} "
                f"are free; write {' or '.join(more) if more else NOTHING}"
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
            "spaces, but takes two itself, three in a three-phase panel. Another panel at the service is what an electrician "
            "puts in where a panel is full: a second one, or a larger one in its place. Nothing: a circuit for as many as "
            "there is room. Several with commas; only what pays is bought.",
            chosen_aids,
            usual,
            aids,
        ),
        Question(
            "panel quote",
            "What does an electrician ask for that panel, all in?",
            "2400",
            "Ask one, with the utility's share. Unknown: invented parts and hours of a second panel, whose feed from the "
            "service an electrician must plan.",
            money_or(UNKNOWN),
            UNKNOWN,
            when=lambda known: PANEL in known.get("room"),
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
    )


def _says_no_end(known: Known) -> bool:
    """Whether a lease ends, and nothing was said of the wiring."""
    lease = lease_of(known.get("lease"))
    return lease is not None and not re.search("take out|leave in", known.get("lease"))


def _ends_before(known: Known) -> bool:
    """Whether a lease ends within the plan."""
    lease = lease_of(known.get("lease"))
    return lease is not None and int(lease.ends) < int(known.get("years") or 0)


def _rest(today: date, years: str) -> Sequence[Question]:
    def lease(text: str, known: Known) -> str:
        said = known if known.get("years") else replace(known, said={**known.said, "years": years})
        return lease_end(text, said)

    return (
        Question(
            "rate",
            "What does an electrician charge an hour?",
            "$90 to $130 an hour",
            "Ask one; two figures are a range, whose mean counts. Unknown: an invented rate; the end tells how much "
            "it matters.",
            single("rate"),
            UNKNOWN,
            when=plates,
            unit="an hour",
        ),
        Question(
            "own hour",
            "What is an hour of your own worth to you?",
            "$25",
            "What you could earn or make in it; 0 counts your hours for nothing. They are in every total, never in cash. "
            "Unknown: an invented figure; the end tells how much it matters.",
            single("own-hour"),
            UNKNOWN,
            when=plates,
            unit="an hour",
        ),
        replace(_SERVICE, when=lambda known: plates(known) and not known.get("service")),
        Question(
            "peak",
            "What is the most that the service was ever measured to carry?",
            "38 A; 2026-09-30; 30 days",
            "Amperes on the fuller line, from a recording meter, or kW with the power factor, from the bill; then the day it "
            "ended and how many days it took. Machines that ran then say so under anything else: in the measured peak.",
            as_written(read_peak, UNKNOWN),
            UNKNOWN,
            unit="A",
            when=lambda known: plates(known) and known.get("service") not in ("", UNKNOWN),
        ),
        Question(
            "electricity",
            "What does a kilowatt-hour cost?",
            "16 cents",
            "On the utility's bill; it counts for the machines whose hours a year you told. Unknown: left out.",
            single("electricity"),
            UNKNOWN,
            when=lambda known: any(says_hours(group["more"]) for group in known.of("machine")),
            unit="a kWh",
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
            unit="ft",
        ),
        Question(
            "vapors",
            "Are finishes, solvents or fuels sprayed, dipped, poured or kept open in the shop?",
            "no",
            "What they give off can catch fire by a spark of an outlet, a switch or a motor: nothing priced here is meant for "
            "the places around them, and the authority is asked first. Unknown: every answer asks you again.",
            single("vapors"),
            UNKNOWN,
            (YES, NO, UNKNOWN),
            when=plates,
        ),
        Question(
            "lease",
            "When does the lease end?",
            "in 8 years, or in 2030",
            "In the lease. Years alone are counted from today. None where you own, or where it does not end.",
            counted_from(today, lease),
            NONE,
        ),
        Question(
            "take out",
            "Must wiring that you put in be taken out then?",
            "no",
            "In the lease, under improvements or surrender; the landlord says. No: it stays in the building. Unknown: taken to "
            "stay, and the landlord is asked.",
            optional(lambda text: UNKNOWN if text == UNKNOWN else yes_or_no(text)),
            UNKNOWN,
            (YES, NO, UNKNOWN),
            when=_says_no_end,
        ),
        Question(
            "after the lease",
            "And after that, in the years of your plan?",
            "1",
            "You plan longer than the lease lasts: it may be renewed, or the whole shop goes to another building then.",
            chosen((RENEWED, WE_MOVE), {"move": WE_MOVE, "leave": WE_MOVE, "renew": RENEWED, "yes": RENEWED}),
            RENEWED,
            (RENEWED, WE_MOVE),
            when=_ends_before,
        ),
    )


_FORBID: Sequence[Question] = (
    Question(
        "not allowed",
        lambda known: (
            "Another way of wiring that is not allowed, and why"
            if known.of("forbid")
            else "Which way of wiring is not allowed in the building, and why"
        ),
        "wall drop; masonry walls",
        f"Ask the landlord and the inspector. {WAYS_TOLD}",
        as_written(read_forbidden),
        told="Say it as: wall drop; masonry walls. The ways are wall drop, conduit drop, drop in armored cable, cord and "
        "ceiling outlet; fixed drop is every drop.",
    ),
)
_END: Sequence[Question] = (
    Question(
        "write it",
        "That is all. Write the shop file?",
        "yes",
        "Enter writes it. Before, change NAME WORD answers anew, remove NAME takes away, add asks for one more machine.",
        optional(go_on),
        YES,
    ),
)
