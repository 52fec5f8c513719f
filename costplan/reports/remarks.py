"""Everything that is warned of and asked, as data: each remark goes with a type of thing in a plan."""

from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cache
from importlib import resources

import yaml

from costplan.files.yaml_reader import LOADER
from costplan.standards.citations import all_cited


class Topic(StrEnum):
    """What a plan may contain that something is to be said of; `remarks.yaml` has the words of each."""

    STILL_CORD = "still cord"
    BOLTED_ON_PLUG = "bolted on plug"
    HUNG_CORD = "hung cord"
    CORD_WIRED_IN = "cord wired in"
    HEATER_ON_A_CORD = "heater on a cord"
    LEAD_OF_HEATER = "lead of a heater"
    HEATER_PLATE = "heater plate"
    HEATER_CLEARANCE = "heater clearance"
    HEATER_ON_A_PLUG = "heater on a plug"
    FACTORY_PLUG = "factory plug"
    PLUG_MARK = "plug mark"
    LISTING = "listing"
    PEAK_HORSEPOWER = "peak horsepower"
    PLUG_CHANGE = "plug change"
    OWN_CORD = "own cord"
    FRAME_GROUND = "frame ground"
    DUPLEX = "duplex"
    GROUND_SIZE = "ground size"
    SHARED_CIRCUIT = "shared circuit"
    TURNS_AT_PANEL = "turns at the panel"
    TURNS_AT_OUTLET = "turns at an outlet"
    MOTORS_BY_TURNS = "motors by turns"
    SEVERAL_ON_ONE = "several on one circuit"
    MOTOR_OVERLOAD = "motor overload"
    VIBRATION = "vibration"
    ROTATION = "rotation"
    CONTROLS_UNKNOWN = "controls unknown"
    STARTS_BY_ITSELF = "starts by itself"
    MOTOR_START = "motor start"
    DISCONNECT_IN_SIGHT = "disconnect in sight"
    DISCONNECT_NOT_SEEN = "disconnect not seen"
    WORKING_SPACE = "working space"
    SWITCH_ON_CORD = "switch on a cord"
    LEAD_OF_DRIVE = "lead of a drive"
    LINE_CORD_OF_DRIVE = "line cord of a drive"
    HORSEPOWER_MARK = "horsepower mark"
    TERMINALS = "terminals"
    BREAKER_ABOVE_WIRE = "breaker above wire"
    WELDER = "welder"
    WELDER_WIRE = "welder wire"
    WELDER_OUTLET = "welder outlet"
    WELDER_PLATE = "welder plate"
    RESISTANCE_WELDER = "resistance welder"
    HIGH_VOLTAGE = "high voltage"
    VOLTAGE_DROP = "voltage drop"
    PIGTAILS = "pigtails"
    BUSHINGS = "bushings"
    GROUND_COLOR = "ground color"
    CABLE_FITTINGS = "cable fittings"
    CABLE_SUPPORT = "cable support"
    TAMPER_RESISTANT = "tamper resistant"
    SMALL_CHILDREN = "small children"
    WEATHER_RESISTANT = "weather resistant"
    DAMP_PLACE = "damp place"
    DAMP_OUTLET = "outlet stays in the damp"
    DAMP_CORD = "cord into the damp"
    LISTED_PLACE = "listed place"
    CABLE_LAID = "cable laid"
    IN_THE_WALL = "in the wall"
    CABLE_IN_REACH = "cable in reach"
    GROUND_FAULT = "ground fault"
    PROTECTION_STAYS = "protection stays"
    HIGH_TO_GROUND = "high to ground"
    CORD_TO_LISTED = "cord to a listed place"
    GROUND_FAULT_RECEPTACLE = "ground-fault receptacle"
    EDITION_UNKNOWN = "edition unknown"
    PLACE_UNKNOWN = "place unknown"
    ARC_FAULT = "arc fault"
    HIGH_WORK = "high work"
    DRIVE = "drive"
    DRIVE_ON_GROUND_FAULT = "drive on ground fault"
    CONTROLS_AHEAD_OF_DRIVE = "controls ahead of drive"
    REPLACEMENT_MOTOR = "replacement motor"
    OTHER_FOOT_HOLES = "other foot holes"
    SEVERAL_MOTORS = "several motors"
    OTHER_VOLTS = "other volts"
    TRANSFORMER = "transformer"
    CONTROLS_ON_STRAIGHT_LEGS = "controls on straight legs"
    ROTARY_CONVERTER = "rotary converter"
    SOLID_STATE_CONVERTER = "solid-state converter"
    STATIC_CONVERTER = "static converter"
    PANEL_BEHIND_CONVERTER = "panel behind converter"
    DAMP_GEAR = "gear in the damp"
    MADE_LEG = "made leg"
    MAIN_DISCONNECT = "main disconnect"
    FEEDER_TERMINALS = "feeder terminals"
    NEW_SUBPANEL = "new subpanel"
    TANDEM_BREAKERS = "tandem breakers"
    PANEL_WORK = "panel work"
    CROWDED_PANEL = "crowded panel"
    PANEL_RATING = "panel rating"
    PANEL_CONDITION = "panel condition"
    DAMP_PANEL = "panel in the damp"
    INTERRUPTING_RATING = "interrupting rating"
    DELTA = "delta"
    PANEL_MOUNTING = "panel mounting"
    LINES_IN_BALANCE = "lines in balance"
    SPACES_SIDE_BY_SIDE = "spaces side by side"
    RUN_SERVES_OTHER_LINES = "run serves other lines"
    DIRECTORY = "directory"
    BUNDLED_RUNS = "bundled runs"
    RATED_WALL = "rated wall"
    DETACHED = "detached building"
    DETACHED_UNKNOWN = "detached unknown"
    OLD_FINISH = "old finish"
    WOOD_DUST = "wood dust"
    DUST_UNKNOWN = "dust unknown"
    FLAMMABLE_VAPORS = "flammable vapors"
    VAPORS_UNKNOWN = "vapors unknown"
    CEILING = "ceiling"
    WET_AT_MACHINE = "wet at a machine"
    CONTROL_WIRES = "control wires"
    SCHOOL = "school"
    RATE_RECKONED = "reckoned rate"
    WARM_AIR = "warm air"
    LEASE = "lease"
    LEASE_END = "end of the lease"
    CAPPED_RUNS = "capped runs"
    THERE_BEFORE = "wiring from before"
    MEASURED_PEAK = "measured peak"
    PART_OF_A_YEAR = "part of a year"
    LOAD_UNKNOWN = "load unknown"
    PEAK_UNKNOWN = "peak unknown"
    PEAK_OF_PANELS = "peak of panels"
    SECOND_HAND = "second hand"
    MUST_BE_NEW = "must be new"
    NO_DESIGN = "no design"
    PERMITS = "permits"
    LOCKOUT = "lockout"
    TORQUE = "torque"
    COMPARABLE_BIDS = "comparable bids"


