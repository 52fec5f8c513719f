"""The questions about one machine: its nameplate, where it stands, how it moves, what it has; or what was quoted for it."""

from collections.abc import Callable, Sequence

from costplan.interview.answer_readers import (
    TODAY,
    amps,
    chosen,
    duty_cycle,
    enough_heat,
    facts,
    gauge,
    heat_left,
    hp,
    load_kind,
    moves,
    name_in,
    optional,
    panel_called,
    phases,
    plain_count,
    plug,
    volts,
    wired_today,
    yes_or_unknown,
)
from costplan.interview.answers import UNKNOWN
from costplan.interview.asking import Known, Question
from costplan.interview.length_answers import (
    SAME,
    cord_as_it_hangs,
    from_others,
    other_panels,
    spread,
    spread_over,
    two_lengths,
    wiring,
)
from costplan.interview.money_answers import cord_quote, money_or
from costplan.interview.room_told import read_amps
from costplan.interview.spoken import yes_or_no
from costplan.interview.told_facts import FACTS
from costplan.interview.told_lengths import is_list
from costplan.interview.told_lines import lengths_told, panels_told
from costplan.interview.told_moves import EXAMPLES
from costplan.interview.told_plates import plate_of
from costplan.model.choices import LoadKind
from costplan.model.system import System, feeds

NONE, NO, NOT_THERE, NOTHING = "none", "no", "not on the plate", "nothing"
STAYS, NEVER = "not planned", "never"
NEW_SPOT, BACK = "a new spot each time", "back and forth"


def _is(key: str, *words: str) -> Callable[[Known], bool]:
    return lambda known: known.get(key) in words


def _not(key: str, *words: str) -> Callable[[Known], bool]:
    return lambda known: known.get(key) not in words


def _another_machine(known: Known) -> str:
    done = len(known.of("machine")) + len(known.of("quoted machine"))
    return f"Machine {done + 1}: its name" if done else "Machine 1: what is it called?"


_NAMED = Question(
    "machine",
    _another_machine,
    "table saw",
    "Any name; alike ones are one entry, and are counted next.",
    name_in("machine"),
    of_each=True,
    also=("name",),
)
_COUNT = Question(
    "how many",
    "How many of these do you have, all alike?",
    "12",
    "Same plate and same plug. How far each of them stands is asked below. Tell one whose plate differs as a machine of "
    "its own.",
    plain_count,
    "1",
    also=("count", "number"),
    listed=lambda count: "" if count == "1" else f"{count} alike",
)
_MOVES = Question(
    "moves",
    "How often does it move?",
    EXAMPLES[0],
    f"Say it as you would: {', '.join(EXAMPLES)}. Not planned: it may. Never: it is bolted down, or stays, as a kiln does.",
    moves,
    lambda known: NEVER if known.get("load") == LoadKind.HEATER else STAYS,
    listed=lambda often: "never moves" if often == NEVER else f"moves {often}",
)


def _moves_about(known: Known) -> bool:
    """Whether moves of it are planned."""
    return known.get("moves") not in (STAYS, NEVER)


def _hp_default(known: Known) -> str:
    return "" if known.get("amperes") == NOT_THERE else NOT_THERE


def _kind_has_hp(known: Known) -> bool:
    return known.get("load") == LoadKind.MOTOR


def _feeding(known: Known) -> str:
    """The first panel that has its volts and phases, else the first."""
    volts = plate_of({"volts": known.get("volts"), "amps": "1"}).nominal if known.get("volts") else ()
    count = int(known.get("phases") or 1)
    fed = [
        panel["panel"]
        for panel in panels_told(known)
        if any(feeds(System(panel["system"]), volt, count, neutral=False) for volt in volts)
    ]
    return next(iter(fed), panels_told(known)[0]["panel"])


def _several(known: Known) -> bool:
    return int(known.get("how many") or 1) > 1