class At(StrEnum):
    """Beside which lines of a report a remark stands."""

    MACHINE = "machine"
    GEAR = "gear"
    PANEL = "panel"
    BUILDING = "building"
    SERVICE = "service"
    PART = "part"
    END = "end"


class Whom(StrEnum):
    """Who can answer a question."""

    OWNER = "owner"
    ELECTRICIAN = "electrician"
    SUPPLIER = "supplier"
    UTILITY = "utility"
    LANDLORD = "landlord"


@dataclass(frozen=True, slots=True)
class Ask:
    """A question, and who can answer it."""

    of: Whom
    text: str


@dataclass(frozen=True, slots=True)
class Remark:
    """What is said and asked on a topic.

    `when` says when, in words; `section` where the code or a law has it, blank where it is common practice; `confirmation`
    how far that was confirmed; `short` stands beside the line, blank where there is only a question, `full` is for those who
    want to know, `work` for whoever does the work.
    """

    topic: Topic
    at: At
    when: str
    section: str
    confirmation: str
    short: str
    full: str
    work: str = ""
    asks: tuple[Ask, ...] = ()


@cache
def all_remarks() -> tuple[Remark, ...]:
    """Every remark, in the order in which they are said. Raises ValueError for a topic, place or person nobody knows."""
    path = resources.files(__package__) / "remarks.yaml"
    return tuple(_remark(**entry) for entry in yaml.load(path.read_text(encoding="utf-8"), LOADER))


def _remark(topic: str, at: str, asks: tuple[dict[str, str], ...] = (), **words: str) -> Remark:
    asked = tuple(Ask(Whom(entry["of"]), entry["text"]) for entry in asks)
    return Remark(topic=Topic(topic), at=At(at), asks=asked, **words)


@cache
def remark(topic: Topic, edition: int | None = None) -> Remark:
    """The remark on a topic, with sections by an edition's numbers. Raises LookupError for one without words."""
    found = next((entry for entry in all_remarks() if entry.topic is topic), None)
    if found is None:
        raise LookupError(f'remarks.yaml says nothing on "{topic}"')
    return _by_edition(found, edition)


def _by_edition(entry: Remark, edition: int | None) -> Remark:
    return replace(
        entry,
        section=all_cited(entry.section, edition),
        short=all_cited(entry.short, edition),
        full=all_cited(entry.full, edition),
        work=all_cited(entry.work, edition),
        asks=tuple(Ask(ask.of, all_cited(ask.text, edition)) for ask in entry.asks),
    )