def _how_far(known: Known) -> str:
    panel = known.get("from") or "the panel"
    if _several(known):
        return f"How far from {panel} would wiring run to each of the {known.get('how many')}?"
    return f"How far from {panel} would wiring run?"


def _far_example(known: Known) -> str:
    return (
        "35 ft for all; 30, 40 and 60 ft; or from 30 to 60 ft"
        if _several(known)
        else "about 25-30 ft, or 40 / 30 ft"
    )


def _how_long(known: Known) -> str:
    if is_list(lengths_told(known.here)[0]):
        return "And how long would the cords from there be, as they hang?"
    return "And how long would a cord from there be, as it hangs?"


def _other_spot(known: Known) -> str:
    """As far as it stands now; nothing where those of a group stand apart."""
    lengths = lengths_told(known.here)
    return "" if any(map(is_list, lengths)) else " / ".join(lengths)


_LOADS = tuple(map(str, LoadKind))
WAYS_TOLD = (
    "A drop is wiring that stays, to an outlet at the machine: cable in the wall, wire in conduit (pipe) or armored "
    "(metal-clad) cable. A cord comes from an outlet beside the panel, or down from a ceiling outlet."
)
"""What the names of ways mean, in the words of one who never heard them."""
MACHINE: Sequence[Question] = (
    _NAMED,
    _COUNT,
    Question(
        "amperes",
        "Amperes on its plate?",
        "12.8, or 9.4-8.6/4.3 where it has several volts",
        "Beside A, AMPS or FLA on the nameplate of the motor or the machine. The advert's horsepower is no plate.",
        amps,
        NOT_THERE,
        also=("amps", "current"),
        listed="{}",
    ),
    Question(
        "volts",
        "Volts on its plate?",
        "240, or 115/230",
        "Beside V or VOLTS. A plate of 115/230 can be set to either; write both. An outlet's volts are no plate.",
        volts,
        unit="V",
        listed="{}",
    ),
    Question(
        "phases",
        "Phases on its plate?",
        "1, or 3",
        "Beside PH or PHASE; 3 has three hot wires.",
        phases,
        "1",
        when=lambda known: not known.get("volts").startswith(("115", "120")) or "/" in known.get("volts"),
        unit="-phase",
        listed="{}",
    ),
    Question(
        "load",
        "What takes the power in it?",
        "motor",
        "A machine with a motor: motor. A kiln, an oven or a dryer: heater. A computer: other. It decides how its circuit is "
        "sized.",
        load_kind,
        "",  # nobody can know it, and a kiln taken for a motor would have too small a circuit
        _LOADS,
        also=("kind",),
        listed="{}",
    ),
    Question(
        "hp",
        "Horsepower on its plate?",
        "3, or half, or 2.2 kW",
        "Beside HP. With amperes too, write both: the larger of the plate and the code's table counts for a bare motor.",
        hp,
        _hp_default,
        when=_kind_has_hp,
        unit="hp",
        also=("horsepower",),
        listed="{}",
    ),
    Question(
        "three hours",
        "Does it ever heat for three hours or more at a stretch?",
        "yes",
        "In its handbook or its firing program: a kiln mostly does, a glue pot or a small oven may not. Its circuit must then "
        "carry a quarter more.",
        optional(yes_or_no),
        "yes",
        ("yes", "no"),
        _is("load", LoadKind.HEATER),
        also=("continuous",),
        listed="three hours or more at a stretch: {}",
    ),
    Question(
        "enough heat",
        lambda known: (
            f"Its elements are for {known.get('volts')} V, and your panel has less. Is {heat_left(known)} % of its heat enough?"
        ),
        "unknown",
        "Ask its maker: it heats more slowly, and may never get as hot. No or unknown: it is fed through a transformer, or not "
        "at all where the catalog has none.",
        enough_heat,
        UNKNOWN,
        ("yes", "no", UNKNOWN),
        lambda known: known.get("load") == LoadKind.HEATER and heat_left(known) is not None,
        also=("heat", "least_heat"),
        listed="less heat is enough: {}",
    ),
    Question(
        "duty cycle",
        "Duty cycle on its plate, at those amperes?",
        "40 %",
        "Beside DUTY CYCLE or X; unknown counts as all the time.",
        duty_cycle,
        UNKNOWN,
        when=_is("load", LoadKind.WELDER, LoadKind.SPOT_WELDER, LoadKind.SEAM_WELDER),
    ),
    Question(
        "plug",
        "Which plug is on it?",
        "6-20",
        "Stamped on the plug's face. Two upright blades and a round pin: 5-15; one of the blades turned: 5-20; both in one "
        "line: 6-15; one of those turned: 6-20; L begins those that twist and lock. None: bare ends, or hard-wired.",
        plug,
        NONE,
    ),
    Question(
        "from",
        "From which panel would it be fed?",
        "1",
        "The one whose volts and phases it has; of two such the nearer.",
        panel_called,
        _feeding,
        lambda known: [panel["panel"] for panel in panels_told(known)],
        lambda known: len(panels_told(known)) > 1,
        names=True,
        again=("distance", "cord", "also from", "other spot"),
    ),
    Question(
        "distance",
        _how_far,
        _far_example,
        "Along walls or ceiling, not straight across: up from the panel, along, and down to the outlet. With a slash the "
        "second is a cord's: 40 / 30 ft. Machines alike that stand apart: one for each, 30, 40 and 60 ft, or 2 at 30 ft, 1 at "
        "60 ft, or from 30 to 60 ft. Of one machine about 25-30 ft counts as the longer.",
        wiring,
        of_each=True,
        unit="ft",
        also=("wall", "wiring", "fixed"),
        listed="wiring {}",
    ),
    Question(
        "spread",
        lambda known: f"Of the {known.get('how many')}, where does each stand?",
        "1",
        "Spread out: each gets the circuit of its own distance, no more than four distances. All of them: each is about as "
        "far, and the longer length counts.",
        spread,
        lambda known: spread_over(known)[0],
        spread_over,
        lambda known: " to " in known.get("distance"),
        of_each=True,
        listed="{}",
    ),
    Question(
        "cord",
        _how_long,
        lambda known: (
            "22, 30 and 45 ft, or from 22 to 45 ft" if is_list(lengths_told(known.here)[0]) else "22 ft"
        ),
        "From an outlet beside the panel up, across and down to the machine; mostly shorter than along the walls.",
        cord_as_it_hangs,
        SAME,
        when=lambda known: " / " not in known.get("distance"),
        of_each=True,
        unit="ft",
    ),
    Question(
        "also from",
        lambda known: f"And how far from {' and '.join(other_panels(known))}, by wall and by cord?",
        lambda known: (
            "20 / 15 ft" if len(other_panels(known)) == 1 else f"20 / 15 ft from {other_panels(known)[0]}"
        ),
        "Another panel that has its volts and phases may feed it for less. Unknown: no plan feeds it from there, as nobody "
        "knows what that costs.",
        from_others,
        UNKNOWN,
        when=lambda known: bool(other_panels(known)) and not is_list(lengths_told(known.here)[0]),
        of_each=True,
        listed=lambda far: "" if far == UNKNOWN else far,
    ),
    _MOVES,
    Question(
        "spot",
        "Where does it move?",
        "1",
        "A new spot has no outlet yet, and each move may need one. Back and forth is between where it stands and one other "
        "spot, as out of the way and back: an outlet there serves again. Two that change places with each other: say here "
        "that no move is planned, and write both moves into the file, as events of one year: each then takes over the "
        "other's outlet.",
        chosen((NEW_SPOT, BACK), {"same": BACK, "back": BACK, "new": NEW_SPOT}),
        NEW_SPOT,
        (NEW_SPOT, BACK),
        _moves_about,
        also=("where",),
        listed=lambda spot: spot if spot == BACK else f"to {spot}",
    ),
    Question(
        "other spot",
        "How far is that other spot from the panel, by wall and by cord?",
        "55 / 42 ft",
        "Along walls or ceiling, then as a cord would hang; one length is both.",
        two_lengths,
        _other_spot,
        when=_is("spot", BACK),
        of_each=True,
        unit="ft",
    ),
    Question(
        "apart",
        "And how far are the two spots apart, by wall and by cord?",
        "20 / 15 ft",
        "As wiring would run from one to the other, then as a cord would hang; one length is both. An outlet at one spot may "
        "also serve the other by a longer cord.",
        two_lengths,
        lambda known: known.get("other spot"),
        when=_is("spot", BACK),
        of_each=True,
        unit="ft",
        listed="{} apart",
    ),
    Question(
        "long cord",
        "Does its maker allow a longer cord, clear of its hot shell?",
        "unknown",
        "In its handbook; a cord is no fixed wiring (NEC 400.12). Unknown: no cord is ranked for it, and check asks.",
        optional(yes_or_unknown),
        UNKNOWN,
        ("yes", UNKNOWN),
        lambda known: known.get("load") == LoadKind.HEATER and _moves_about(known),
        listed="its maker allows a longer cord",
    ),
    Question(
        "today",
        "How is it wired today, if it is?",
        "1",
        f"No: nothing is there. {WAYS_TOLD}",
        wired_today,
        NO,
        TODAY,
        told=WAYS_TOLD,
        also=("now", "circuit"),
        listed="today by {}",
    ),
    Question(
        "outlet",
        "Into which receptacle?",
        "6-20",
        "Stamped on its face; none for hard-wired.",
        plug,
        lambda known: known.get("plug"),
        when=_not("today", NO),
        listed="outlet {}",
    ),
    Question(
        "breaker",
        "Its breaker, in amperes?",
        "20",
        "On the handle of its breaker.",
        optional(read_amps),
        when=_not("today", NO),
    ),
    Question(
        "wire",
        "Its wire, in gauge?",
        "12",
        "Printed on the cable's jacket in the panel; an electrician reads it. Unknown: the thinnest that the breaker may "
        "protect is taken, and check asks.",
        gauge,
        UNKNOWN,
        when=_not("today", NO),
        unit="gauge",
    ),
    Question(
        "more",
        "Anything else about it?",
        "starts by itself, own cord 8 ft, arrives in 2 years",
        f"Facts with commas between: {', '.join(FACTS)}. Starts by itself: as a compressor does. Effective: the plate's "
        "I1eff of an arc welder. In the measured peak: it ran while the service's draw was recorded. Unattended: with nobody "
        "there, as a kiln overnight.",
        facts,
        NOTHING,
        also=("facts", "else"),
        listed="{}",
    ),
)
QUOTED: Sequence[Question] = (
    _NAMED,
    _COUNT,
    _MOVES,
    Question(
        "fixed drop",
        "Quoted for a fixed drop, each?",
        "420",
        "What somebody asks for one outlet at the machine, all in.",
        money_or(NONE),
        NONE,
        unit="each",
    ),
    Question(
        "moved drop",
        "And when it moves, each time?",
        "380",
        "What moving that outlet would cost; as new: another one.",
        money_or("as new"),
        "as new",
        when=lambda known: known.get("fixed drop") != NONE and _moves_about(known),
        unit="a move",
    ),
    Question(
        "cord quote",
        "Quoted for a cord, each?",
        "90",
        "What somebody asks for an outlet beside the panel and its cord.",
        cord_quote,
        lambda known: "" if known.get("fixed drop") == NONE else NONE,
        unit="each",
    ),
    Question(
        "moved cord",
        "And when it moves, each time?",
        "0",
        "What moving it costs, when the cord comes along.",
        money_or(),
        "0",
        when=lambda known: known.get("cord quote") != NONE and _moves_about(known),
        unit="a move",
    ),
)
